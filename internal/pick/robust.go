package pick

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/section"
)

// The errors that a bonder can make with one placement.
const (
	DirectionError = "direction"
	AroundError    = "around"
	AcrossError    = "across" // on a face, in place of around
	StationError   = "station"
)

// tenth is 0.1 mm, in m.
const tenth = 1e-4

// PlacementError is what one error of one placement does to the bridges, all else
// at its nominal value.
type PlacementError struct {
	Placement string
	Kind      string
	Limit     float64 // the placement's tolerance: its half-width, or its expanded uncertainty; rad or m, 0 when it has none

	PerDegree *Effect // of 1°; nil for station and across
	PerTenth  *Effect // of 0.1 mm on the surface; nil for direction
	AtLimit   Effect  // of Limit
}

// Effect is the larger effect of an error to either side.
type Effect struct {
	Crosstalk   float64          // greatest change of crosstalk, ratio of rated output
	Bridge      string           // whose crosstalk that is
	Of          design.Component // and the load that comes in
	Output      float64          // change of output for the measured load, ratio, of the bridge that changes most; signed
	OutputOf    string
	noCrosstalk bool // the file has no other load
}

// worse compares effects: crosstalk first, then output.
func (e *Effect) worse(o *Effect) int {
	if !same(e.Crosstalk, o.Crosstalk) {
		return cmp.Compare(o.Crosstalk, e.Crosstalk)
	}
	if !same(math.Abs(e.Output), math.Abs(o.Output)) {
		return cmp.Compare(math.Abs(o.Output), math.Abs(e.Output))
	}
	return 0
}

// robustness is the effect of every single placement error on a finished
// candidate, computed with the whole model, the one that does most within its
// tolerance first. Blind bridges are left out.
func robustness(c *Candidate) ([]PlacementError, error) {
	m := c.Result.Model
	eval := evaluator(m)
	nominal, err := eval(m.Nominal)
	if err != nil {
		return nil, err
	}
	x := slices.Clone(m.Nominal)
	effect := func(input int, step float64) (Effect, error) {
		var e Effect
		for _, side := range []float64{step, -step} {
			x[input] = m.Nominal[input] + side
			moved, err := eval(x)
			x[input] = m.Nominal[input]
			if err != nil {
				return e, fmt.Errorf("%s: %w", m.Inputs[input].Label(), err)
			}
			e.take(m, nominal, moved)
		}
		return e, nil
	}
	var out []PlacementError
	for n, pl := range c.Design.Placements {
		round := AroundError
		if pl.Face != "" {
			round = AcrossError
		}
		for _, kind := range []string{DirectionError, round, StationError} {
			i := inputOf(m, pl.Name, kind)
			if i < 0 {
				return nil, fmt.Errorf("placements.%s: the model has no %s for it", pl.Name, kind)
			}
			p := PlacementError{Placement: pl.Name, Kind: kind, Limit: m.Inputs[i].Tolerance}
			var err error
			if kind == DirectionError || kind == AroundError {
				if p.PerDegree, err = pointer(effect(i, deg)); err != nil {
					return nil, err
				}
			}
			switch kind {
			case AroundError:
				p.PerTenth, err = pointer(effect(i, angleOf(c.Result.State, n, tenth)))
			case StationError, AcrossError:
				p.PerTenth, err = pointer(effect(i, tenth))
			}
			if err != nil {
				return nil, err
			}
			if p.AtLimit, err = effect(i, p.Limit); err != nil {
				return nil, err
			}
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b PlacementError) int { return a.AtLimit.worse(&b.AtLimit) })
	if len(out) > 0 && out[0].AtLimit.none() { // no tolerance to go by: 1° against 0.1 mm
		slices.SortStableFunc(out, func(a, b PlacementError) int { return a.unit().worse(b.unit()) })
	}
	return out, nil
}

// angleOf is the angle of a short way round the part from a placement, rad.
func angleOf(s *model.State, placement int, way float64) float64 {
	if _, round := s.Section.(*section.Round); round {
		return way / (s.Section.Perimeter(0) / (2 * math.Pi))
	}
	from := s.Placements[placement].Coordinate
	to := from
	to.S += way
	return math.Remainder(s.Section.Angle(to)-s.Section.Angle(from), 2*math.Pi)
}

// evaluator answers with the responses of all bridges to inputs. Of a part that is
// not round the section is solved for its dimensions, which placement errors leave
// as they are.
func evaluator(m *model.Model) func(x []float64) ([]response, error) {
	s := m.NewExact()
	if _, round := s.Section.(*section.Round); round {
		f := m.NewFigures()
		return func(x []float64) ([]response, error) {
			if err := m.Eval(x, f); err != nil {
				return nil, err
			}
			return responses(m, f.Sensitivity), nil
		}
	}
	n := len(m.Components)
	return func(x []float64) ([]response, error) {
		if err := m.Set(x, s); err != nil {
			return nil, err
		}
		sensitivity := make([]float64, n*len(m.Bridges))
		for b := range m.Bridges {
			weights, err := weightsAt(m, s, b)
			if err != nil {
				return nil, err
			}
			for g, w := range weights {
				for j := 0; j < n && w != 0; j++ {
					sensitivity[b*n+j] += w * s.Row(g, j)
				}
			}
		}
		return responses(m, sensitivity), nil
	}
}

func pointer(e Effect, err error) (*Effect, error) { return &e, err }

// unit is the effect that the sentence for the bonder states.
func (p *PlacementError) unit() *Effect {
	if p.PerDegree != nil {
		return p.PerDegree
	}
	return p.PerTenth
}

func (e *Effect) none() bool { return e.Crosstalk < 1e-9 && math.Abs(e.Output) < 1e-9 }

// inputOf finds the input of a placement's station, around, across or direction,
// planned or measured.
func inputOf(m *model.Model, placement, kind string) int {
	return slices.IndexFunc(m.Inputs, func(in model.Input) bool {
		keys := strings.Split(in.Place.Path, ".")
		return len(keys) > 2 && keys[0] == "placements" && keys[1] == placement && keys[len(keys)-1] == kind
	})
}

// response of a bridge: to its own load, and the crosstalk of each load with its
// sign.
type response struct {
	own       float64
	crosstalk []float64
}

// responses of all bridges by their sensitivities, bridge by bridge each load.
func responses(m *model.Model, sensitivity []float64) []response {
	n := len(m.Components)
	out := make([]response, len(m.Bridges))
	for b := range m.Bridges {
		s := sensitivity[b*n : b*n+n]
		t := m.Bridges[b].Measures
		r := response{own: s[t] * m.Rated[t], crosstalk: make([]float64, n)}
		for j := range s {
			r.crosstalk[j] = s[j] * m.Rated[j] / r.own
		}
		out[b] = r
	}
	return out
}

// take keeps the greater of what it has and the change from one response of all
// bridges to another.
func (e *Effect) take(m *model.Model, from, to []response) {
	for b := range m.Bridges {
		t := m.Bridges[b].Measures
		if math.Abs(from[b].own) <= blindOutput {
			continue
		}
		if d := to[b].own/from[b].own - 1; e.OutputOf == "" || math.Abs(d) > math.Abs(e.Output)*(1+tie) {
			e.Output, e.OutputOf = d, m.Bridges[b].Name
		}
		for j := range m.Components {
			if j == t {
				continue
			}
			if d := math.Abs(to[b].crosstalk[j] - from[b].crosstalk[j]); e.Bridge == "" || d > e.Crosstalk*(1+tie) {
				e.Crosstalk, e.Bridge, e.Of = d, m.Bridges[b].Name, m.Components[j]
			}
		}
	}
	e.noCrosstalk = e.Bridge == ""
}

// Care is what the bonder has to be careful with, in a sentence; "" when nothing
// is placed.
func (c *Candidate) Care() string {
	if len(c.Robust) == 0 {
		return ""
	}
	first := c.Robust[0]
	by := first.unit()
	within := "within the placement tolerance"
	if first.AtLimit.none() {
		within = "at 1° and 0.1 mm"
	}
	var names []string
	for _, p := range c.Robust {
		if p.Kind == first.Kind && p.unit().worse(by) == 0 && p.AtLimit.worse(&first.AtLimit) == 0 {
			names = append(names, p.Placement)
		}
	}
	who := strings.Join(names, ", ")
	if n := len(names); n > 1 {
		who = strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
	error := map[string]string{
		DirectionError: "turning " + who + " by 1°",
		AroundError:    "bonding " + who + " 1° farther round the part",
		AcrossError:    "bonding " + who + " 0.1 mm farther across the face",
		StationError:   "bonding " + who + " 0.1 mm farther along the part",
	}[first.Kind]
	const small = 1e-6 // a ten-thousandth of a percent
	switch {
	case by.Crosstalk >= small:
		return fmt.Sprintf("%s lets %s of %s into %s; %s no other error of one placement lets in more", error, short(by.Crosstalk), loadWords(by.Of), by.Bridge, within)
	case math.Abs(by.Output) >= small:
		none := "no error of one placement lets another load in"
		if by.noCrosstalk {
			none = "there is no other load to let in"
		}
		return fmt.Sprintf("%s changes the output of %s by %s; %s; %s no other changes an output more", error, by.OutputOf, short(by.Output), none, within)
	}
	return "no error of one placement changes crosstalk or output by as much as 0.0001 % for 1° or 0.1 mm"
}

// short is a ratio in percent to two digits.
func short(x float64) string {
	v, _ := roundTo(x*100, 2)
	return fmt.Sprintf("%v %%", v)
}

// roundTo rounds to significant digits, and gives the step of the last of them.
func roundTo(x float64, digits int) (rounded, step float64) {
	if x == 0 {
		return 0, 0
	}
	power := digits - 1 - int(math.Floor(math.Log10(math.Abs(x))))
	if power >= 0 {
		scale := math.Pow10(power)
		return math.Round(x*scale) / scale, 1 / scale
	}
	scale := math.Pow10(-power)
	return math.Round(x/scale) * scale, scale
}

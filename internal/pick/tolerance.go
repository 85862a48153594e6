package pick

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gridwright/internal/model"
)

// tolerances are what the stated tolerances do to the grids of one placement set,
// to first order: for every input that has one, the change of each grid's row for
// one standard uncertainty of the input. A bridge is a weight for each grid, so
// that its crosstalk under tolerance is a few sums of products.
//
// Left out is what is of second order in the errors (a grid at the top of its
// bending strain that is turned by 1° loses 0.03 % of it), and the tolerance of
// resistance: with adjacent arms of equal resistance it changes no weight to first
// order, grids in series apart, whose shares of their arm it shifts.
type tolerances struct {
	loads  int
	change []float64 // ΔR/R at rated load: grid by grid, each load

	inputs []deviation
	of     []int32   // grids that an input moves
	effect []float64 // on change, for one standard uncertainty: of by of, each load

	// Temperature: ΔR/R of each grid under the stated gradient; without one, of a
	// gradient of 1 K/m along, and the two parts of one of 1 K across.
	stated             bool
	along, cosine, sin []float64
}

// deviation is one input: its rows of of and effect.
type deviation struct {
	from, to int
	limit    bool // a rectangular distribution
}

// newTolerances differentiates the rows of the grids of m by every input that has
// a tolerance, s being at the nominal inputs. Inputs that move different grids are
// stepped together.
func newTolerances(m *model.Model, s *model.State) (*tolerances, error) {
	t := &tolerances{loads: len(m.Components)}
	for i := range m.Grids {
		for j, rated := range m.Rated {
			t.change = append(t.change, s.Row(i, j)*rated)
		}
	}
	t.heat(m, s)

	x := append([]float64(nil), m.Nominal...)
	up, down := m.NewState(), m.NewState()
	for _, group := range groups(m) {
		// A hundredth of the standard uncertainty: small against what bends the
		// rows, large against rounding.
		const step = 0.01
		set := func(sign float64, s *model.State) error {
			for _, in := range group {
				x[in.index] = m.Nominal[in.index] + sign*step*m.Inputs[in.index].Standard()
			}
			err := m.Set(x, s)
			for _, in := range group {
				x[in.index] = m.Nominal[in.index]
			}
			return err
		}
		if err := errors.Join(set(1, up), set(-1, down)); err != nil {
			return nil, fmt.Errorf("within the tolerance of %s: %w", m.Inputs[group[0].index].Label(), err)
		}
		for _, in := range group {
			t.add(m, in, up, down, step)
		}
	}
	return t, nil
}

// add keeps the differences of one input's grids.
func (t *tolerances) add(m *model.Model, in moved, up, down *model.State, step float64) {
	d := deviation{from: len(t.of), limit: m.Inputs[in.index].Coverage == 0}
	for _, g := range in.grids {
		felt := false
		at := len(t.effect)
		for j, rated := range m.Rated {
			e := (up.Row(g, j) - down.Row(g, j)) * rated / (2 * step)
			felt = felt || e != 0
			t.effect = append(t.effect, e)
		}
		if !felt {
			t.effect = t.effect[:at]
			continue
		}
		t.of = append(t.of, int32(g))
	}
	if d.to = len(t.of); d.to > d.from {
		t.inputs = append(t.inputs, d)
	}
}

// moved is an input with a tolerance and the grids that it can move.
type moved struct {
	index int
	grids []int
}

// groups sorts the inputs that have a tolerance into groups that move no grid
// twice.
func groups(m *model.Model) [][]moved {
	var out [][]moved
	var taken [][]bool
next:
	for i, in := range m.Inputs {
		grids := gridsMoved(m, &in)
		if in.Standard() == 0 || len(grids) == 0 {
			continue
		}
	search:
		for k := range out {
			for _, g := range grids {
				if taken[k][g] {
					continue search
				}
			}
			out[k] = append(out[k], moved{i, grids})
			for _, g := range grids {
				taken[k][g] = true
			}
			continue next
		}
		mask := make([]bool, len(m.Grids))
		for _, g := range grids {
			mask[g] = true
		}
		out = append(out, []moved{{i, grids}})
		taken = append(taken, mask)
	}
	return out
}

// gridsMoved lists the grids whose rows an input can change: those of its
// placement, its grid or its lot, all of them for what belongs to the part.
func gridsMoved(m *model.Model, in *model.Input) []int {
	keys := strings.Split(in.Place.Path, ".")
	last := keys[len(keys)-1]
	if strings.HasPrefix(last, "resistance") || last == "spread" {
		return nil // rows do not depend on them
	}
	var out []int
	for i := range m.Grids {
		g := &m.Grids[i]
		placement := m.Design.Placements[g.Ref.Placement].Name
		var hit bool
		switch {
		case in.Of != "" && last == "stand-off":
			hit = in.Of == placement
		case in.Of != "":
			hit = in.Of == g.Name
		case keys[0] == "placements":
			hit = len(keys) > 1 && keys[1] == placement
		case keys[0] == "gauges":
			hit = len(keys) > 1 && keys[1] == m.Design.Gauges[g.Gauge].Name
		case keys[0] == "bridges", keys[0] == "leads", keys[0] == "instrument":
		default:
			hit = true
		}
		if hit {
			out = append(out, i)
		}
	}
	return out
}

// crosstalk95 is the largest 95 % quantile of |crosstalk| of a bridge, a ratio of
// rated output, and the index of the load that it belongs to; 0 and −1 when the
// file has no other load, +Inf and −1 when the bridge gives nothing for its own.
// weights are ∂(V/E)/∂(ΔR/R) of each grid in the order of Model.Grids, 0 for those
// not in the bridge; target is the index of the measured load.
//
//	S_j = Σ w_g·row_gj·F_j,  c_j = S_j/S_t,  δ_i = (∂S_j/∂x_i − c_j ∂S_t/∂x_i)·u_i/S_t
//
// F_j rated load, u_i standard uncertainty of input x_i. The input with the
// largest rectangular δ_i enters with its own distribution, the sum of the others
// as a normal one of variance Σδ_i². It allocates nothing.
func (t *tolerances) crosstalk95(weights []float64, target int) (worst float64, of int) {
	n := t.loads
	var nominal, variance, largest, sum [maxLoads]float64
	for g, w := range weights {
		if w != 0 {
			for j, x := range t.change[g*n : g*n+n] {
				nominal[j] += w * x
			}
		}
	}
	own := nominal[target]
	if own == 0 {
		return math.Inf(1), -1
	}
	for j := range n {
		nominal[j] /= own
	}
	for _, in := range t.inputs {
		used := false
		for k := in.from; k < in.to; k++ {
			w := weights[t.of[k]]
			if w == 0 {
				continue
			}
			if !used {
				used, sum = true, [maxLoads]float64{}
			}
			for j, e := range t.effect[k*n : k*n+n] {
				sum[j] += w * e
			}
		}
		if !used {
			continue
		}
		for j := range n {
			d := (sum[j] - nominal[j]*sum[target]) / own
			d *= d
			variance[j] += d
			if in.limit && d > largest[j] {
				largest[j] = d
			}
		}
	}
	of = -1
	for j := range n {
		if j == target {
			continue
		}
		// No sum of a rectangular and a normal deviation reaches farther than a
		// normal one of its variance.
		if c := math.Abs(nominal[j]); of < 0 || c+twoSided95*math.Sqrt(variance[j]) > worst {
			q := folded95(c, math.Sqrt(math.Max(0, variance[j]-largest[j])), math.Sqrt(3*largest[j]))
			if of < 0 || q > worst {
				worst, of = q, j
			}
		}
	}
	return worst, of
}

// heat sets the thermal ΔR/R of the grids under the file's gradient, of the part
// across it apart where the file does not state its direction. Where the file
// states no gradient, that of a gradient of 1 K across the part and 1 K/m along it,
// a grid whose thermal output the file leaves out counting 1 µε/K: figures to rank
// by, no prediction.
func (t *tolerances) heat(m *model.Model, s *model.State) {
	temperature := &m.Design.Temperature
	reference := temperature.Reference.SI
	t.stated = temperature.Across.Set || temperature.Along.Set
	for i := range m.Grids {
		g := &s.Grids[i]
		if t.stated && (temperature.Toward.Set || temperature.Across.SI == 0) {
			at := reference + temperature.Along.SI*g.Station + temperature.Across.SI/2*math.Cos(g.Around-temperature.Toward.SI)
			t.along = append(t.along, s.Thermal(i, at))
			continue
		}
		slope := s.Thermal(i, reference+0.5) - s.Thermal(i, reference-0.5)
		if t.stated {
			sin, cos := math.Sincos(g.Around)
			half := slope * temperature.Across.SI / 2
			t.along = append(t.along, s.Thermal(i, reference+temperature.Along.SI*g.Station))
			t.cosine, t.sin = append(t.cosine, half*cos), append(t.sin, half*sin)
			continue
		}
		if !m.Design.Gauges[m.Grids[i].Gauge].Thermal.Set {
			slope += g.Factor * 1e-6
		}
		sin, cos := math.Sincos(g.Around)
		t.along = append(t.along, slope*g.Station)
		t.cosine, t.sin = append(t.cosine, slope*cos/2), append(t.sin, slope*sin/2)
	}
}

// gradientZero is the size of a bridge's output from the temperature gradient
// alone at the reference temperature, a ratio of rated output, for small changes
// of resistance; weights and target as for crosstalk95. Without a stated gradient
// it is a figure to rank by: 1 K across in the direction that does most, and 1 K/m
// along. +Inf when the bridge gives nothing for its load.
func (t *tolerances) gradientZero(weights []float64, target int) float64 {
	own, along, cosine, sin := 0.0, 0.0, 0.0, 0.0
	for g, w := range weights {
		if w == 0 {
			continue
		}
		own += w * t.change[g*t.loads+target]
		along += w * t.along[g]
		if t.cosine != nil {
			cosine += w * t.cosine[g]
			sin += w * t.sin[g]
		}
	}
	if own == 0 {
		return math.Inf(1)
	}
	return (math.Abs(along) + math.Hypot(cosine, sin)) / math.Abs(own)
}

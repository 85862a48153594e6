package pick

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// words describe a layout. Rings alike at two stations are said once.
func (l *layout) words(d *design.Design) string {
	if l.given {
		return fmt.Sprintf("the %s placed in the file", plural(len(l.placements), "gauge"))
	}
	var parts []string
	for i := 0; i < len(l.rings); i++ {
		r := &l.rings[i]
		stations := []design.Number{r.station}
		for i+1 < len(l.rings) && l.rings[i+1].gauge == r.gauge && slices.Equal(l.rings[i+1].angles, r.angles) {
			i++
			stations = append(stations, l.rings[i].station)
		}
		parts = append(parts, r.words(d, stations))
	}
	return strings.Join(parts, " with ")
}

func (r *ring) words(d *design.Design, stations []design.Number) string {
	var b strings.Builder
	g := d.Gauges[r.gauge]
	pattern := strings.ReplaceAll(g.Pattern, "-", " ")
	if g.Pattern == "single" || g.Pattern == "custom" {
		pattern += " gauge"
	}
	fmt.Fprintf(&b, "%s (%s)", plural(len(r.angles)*len(stations), pattern), g.Name)
	if r.spots != nil {
		b.WriteString(r.faceWords())
	} else {
		b.WriteString(" at " + list(r.angleWords()))
	}
	if len(stations) > 1 || stations[0].SI != 0 {
		at := make([]string, len(stations))
		for i, s := range stations {
			at[i] = quantity.Format(s.SI, quantity.Length, quantity.SI, -1)
		}
		fmt.Fprintf(&b, ", station %s", list(at))
	}
	if r.turn != 0 {
		fmt.Fprintf(&b, ", pattern turned %d°", r.turn)
	}
	return b.String()
}

func (r *ring) angleWords() []string {
	words := make([]string, len(r.angles))
	for i, a := range r.angles {
		words[i] = strconv.FormatFloat(math.Round(a*1e4)/1e4, 'f', -1, 64) + "°"
	}
	return words
}

// space says what was searched.
func (s *search) space() string {
	var b strings.Builder
	if len(s.layouts) == 1 && s.layouts[0].given {
		b.WriteString("the wirings of the gauges that the file places")
	} else if !s.round {
		b.WriteString(s.faceSpace())
	} else {
		free, mixed := 0, 0
		for i := range s.layouts {
			l := &s.layouts[i]
			if l.rings[0].free {
				free++
			}
			if len(l.rings) > 1 && l.rings[0].gauge != l.rings[1].gauge {
				mixed++
			}
		}
		fmt.Fprintf(&b, "%s: 1 to %d positions equally spaced on one ring or alike on two, patterns turned to every multiple of 45° (of mirror images along a part without shear forces the one), start angles every 15° (every 5° where sectors kept out exclude those)", plural(len(s.layouts), "placement set"), maxPositions)
		if free > 0 {
			fmt.Fprintf(&b, "; free angles where no equal spacing has room (%s)", plural(free, "set"))
		}
		if mixed > 0 {
			fmt.Fprintf(&b, "; rings of two gauge types, 1, 2 or 4 of each, start angles every 45° (%s)", plural(mixed, "set"))
		}
	}
	fmt.Fprintf(&b, "; of each every wiring with arms of 1 to %d grids of one resistance in series, arms of different numbers where the bridge balances, ", s.series)
	if s.design.Pick.ForbidFixedArms {
		b.WriteString("full bridges only")
	} else {
		b.WriteString("full bridges and half bridges with two fixed arms")
	}
	if s.left != "" {
		b.WriteString("; " + s.left)
	}
	return b.String()
}

// symmetry says what was folded together.
const symmetry = "bridges that differ in the names of their arms, in the sign, or in which grids of equal weight share an arm answer small loads alike and are counted once; of patterns that turn onto each other, or that are mirror images along a part without shear forces, one is taken"

// symmetryWords say what was folded together, that of the section included.
func (s *search) symmetryWords() string {
	if s.round || len(s.layouts) > 0 && s.layouts[0].given {
		return symmetry
	}
	return symmetry + s.faceSymmetry()
}

// nothing says why there is no candidate at all.
func (s *search) nothing() string {
	if len(s.layouts) == 0 && !s.round {
		return s.noFace()
	}
	if len(s.layouts) == 0 {
		return "no gauge fits: every position overlaps another backing, lies in a sector kept out, or reaches beyond the straight length; widen `pick.keep-out`, `pick.stations` or the straight length, or offer a smaller gauge"
	}
	names := make([]string, len(s.measured))
	for i, t := range s.measured {
		names[i] = loadWords(s.component(t))
	}
	why := "no wiring of the grids that fit gives a balanced bridge with an output for " + list(names)
	one := divider{1, 1}
	switch {
	case s.kept(shape{one, one}, 350, 350) == 0 && (s.design.Pick.ForbidFixedArms || s.kept(shape{first: one}, 350, 350) == 0):
		return why + ": the leads allow neither full nor half bridges; give 4 or 6 wires, or 3 with half bridges completed at the instrument"
	case s.design.Pick.ForbidFixedArms:
		return why + ": a full bridge takes four grids; raise `pick.at-most`, allow fixed arms, or offer gauges with more grids"
	}
	return why + ": a half bridge takes two grids that feel the load differently; raise `pick.at-most`, or offer gauges with grids in other directions"
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

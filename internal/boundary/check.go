package boundary

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
)

const (
	// SharpTurn is the turn of the outline, rad, from which a vertex counts as a
	// corner: 15°, less is taken as a curve drawn in short sides.
	SharpTurn = 15 * math.Pi / 180

	thinnest  = 2e-4                // of the section's size: walls below it are refused
	shortest  = 1e-7                // of the section's size: sides below it are refused
	sharpest  = 1 * math.Pi / 180   // interior angle of a corner
	widest    = 359 * math.Pi / 180 // of a re-entrant one
	mostSides = 2000
)

// Check orients the loops (outer one counterclockwise from y toward z, holes
// clockwise) and refuses what is no section: loops that are open, cross or touch
// themselves or each other, holes outside, sides of no length, slivers. The
// error names the place in millimetres.
func (o *Outline) Check() error {
	loops := o.loops()
	sides := 0
	for i, l := range loops {
		if err := l.closed(loopName(i)); err != nil {
			return err
		}
		sides += len(l)
	}
	if sides > mostSides {
		return fmt.Errorf("an outline of %d sides; at most %d are computed", sides, mostSides)
	}
	size := o.spread()
	for i, l := range loops {
		for j := range l {
			if length := l[j].Length(); length < shortest*size {
				return fmt.Errorf("%s has two points in one place, at %s; leave one out", loopName(i), millimetres(l[j].From))
			}
		}
	}
	for i, l := range loops {
		if math.Abs(l.area()) < thinnest*thinnest*size*size {
			return fmt.Errorf("%s encloses no area; its points lie on a line or cross", loopName(i))
		}
	}
	o.Orient()
	if err := corners(loops); err != nil {
		return err
	}
	if err := crossings(loops, size); err != nil {
		return err
	}
	for i := 1; i < len(loops); i++ {
		p := loops[i][0].From
		if !loops[0].Encloses(p) {
			return fmt.Errorf("%s, at %s, lies outside the outer loop; a hole lies inside it", loopName(i), millimetres(p))
		}
		for j := 1; j < len(loops); j++ {
			if j != i && loops[j].Encloses(p) {
				return fmt.Errorf("%s lies inside %s; a section is one piece", loopName(i), loopName(j))
			}
		}
	}
	return nil
}

func loopName(i int) string {
	if i == 0 {
		return "the outer loop"
	}
	return fmt.Sprintf("hole %d", i)
}

func sideName(loop int, s *Segment, j int) string {
	if s.Edge > 0 {
		return fmt.Sprintf("edge %d of %s", s.Edge, loopName(loop))
	}
	return fmt.Sprintf("side %d of %s", j+1, loopName(loop))
}

func millimetres(p complex128) string {
	return fmt.Sprintf("[%.6g mm, %.6g mm]", 1e3*real(p), 1e3*imag(p))
}

func (l Loop) closed(name string) error {
	if len(l) == 0 || (len(l) == 1 && (l[0].Straight() || math.Abs(l[0].Sweep) != 2*math.Pi)) || (len(l) == 2 && l[0].Straight() && l[1].Straight()) {
		return fmt.Errorf("%s has too few sides to enclose anything", name)
	}
	size := 0.0
	for i := range l {
		for _, p := range [3]complex128{l[i].From, l[i].To, l[i].Centre} {
			if cmplx.IsNaN(p) || cmplx.IsInf(p) || cmplx.Abs(p) > 1e3 {
				return fmt.Errorf("%s has a point that is no length of a part: %s", name, millimetres(p))
			}
		}
		if s := &l[i]; !s.Straight() && !(s.SemiY > 0 && s.SemiZ > 0 && math.Abs(s.Sweep) > 0 && math.Abs(s.Sweep) <= 2*math.Pi) {
			return fmt.Errorf("%s has an arc of no radius or no sweep at %s", name, millimetres(s.From))
		}
		size = max(size, l[i].Length())
	}
	for i := range l {
		if next := l[(i+1)%len(l)].From; cmplx.Abs(next-l[i].To) > 1e-9*size {
			return fmt.Errorf("%s is not closed: a side ends at %s and the next starts at %s", name, millimetres(l[i].To), millimetres(next))
		}
	}
	return nil
}

// Orient runs the outer loop counterclockwise from y toward z and the holes
// clockwise, in place.
func (o *Outline) Orient() {
	if o.Outer.area() < 0 {
		o.Outer.Reverse()
	}
	for _, h := range o.Holes {
		if h.area() > 0 {
			h.Reverse()
		}
	}
}

func (l Loop) area() float64 {
	var m moments
	m.add(l, l[0].From)
	return m.a
}

// Reverse runs the loop the other way, as a hole is.
func (l Loop) Reverse() {
	slices.Reverse(l)
	for i := range l {
		l[i] = l[i].reversed()
	}
}

// Turn is the change of direction from side i of a loop to the next, rad,
// positive to the left.
func (l Loop) Turn(i int) float64 {
	a, b := l[i].Velocity(1), l[(i+1)%len(l)].Velocity(0)
	return cmplx.Phase(b * cmplx.Conj(a))
}

func corners(loops []Loop) error {
	for i, l := range loops {
		for j := range l {
			if len(l) == 1 {
				continue
			}
			if inside := math.Pi - l.Turn(j); inside < sharpest || inside > widest {
				return fmt.Errorf("%s turns back on itself at %s; a corner of less than 1° is a sliver", loopName(i), millimetres(l[j].To))
			}
		}
	}
	return nil
}

// crossings refuses sides that cross, touch or leave a sliver between them.
func crossings(loops []Loop, size float64) error {
	least := thinnest * size
	for i, l := range loops {
		for k := i; k < len(loops); k++ {
			m := loops[k]
			for a := range l {
				first := 0
				if k == i {
					first = a + 1
				}
				for b := first; b < len(m); b++ {
					if apart(&l[a], &m[b]) > least {
						continue
					}
					lo, hi := 0.0, 1.0
					if k == i {
						after, before := (a+1)%len(l) == b, (b+1)%len(l) == a
						if (after || before) && l[a].Straight() && m[b].Straight() {
							continue // they share a point, and the turn is checked
						}
						if after {
							hi = 0.98
						}
						if before {
							lo = 0.02
						}
					}
					d, at := gap(&l[a], &m[b], lo, hi)
					if d > least {
						continue
					}
					p := l[a].At(at)
					where := fmt.Sprintf("%s and %s, at %s", sideName(i, &l[a], a), sideName(k, &m[b], b), millimetres(p))
					if d <= 1e-9*size {
						return fmt.Errorf("%s, cross or touch", where)
					}
					if k == i && l.between(a, b) < 4*d {
						continue // neighbours across one short side
					}
					if lo > 0 || hi < 1 {
						continue
					}
					return fmt.Errorf("%s, are only %.3g mm apart: a wall thinner than 1/%.0f of the section is not computed", where, 1e3*d, 1/thinnest)
				}
			}
		}
	}
	return nil
}

// between is the length of outline between two sides of a loop, the shorter way.
func (l Loop) between(a, b int) float64 {
	one, other := 0.0, 0.0
	for j := (a + 1) % len(l); j != b; j = (j + 1) % len(l) {
		one += l[j].Length()
	}
	for j := (b + 1) % len(l); j != a; j = (j + 1) % len(l) {
		other += l[j].Length()
	}
	return min(one, other)
}

// Encloses tells whether a point off the loop is inside it.
func (l Loop) Encloses(p complex128) bool {
	turn := 0.0
	for i := range l {
		n := 1
		if !l[i].Straight() {
			n = int(math.Ceil(math.Abs(l[i].Sweep)*16)) + 1
		}
		from := l[i].From - p
		for k := range n {
			to := l[i].At(float64(k+1)/float64(n)) - p
			turn += cmplx.Phase(to / from)
			from = to
		}
	}
	return math.Abs(turn) > math.Pi
}

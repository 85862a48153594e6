package section

import (
	"cmp"
	"math"
	"slices"

	"gridwright/internal/boundary"
)

// Joint is where one side of a loop meets the next.
type Joint struct {
	At   Coordinate
	Turn float64 // change of direction there, rad: positive at an outward corner, negative at a re-entrant one
}

// Reentrant reports a corner that points into the material, where the stress of a
// sharp corner has no bound.
func (j Joint) Reentrant() bool { return j.Turn < -boundary.SharpTurn }

// Smooth reports a joint that is no corner.
func (j Joint) Smooth() bool { return j.Turn >= -boundary.SharpTurn && j.Turn <= boundary.SharpTurn }

// Loops of a section: the outer one, then the holes. A round section counts its
// outer circle alone; its bore has closed forms of its own.
func Loops(s Section) int {
	if g, ok := s.(*General); ok {
		return len(g.now().Loops())
	}
	return 1
}

// Joints of a loop in the sense of growing arc length, from 0 on; none on a round
// section.
func Joints(s Section, loop int) []Joint {
	g, ok := s.(*General)
	if !ok {
		return nil
	}
	sol := g.now()
	sides := sol.Loops()[loop]
	origin := 0.0
	if loop == 0 {
		origin = g.origin
	}
	out := make([]Joint, len(sides))
	for i := range sides {
		at := sol.Wrap(loop, sol.Start(loop, i+1)-origin)
		if at > sol.Perimeter(loop)*(1-1e-12) {
			at = 0
		}
		out[i] = Joint{At: Coordinate{Loop: loop, S: at}}
		if len(sides) > 1 {
			out[i].Turn = sides.Turn(i)
		}
	}
	slices.SortFunc(out, func(a, b Joint) int { return cmp.Compare(a.At.S, b.At.S) })
	return out
}

// FaceAt is the place in faces, a section's Faces, of the one that a coordinate of the
// outer loop lies on; of two that meet there, the first.
func FaceAt(s Section, faces []Face, c Coordinate) int {
	girth := s.Perimeter(0)
	best, least := 0, math.Inf(1)
	for i := range faces {
		f := &faces[i]
		if beyond := math.Abs(math.Remainder(c.S-f.Middle.S, girth)) - f.Length/2; beyond < least-1e-12*girth {
			best, least = i, beyond
		}
	}
	return best
}

package section

import (
	"math"
	"math/cmplx"

	"gridwright/internal/boundary"
)

// Symmetries of an outline about its centroid.
type Symmetries struct {
	// Rotations is how many turns of 2π/Rotations leave it as it is: 1 for a section
	// without; 0 for a round one, which every turn and mirror leaves.
	Rotations int
	// Mirrors are the angles, rad in [0, π), of its mirror axes.
	Mirrors []float64
}

// Symmetries are found from the outline: every turn or mirror image that brings a
// side of the outer loop onto one of its sides is tried on the whole.
func (g *General) Symmetries() Symmetries {
	s := g.now()
	loops := s.Loops()
	tol := 1e-9 * s.Perimeter(0)
	round := true
	for _, l := range loops {
		round = round && len(l) == 1 && l[0].Circular() && cmplx.Abs(l[0].Centre) < tol
	}
	if round {
		return Symmetries{}
	}
	out := Symmetries{Rotations: 1}
	outer := loops[0]
	if len(outer) == 1 { // an ellipse, or a circle with holes off its centre
		candidates := []float64{0, math.Pi / 2}
		for _, h := range loops[1:] {
			var m complex128
			for i := range h {
				m += h[i].At(0.5)
			}
			if cmplx.Abs(m) > tol {
				candidates = append(candidates, cmplx.Phase(m), cmplx.Phase(m)+math.Pi/2)
			}
		}
		for _, a := range candidates {
			if same(loops, cmplx.Rect(1, 2*a), true, tol) {
				out.addMirror(a)
			}
		}
		for n := 12; n > 1; n-- {
			if same(loops, cmplx.Rect(1, 2*math.Pi/float64(n)), false, tol) {
				out.Rotations = n
				break
			}
		}
		return out
	}
	first := outer[0].At(0.5)
	for i := range outer {
		p := outer[i].At(0.5)
		if math.Abs(cmplx.Abs(p)-cmplx.Abs(first)) > tol || cmplx.Abs(p) < tol {
			continue
		}
		if turn := p / first; i > 0 && same(loops, turn/complex(cmplx.Abs(turn), 0), false, tol) {
			out.Rotations++
		}
		// the mirror that takes first to p: z → u z̄
		u := p * first
		if u /= complex(cmplx.Abs(u), 0); same(loops, u, true, tol) {
			out.addMirror(cmplx.Phase(u) / 2)
		}
	}
	return out
}

func (s *Symmetries) addMirror(angle float64) {
	angle = math.Mod(angle, math.Pi)
	if angle < -1e-9 {
		angle += math.Pi
	}
	angle = max(angle, 0)
	if math.Pi-angle < 1e-9 {
		angle = 0
	}
	for _, a := range s.Mirrors {
		if math.Abs(a-angle) < 1e-6 {
			return
		}
	}
	s.Mirrors = append(s.Mirrors, angle)
}

// same tells whether the loops turned by u, and mirrored on the y axis before that,
// are the loops.
func same(loops []boundary.Loop, u complex128, mirror bool, tol float64) bool {
	image := func(p complex128) complex128 {
		if mirror {
			p = cmplx.Conj(p)
		}
		return u * p
	}
	for i, l := range loops {
		for j := range l {
			a, m, b := image(l[j].From), image(l[j].At(0.5)), image(l[j].To)
			found := false
			for k, o := range loops {
				if (k == 0) != (i == 0) {
					continue
				}
				for n := range o {
					c := &o[n]
					if c.Straight() != l[j].Straight() {
						continue
					}
					if len(l) == 1 && len(o) == 1 {
						// a closed curve starts anywhere
						d := image(l[j].Centre)
						found = found || cmplx.Abs(d-c.Centre) < tol && on(c, a, tol) && on(c, m, tol) && on(c, image(l[j].At(0.15)), tol)
						continue
					}
					ends := cmplx.Abs(c.From-a)+cmplx.Abs(c.To-b) < 2*tol || cmplx.Abs(c.From-b)+cmplx.Abs(c.To-a) < 2*tol
					found = found || ends && cmplx.Abs(c.At(0.5)-m) < tol
				}
			}
			if !found {
				return false
			}
		}
	}
	return true
}

// on tells whether a point lies on the ellipse of a side.
func on(s *boundary.Segment, p complex128, tol float64) bool {
	p -= s.Centre
	r := math.Hypot(real(p)/s.SemiY, imag(p)/s.SemiZ)
	return math.Abs(r-1)*min(s.SemiY, s.SemiZ) < tol
}

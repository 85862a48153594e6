package boundary

import (
	"math"
	"math/cmplx"
)

const (
	inner    = 12  // points of a piece of a nearly singular integral
	distinct = 2.2 // its distance from the target, in its half length
	deepest  = 60  // halvings
)

// near integrates a panel that is too close to the point for its own points: the
// panel is halved until each piece is further away than its own size, and the
// density between its points is its shape times an interpolating polynomial.
func (q *equation) near(z, normal complex128, p *panel, s *Segment, row []float64, m1, m3 *complex128) {
	own := gauss(p.count)
	l := q.basis[:p.count]
	for j := range p.count {
		row[p.first+j] = 0
	}
	g := gauss(inner)
	curved := !s.Straight()
	lo, hi := 0.0, 1.0
	for depth := 0; lo < 1; {
		tl, _ := p.at(lo)
		th, _ := p.at(hi)
		tm, _ := p.at((lo + hi) / 2)
		a, b := s.At(tl), s.At(th)
		mid := (a + b) / 2
		radius := cmplx.Abs(b-a) / 2
		if curved {
			mid = s.At(tm)
			radius = max(cmplx.Abs(a-mid), cmplx.Abs(b-mid))
		}
		if cmplx.Abs(z-mid) < distinct*radius && depth < deepest {
			hi = (lo + hi) / 2
			depth++
			continue
		}
		for f, x := range g.x {
			u := lo + (hi-lo)*x
			t, dt := p.at(u)
			d := z - s.At(t)
			w := g.w[f] * (hi - lo)
			r := 1 / (real(d)*real(d) + imag(d)*imag(d))
			k := w * (real(normal)*real(d) + imag(normal)*imag(d)) * r / (2 * math.Pi)
			own.basis(u, l)
			k *= p.shape(u)
			for j, v := range l {
				row[p.first+j] += k * v
			}
			if curved {
				q.moments(-cmplx.Conj(d), r, s.Velocity(t)*complex(w*dt, 0), m1, m3)
			}
		}
		// on to the next piece: as wide as the largest aligned one that starts at hi
		lo = hi
		width := math.Ldexp(1, -depth)
		for depth > 0 && math.Mod(lo, 2*width) == 0 {
			width *= 2
			depth--
		}
		hi = lo + width
	}
	for j := p.first; j < p.first+p.count; j++ {
		row[j] /= q.shape[j]
	}
}

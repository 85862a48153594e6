package section

import (
	"math"

	"gridwright/internal/boundary"
)

// Walls is what bounds the use of Saint-Venant's solution on a thin-walled or
// short part.
type Walls struct {
	// Thinnest is the smallest thickness of material, m, measured inward from the
	// outer loop, and At a place where it is found. Of a solid section it is about
	// its smallest width.
	Thinnest float64
	At       Coordinate
	// Slenderness is the largest width to thickness of a flat wall, b/t, for notes on
	// local buckling; 0 without a wall of parallel flat sides.
	Slenderness float64
	// Decay is the length, m, along which a disturbance at an end, a load or a
	// restraint dies out to about 1/e or less: the greatest dimension of the section
	// by Saint-Venant's principle, and for restrained warping
	//
	//	λ = √(E Iω/(G J)),  Iω = ∫ω² dA about the shear centre
	//
	// of Vlasov's theory (any text on thin-walled bars), which is the longer one in
	// an open thin-walled section. Iω is estimated as the area times the mean of ω²
	// along the outline, right for walls of even thickness. The outline of a thin
	// closed section distorts too: a solid finite-element model of a box of 60 by 40
	// by 3 mm under torque shows 1/e over 1.6 times its greatest dimension, which is
	// taken for all of them.
	Decay float64
}

const (
	thinClosed = 0.15 // of the greatest dimension: walls thinner than that distort
	distortion = 1.6
)

// Walls of the section.
func (g *General) Walls() Walls {
	s := g.now()
	w := Walls{Thinnest: math.Inf(1)}
	outer := s.Loops()[0]
	for i := range outer {
		side := &outer[i]
		n := 9
		if !side.Straight() {
			n = 9 + int(math.Abs(side.Sweep)*12)
		}
		t := math.Inf(1)
		for k := range n {
			u := (float64(k) + 0.5) / float64(n)
			if d := g.thickness(side, u); d < t {
				t = d
				if d < w.Thinnest {
					w.Thinnest = d
					w.At = Coordinate{S: s.Wrap(0, s.Start(0, i)+lengthTo(side, u)-g.origin)}
				}
			}
		}
		if length := s.Start(0, i+1) - s.Start(0, i); side.Straight() && t < length {
			w.Slenderness = max(w.Slenderness, length/t)
		}
	}
	w.Decay = max(g.across, math.Sqrt(2*(1+g.poisson)*g.warping()/s.J))
	if len(s.Loops()) > 1 && w.Thinnest < thinClosed*g.across {
		w.Decay = max(w.Decay, distortion*g.across)
	}
	return w
}

// thickness is the distance through the material along the inward normal.
func (g *General) thickness(side *boundary.Segment, t float64) float64 {
	s := g.now()
	p, v := side.At(t), side.Velocity(t)
	cos, sin := -imag(v), real(v) // inward: left of the tangent
	r := math.Hypot(cos, sin)
	cos, sin = cos/r, sin/r
	best := math.Inf(1)
	tiny := 1e-9 * s.Perimeter(0)
	for _, l := range s.Loops() {
		for k := range l {
			c := l[k]
			c.From, c.To, c.Centre = c.From-p, c.To-p, c.Centre-p
			crossings(&c, sin, cos, func(u float64) {
				q := c.At(u)
				if d := real(q)*cos + imag(q)*sin; d > tiny && d < best {
					best = d
				}
			})
		}
	}
	return best
}

// warping estimates Iω, m⁶. Along the outline dω/ds = τ − p, p the distance of the
// tangent from the shear centre and τ the stress of the torsion field; each loop's
// own level is that of the nearest point of the outer loop, across the wall.
func (g *General) warping() float64 {
	s := g.now()
	centre := complex(g.offset[1], -g.offset[0])
	type sample struct {
		at     complex128
		w, len float64
	}
	var all []sample
	for loop, l := range s.Loops() {
		var k boundary.Walk
		omega, first := 0.0, len(all)
		for i := range l {
			for k.Start(s, loop, s.Start(loop, i), s.Start(loop, i+1)); k.Next(); {
				q := k.At - centre
				step := k.Shear[boundary.Torsion] - (real(q)*imag(k.Tangent)-imag(q)*real(k.Tangent))*k.Step
				all = append(all, sample{k.At, omega + step/2, k.Step})
				omega += step
			}
		}
		if loop > 0 {
			best, shift := math.Inf(1), 0.0
			for i := first; i < len(all); i++ {
				for j := range first {
					if d := sq(all[i].at - all[j].at); d < best {
						best, shift = d, all[j].w-all[i].w
					}
				}
			}
			for i := first; i < len(all); i++ {
				all[i].w += shift
			}
		}
	}
	var length, mean, square float64
	for _, a := range all {
		length += a.len
		mean += a.len * a.w
	}
	mean /= length
	for _, a := range all {
		square += a.len * (a.w - mean) * (a.w - mean)
	}
	return g.area * square / length
}

func sq(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

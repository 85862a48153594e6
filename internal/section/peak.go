package section

import (
	"math"

	"gridwright/internal/design"
)

// Peak is a place where the surface shear of a load has a local greatest value.
type Peak struct {
	At    Coordinate
	Shear float64 // per unit load, signed
}

// Peaks are the local greatest values of the surface shear of a component on the
// faces of the outer loop, the greatest first, one in the middle of a stretch of
// even stress. The ends of a face count only from a twentieth of its length inward: at
// an outward corner the stress is none, at a re-entrant one without a bound, and no
// grid fits on either.
func Peaks(s Section, c design.Component) []Peak {
	var out []Peak
	var u Unit
	for i, f := range s.Faces() {
		const n = 60
		shear := func(k float64) float64 {
			s.Surface(s.OnFace(i, f.Length*(0.05+0.9*k/n-0.5)), 0, &u)
			return math.Abs(u[c].Shear)
		}
		var v [n + 1]float64
		top := 0.0
		for k := range v {
			v[k] = shear(float64(k))
			top = max(top, v[k])
		}
		if top == 0 {
			continue
		}
		even := 1e-6 * top
		for k := 0; k <= n; {
			end := k
			for end < n && math.Abs(v[end+1]-v[k]) <= even {
				end++
			}
			rises := k == 0 || v[k-1] < v[k]
			falls := end == n || v[end+1] < v[end]
			if rises && falls {
				at := float64(k+end) / 2
				if k == end && k > 0 && k < n {
					// the top of the parabola through the three points
					if d := v[k-1] - 2*v[k] + v[k+1]; d < 0 {
						at += (v[k-1] - v[k+1]) / (2 * d)
					}
				}
				shear(at)
				where := s.OnFace(i, f.Length*(0.05+0.9*at/n-0.5))
				out = append(out, Peak{where, u[c].Shear})
			}
			k = end + 1
		}
	}
	for i := range out {
		for j := i; j > 0 && math.Abs(out[j].Shear) > math.Abs(out[j-1].Shear)*(1+1e-9); j-- {
			out[j], out[j-1] = out[j-1], out[j]
		}
	}
	return out
}

// Principal second moments about the centroid, m⁴, the larger first, and the angle,
// rad in (−π/2, π/2], from y toward z of the axis about which the larger is taken:
//
//	I₁,₂ = ½(Iy + Iz) ± √(¼(Iy − Iz)² + Iyz²),  tan 2θ = −2Iyz/(Iy − Iz)
//
// When both are equal every axis is a principal one and the angle is 0.
func (p *Properties) Principal() (larger, smaller, angle float64) {
	mean, d := (p.Iy+p.Iz)/2, (p.Iy-p.Iz)/2
	r := math.Hypot(d, p.Iyz)
	if r > 1e-12*mean {
		angle = math.Atan2(-p.Iyz, d) / 2
	}
	return mean + r, mean - r, angle
}

package boundary

import (
	"math"
	"math/cmplx"
)

// Properties of an outline by integrals along it.
type Properties struct {
	Area        float64    // m²
	Centroid    complex128 // m
	Iy, Iz, Iyz float64    // ∫z²dA, ∫y²dA, ∫yz dA about the centroid, m⁴
	// Third moments about the centroid, m⁵: ½∫(y²+z²)y dA and ½∫(y²+z²)z dA.
	HalfY, HalfZ float64
}

// moments of a region about a point: ∫dA, ∫y, ∫z, ∫y², ∫z², ∫yz, ∫y(y²+z²), ∫z(y²+z²).
type moments struct {
	a, y, z, yy, zz, yz, ry, rz float64
}

// momentsOf adds the integrals over what a loop encloses, counterclockwise
// positive, about o, by Green's theorem ∫ f dA = ∮ (∫f dy) dz.
func (m *moments) add(l Loop, o complex128) {
	for i := range l {
		s := &l[i]
		pieces, g := 1, gauss(3) // exact for the fifth degree of a straight side
		if !s.Straight() {
			pieces, g = int(math.Ceil(math.Abs(s.Sweep)/(math.Pi/2)-1e-9)), gauss(14)
		}
		scale := 1 / float64(pieces)
		for k := range pieces {
			for j, x := range g.x {
				t := (float64(k) + x) * scale
				p, dz := s.At(t)-o, imag(s.Velocity(t))*g.w[j]*scale
				y, z := real(p), imag(p)
				y2 := y * y
				m.a += y * dz
				m.y += y2 / 2 * dz
				m.z += y * z * dz
				m.yy += y2 * y / 3 * dz
				m.zz += y * z * z * dz
				m.yz += y2 / 2 * z * dz
				m.ry += (y2*y2/4 + y2/2*z*z) * dz
				m.rz += (y2*y/3*z + y*z*z*z) * dz
			}
		}
	}
}

// PropertiesOf integrates along an outline whose loops are oriented as Check
// leaves them. Exact for straight sides; arcs to the last digits.
func PropertiesOf(o *Outline) Properties {
	var m moments
	ref := o.Outer[0].From
	m.add(o.Outer, ref)
	for _, h := range o.Holes {
		m.add(h, ref)
	}
	p := Properties{Area: m.a, Centroid: ref + complex(m.y/m.a, m.z/m.a)}
	m = moments{}
	m.add(o.Outer, p.Centroid)
	for _, h := range o.Holes {
		m.add(h, p.Centroid)
	}
	p.Iy, p.Iz, p.Iyz = m.zz, m.yy, m.yz
	p.HalfY, p.HalfZ = m.ry/2, m.rz/2
	return p
}

// spread is the greatest distance between two ends of sides or quarter points of
// curved ones: the size to which other lengths are compared.
func (o *Outline) spread() float64 {
	lo, hi := complex(math.Inf(1), math.Inf(1)), complex(math.Inf(-1), math.Inf(-1))
	for i := range o.Outer {
		for _, t := range [4]float64{0, 0.25, 0.5, 0.75} {
			p := o.Outer[i].At(t)
			lo = complex(min(real(lo), real(p)), min(imag(lo), imag(p)))
			hi = complex(max(real(hi), real(p)), max(imag(hi), imag(p)))
		}
	}
	return cmplx.Abs(hi - lo)
}

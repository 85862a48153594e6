package section

import (
	"math"
	"math/cmplx"

	"gridwright/internal/boundary"
	"gridwright/internal/design"
)

// sums are the integrals of a patch, or their integrands at a point: the mean of 1,
// of the point and of station × point, at the height of the foil for bending; and
// of the shear of torque and the two shear forces.
type sums struct {
	point, xpoint complex128
	torque        float64
	force         [2]float64
}

// Surface stress for unit loads at station 0, each through the centroid,
//
//	axial  σx = 1/A
//	My     σx = (Iz z − Iyz y)/Δ          Δ = Iy Iz − Iyz²
//	Mz     σx = (Iyz z − Iy y)/Δ
//	torque τ of the torsion field over J
//	Vy     σx of Mz = −Vy x, τ of the flexure fields and of the torque that Vy, acting
//	       at the centroid, makes about the shear centre; Vz alike with My = Vz x
//
// y, z from the centroid. Pressure is not computed and 0.
func (g *General) Surface(c Coordinate, station float64, u *Unit) {
	s := g.now()
	length := c.S
	if c.Loop == 0 {
		length += g.origin
	}
	f := s.Shear(c.Loop, length)
	p := g.at(c)
	m := sums{point: p, xpoint: p * complex(station, 0), torque: f[boundary.Torsion] / s.J}
	for i := range m.force {
		m.force[i] = dot(&g.shear[i], &f) - g.offset[i]*m.torque
	}
	g.fill(&m, u)
}

func (g *General) fill(m *sums, u *Unit) {
	*u = Unit{}
	my := func(p complex128) float64 { return (g.iz*imag(p) - g.iyz*real(p)) / g.delta }
	mz := func(p complex128) float64 { return (g.iyz*imag(p) - g.iy*real(p)) / g.delta }
	u[design.Axial].Axial = 1 / g.area
	u[design.BendingY].Axial = my(m.point)
	u[design.BendingZ].Axial = mz(m.point)
	u[design.Torque].Shear = m.torque
	u[design.ShearY] = Stress{Axial: -mz(m.xpoint), Shear: m.force[0]}
	u[design.ShearZ] = Stress{Axial: my(m.xpoint), Shear: m.force[1]}
}

// Mean of the surface stress over a patch: a sum along the arc length with the
// patch's width there as weight, on Gauss-Legendre points that are exact for the
// polynomials of straight sides.
//
// At the height h the foil follows the surface and its normal. Its bending strain is
// that of the point h out along the normal, (c+h)/c on a flat at the distance c. With
// p the distance of the tangent from the centroid and κ the outline's curvature, the
// rotation of the section and the turn of the normal give its torsion strain
//
//	γ(h) = [γ − θ'p + hθ'(1 − κp)]/(1 + κh) + θ'(p + h)
//
// which is γ + 2hθ' on a flat and γ(b+h)/b on a round of radius b. Axial force and
// the shear of a shear force do not change.
func (g *General) Mean(p *Patch, u *Unit) {
	s := g.now()
	w := trapezoid{length: p.Length, width: p.Width, sin: p.Sin, cos: p.Cos}
	a, b := math.Abs(p.Length*p.Sin), math.Abs(p.Width*p.Cos)
	if square := 1e-10; b < square*a { // ends too short to integrate: a square one
		w.cos, b = 0, 0
	} else if a < square*b {
		w.sin, a = 0, 0
	}
	outer, inner := (a+b)/2, math.Abs(a-b)/2
	centre := p.Centre.S
	if p.Centre.Loop == 0 {
		centre += g.origin
	}
	var m sums
	h, twist := p.StandOff, 1/s.J
	if total := s.Perimeter(p.Centre.Loop); !(outer > 1e-9*total) {
		side, t := g.locate(p.Centre)
		f := s.Shear(p.Centre.Loop, centre)
		v := side.Velocity(t)
		tangent := v / complex(cmplx.Abs(v), 0)
		at := side.At(t)
		m.add(at, tangent, side.Curvature(t), h, twist, 1, p.Station, &f, g)
	} else {
		for _, piece := range [3][2]float64{{-outer, -inner}, {-inner, inner}, {inner, outer}} {
			for g.walk.Start(s, p.Centre.Loop, centre+piece[0], centre+piece[1]); g.walk.Next(); {
				k := &g.walk
				w0, w1 := w.at(k.Length - centre)
				if w0 <= 0 {
					continue
				}
				// the walk's stresses carry the step; so do the weights of the rest
				for i := range k.Shear {
					k.Shear[i] *= w0
				}
				m.add(k.At, k.Tangent, k.Curvature, h, twist, w0*k.Step, p.Station+w1/w0, &k.Shear, g)
			}
		}
	}
	g.fill(&m, u)
}

// add takes one point with its weight and mean station; f is already weighted.
func (m *sums) add(at, tangent complex128, curvature, h, twist, weight, station float64, f *boundary.Fields, g *General) {
	normal := complex(imag(tangent), -real(tangent))
	out := (at + complex(h, 0)*normal) * complex(weight, 0)
	m.point += out
	m.xpoint += out * complex(station, 0)
	torque := f[boundary.Torsion] * twist
	if h != 0 {
		p := real(at)*real(normal) + imag(at)*imag(normal)
		torque = (torque+weight*twist*(h*(1-curvature*p)-p))/(1+curvature*h) + weight*twist*(p+h)
	}
	m.torque += torque
	for i := range m.force {
		m.force[i] += dot(&g.shear[i], f) - g.offset[i]*torque
	}
}

// trapezoid is how a turned rectangle spreads over the arc length.
type trapezoid struct {
	length, width, sin, cos float64
}

// at is the share of the rectangle at a distance e around the part from its centre,
// per metre, and that times the mean distance along the part.
func (t *trapezoid) at(e float64) (w0, w1 float64) {
	// a runs along the grid, b across it: e = a sin + b cos, x = a cos − b sin
	if math.Abs(t.length*t.sin) >= math.Abs(t.width*t.cos) {
		lo, hi := clip(e, t.length/2*math.Abs(t.sin), t.cos, t.width/2)
		b := (lo + hi) / 2
		a := (e - b*t.cos) / t.sin
		w0 = (hi - lo) / (t.length * t.width * math.Abs(t.sin))
		return w0, w0 * (a*t.cos - b*t.sin)
	}
	lo, hi := clip(e, t.width/2*math.Abs(t.cos), t.sin, t.length/2)
	a := (lo + hi) / 2
	b := (e - a*t.sin) / t.cos
	w0 = (hi - lo) / (t.length * t.width * math.Abs(t.cos))
	return w0, w0 * (a*t.cos - b*t.sin)
}

// clip is the range of v within ±limit for which |e − v·slope| is at most reach.
func clip(e, reach, slope, limit float64) (lo, hi float64) {
	lo, hi = -limit, limit
	if slope != 0 {
		a, b := (e-reach)/slope, (e+reach)/slope
		if a > b {
			a, b = b, a
		}
		lo, hi = max(lo, a), min(hi, b)
	}
	if hi < lo {
		return 0, 0
	}
	return lo, hi
}

package published_test

import (
	"math"
	"testing"

	"gridwright/internal/design"
)

// Source: M. H. Sadd, Elasticity: Theory, Applications, and Numerics, example 9-8,
// equations (9.9.9) and (9.9.10), read in a public copy: flexure of a solid circular
// bar. At the ends of the diameter across the shear force the shear stress on the
// surface is (1+2ν)/(1+ν) times V/A: 1.230769 at ν 0.3 (digits recomputed).
func TestSaddShearOfTheSolidCircle(t *testing.T) {
	for _, poisson := range []float64{0.1, 0.25, 0.3, 0.45} {
		s := sectionOf(t, 0.04, 0, poisson, false)
		factor := s.Properties().Area * surface(s, design.ShearZ, 0).Shear
		printed(t, "τ A/V", factor, (1+2*poisson)/(1+poisson), 1e-12)
	}
	s := sectionOf(t, 0.04, 0, 0.3, false)
	a := s.Properties().Area
	printed(t, "τ A/V at ν 0.3", a*surface(s, design.ShearZ, 0).Shear, 1.230769, 0.5e-6)

	// The stress field is τxz on the surface with the traction-free boundary, so the
	// tangential stress goes with the cosine of the angle from that diameter: none
	// where the force points, and the other sign on the far side.
	printed(t, "where the force points", a*surface(s, design.ShearZ, 90).Shear, 0, 1e-12)
	printed(t, "at 180°", a*surface(s, design.ShearZ, 180).Shear, -1.230769, 0.5e-6)
	printed(t, "at 60°", a*surface(s, design.ShearZ, 60).Shear, 1.230769*0.5, 0.5e-6)

	// Vy points to φ = 0; at φ = 90° growing φ is −y.
	printed(t, "Vy at 90°", a*surface(s, design.ShearY, 90).Shear, -1.230769, 0.5e-6)
	printed(t, "Vy at 0°", a*surface(s, design.ShearY, 0).Shear, 0, 1e-12)
}

// The traction of the exact field must carry the force: with the interior field of
// the example, (3+2ν)/(8I(1+ν))·V·(R² − z² − (1−2ν)/(3+2ν)·y²) along the force, the
// surface value at y = ±R is the program's.
func TestSaddInteriorFieldMeetsTheSurface(t *testing.T) {
	const radius, poisson = 0.02, 0.3
	s := sectionOf(t, 2*radius, 0, poisson, false)
	i := s.Properties().Iy
	field := func(along, across float64) float64 {
		return (3 + 2*poisson) / (8 * i * (1 + poisson)) *
			(radius*radius - along*along - (1-2*poisson)/(3+2*poisson)*across*across)
	}
	printed(t, "surface", surface(s, design.ShearZ, 0).Shear/field(0, radius), 1, 1e-12)
	// The example's centre value, (3+2ν)/(2(1+ν)) = 1.384615 at ν 0.3.
	printed(t, "centre", field(0, 0)*s.Properties().Area, 1.384615, 0.5e-6)
	const n = 400 // midpoints in polar coordinates
	force := 0.0
	for a := range n {
		for b := range n {
			r := (float64(a) + 0.5) / n * radius
			sin, cos := math.Sincos((float64(b) + 0.5) / n * 2 * math.Pi)
			force += field(r*sin, r*cos) * r * (radius / n) * (2 * math.Pi / n)
		}
	}
	printed(t, "the field carries the force", force, 1, 1e-5) // error of the midpoint sum
}

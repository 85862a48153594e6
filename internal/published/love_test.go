package published_test

import (
	"fmt"
	"testing"

	"gridwright/internal/design"
)

// Source: A. E. H. Love, A Treatise on the Mathematical Theory of Elasticity, art. 231
// (from memory), flexure of a hollow circular bar; the values of the outer surface are
// recomputed from the flexure function, whose walls were checked to be free of
// traction and whose integral is the force.
func TestLoveShearOfTheHollowCircle(t *testing.T) {
	for _, c := range []struct{ poisson, ratio, outer float64 }{
		{.285, .3, 1.350302}, {.285, .5, 1.533074}, {.285, .9, 1.918309},
		{.3, 0, 1.230769}, {.3, .5, 1.538462}, {.3, .6, 1.638009}, {.3, .8, 1.831144}, {.3, .9, 1.919252},
	} {
		s := sectionOf(t, 0.05, 0.05*c.ratio, c.poisson, false)
		a := s.Properties().Area
		what := fmt.Sprintf("ν %g, bore/outside %g, τ A/V", c.poisson, c.ratio)
		printed(t, what, a*surface(s, design.ShearZ, 0).Shear, c.outer, 0.5e-6)
		printed(t, what+" of Vy", a*surface(s, design.ShearY, 270).Shear, c.outer, 0.5e-6)
	}
}

// The two limits: the solid circle (1+2ν)/(1+ν) as the bore vanishes, the thin-walled
// tube 2V/A, whatever ν, as it grows (any text on thin-walled sections).
func TestLoveLimits(t *testing.T) {
	for _, poisson := range []float64{0.1, 0.3, 0.49} {
		s := sectionOf(t, 0.05, 0.05e-5, poisson, false)
		printed(t, "solid", s.Properties().Area*surface(s, design.ShearZ, 0).Shear, (1+2*poisson)/(1+poisson), 1e-9)
		s = sectionOf(t, 0.05, 0.05*(1-1e-6), poisson, false)
		printed(t, "thin wall", s.Properties().Area*surface(s, design.ShearZ, 0).Shear, 2, 2e-6)
	}
}

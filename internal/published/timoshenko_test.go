package published_test

import (
	"testing"

	"gridwright/internal/design"
)

// Source: S. P. Timoshenko and J. N. Goodier, Theory of Elasticity, art. 122 (number from
// memory): bending of a circular cantilever. For ν 0.3 the shear stress at the ends
// of the horizontal diameter is 1.23 V/A, where elementary beam theory gives 4/3.
func TestTimoshenkoCircularCantilever(t *testing.T) {
	s := sectionOf(t, 0.06, 0, 0.3, false)
	factor := s.Properties().Area * surface(s, design.ShearY, 270).Shear
	printed(t, "τ A/V", factor, 1.23, 0.005)
	if factor > 4.0/3-0.1 {
		t.Errorf("%g is the elementary value, which is 8 %% too high at the surface", factor)
	}
}

package published_test

import (
	"fmt"
	"testing"

	"gridwright/internal/design"
)

// Source: R. Bredt's formulas for thin-walled closed tubes, J = 4A₀²/∮ds/t and τ = T/2A₀t, in
// every text on strength of materials; the figures recomputed. The wall of a real box is not
// thin: J of the sharp-cornered box is above Bredt's, and as the curl of the stress is 2Gθ'
// it grows across a flat wall by Gθ't from its middle to the outer face.
func TestBredtBox(t *testing.T) {
	for _, c := range []struct{ width, height, wall, j, tau float64 }{
		{0.050, 0.050, 0.002, 221184e-12, 0.1085069444e6},
		{0.060, 0.040, 0.003, 283907.2979e-12, 0.0790263948e6},
	} {
		s := generalOf(t, "box", nil, 0.3, c.width, c.height, c.wall, 0)
		what := fmt.Sprintf("%g mm wall: ", 1e3*c.wall)
		j := s.Properties().J
		if over := j/c.j - 1; over < 0.005 || over > 2*c.wall/c.height {
			t.Errorf("%sJ exceeds Bredt's by %g", what, over)
		}
		outside := shearAt(s, design.Torque, 0)
		printed(t, what+"outer stress over Bredt's and the growth across half the wall", outside/(c.tau+c.wall/j), 1, 0.01)
	}
}

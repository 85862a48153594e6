package published_test

import (
	"fmt"
	"math"
	"testing"

	"gridwright/internal/design"
)

// Source: C. Weber's shaft with a semicircular groove, in S. P. Timoshenko and J. N.
// Goodier, Theory of Elasticity (from memory; article not verified). With groove radius b
// and shaft radius a the stress function is −(Gθ'/2)(r² − b²)(1 − 2a cos θ/r): the groove's
// bottom bears Gθ'(2a − b), the point opposite Gθ'(a − b²/4a). J from the closed form of
// that function's integral, confirmed by quadrature.
func TestWeberGroove(t *testing.T) {
	const a = 0.02
	for _, c := range []struct{ ratio, j, groove, opposite float64 }{
		{0.05, 0.9952090949, 1.9593872384, 1.0041859597},
		{0.1, 0.9816480772, 1.9355205233, 1.0161482747},
		{0.3, 0.8618898392, 1.9724098402, 1.1341356581},
		{0.5, 0.6822858739, 2.1984919481, 1.3740574676},
	} {
		s := generalOf(t, "grooved-round", nil, 0.3, 2*a, c.ratio*a, math.Pi/2, 0)
		what := fmt.Sprintf("b/a %g: ", c.ratio)
		plain := 2 / (math.Pi * a * a * a)
		printed(t, what+"J/Jp", s.Properties().J/(math.Pi*a*a*a*a/2), c.j, 1e-6*c.j)
		printed(t, what+"bottom of the groove", shearAt(s, design.Torque, 90)/plain, c.groove, 1e-4*c.groove)
		printed(t, what+"opposite", shearAt(s, design.Torque, 270)/plain, c.opposite, 2e-5*c.opposite)
	}
}

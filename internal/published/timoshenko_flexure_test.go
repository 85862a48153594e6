package published_test

import (
	"fmt"
	"testing"

	"gridwright/internal/design"
)

// Source: S. P. Timoshenko and J. N. Goodier, Theory of Elasticity, 3rd ed., art. 124, shear
// stress in a rectangular cantilever, depth 2a along the load, width 2b, at the neutral axis
// in parts of 1.5 V/A: the table for ν = 1/4, edge 1.033, 1.126, 1.396, 1.988 at a/b 2, 1, 1/2,
// 1/4 (from memory; the 12.6 % at a/b = 1 also read in a structural theory manual), the
// digits and those for ν = 0.3 from the article's series.
func TestTimoshenkoRectangularCantilever(t *testing.T) {
	for _, c := range []struct{ ratio, printed, quarter, third float64 }{
		{4, 0, 1.008333, 1.009615}, {2, 1.033, 1.033258, 1.038374}, {1, 1.126, 1.126264, 1.145689},
		{.5, 1.396, 1.396389, 1.457372}, {.25, 1.988, 1.987935, 2.139925},
	} {
		for _, p := range []struct{ poisson, want float64 }{{0.25, c.quarter}, {0.3, c.third}} {
			const b = 0.01
			s := generalOf(t, "rectangle", nil, p.poisson, 2*b, 2*b*c.ratio, 0)
			// Vz on the face +y, whose middle is the end of the neutral axis
			edge := shearAt(s, design.ShearZ, 0) * s.Properties().Area / 1.5
			what := fmt.Sprintf("a/b %g, ν %g: edge", c.ratio, p.poisson)
			printed(t, what, edge, p.want, 3e-5*p.want)
			if p.poisson == 0.25 && c.printed > 0 {
				printed(t, what+" as printed", edge, c.printed, 0.5e-3)
			}
			// and Vy on the same rectangle turned: growing φ on +z is −y
			s = generalOf(t, "rectangle", nil, p.poisson, 2*b*c.ratio, 2*b, 0)
			printed(t, what+" of Vy", shearAt(s, design.ShearY, 90)*s.Properties().Area/1.5, -p.want, 3e-5*p.want)
		}
	}
}

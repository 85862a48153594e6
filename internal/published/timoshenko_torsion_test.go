package published_test

import (
	"fmt"
	"math"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/section"
)

// Source: S. P. Timoshenko and J. N. Goodier, Theory of Elasticity, 3rd ed., art. 109, torsion
// of a rectangular bar; the table of k, k1 and k2 from memory (the column of k1 was also
// read in a structural theory manual), the digits beyond it from the article's series:
// J = k1·h t³, greatest stress T/(k2·h t²) = k·Gθ't at the middle of the long side.
func TestTimoshenkoRectangle(t *testing.T) {
	const side = 0.02
	for _, c := range []struct {
		n, k1, k2, k float64 // as printed
		b, a, kk     float64 // from the series
	}{
		{1, .1406, .208, .675, 0.140577015, 0.20816526, 0.675314483},
		{1.2, .166, .219, .759, 0.16611891, 0.218933545, 0.758764081},
		{1.5, .196, .231, .848, 0.195760709, 0.230969127, 0.847562233},
		{2, .229, .246, .930, 0.228681677, 0.245878342, 0.93006027},
		{2.5, .249, .258, .968, 0.249365075, 0.257589942, 0.968069922},
		{3, .263, .267, .985, 0.263316931, 0.267208046, 0.985437882},
		{4, .281, .282, .997, 0.280812958, 0.281665666, 0.996972625},
		{5, .291, .291, .999, 0.291316754, 0.291500204, 0.999370669},
		{10, .312, .312, 1.000, 0.312325037, 0.312325114, 0.999999756},
		{20, 0, 0, 0, 0.322829185, 0.322829185, 1},
	} {
		s := generalOf(t, "rectangle", nil, 0.3, c.n*side, side, 0)
		h, b := c.n*side, side
		j := s.Properties().J
		stress := shearAt(s, design.Torque, 90) // the middle of the long side +z
		what := fmt.Sprintf("h/t %g: ", c.n)
		if c.k1 > 0 {
			half := 0.5e-3 + 1e-6 // 0.2915002 stands as .291 in the table
			if c.n == 1 {
				printed(t, what+"k1", j/(h*b*b*b), c.k1, 0.5e-4)
			} else {
				printed(t, what+"k1", j/(h*b*b*b), c.k1, half)
			}
			printed(t, what+"k2", 1/(stress*h*b*b), c.k2, half)
			printed(t, what+"k", stress*j/b, c.k, half)
		}
		printed(t, what+"series for k1", j/(h*b*b*b)/c.b, 1, 1e-6)
		// the stress is asked to 1e-4 of the greatest by default
		printed(t, what+"series for k2", 1/(stress*h*b*b)/c.a, 1, 2e-5)
		printed(t, what+"series for k", stress*j/b/c.kk, 1, 2e-5)
	}
}

// The stress at the middle of the short side is η times the greatest: 1.000, 0.859
// (1.5), 0.795 (2), 0.753 (3), 0.745 (4), 0.743 (6 and more), DIN and Bach's table (from
// memory), the digits from the series.
func TestBachShortSide(t *testing.T) {
	for _, c := range []struct{ n, eta float64 }{
		{1, 1}, {1.5, 0.858958016}, {2, 0.795036655}, {3, 0.753292465}, {4, 0.744702586}, {8, 0.742457943}, {20, 0.742453745},
	} {
		s := generalOf(t, "rectangle", nil, 0.3, c.n*0.02, 0.02, 0)
		printed(t, fmt.Sprintf("η at h/t %g", c.n), shearAt(s, design.Torque, 0)/shearAt(s, design.Torque, 90), c.eta, 1e-5)
	}
}

// Closed forms of the same chapter: ellipse and equilateral triangle. The stresses are
// those of the default accuracy.
func TestTimoshenkoEllipseAndTriangle(t *testing.T) {
	const a, b = 0.02, 0.01
	s := generalOf(t, "ellipse", nil, 0.3, 2*a, 2*b)
	printed(t, "ellipse, J", s.Properties().J/(math.Pi*a*a*a*b*b*b/(a*a+b*b)), 1, 1e-8)
	printed(t, "ellipse, ends of the minor axis", shearAt(s, design.Torque, 90)*math.Pi*a*b*b/2, 1, 1e-5)
	printed(t, "ellipse, ends of the major axis", shearAt(s, design.Torque, 0)*math.Pi*a*a*b/2, 1, 1e-5)
	// side 1, the inscribed circle's diameter is 1/√3
	s = generalOf(t, "regular-polygon", nil, 0.3, 3, 1/math.Sqrt(3), 0)
	printed(t, "triangle, J", s.Properties().J/0.021650635094611, 1, 1e-8)
	printed(t, "triangle, mid-side", shearAt(s, design.Torque, 0), 20, 2e-4)
}

// shearAt is the surface shear of a unit load where the ray at an angle leaves the section.
func shearAt(s section.Section, c design.Component, degrees float64) float64 {
	return surface(s, c, degrees).Shear
}

// generalOf is a section of any shape at dimensions in metres.
func generalOf(t *testing.T, name string, counts []int, poisson float64, dims ...float64) section.Section {
	t.Helper()
	shape, ok := section.FindAny(name)
	if !ok {
		t.Fatalf("no shape %s", name)
	}
	s, err := shape.Make(false, counts)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Set(dims, poisson); err != nil {
		t.Fatal(err)
	}
	return s
}

package published_test

import (
	"fmt"
	"math"
	"testing"

	"gridwright/internal/boundary"
	"gridwright/internal/design"
)

// Source: W. C. Young and R. G. Budynas, Roark's Formulas for Stress and Strain, table 10.1
// (from memory; the row of four flats read in a transcription). The fits of the table are
// good to the part of a per cent that each test allows.
func TestRoarkRectangleFit(t *testing.T) {
	for _, n := range []float64{1, 1.5, 2, 4, 10} {
		a, b := n*0.01, 0.01 // half sides
		s := generalOf(t, "rectangle", nil, 0.3, 2*a, 2*b, 0)
		k := a * b * b * b * (16.0/3 - 3.36*b/a*(1-b*b*b*b/(12*a*a*a*a)))
		r := b / a
		tau := 3 / (8 * a * b * b) * (1 + 0.6095*r + 0.8865*r*r - 1.8023*r*r*r + 0.9100*r*r*r*r)
		printed(t, fmt.Sprintf("K, fit at a/b %g", n), s.Properties().J/k, 1, 0.005)
		printed(t, fmt.Sprintf("τ, fit at a/b %g", n), shearAt(s, design.Torque, 90)/tau, 1, 0.003)
	}
}

// Shaft with four flats in a square, flat depth h, radius r: K = 2Cr⁴, τ = TB/r³ at the
// middle of a flat.
func TestRoarkFourFlats(t *testing.T) {
	const r = 0.02
	for _, x := range []float64{0.05, 0.1, 0.2, 0.28} {
		across := r * (1 - x)
		s := generalOf(t, "flatted-round", []int{4}, 0.3, 2*r, 0, across, math.Pi/2, across, math.Pi, across, -math.Pi/2, across)
		c := 0.7854 - 0.7*x - 7.7982*x*x + 14.578*x*x*x
		b := 0.6366 + 2.6298*x - 5.6147*x*x + 30.853*x*x*x
		printed(t, fmt.Sprintf("K at h/r %g", x), s.Properties().J/(2*c*r*r*r*r), 1, 0.02)
		printed(t, fmt.Sprintf("τ at h/r %g", x), shearAt(s, design.Torque, 90)*r*r*r/b, 1, 0.03)
	}
}

// Eccentric bore: n = d/D, l = e/D. The table's series for J is good to the fourth order of
// the eccentricity; the values to eight digits are of a complex series whose boundary
// residual is below 1e-14 (recomputed). The greatest stress stands outside the thin wall.
func TestRoarkEccentricBore(t *testing.T) {
	for _, c := range []struct{ n, l, j, tau float64 }{
		{.5, .02, 1.46926670, 0.70043978}, {.5, .05, 1.45152477, 0.74696446},
		{.6, .01, 1.36580667, 0.74943582}, {.6, .05, 1.33140426, 0.86073279},
		{.8, .01, 0.92291929, 1.16631507}, {.8, .05, 0.80793932, 1.94638732},
	} {
		o := boundary.Outline{Outer: boundary.Circle(0, 1), Holes: []boundary.Loop{boundary.Circle(complex(2*c.l, 0), c.n)}}
		s, err := boundary.Solve(&o, boundary.Accuracy{J: 1e-8, Stress: 1e-7})
		if err != nil {
			t.Fatal(err)
		}
		what := fmt.Sprintf("d/D %g, e/D %g: ", c.n, c.l)
		printed(t, what+"J", s.J, c.j, 1e-8)
		printed(t, what+"τ", s.Shear(0, 0)[boundary.Torsion]/s.J, c.tau, 2e-8)
		n2, l2 := c.n*c.n, c.l*c.l
		n4 := n2 * n2
		k := 1 + 16*n2*l2/((1-n2)*(1-n4)) + 384*n4*l2*l2/((1-n2)*(1-n2)*math.Pow(1-n4, 4))
		allowed := 3e-4
		if c.n == .8 && c.l == .05 { // half the wall: the table's series is poor
			allowed = 0.04
		}
		printed(t, what+"K of the table", math.Pi*16*(1-n4)/(32*k)/s.J, 1, allowed)
	}
}

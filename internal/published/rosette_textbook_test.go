package published_test

import (
	"math"
	"testing"

	"gridwright/internal/rosette"
)

const (
	micro  = 1e-6
	degree = math.Pi / 180
)

// plain is a rosette without transverse sensitivity, its grids in the given directions, °.
func plain(directions ...float64) []rosette.Grid {
	return transverse(0, directions...)
}

func transverse(kt float64, directions ...float64) []rosette.Grid {
	var g []rosette.Grid
	for _, d := range directions {
		g = append(g, rosette.Grid{Direction: d * degree, Factor: 2, Transverse: kt})
	}
	return g
}

func reduced(t *testing.T, grids []rosette.Grid, young, poisson float64, readings ...float64) *rosette.Reduction {
	t.Helper()
	e := make([]float64, len(readings))
	for k, r := range readings {
		e[k] = r * micro
	}
	r, err := rosette.Reduce(grids, e, young, poisson)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Source: textbooks on strength of materials, strain rosettes: R. C. Hibbeler, Mechanics of
// Materials, example 10.8, and F. P. Beer and E. R. Johnston, Mechanics of Materials, sample
// problem 7.7. Inputs and printed results from memory, recomputed.
//
// Hibbeler: 60, 135 and 264 µε at 0°, 60°, 120°: εy 246, γxy −149, principal 272 and 33.9 µε,
// the second at 19.3°.
func TestHibbelerDeltaRosette(t *testing.T) {
	r := reduced(t, plain(0, 60, 120), 200e9, 0.3, 60, 135, 264)
	printed(t, "εx, µε", r.X/micro, 60, 1e-9)
	printed(t, "εy, µε", r.Phi/micro, 246, 1e-9)
	printed(t, "γxy, µε", r.Gamma/micro, -149, 0.5)
	printed(t, "γxy, µε, recomputed", r.Gamma/micro, -148.956, 0.0005)
	printed(t, "ε1, µε", r.Max/micro, 272, 0.5)
	printed(t, "ε2, µε", r.Min/micro, 33.9, 0.05)
	printed(t, "ε1, µε, recomputed", r.Max/micro, 272.1470, 0.00005)
	printed(t, "ε2, µε, recomputed", r.Min/micro, 33.8530, 0.00005)
	printed(t, "angle of ε2, °", r.FromGrid.Value/degree+90, 19.3, 0.05)
	printed(t, "angle of ε1, °, recomputed", r.FromGrid.Value/degree, -70.6554, 0.00005)
}

// Beer and Johnston: 40, 980 and 330 µε at 0°, 60°, 120°, ν = 0.29: εy 860, γxy 750,
// principal 1006 and −106 µε. γxy is printed from a rounded sine; the readings give 750.555.
func TestBeerJohnstonDeltaRosette(t *testing.T) {
	r := reduced(t, plain(0, 60, 120), 200e9, 0.29, 40, 980, 330)
	printed(t, "εy, µε", r.Phi/micro, 860, 1e-9)
	printed(t, "γxy, µε", r.Gamma/micro, 750, 1)
	printed(t, "γxy, µε, recomputed", r.Gamma/micro, 750.5553, 0.00005)
	printed(t, "ε1, µε", r.Max/micro, 1006, 0.5)
	printed(t, "ε2, µε", r.Min/micro, -106, 0.5)
	printed(t, "ε1, µε, recomputed", r.Max/micro, 1005.818, 0.0005)
	printed(t, "ε2, µε, recomputed", r.Min/micro, -105.818, 0.0005)
	printed(t, "angle of ε1, °, recomputed", r.FromGrid.Value/degree, 68.766, 0.0005)
}

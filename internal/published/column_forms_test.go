package published_test

import (
	"math"
	"testing"
)

// column is a round column with two tees opposite each other: two axial grids in
// arms 1 and 3, two Poisson grids in arms 2 and 4; axial is its only load.
func column(material, diameter, rated string) example {
	return example{
		material: material, section: "shape: round, outside-diameter: " + diameter,
		loads:      "axial: {rated: " + rated + ", use: measure}",
		placements: "A: {gauge: T, around: 0°}, B: {gauge: T, around: 180°}",
		bridges:    "N: {measures: axial, arms: [A1, A2, B1, B2], excitation: 10 V}",
	}
}

// Source: closed form of the bridge with two axial and two Poisson gauges (common
// practice), e = x(1+ν)/(2 + x(1−ν)) with x = K ε; K 2 and ν 0.3 at 1000 and 3000 µε
// give 1.2990906366 and 3.8918271630 mV/V (recomputed outside the program).
//
// Departure from the line through zero and rated load: with e(x) = A x/(2 + c x),
// c = 1 − ν, it is largest where e'(x) = e(X)/X, at x = 2(√(1 + cX/2) − 1)/c,
// e − e(X) x/X there over e(X).
func TestPoissonColumnNonlinearity(t *testing.T) {
	for _, c := range []struct{ microstrain, mvPerV, nonlinearity float64 }{
		{1000, 1.2990906366, 0.0174938777}, {3000, 3.8918271630, 0.0524449472},
	} {
		e := column("{youngs-modulus: 200 GPa, poisson-ratio: 0.3}", "20 mm", "1 kN")
		d := e.read(t)
		d.Loads[0].Rated.SI = c.microstrain * 1e-6 * 200e9 * math.Pi * 1e-4
		r := predictOf(t, d)
		printed(t, "εx, µε", 1e6*r.Grids[0].Along[0], c.microstrain, 1e-9)
		printed(t, "mV/V", 1e3*r.Bridges[0].Rated, c.mvPerV, 0.5e-10)

		x, k := 2*c.microstrain*1e-6, 0.7
		e1 := func(x float64) float64 { return 1.3 * x / (2 + k*x) }
		at := 2 * (math.Sqrt(1+k*x/2) - 1) / k
		want := (e1(at) - e1(x)*at/x) / e1(x)
		got := figure(t, "nonlinearity", r.Bridges[0].Nonlinearity)
		printed(t, "nonlinearity, %", 100*got, 100*want, 1e-11)
		printed(t, "nonlinearity, %, recomputed in 40 digits", 100*got, c.nonlinearity, 1e-10)
	}
}

// Common practice: nonlinearity of a column goes with its strain, about a quarter of
// x(1−ν)/2, and compression bends the other way: the same magnitude in first order.
func TestPoissonColumnInCompression(t *testing.T) {
	e := column("{youngs-modulus: 200 GPa, poisson-ratio: 0.3}", "20 mm", "-62.83185307179586 kN")
	r := e.predict(t)
	x, k := -2000e-6, 0.7
	e1 := func(x float64) float64 { return 1.3 * x / (2 + k*x) }
	printed(t, "mV/V", 1e3*r.Bridges[0].Rated, 1e3*e1(x), 1e-11)
	at := 2 * (math.Sqrt(1+k*x/2) - 1) / k
	printed(t, "nonlinearity", figure(t, "nonlinearity", r.Bridges[0].Nonlinearity), math.Abs(e1(at)-e1(x)*at/x)/math.Abs(e1(x)), 1e-13)
}

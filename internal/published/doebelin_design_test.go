package published_test

import "testing"

// Source: E. O. Doebelin and D. N. Manik, Measurement Systems, example 5.5, p. 308 (inputs
// and printed result read in a public set of the book's examples worked by readers):
// shaft of 50 mm, G 80 GPa, four gauges of 120 Ω and factor 2 at 45°. A change of
// 0.1 Ω in each means 1636.246174 N·m; the whole path from the design file.
func TestDoebelinTorqueShaftAsADesign(t *testing.T) {
	e := example{
		material:   "{youngs-modulus: 208 GPa, poisson-ratio: 0.3, shear-modulus: 80 GPa}",
		section:    "shape: round, outside-diameter: 50 mm",
		loads:      "torque: {rated: 1636.246174 N·m, use: measure}",
		placements: "A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}",
		bridges:    "T: {measures: torque, arms: [A2, A1, B2, B1], excitation: 10 V}",
	}
	r := e.predict(t)
	for i, sign := range []float64{-1, 1, -1, 1} {
		printed(t, r.Grids[i].Name+", Ω", 120*r.Grids[i].Change[0], sign*0.1, 0.5e-10)
	}
	printed(t, "mV/V", 1e3*r.Bridges[0].Rated, 1e3*0.1/120, 0.5e-9)
	// a full ±45° bridge is straight
	printed(t, "nonlinearity", figure(t, "nonlinearity", r.Bridges[0].Nonlinearity), 0, 1e-12)
}

// Source: E. O. Doebelin and D. N. Manik, Measurement Systems, examples 5.3 (p. 296) and 5.1
// (p. 294), inputs and printed results read in a public set of the book's examples: a
// column of 5 cm², E 200 GPa, ν 0.3, factor 2, 120 Ω: 0.13 µV/N at 10 V; 1 W in each gauge
// at 21.908902 V, then 0.2848157 µV/N (digits recomputed).
func TestDoebelinColumnAsADesign(t *testing.T) {
	// 5 cm² of solid round
	e := column("{youngs-modulus: 200 GPa, poisson-ratio: 0.3}", "25.231325220201602 mm", "1 kN")
	r := e.predict(t)
	printed(t, "area, m²", r.Section.Area, 5e-4, 1e-15)
	printed(t, "µV/N at 10 V", 1e7*r.Bridges[0].Sensitivity[0], 0.13, 0.5e-10)
	e.bridges = "N: {measures: axial, arms: [A1, A2, B1, B2], excitation: 21.908902 V}"
	r = e.predict(t)
	printed(t, "W in each gauge", figure(t, "power", r.Bridges[0].Signal.Power), 1, 1e-7)
	printed(t, "µV/N at 1 W", 1e6*21.908902*r.Bridges[0].Sensitivity[0], 0.2848157, 0.5e-7)
}

package published_test

import "testing"

// Source: a university course's problem (inputs read in a public copy, results
// recomputed): steel tube of 24 mm and 20 mm bore, G 82 GPa, four gauges of factor 2.125
// at ±45° on 10 V. At 50 N·m: 35.578601 MPa, 433.88538 µε of shear, 4.6100322 mV.
// 1000 µε of shear takes 115.237807 N·m and gives 10.625 mV.
func TestCourseTorqueTubeAsADesign(t *testing.T) {
	e := example{
		material: "{youngs-modulus: 210 GPa, poisson-ratio: 0.28, shear-modulus: 82 GPa}",
		section:  "shape: round-tube, outside-diameter: 24 mm, inside-diameter: 20 mm",
		loads:    "torque: {rated: 50 N·m, use: measure}", factor: "2.125", resistance: "350 Ω",
		placements: "A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}",
		bridges:    "T: {measures: torque, arms: [A2, A1, B2, B1], excitation: 10 V}",
	}
	r := e.predict(t)
	printed(t, "stress, MPa", r.Strength.VonMises/1.7320508075688772/1e6, 35.578601, 0.5e-6)
	printed(t, "shear strain, µε", 1e6*(r.Grids[1].Along[0]-r.Grids[0].Along[0]), 433.88538, 0.5e-5)
	printed(t, "mV", 1e4*r.Bridges[0].Rated, 4.6100322, 0.5e-7)
	printed(t, "mV at 115.237807 N·m", 1e4*output(t, r, 0, 115.237807), 10.625, 0.5e-7)
}

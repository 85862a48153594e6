package published_test

import "testing"

// Source: a textbook problem on combined stress whose inputs were read in a public copy;
// results recomputed. A solid shaft of 15 mm under 3 kN of tension, 50 N·m of bending and
// 65 N·m of torque: σx 167.8789918, τ 98.0866020, von Mises 238.8436735 MPa.
func TestCombinedStressOfA15mmShaft(t *testing.T) {
	e := example{
		section:    "shape: round, outside-diameter: 15 mm",
		loads:      "axial: {rated: 3 kN}, bending-y: {rated: 50 N·m}, torque: {rated: 65 N·m, use: measure}",
		placements: "A: {gauge: R, around: 90°}",
	}
	r := e.predict(t)
	printed(t, "von Mises, MPa", r.Strength.VonMises/1e6, 238.8436735, 0.5e-7)
	a2 := r.Grids[1].Along // axial, torque, bending-y
	// the mean over a grid of 0.01 mm takes 7e-8 off the bending
	printed(t, "σx, MPa", 200e3*(a2[0]+a2[2]), 167.8789918, 1.2e-5)
	printed(t, "τ, MPa", 200e3/2.6*(r.Grids[2].Along[1]-r.Grids[0].Along[1]), 98.0866020, 0.5e-7)
	if r.Grids[2].Along[1] <= 0 {
		t.Error("a positive torque stretches the grid at +45°")
	}
}

package published_test

import (
	"math"
	"testing"

	"gridwright/internal/gauge"
)

// Source: common practice with rosettes and full bridges (facts of the trade; ASTM E1561 for
// the angles of rosettes, from memory).

// The grids of a rectangular rosette stand 45° apart, those of a delta rosette 60°; a
// shear pair has its grids at ±45°, a tee at right angles (ASTM E1561 for the rosettes).
func TestPatternsOfCommonPractice(t *testing.T) {
	for _, c := range []struct {
		name    string
		degrees []float64
	}{
		{"single", []float64{0}}, {"tee", []float64{0, 90}}, {"shear-pair", []float64{-45, 45}},
		{"rectangular-rosette", []float64{-45, 0, 45}}, {"delta-rosette", []float64{-60, 0, 60}},
	} {
		p, ok := gauge.FindPattern(c.name)
		if !ok || len(p.Directions) != len(c.degrees) {
			t.Errorf("%s: %v", c.name, p.Directions)
			continue
		}
		for i, d := range c.degrees {
			printed(t, c.name+", °", p.Directions[i]*180/math.Pi, d, 1e-12)
		}
	}
}

// Two rectangular rosettes opposite each other on a tube: the four grids at ±45° are a
// full bridge for torque, the two middle grids a half bridge for bending, and each is
// blind to the other's load and to axial force. Per unit of γ/2 = ε45 the torque bridge
// gives K ε45, the half bridge K ε/2.
func TestTwoOppositeRosettes(t *testing.T) {
	e := example{
		material: "{youngs-modulus: 205 GPa, poisson-ratio: 0.29}",
		section:  "shape: round-tube, outside-diameter: 60 mm, inside-diameter: 44 mm",
		loads: "torque: {rated: 1200 N·m, use: measure}, bending-y: {rated: 400 N·m, use: measure}, " +
			"bending-z: {rated: 400 N·m}, axial: {rated: 15 kN}, shear-y: {rated: 2 kN}, shear-z: {rated: 2 kN}",
		placements: "A: {gauge: R, around: 90°}, B: {gauge: R, around: 270°}",
		bridges:    "T: {measures: torque, arms: [A3, A1, B3, B1]}, By: {measures: bending-y, arms: [A2, B2, 120 Ω, 120 Ω]}",
	}
	r := e.predict(t)
	j := math.Pi / 2 * (math.Pow(0.030, 4) - math.Pow(0.022, 4))
	strain := 1200 * 0.030 / j / (205e9 / (2 * 1.29)) / 2
	printed(t, "torque, mV/V", 1e3*r.Bridges[0].Rated, 1e3*2*strain, 1e-12)
	bending := 400 * 0.030 / (j / 2) / 205e9
	printed(t, "bending, mV/V", 1e3*r.Bridges[1].Rated, 1e3*bending, 1e-7) // mean over 0.01 mm
	if r.Bridges[0].Rated <= 0 || r.Bridges[1].Rated <= 0 {
		t.Error("+45° grids in arms 1 and 3 of the torque bridge, the grid on the stretched side in arm 1")
	}
	for b := range r.Bridges {
		for k, c := range r.Bridges[b].Crosstalk {
			if k == r.Bridges[b].Target {
				continue
			}
			printed(t, r.Bridges[b].Name+" to "+r.Model.Components[k].String(), figure(t, "crosstalk", c), 0, 1e-9)
		}
	}
	printed(t, "condition of the two", figure(t, "condition", r.Matrix.Condition), 1, 1e-9)
}

// Four active arms of factor 2: 1000 µε at the grids give 2 mV/V, 1500 µε give 3 mV/V.
func TestRuleOfTwoMillivolts(t *testing.T) {
	for _, c := range []struct{ microstrain, mvPerV float64 }{{1000, 2}, {1500, 3}} {
		e := example{
			section:    "shape: round, outside-diameter: 20 mm",
			loads:      "torque: {rated: 1 N·m, use: measure}",
			placements: "A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}",
			bridges:    "T: {measures: torque, arms: [A2, A1, B2, B1]}",
		}
		d := e.read(t)
		d.Loads[0].Rated.SI = c.microstrain * 1e-6 * 2 * (200e9 / 2.6) * math.Pi * 1e-6 / 2
		printed(t, "mV/V", 1e3*predictOf(t, d).Bridges[0].Rated, c.mvPerV, 1e-12)
	}
}

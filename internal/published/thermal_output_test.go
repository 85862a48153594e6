package published_test

import (
	"math"
	"testing"
)

// Source: thermal output of a constantan lot on steel, −31.8 + 2.77T − 6.55e-2T² +
// 3.28e-4T³ − 3.26e-7T⁴ µε, T in °C, for gauge factor 2 (from memory). Its values:
// −116 at −20 °C, −32 at 0, +1.4 at 24, −18 at 50, −114 at 100 (recomputed). A quarter
// bridge of factor 2 on steel shows the difference from the reference temperature.
func TestThermalOutputOfAQuarterBridge(t *testing.T) {
	const lot = ", thermal-output: {celsius: [-31.8, 2.77, -6.55e-2, 3.28e-4, -3.26e-7]}"
	e := quarter("120 Ω")
	e.material = "{youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: 11 ppm/K}"
	e.gauge = lot
	for _, c := range []struct {
		low, high string
		row       int
		want      float64
		half      float64
	}{
		{"-20 °C", "60 °C", 0, -116, 0.5}, {"-20 °C", "60 °C", 5, -32, 0.5}, {"-20 °C", "60 °C", 11, 1.4, 0.05},
		{"0 °C", "100 °C", 10, -18, 0.5}, {"0 °C", "100 °C", 20, -114, 0.5},
	} {
		e.temperature = "reference: 24 °C, range: [" + c.low + ", " + c.high + "]"
		row := e.predict(t).Bridges[0].Temperature.Rows[c.row]
		// undo the exact quarter bridge e = x/(4+2x) and the factor 2
		x := 4 * row.Zero / (1 - 2*row.Zero)
		// 1.378 µε at the reference: −31.8 + 66.48 − 37.728 + 4.534272 − 0.108159
		printed(t, "thermal output, µε", 1e6*x/2+1.378113, c.want, c.half)
	}

	// 1 µε/K for each 1e-6/K that the part expands more than the lot's specimen (Kt 0)
	e.gauge = ", thermal-output: {celsius: [-31.8, 2.77, -6.55e-2, 3.28e-4, -3.26e-7], for-expansion: 10 ppm/K}"
	e.temperature = "reference: 20 °C, range: [20 °C, 40 °C]"
	with := e.predict(t).Bridges[0].Temperature.Rows[20].Zero
	e.gauge = lot
	without := e.predict(t).Bridges[0].Temperature.Rows[20].Zero
	back := func(v float64) float64 { return 4 * v / (1 - 2*v) / 2 }
	printed(t, "mismatch after 20 K, µε", 1e6*(back(with)-back(without)), 20, 1e-9)
	if math.Abs(without) < 1e-9 {
		t.Error("the lot itself has an output")
	}
}

// By arithmetic: an arm whose thermal output rises by 1 µε/K moves the zero of a quarter
// bridge of factor 2 by 2·1e-6/4 = 0.5 (µV/V)/K.
func TestSlopeOfOneArm(t *testing.T) {
	e := quarter("120 Ω")
	e.gauge = ", thermal-output: {celsius: [0, 1]}"
	e.temperature = "reference: 20 °C, range: [19 °C, 21 °C]"
	rows := e.predict(t).Bridges[0].Temperature.Rows
	printed(t, "(µV/V)/K", 1e6*(rows[20].Zero-rows[0].Zero)/2, 0.5, 1e-5) // exact bridge: 1e-6 of curvature
}

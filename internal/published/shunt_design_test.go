package published_test

import (
	"fmt"
	"testing"
)

// quarter is a shaft with one axial grid in arm 1, completed by three equal resistors;
// axial is its only load.
func quarter(resistance string) example {
	return example{
		section: "shape: round, outside-diameter: 20 mm", resistance: resistance,
		loads:      "axial: {rated: 10 kN, use: measure}",
		placements: "A: {gauge: S, around: 0°}",
		bridges:    fmt.Sprintf("N: {measures: axial, arms: [A1, %[1]s, %[1]s, %[1]s], excitation: 5 V}", resistance),
	}
}

// Source: the shunt calibration table of an instrument manual, gauge factor 2, read there:
// the strain that a linearised quarter bridge shows, 4 V/(K E). Through the whole
// program, as the shunt of a design; the shunt takes resistance away, so arm 1 goes
// negative.
func TestShuntTableAsADesign(t *testing.T) {
	for _, c := range []struct{ ohm, kilohm, microstrain float64 }{
		{120, 60, 999}, {120, 30, 1996}, {120, 12, 4975}, {120, 6, 9901},
		{350, 180, 971}, {350, 90, 1941}, {350, 36, 4838}, {350, 18, 9629},
	} {
		e := quarter(fmt.Sprintf("%g Ω", c.ohm))
		e.more = fmt.Sprintf("shunt: [{resistor: %[1]g kΩ, arm: 1}, {resistor: %[1]g kΩ, arm: 2}, {resistor: %[1]g kΩ, arm: 3}, {resistor: %[1]g kΩ, arm: 4}]\n", c.kilohm)
		r := e.predict(t)
		b := r.Bridges[0]
		for i, sign := range []float64{-1, 1, -1, 1} {
			what := fmt.Sprintf("%g kΩ across %g Ω in arm %d, µε", c.kilohm, c.ohm, i+1)
			printed(t, what, 1e6*4*b.Shunts[i].Output/2, sign*c.microstrain, 0.5)
			// the load that it stands for: the linear bridge's, F = E A ε, where the
			// table's strain is 4V/(K E)
			load := sign * c.microstrain * 1e-6 * 200e9 * r.Section.Area
			printed(t, what+", load, N", figure(t, "equivalent", b.Shunts[i].Equivalent), load, 0.5e-6*200e9*r.Section.Area)
		}
	}
}

// Source: output of four equal arms with a shunt across one, R/(4 Rs + 2 R): 174 825 Ω
// across 350 Ω is 0.5 mV/V exactly (closed form, recomputed).
func TestShuntOfExactlyHalfAMillivolt(t *testing.T) {
	e := quarter("350 Ω")
	e.more = "shunt: [{resistor: 174825 Ω, arm: 2, at: part}, {resistor: 174825 Ω, arm: 1, at: instrument}]\n"
	b := e.predict(t).Bridges[0]
	printed(t, "arm 2, mV/V", 1e3*b.Shunts[0].Output, 0.5, 1e-12)
	printed(t, "arm 1, mV/V", 1e3*b.Shunts[1].Output, -0.5, 1e-12)
}

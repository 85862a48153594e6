package published_test

import (
	"fmt"
	"testing"
)

// Source: loss of sensitivity of a quarter bridge by its leads (common practice), three
// wires Rg/(Rg + r), two wires Rg/(Rg + 2r); values recomputed outside the program.
// With two wires the neighbouring arm is taken as Rg + 2r, so that the bridge balances.
func TestLeadDesensitisationAsADesign(t *testing.T) {
	for _, c := range []struct{ ohm, each, three, two float64 }{
		{120, 1, 0.9917355372, 0.9836065574},
		{350, 1, 0.9971509972, 0.9943181818},
		{350, 2.5, 0.9929078014, 0.9859154930},
	} {
		bare := quarter(fmt.Sprintf("%g Ω", c.ohm))
		s0 := bare.predict(t).Bridges[0].Sensitivity[0]
		three := bare
		three.more = fmt.Sprintf("leads: {wires: 3, each: %g Ω, completion: instrument}\n", c.each)
		two := bare
		two.bridges = fmt.Sprintf("N: {measures: axial, arms: [A1, %g Ω, %g Ω, %g Ω]}", c.ohm+2*c.each, c.ohm, c.ohm)
		two.more = fmt.Sprintf("leads: {wires: 2, each: %g Ω, completion: instrument}\n", c.each)
		what := fmt.Sprintf("%g Ω on leads of %g Ω", c.ohm, c.each)
		printed(t, what+", three wires", three.predict(t).Bridges[0].Sensitivity[0]/s0, c.three, 0.5e-10)
		b := two.predict(t).Bridges[0]
		printed(t, what+", two wires", b.Sensitivity[0]/s0, c.two, 0.5e-10)
		printed(t, what+", balance", b.Balance.Nominal, 0, 1e-15)
	}
}

// Full bridge on four wires: E at the bridge is E Rb/(Rb + 2r), on six wires E (voltage
// divider). 350 Ω and 1.5 Ω a wire: 350/353.
func TestFullBridgeLeads(t *testing.T) {
	e := column("", "20 mm", "10 kN")
	e.resistance = "350 Ω"
	s0 := e.predict(t).Bridges[0].Sensitivity[0]
	e.more = "leads: {wires: 4, each: 1.5 Ω}\n"
	printed(t, "four wires", e.predict(t).Bridges[0].Sensitivity[0]/s0, 350.0/353, 1e-13)
	e.more = "leads: {wires: 6, each: 1.5 Ω}\n"
	printed(t, "six wires", e.predict(t).Bridges[0].Sensitivity[0]/s0, 1, 1e-14)
	// a meter loads it: Rm/(Rm + Ro), Ro = 350 + 2·1.5 Ω
	e.more += "instrument: {input-resistance: 35 kΩ}\n"
	printed(t, "six wires and meter", e.predict(t).Bridges[0].Sensitivity[0]/s0, 35000.0/35353, 1e-13)
}

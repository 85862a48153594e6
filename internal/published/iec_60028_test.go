package published_test

import "testing"

// Source: IEC 60028 (International standard of resistance for copper; read in a secondary
// source): at 20 °C the temperature coefficient of annealed copper is 0.00393 per °C.
// A full bridge of 350 Ω on four wires of 5 Ω: its output at T is that of
// Rb/(Rb + 2r(1 + 0.00393 ΔT)); leads that follow the part take 0.39 % a kelvin of 2r.
func TestCopperLeadsFollowThePart(t *testing.T) {
	e := column("{youngs-modulus: 200 GPa, poisson-ratio: 0.3}", "20 mm", "10 kN")
	e.resistance = "350 Ω"
	e.temperature = "reference: 20 °C, range: [0 °C, 100 °C]"
	e.more = "leads: {wires: 4, each: 5 Ω, follow: part}\n"
	rows := e.predict(t).Bridges[0].Temperature.Rows
	for _, row := range rows {
		d := row.Kelvin - 293.15
		want := (350.0 + 10) / (350 + 10*(1+0.00393*d))
		printed(t, "span", figure(t, "span", row.Span), want, 1e-13)
	}
	printed(t, "copper at 100 °C over 20 °C", (360/figure(t, "span", rows[20].Span)-350)/10, 1.3144, 0.5e-4)
	e.more = "leads: {wires: 4, each: 5 Ω}\n"
	for _, row := range e.predict(t).Bridges[0].Temperature.Rows {
		printed(t, "span of leads that stay cold", figure(t, "span", row.Span), 1, 1e-14)
	}
}

// A quarter bridge on two copper wires: their warming is a zero shift, of 2r·α a kelvin
// in the arm; on three wires both adjacent arms share it and none is left.
func TestCopperLeadsShiftTheZeroOfTwoWires(t *testing.T) {
	e := quarter("350 Ω")
	e.temperature = "reference: 20 °C, range: [20 °C, 30 °C]"
	e.more = "leads: {wires: 2, each: 1 Ω, completion: instrument, follow: part}\n"
	rows := e.predict(t).Bridges[0].Temperature.Rows
	arm := func(d float64) float64 { return 350.0 / (702 + 2*0.00393*d) }
	printed(t, "two wires at +10 K", rows[20].Zero, arm(0)-arm(10), 1e-16)
	e.more = "leads: {wires: 3, each: 1 Ω, completion: instrument, follow: part}\n"
	for _, row := range e.predict(t).Bridges[0].Temperature.Rows {
		printed(t, "three wires", row.Zero, 0, 1e-16)
	}
}

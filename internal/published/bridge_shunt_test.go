package published_test

import (
	"fmt"
	"testing"
)

// Source: the shunt calibration table of an instrument manual, gauge factor 2, read
// there. For each gauge and shunt it prints the strain that a linearised
// quarter bridge shows, 4 V/(K E), and the simple R/(K (R + Rs)).
func TestShuntCalibrationTable(t *testing.T) {
	const factor = 2.0
	for _, c := range []struct{ ohm, shunt, exact, simple float64 }{
		{120, 60e3, 999, 998},
		{120, 30e3, 1996, 1992},
		{120, 12e3, 4975, 4950},
		{120, 6e3, 9901, 9804},
		{350, 180e3, 971, 970},
		{350, 90e3, 1941, 1937},
		{350, 36e3, 4838, 4814},
		{350, 18e3, 9629, 9537},
	} {
		what := fmt.Sprintf("%g Ω across %g Ω, µε", c.shunt, c.ohm)
		bridgeNear(t, what, 1e6*4*bridgeShunted(t, c.ohm, 2, c.shunt)/factor, c.exact, 0.5)
		change := -c.ohm / (c.ohm + c.shunt)
		bridgeNear(t, what+", simple", 1e6*4*bridgeLinear(t, c.ohm, 0, change, 0, 0)/factor, c.simple, 0.5)
	}
}

// Output of four equal arms with a shunt across one, R/(4 Rs + 2 R), recomputed:
// 174 825 Ω across 350 Ω is 0.5 mV/V exactly, 100 kΩ across 120 Ω 0.2998201079 mV/V.
func TestShuntOutput(t *testing.T) {
	bridgeNear(t, "350 Ω, mV/V", 1e3*bridgeShunted(t, 350, 2, 174825), 0.5, 1e-12)
	bridgeNear(t, "120 Ω, mV/V", 1e3*bridgeShunted(t, 120, 4, 100e3), 0.2998201079, 0.5e-10)
	bridgeNear(t, "350 Ω, arm 1, mV/V", 1e3*bridgeShunted(t, 350, 1, 174825), -0.5, 1e-12)
}

package published_test

import "testing"

// Source: R. K. Rajput, Electronic Measurements and Instrumentation, example 7.17;
// inputs and results read in a public set of worked examples. Four active gauges of
// 200 Ω and factor 2; 100 kΩ across one gives 140 divisions. The shunt stands for
// Rg/(4 K (Rg + Rs)) = 249.501 µε in every gauge, and 220 divisions for 392.073 µε.
func TestRajputShuntCalibration(t *testing.T) {
	const ohm, shunt, factor = 200.0, 100e3, 2.0
	change := -ohm / (ohm + shunt)
	perStrain := bridgeLinear(t, ohm, factor, -factor, factor, -factor)
	strain := bridgeLinear(t, ohm, 0, change, 0, 0) / perStrain
	bridgeNear(t, "strain of the shunt, µε", 1e6*strain, 249.501, 0.5e-3)
	bridgeNear(t, "strain of 220 divisions, µε", 1e6*strain*220/140, 392.073, 0.5e-3)

	// The example takes the shunted arm's change as small. The exact bridge gives
	// Rg/(4 Rs + 2 Rg), 0.1 % more.
	exact := bridgeShunted(t, ohm, 2, shunt)
	bridgeNear(t, "exact shunt, V/V", exact, 200.0/400400, 1e-12)
	bridgeNear(t, "exact over printed strain", exact/perStrain/strain, 1.001, 0.0001)
}

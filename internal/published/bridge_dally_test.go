package published_test

import "testing"

// Source: J. W. Dally, W. F. Riley and K. G. McConnell, Instrumentation for
// Engineering Measurements, load cell of two axial and two transverse gauges: output at
// the strength S is K S (1+ν)/(2E) = 3.47 mV/V for S 80 ksi, E 30e6 psi, K 2, ν 0.3.
// From memory, arithmetic recomputed (3.466667).
func TestDallyLoadCellAtStrength(t *testing.T) {
	x := 2.0 * 80e3 / 30e6
	bridgeNear(t, "mV/V", 1e3*bridgeLinear(t, 350, x, -0.3*x, x, -0.3*x), 3.47, 0.005)
}

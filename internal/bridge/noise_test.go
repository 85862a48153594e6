package bridge

import (
	"math"
	"testing"
)

// 1 kΩ at 300 K in 1 Hz: 4.07 nV, the usual figure of electronics handbooks
// (common practice); the digits beyond follow from the exact k of the SI.
func TestJohnsonNoise(t *testing.T) {
	v, err := JohnsonNoise(1000, 300, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "noise", v, 4.07e-9, 0.005e-9, 1)
	near(t, "noise²", v*v, 4*1.380649e-23*300*1000, 1e-14, v*v)

	four, err := JohnsonNoise(4000, 300, 100)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "noise of 4 R over 100 B", four, 20*v, 1e-14, four)

	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		for k := range 3 {
			q := [3]float64{350, 293.15, 100}
			q[k] = bad
			if v, err := JohnsonNoise(q[0], q[1], q[2]); err == nil {
				t.Errorf("JohnsonNoise%v gave %g", q, v)
			}
		}
	}
}

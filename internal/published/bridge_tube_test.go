package published_test

import (
	"math"
	"testing"

	"gridwright/internal/bridge"
)

// Source: a university course's problem, whose inputs were read in a public copy; the
// results are recomputed. Steel tube of 24 mm outside and 20 mm inside, G 82 GPa, four
// gauges of factor 2.125 at ±45° in a full bridge on 10 V. At 50 N·m: 35.578601 MPa,
// shear strain 433.88538 µε, 4.6100322 mV. A shear strain of 1000 µε takes
// 115.237807 N·m and gives 10.625 mV.
func TestCourseTorqueTube(t *testing.T) {
	const outside, inside, shear, factor, excitation = 0.024, 0.020, 82e9, 2.125, 10.0
	stress := func(torque float64) float64 {
		return 16 * torque * outside / (math.Pi * (math.Pow(outside, 4) - math.Pow(inside, 4)))
	}
	millivolts := func(shearStrain float64) float64 {
		x := factor * shearStrain / 2
		s := bridgeSolve(t, bridge.Wiring{}, bridgeArms(350, x, -x, x, -x))
		return 1e3 * excitation * s.Output
	}
	bridgeNear(t, "stress, MPa", stress(50)/1e6, 35.578601, 0.5e-6)
	bridgeNear(t, "shear strain, µε", 1e6*stress(50)/shear, 433.88538, 0.5e-5)
	bridgeNear(t, "output, mV", millivolts(stress(50)/shear), 4.6100322, 0.5e-7)
	bridgeNear(t, "output at 115.237807 N·m, mV", millivolts(stress(115.237807)/shear), 10.625, 0.5e-7)
}

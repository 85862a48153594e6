package published_test

import (
	"math"
	"testing"

	"gridwright/internal/bridge"
)

// bridgeArms is a ring of four equal arms of ohm Ω with relative changes x1 to x4.
func bridgeArms(ohm, x1, x2, x3, x4 float64) [4]float64 {
	return [4]float64{ohm * (1 + x1), ohm * (1 + x2), ohm * (1 + x3), ohm * (1 + x4)}
}

// bridgeSolve returns the solution of a ring on the given wires.
func bridgeSolve(t *testing.T, w bridge.Wiring, arms [4]float64) bridge.Solution {
	t.Helper()
	var s bridge.Solution
	if err := w.Solve(arms, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// bridgeLinear returns the V/E that the relative changes x1 to x4 of four equal
// arms would give if the bridge were linear: weights at balance times changes.
// Textbooks print this one where they do not say otherwise.
func bridgeLinear(t *testing.T, ohm, x1, x2, x3, x4 float64) float64 {
	t.Helper()
	w := bridgeSolve(t, bridge.Wiring{}, bridgeArms(ohm, 0, 0, 0, 0)).Weight
	return ohm * (w[0]*x1 + w[1]*x2 + w[2]*x3 + w[3]*x4)
}

// bridgeShunted returns the change of V/E by a shunt across one of four equal arms.
func bridgeShunted(t *testing.T, ohm float64, arm int, shunt float64) float64 {
	t.Helper()
	v, err := bridge.Wiring{}.Shunted(bridgeArms(ohm, 0, 0, 0, 0), arm, shunt, bridge.AtPart)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// bridgeNear fails unless got is within half of want; half is half a unit of the
// last printed digit.
func bridgeNear(t *testing.T, what string, got, want, half float64) {
	t.Helper()
	record(t, got, want, half)
	if !(math.Abs(got-want) <= half) {
		t.Errorf("%s: got %.10g, printed %.10g ± %.2g", what, got, want, half)
	}
}

package published_test

import (
	"fmt"
	"testing"

	"gridwright/internal/bridge"
)

// Source: the usual formulas for the loss of sensitivity of a quarter bridge by lead
// resistance (common practice), three wires Rg/(Rg + r), two wires Rg/(Rg + 2r);
// values recomputed outside the program to ten decimals. They hold for a bridge in
// balance: with two wires the neighbouring arm is taken as Rg + 2r.
func TestLeadDesensitisation(t *testing.T) {
	for _, c := range []struct{ ohm, each, three, two float64 }{
		{120, 1, 0.9917355372, 0.9836065574},
		{350, 1, 0.9971509972, 0.9943181818},
		{350, 2.5, 0.9929078014, 0.9859154930},
	} {
		bare := bridgeSolve(t, bridge.Wiring{}, bridgeArms(c.ohm, 0, 0, 0, 0)).Weight[0]
		w := bridge.Wiring{Wires: 3, Each: c.each, Remote: [4]bool{true}}
		three := bridgeSolve(t, w, bridgeArms(c.ohm, 0, 0, 0, 0)).Weight[0]
		w.Wires = 2
		balanced := [4]float64{c.ohm, c.ohm + 2*c.each, c.ohm, c.ohm}
		two := bridgeSolve(t, w, balanced).Weight[0]
		what := fmt.Sprintf("%g Ω on leads of %g Ω", c.ohm, c.each)
		bridgeNear(t, what+", three wires", three/bare, c.three, 0.5e-10)
		bridgeNear(t, what+", two wires", two/bare, c.two, 0.5e-10)
	}
}

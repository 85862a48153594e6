package bridge

import (
	"testing"

	"pgregory.net/rapid"
)

// Leads without a meter, from the ring's closed form with resistances added where
// current flows. Signal wires that carry none only add to the output resistance.

func TestFourWires(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms, r := drawArms(t), rapid.Float64Range(0.01, 20).Draw(t, "each")
		s := solve(t, Wiring{Wires: 4, Each: r}, arms)
		ring := parallel(arms[0]+arms[1], arms[2]+arms[3])
		share := ring / (ring + 2*r)
		near(t, "output", s.Output, Plain(arms)*share, 1e-14, 1)
		near(t, "input resistance", s.InputResistance, ring+2*r, 1e-13, ring)
		near(t, "current", s.Current[0], share/(arms[0]+arms[1]), 1e-13, s.Current[0])
		near(t, "current", s.Current[3], -share/(arms[2]+arms[3]), 1e-13, s.Current[3])
	})
}

// Output resistance of four equal arms R on four wires: by symmetry no current of
// the test source reaches the supply.
func TestFourWiresOutputResistance(t *testing.T) {
	s := solve(t, Wiring{Wires: 4, Each: 2}, [4]float64{350, 350, 350, 350})
	near(t, "output resistance", s.OutputResistance, 350+2*2, 1e-14, 354)
	near(t, "input resistance", s.InputResistance, 350+2*2, 1e-14, 354)
}

func TestSixWiresLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms, r := drawArms(t), rapid.Float64Range(0.01, 20).Draw(t, "each")
		s := solve(t, Wiring{Wires: 6, Each: r}, arms)
		near(t, "output", s.Output, Plain(arms), 0, 1)
		ro := parallel(arms[0], arms[1]) + parallel(arms[2], arms[3]) + 2*r
		near(t, "output resistance", s.OutputResistance, ro, 1e-14, ro)
		for _, meter := range []float64{1e3, 1e6} {
			loaded := solve(t, Wiring{Wires: 6, Each: r, Meter: meter}, arms)
			near(t, "loaded output", loaded.Output, Plain(arms)*meter/(meter+ro), 1e-14, 1)
		}
	})
}

// Three wires to a pair of arms add r to each of the two. Where they share a
// supply corner, its wire adds r to that supply line as well.
func TestThreeWiresHalfBridge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms, r := drawArms(t), rapid.Float64Range(0.01, 20).Draw(t, "each")
		first := rapid.IntRange(0, 3).Draw(t, "first")
		var remote [4]bool
		longer := arms
		for _, k := range []int{first, (first + 1) % 4} {
			remote[k] = true
			longer[k] += r
		}
		s := solve(t, Wiring{Wires: 3, Each: r, Remote: remote}, arms)
		want, ro := Plain(longer), parallel(longer[0], longer[1])+parallel(longer[2], longer[3])
		if first%2 == 0 { // arms 1 and 2, or 3 and 4: a signal corner
			near(t, "output", s.Output, want, 1e-14, 1)
			near(t, "output resistance", s.OutputResistance, ro+r, 1e-13, ro)
			return
		}
		ring := parallel(longer[0]+longer[1], longer[2]+longer[3])
		near(t, "output", s.Output, want*ring/(ring+r), 1e-14, 1)
		near(t, "input resistance", s.InputResistance, ring+r, 1e-13, ring)
	})
}

// Three wires to one arm add r to it and r to the neighbour at its signal corner.
func TestThreeWiresQuarterBridge(t *testing.T) {
	neighbour := [4]int{1, 0, 3, 2} // arms 1 and 2 meet at −S, 3 and 4 at +S
	rapid.Check(t, func(t *rapid.T) {
		arms, r := drawArms(t), rapid.Float64Range(0.01, 20).Draw(t, "each")
		k := rapid.IntRange(0, 3).Draw(t, "arm")
		var remote [4]bool
		remote[k] = true
		longer := arms
		longer[k] += r
		longer[neighbour[k]] += r
		s := solve(t, Wiring{Wires: 3, Each: r, Remote: remote}, arms)
		near(t, "output", s.Output, Plain(longer), 1e-14, 1)
		ro := parallel(longer[0], longer[1]) + parallel(longer[2], longer[3]) + r
		near(t, "output resistance", s.OutputResistance, ro, 1e-13, ro)
	})
}

// Two wires put 2r in the arm.
func TestTwoWires(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms, r := drawArms(t), rapid.Float64Range(0.01, 20).Draw(t, "each")
		meter := rapid.SampledFrom([]float64{0, 1e4}).Draw(t, "meter")
		k := rapid.IntRange(0, 3).Draw(t, "arm")
		var remote [4]bool
		remote[k] = true
		longer := arms
		longer[k] += 2 * r
		got := solve(t, Wiring{Wires: 2, Each: r, Remote: remote, Meter: meter}, arms)
		want := solve(t, Wiring{Meter: meter}, longer)
		nearSolution(t, got, want, 1e-12)
	})
}

// A wire of vanishing resistance is no wire, whatever the meter: no digits are
// lost to the nine decades between them.
func TestShortWiresVanish(t *testing.T) {
	arms := [4]float64{351, 349, 352, 350}
	for _, w := range wirings() {
		w.Meter = 1e9
		bare := solve(t, Wiring{Meter: w.Meter}, arms)
		if w.Wires != 0 {
			w.Each = 1e-9
		}
		got := solve(t, w, arms)
		near(t, "output", got.Output, bare.Output, 1e-11, 1)
		for k := range arms {
			near(t, "weight", got.Weight[k], bare.Weight[k], 1e-10, bare.Weight[k])
		}
	}
}

package bridge

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The network, which the plain ring does not use, must reproduce the closed form.
func TestNetworkReproducesClosedForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms := drawArms(t)
		for _, w := range []Wiring{{}, {Wires: 6, Each: rapid.Float64Range(0.01, 20).Draw(t, "each")}} {
			var network, closed Solution
			w.solveNetwork(&arms, &network)
			solvePlain(&arms, w.Each, &closed)
			nearSolution(t, network, closed, 1e-13)
			nearSolution(t, solve(t, w, arms), closed, 0)
		}
	})
}

// Ohm's law by hand: dividers 100:300 and 200:200 on 1 V. More resistance in arms
// 1 and 3 raises the output.
func TestPlainByHand(t *testing.T) {
	arms := [4]float64{300, 100, 200, 200}
	near(t, "V/E", Plain(arms), 0.5-0.25, 1e-15, 1)
	s := solve(t, Wiring{}, arms)
	near(t, "output", s.Output, 0.25, 1e-15, 1)
	for k, want := range []float64{1. / 400, 1. / 400, -1. / 400, -1. / 400} {
		near(t, "current", s.Current[k], want, 1e-15, want)
	}
	near(t, "output resistance", s.OutputResistance, 75+100, 1e-15, 175)
	near(t, "input resistance", s.InputResistance, 200, 1e-15, 200)
	for k, want := range []float64{100. / 160000, -300. / 160000, 200. / 160000, -200. / 160000} {
		near(t, "weight", s.Weight[k], want, 1e-15, want)
	}
}

// Five-point central differences of Output, an independent way to the weights.
func TestWeightsAreDerivatives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		s := solve(t, w, arms)
		for k := range arms {
			h := 2e-3 * arms[k]
			at := func(steps float64) float64 {
				moved := arms
				moved[k] += steps * h
				return solve(t, w, moved).Output
			}
			d := (at(-2) - 8*at(-1) + 8*at(1) - at(2)) / (12 * h)
			near(t, "weight", s.Weight[k], d, 1e-9, s.Weight[k])
		}
	})
}

// Kirchhoff, from the solution's currents and the wires' alone: around the loop of
// supply, wires and arms 1 and 2, and through the meter.
func TestEnergyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		s := solve(t, w, arms)
		supply := 1 / s.InputResistance
		var meter float64
		if w.Meter != 0 {
			meter = s.Output / w.Meter
		}
		power := meter * meter * w.Meter
		for k, i := range s.Current {
			power += i * i * arms[k]
		}
		first, count, _ := w.remote()
		square := func(i float64) float64 { return i * i * w.Each }
		before := s.Current[(first+3)%4]
		one := s.Current[first]
		two := s.Current[(first+1)%4]
		switch {
		case w.Wires == 4:
			power += 2*square(supply) + 2*square(meter)
		case w.Wires == 6:
			power += 2 * square(meter)
		case w.Wires == 2:
			power += 2 * square(one)
		case w.Wires == 3 && count == 2:
			power += square(one) + square(one-two) + square(two)
		case w.Wires == 3 && first%2 == 0: // the corner that follows is a signal corner
			power += square(one) + square(two) + square(one-two)
		case w.Wires == 3:
			power += square(one) + square(before) + square(one-before)
		}
		near(t, "power", power, supply, 1e-12, supply)
	})
}

// Exchanging the signal leads turns the ring over: arms 1 and 4, 2 and 3 change
// places. Exchanging the supply leads: arms 1 and 2, 3 and 4. Either flips the sign.
func TestExchangedLeadsFlipTheSign(t *testing.T) {
	for name, to := range map[string][4]int{"signal": {3, 2, 1, 0}, "supply": {1, 0, 3, 2}} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			w, arms := drawWiring(t), drawArms(t)
			turned, exchanged := w, [4]float64{}
			for k, j := range to {
				exchanged[j], turned.Remote[j] = arms[k], w.Remote[k]
			}
			a, b := solve(t, w, arms), solve(t, turned, exchanged)
			near(t, "output", b.Output, -a.Output, 1e-14, 1)
			near(t, "output resistance", b.OutputResistance, a.OutputResistance, 1e-13, a.OutputResistance)
			near(t, "input resistance", b.InputResistance, a.InputResistance, 1e-13, a.InputResistance)
			for k, j := range to {
				near(t, "weight", b.Weight[j], -a.Weight[k], 1e-12, a.Weight[k])
			}
		}))
	}
}

func TestScalingAllResistancesLeavesTheOutput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		c := rapid.Float64Range(0.1, 100).Draw(t, "scale")
		scaled, larger := w, arms
		scaled.Each *= c
		scaled.Meter *= c
		for k := range larger {
			larger[k] *= c
		}
		want := solve(t, w, arms)
		for k := range arms {
			want.Weight[k] /= c
			want.Current[k] /= c
		}
		want.OutputResistance *= c
		want.InputResistance *= c
		nearSolution(t, solve(t, scaled, larger), want, 1e-12)
	})
}

// Reciprocity: the current that one volt at the supply sends through a short at
// the signal terminals equals the current that one volt at the signal terminals
// sends through a short at the supply. Numbering the ring one arm on exchanges the
// two ports, and turns one of them over.
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms := drawArms(t)
		w := rapid.SampledFrom([]Wiring{{}, {Wires: 4, Each: 3}}).Draw(t, "wiring")
		a := solve(t, w, arms)
		b := solve(t, w, [4]float64{arms[1], arms[2], arms[3], arms[0]})
		near(t, "transfer", a.Output/a.OutputResistance, -b.Output/b.OutputResistance, 1e-12, 1/a.OutputResistance)
	})
}

// Superposition in the linear limit: the change of output under small changes of
// all arms is the sum of the changes under each alone, to second order.
func TestSmallChangesAdd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		s := solve(t, w, arms)
		together, sum := arms, 0.0
		for k := range arms {
			alone := arms
			change := arms[k] * rapid.Float64Range(-1e-6, 1e-6).Draw(t, "change")
			alone[k] += change
			together[k] += change
			sum += solve(t, w, alone).Output - s.Output
		}
		near(t, "sum", solve(t, w, together).Output-s.Output, sum, 1e-11, 1)
	})
}

// A meter loads the bridge as the Thévenin equivalent says: V·Rm/(Rm + Ro), with
// the output and the output resistance of the bridge without it.
func TestMeterLoadsTheTheveninEquivalent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		if w.Meter == 0 {
			w.Meter = 5e3
		}
		open := w
		open.Meter = 0
		loaded, free := solve(t, w, arms), solve(t, open, arms)
		near(t, "output resistance", loaded.OutputResistance, free.OutputResistance, 1e-12, free.OutputResistance)
		near(t, "output", loaded.Output, free.Output*w.Meter/(w.Meter+free.OutputResistance), 1e-14, 1)
	})
}

func TestSolveAllocatesNothing(t *testing.T) {
	arms := [4]float64{350, 351, 352, 349}
	for _, w := range wirings() {
		if w.Wires != 0 {
			w.Each = 1
		}
		for _, w.Meter = range []float64{0, 1e6} {
			var s Solution
			if n := testing.AllocsPerRun(100, func() {
				if err := w.Solve(arms, &s); err != nil {
					t.Fatal(err)
				}
			}); n != 0 {
				t.Errorf("%+v: %v allocations", w, n)
			}
		}
	}
	for _, end := range []End{AtPart, AtInstrument} {
		w := Wiring{Wires: 6, Each: 1, Meter: 1e6}
		if n := testing.AllocsPerRun(100, func() {
			if _, err := w.Shunted(arms, 2, 1e5, end); err != nil {
				t.Fatal(err)
			}
		}); n != 0 {
			t.Errorf("shunt at end %d: %v allocations", end, n)
		}
	}
}

// Without loss on the supply Solve takes closed forms; the network gives the same,
// meter or none, to rounding.
func TestClosedFormsAreTheNetwork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms := drawArms(t)
		w := rapid.SampledFrom([]Wiring{{Wires: 0}, {Wires: 6}}).Draw(t, "wiring")
		if w.Wires == 6 {
			w.Each = rapid.Float64Range(0.01, 20).Draw(t, "each")
		}
		if rapid.Bool().Draw(t, "loaded") {
			w.Meter = math.Pow(10, rapid.Float64Range(2, 9).Draw(t, "log meter"))
		}
		var network Solution
		w.solveNetwork(&arms, &network)
		nearSolution(t, solve(t, w, arms), network, 1e-11)
	})
}

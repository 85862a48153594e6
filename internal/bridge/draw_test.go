package bridge

import (
	"math"

	"pgregory.net/rapid"
)

// drawArms draws four arms within a factor of three of each other.
func drawArms(t *rapid.T) [4]float64 {
	var arms [4]float64
	for k := range arms {
		arms[k] = rapid.Float64Range(200, 600).Draw(t, "arm")
	}
	return arms
}

// wirings are all ways of wiring a bridge, with arms that may be remote in each.
func wirings() []Wiring {
	all := []Wiring{{Wires: 0}, {Wires: 4}, {Wires: 6}}
	for k := range 4 {
		var one, two [4]bool
		one[k] = true
		two[k], two[(k+1)%4] = true, true
		all = append(all, Wiring{Wires: 2, Remote: one}, Wiring{Wires: 3, Remote: one}, Wiring{Wires: 3, Remote: two})
	}
	return all
}

// drawWiring draws any wiring, with wires of up to 20 Ω and, in half of the
// draws, a meter that loads the bridge noticeably.
func drawWiring(t *rapid.T) Wiring {
	w := rapid.SampledFrom(wirings()).Draw(t, "wiring")
	if w.Wires != 0 {
		w.Each = rapid.Float64Range(0.01, 20).Draw(t, "each")
	}
	if rapid.Bool().Draw(t, "loaded") {
		w.Meter = math.Pow(10, rapid.Float64Range(2, 9).Draw(t, "log meter"))
	}
	return w
}

type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

func solve(t fataler, w Wiring, arms [4]float64) Solution {
	t.Helper()
	var s Solution
	if err := w.Solve(arms, &s); err != nil {
		t.Fatalf("%+v with arms %v: %v", w, arms, err)
	}
	return s
}

// near fails unless |got − want| ≤ tolerance·scale.
func near(t fataler, what string, got, want, tolerance, scale float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(scale)) {
		t.Fatalf("%s: got %.17g, want %.17g (difference %.2g, allowed %.2g)", what, got, want, got-want, tolerance*math.Abs(scale))
	}
}

// nearSolution compares every member, outputs on the scale of the excitation.
func nearSolution(t fataler, got, want Solution, tolerance float64) {
	t.Helper()
	near(t, "output", got.Output, want.Output, tolerance, 1)
	near(t, "output resistance", got.OutputResistance, want.OutputResistance, tolerance, want.OutputResistance)
	near(t, "input resistance", got.InputResistance, want.InputResistance, tolerance, want.InputResistance)
	for k := range 4 {
		near(t, "weight", got.Weight[k], want.Weight[k], tolerance, want.Weight[k])
		near(t, "current", got.Current[k], want.Current[k], tolerance, want.Current[k])
	}
}

func parallel(a, b float64) float64 { return a * b / (a + b) }

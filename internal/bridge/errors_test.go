package bridge

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestWrongWiringsAreRefused(t *testing.T) {
	for _, c := range []struct {
		w    Wiring
		want string
	}{
		{Wiring{Wires: 5, Each: 1}, "5 wires"},
		{Wiring{Wires: -1, Each: 1}, "-1 wires"},
		{Wiring{Wires: 4}, "each wire has a resistance of 0 Ω"},
		{Wiring{Wires: 6, Each: -1}, "each wire has a resistance of -1 Ω"},
		{Wiring{Wires: 4, Each: math.NaN()}, "NaN"},
		{Wiring{Wires: 4, Each: math.Inf(1)}, "+Inf"},
		{Wiring{Each: 0.4}, "there are no wires"},
		{Wiring{Each: math.NaN()}, "there are no wires"},
		{Wiring{Meter: -1}, "input resistance is -1 Ω"},
		{Wiring{Meter: math.Inf(1)}, "left out"},
		{Wiring{Meter: math.NaN()}, "NaN"},
		{Wiring{Wires: 3, Each: 1}, "not 0"},
		{Wiring{Wires: 3, Each: 1, Remote: [4]bool{true, true, true, false}}, "not 3"},
		{Wiring{Wires: 3, Each: 1, Remote: [4]bool{true, true, true, true}}, "not 4"},
		{Wiring{Wires: 3, Each: 1, Remote: [4]bool{true, false, true, false}}, "opposite"},
		{Wiring{Wires: 3, Each: 1, Remote: [4]bool{false, true, false, true}}, "opposite"},
		{Wiring{Wires: 2, Each: 1}, "not 0"},
		{Wiring{Wires: 2, Each: 1, Remote: [4]bool{true, true, false, false}}, "not 2"},
		{Wiring{Wires: 2, Each: 1, Remote: [4]bool{true, false, true, false}}, "not 2"},
	} {
		err := c.w.Validate()
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one with %q", c.w, err, c.want)
		}
		s := Solution{Output: 7}
		if err := c.w.Solve([4]float64{350, 350, 350, 350}, &s); err == nil || s != (Solution{Output: 7}) {
			t.Errorf("%+v: Solve gave error %v and %+v, want an error and nothing written", c.w, err, s)
		}
	}
	for _, w := range wirings() {
		if w.Wires != 0 {
			w.Each = 1
		}
		if err := w.Validate(); err != nil {
			t.Errorf("%+v: %v", w, err)
		}
	}
}

func TestWrongArmsAreRefused(t *testing.T) {
	for _, bad := range []float64{0, -350, math.NaN(), math.Inf(1), math.Inf(-1), 5e-324, 1e300} {
		for k := range 4 {
			arms := [4]float64{350, 350, 350, 350}
			arms[k] = bad
			s := Solution{Output: 7}
			err := Wiring{}.Solve(arms, &s)
			if err == nil || !strings.Contains(err.Error(), "arm "+string(rune('1'+k))) || s != (Solution{Output: 7}) {
				t.Errorf("arm %d = %g: error %v, solution %+v", k+1, bad, err, s)
			}
		}
		if v, err := (Wiring{}).Shunted([4]float64{350, 350, 350, 350}, 1, bad, AtPart); err == nil {
			t.Errorf("shunt of %g Ω gave %g", bad, v)
		}
	}
}

func TestWrongShuntsAreRefused(t *testing.T) {
	arms := [4]float64{350, 350, 350, 350}
	quarter := Wiring{Wires: 3, Each: 1, Remote: [4]bool{true}}
	for _, c := range []struct {
		w    Wiring
		arm  int
		end  End
		want string
	}{
		{Wiring{}, 0, AtPart, "arm 0"},
		{Wiring{}, 5, AtPart, "arm 5"},
		{Wiring{}, 1, End(2), "unknown end"},
		{quarter, 2, AtPart, "arm 2 is in the instrument"},
		{Wiring{Wires: 7, Each: 1}, 1, AtPart, "7 wires"},
	} {
		_, err := c.w.Shunted(arms, c.arm, 1e5, c.end)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one with %q", c, err, c.want)
		}
	}
}

// Whatever the numbers, an error or finite figures.
func TestNeverNaN(t *testing.T) {
	finite := func(values ...float64) bool {
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return false
			}
		}
		return true
	}
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, minOhm, 1, 350, 1e6, maxOhm, math.Inf(1), math.NaN()}))
		var arms [4]float64
		for k := range arms {
			arms[k] = number.Draw(t, "arm")
		}
		w := rapid.SampledFrom(wirings()).Draw(t, "wiring")
		w.Each, w.Meter = number.Draw(t, "each"), number.Draw(t, "meter")
		var s Solution
		if w.Solve(arms, &s) == nil {
			if !finite(append(append(s.Weight[:], s.Current[:]...), s.Output, s.InputResistance, s.OutputResistance)...) {
				t.Fatalf("%+v", s)
			}
		}
		end := rapid.SampledFrom([]End{AtPart, AtInstrument}).Draw(t, "end")
		if v, err := w.Shunted(arms, rapid.IntRange(1, 4).Draw(t, "arm"), number.Draw(t, "shunt"), end); err == nil && !finite(v) {
			t.Fatalf("shunt gave %g", v)
		}
		if v, err := JohnsonNoise(number.Draw(t, "R"), number.Draw(t, "T"), number.Draw(t, "B")); err == nil && !finite(v) {
			t.Fatalf("noise %g", v)
		}
	})
}

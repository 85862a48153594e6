package bridge

import "testing"

var sink float64

func BenchmarkPlain(b *testing.B) {
	arms := [4]float64{350.1, 349.8, 350.3, 349.9}
	for b.Loop() {
		sink = Plain(arms)
	}
}

func BenchmarkSolve(b *testing.B) {
	arms := [4]float64{350.1, 349.8, 350.3, 349.9}
	for _, c := range []struct {
		name string
		Wiring
	}{
		{"0 wires", Wiring{}},
		{"6 wires", Wiring{Wires: 6, Each: 0.4}},
		{"0 wires, meter", Wiring{Meter: 1e9}},
		{"6 wires, meter", Wiring{Wires: 6, Each: 0.4, Meter: 1e9}},
		{"4 wires, meter", Wiring{Wires: 4, Each: 0.4, Meter: 1e9}},
		{"3 wires, quarter, meter", Wiring{Wires: 3, Each: 0.4, Remote: [4]bool{true}, Meter: 1e9}},
	} {
		b.Run(c.name, func(b *testing.B) {
			var s Solution
			for b.Loop() {
				if err := c.Solve(arms, &s); err != nil {
					b.Fatal(err)
				}
			}
			sink = s.Output
		})
	}
}

package bridge

import (
	"testing"

	"pgregory.net/rapid"
)

// Four equal arms R: |V/E| = R/(4 Rs + 2 R), negative for arms 1 and 3.
func TestShuntOfEqualArms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(100, 5000).Draw(t, "arm")
		rs := rapid.Float64Range(1e3, 1e6).Draw(t, "shunt")
		end := rapid.SampledFrom([]End{AtPart, AtInstrument}).Draw(t, "end")
		for arm := 1; arm <= 4; arm++ {
			got, err := Wiring{}.Shunted([4]float64{r, r, r, r}, arm, rs, end)
			if err != nil {
				t.Fatalf("%v", err)
			}
			want := r / (4*rs + 2*r)
			if arm == 1 || arm == 3 {
				want = -want
			}
			near(t, "shunt", got, want, 1e-15, 1) // rounding of the two outputs
		}
	})
}

// The shunt at the instrument by hand: with signal wires of r and no meter, four
// wires and a shunt across arm 1, the ring sees +E and −S bridged by Rs + r, plus r
// in each supply line. Solved here as a ladder by superposing loop currents.
func TestShuntAtInstrumentByLoopCurrents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		arms, r := drawArms(t), rapid.Float64Range(0.1, 20).Draw(t, "each")
		rs := rapid.Float64Range(5e3, 5e5).Draw(t, "shunt")
		// Loop currents: a through supply, both supply wires, arms 1 and 2; b through
		// supply, both supply wires, arms 4 and 3; c through supply wire +E backwards,
		// shunt, signal wire −S and arm 1 backwards.
		m := [3][4]float64{
			{2*r + arms[0] + arms[1], 2 * r, -(r + arms[0]), 1},
			{2 * r, 2*r + arms[2] + arms[3], -r, 1},
			{-(r + arms[0]), -r, rs + 2*r + arms[0], 0},
		}
		i := cramer(m)
		supply := i[0] + i[1]
		corner := 1 - r*(supply-i[2]) - r*supply // voltage between the supply corners of the ring
		minus := 1 - rs*i[2]                     // −S terminal over the −E terminal
		plus := r*supply + arms[2]*i[1]
		for _, c := range []struct {
			wires int
			e     float64
		}{{4, 1}, {6, corner}} {
			w := Wiring{Wires: c.wires, Each: r}
			got, err := w.Shunted(arms, 1, rs, AtInstrument)
			if err != nil {
				t.Fatalf("%v", err)
			}
			near(t, "shunt", got, (plus-minus)/c.e-solve(t, w, arms).Output, 1e-13, 1)
		}
	})
}

// cramer solves three linear equations, the right-hand side last.
func cramer(m [3][4]float64) [3]float64 {
	det := func(a, b, c int) float64 {
		return m[0][a]*(m[1][b]*m[2][c]-m[2][b]*m[1][c]) -
			m[1][a]*(m[0][b]*m[2][c]-m[2][b]*m[0][c]) +
			m[2][a]*(m[0][b]*m[1][c]-m[1][b]*m[0][c])
	}
	d := det(0, 1, 2)
	return [3]float64{det(3, 1, 2) / d, det(0, 3, 2) / d, det(0, 1, 3) / d}
}

// Exchanging the signal leads flips a shunt's output, at either end, on any wiring
// and with the part's arms or the instrument's.
func TestShuntFlipsWithTheSignalLeads(t *testing.T) {
	to := [4]int{3, 2, 1, 0}
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		arm := rapid.IntRange(1, 4).Draw(t, "arm")
		rs := rapid.Float64Range(1e3, 1e6).Draw(t, "shunt")
		end := rapid.SampledFrom([]End{AtPart, AtInstrument}).Draw(t, "end")
		turned, exchanged := w, [4]float64{}
		for k, j := range to {
			exchanged[j], turned.Remote[j] = arms[k], w.Remote[k]
		}
		a, errA := w.Shunted(arms, arm, rs, end)
		b, errB := turned.Shunted(exchanged, to[arm-1]+1, rs, end)
		completion := (w.Wires == 2 || w.Wires == 3) && !w.Remote[arm-1]
		if refused := end == AtPart && completion; (errA != nil) != refused || (errB != nil) != refused {
			t.Fatalf("refused %v, errors %v and %v", refused, errA, errB)
		}
		near(t, "shunt", b, -a, 1e-14, 1)
	})
}

// A shunt across an arm is that arm in parallel with it: at the part always, at
// the instrument where the arm is.
func TestShuntIsAParallelResistor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, arms := drawWiring(t), drawArms(t)
		k := rapid.IntRange(0, 3).Draw(t, "arm")
		rs := rapid.Float64Range(1e3, 1e6).Draw(t, "shunt")
		end := AtPart
		if (w.Wires == 2 || w.Wires == 3) && !w.Remote[k] {
			end = AtInstrument
		}
		got, err := w.Shunted(arms, k+1, rs, end)
		if err != nil {
			t.Fatalf("%v", err)
		}
		lower := arms
		lower[k] = parallel(arms[k], rs)
		near(t, "shunt", got, solve(t, w, lower).Output-solve(t, w, arms).Output, 1e-15, 1)
	})
}

// At the instrument the wires stand between the shunt and the arm: with two wires
// of r the arm and its wires are shunted as one.
func TestShuntBehindTwoWires(t *testing.T) {
	arms := [4]float64{350, 351, 349, 352}
	w := Wiring{Wires: 2, Each: 3, Remote: [4]bool{true}, Meter: 1e5}
	got, err := w.Shunted(arms, 1, 5e4, AtInstrument)
	if err != nil {
		t.Fatal(err)
	}
	want := solve(t, Wiring{Meter: 1e5}, [4]float64{parallel(356, 5e4), 351, 349, 352}).Output -
		solve(t, Wiring{Meter: 1e5}, [4]float64{356, 351, 349, 352}).Output
	near(t, "shunt", got, want, 1e-15, 1)
}

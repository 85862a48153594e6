package pick

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Where there are more wirings than are enumerated the longest arms are left out,
// it is said so, and the bound on what they could give is one: no wiring that is
// enumerated exceeds it either.
func TestBounded(t *testing.T) {
	placed := "placements:\n"
	for i, a := range []int{0, 40, 95, 130, 170, 220, 260, 325} {
		placed += fmt.Sprintf("  %s: {gauge: rosette, around: %d°}\n", letters(i), a)
	}
	d := read(t, text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m measure", "axial: 20 kN reject", "bending-z: 400 N·m reject"},
		[]string{"rosette"}, placed+"require: {crosstalk: {at-most: 1 %}}\n"))
	out := find(t, d, Options{})
	expect(t, "proof", out.Proof, Bounded)
	expect(t, "met", out.Met, true)
	if out.Searched > budgetGiven || out.Gap == nil || out.Gap.Wirings == 0 || !strings.Contains(out.Proved, "were left out") {
		t.Fatalf("%d searched, gap %+v; %s", out.Searched, out.Gap, out.Proved)
	}
	if out.Gap.Output < out.Candidates[0].Metrics.Output || out.Gap.Gauges != 8 {
		t.Errorf("gap %+v, found %g", out.Gap, out.Candidates[0].Metrics.Output)
	}
	exact := find(t, read(t, rosettes(8, true)), Options{Series: 2})
	expect(t, "proof with arms of two", exact.Proof, Exhaustive)
	expect(t, "searched with arms of two", exact.Searched, int64(25741485+2*12113640+2*31878+276+6072))
}

// No output exceeds its bound, and the best of four grids reaches it.
func TestBoundOnOutput(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	for range 200 {
		n := 4 + r.IntN(5)
		g := &ground{grids: n, loads: 1}
		for range n {
			g.change = append(g.change, r.NormFloat64())
		}
		p := &problem{measured: []int{0}}
		p.design = read(t, rosettes(2, false))
		bound := g.bounds(p)[0]
		best := 0.0
		for _, s := range shapes(3) {
			if s.grids() > n || !s.full() && s.merged() && s.first.up > 2 {
				continue
			}
			w := wiring{shape: s}
			weights := make([]float64, n)
			for range 200 {
				perm := r.Perm(n)
				take := func(k int) (mask uint64) {
					for _, i := range perm[:k] {
						mask |= 1 << i
					}
					perm = perm[k:]
					return mask
				}
				switch {
				case s.full() && s.merged():
					w.plus[0], w.minus[0] = take(2*s.first.up), take(2*s.first.up)
				case s.full():
					w.plus, w.minus = [2]uint64{take(s.first.up), take(s.second.down)}, [2]uint64{take(s.first.down), take(s.second.up)}
				default:
					w.plus, w.minus = [2]uint64{take(s.first.up)}, [2]uint64{take(s.first.down)}
				}
				w.weights(weights)
				out := 0.0
				for i, x := range weights {
					out += x * g.change[i]
				}
				best = max(best, out, -out)
			}
		}
		if best > bound*(1+1e-12) {
			t.Fatalf("an output of %g exceeds the bound %g of %v", best, bound, g.change)
		}
		x := slices.Sorted(slices.Values(g.change))
		if got := (x[n-1] + x[n-2] - x[0] - x[1]) / 4; got != bound {
			t.Fatalf("the best full bridge gives %g, the bound is %g", got, bound)
		}
	}
}

// Longer arms that cannot come first are excluded by the bound, counted apart, and
// the proof stays whole: the winner is that of a search which evaluates them.
func TestExcluded(t *testing.T) {
	base := text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure", "axial: 15 kN reject"}, []string{"rosette"}, "")
	out := find(t, read(t, base), Options{})
	expect(t, "proof", out.Proof, Exhaustive)
	if out.Excluded == 0 || !strings.Contains(out.Proved, "none of them can come first but by a tie") {
		t.Errorf("%d excluded: %s", out.Excluded, out.Proved)
	}
	short := find(t, read(t, base), Options{Series: 1})
	expect(t, "winner", arms(short.Candidates[0].Design, "T"), arms(out.Candidates[0].Design, "T"))
}

// Patterns that turn onto each other are taken once; a part without shear forces
// does not tell mirror images in a cross section apart.
func TestTurns(t *testing.T) {
	for _, c := range []struct{ gauge, load, want string }{
		{"single", "axial: 1 kN measure", "[0 45 90]"}, // 135° is the mirror image of 45°
		{"single", "shear-y: 1 kN measure", "[0 45 90 135]"},
		{"pair", "torque: 100 N·m measure", "[0 45]"}, // 90° exchanges the grids
		{"tee", "axial: 1 kN measure", "[0 45]"},
		{"rosette", "axial: 1 kN measure", "[0 45 90 225]"}, // 135° mirrors 45°, 180° 0°, 270° 90°, 315° 225°
		{"rosette", "shear-y: 1 kN measure", "[0 45 90 135 180 225 270 315]"},
	} {
		p, err := newProblem(read(t, text(tube, []string{c.load}, []string{c.gauge}, "")))
		if err != nil {
			t.Fatal(err)
		}
		expect(t, c.gauge+", "+c.load, fmt.Sprint(p.turns(0)), c.want)
	}
}

// Where sectors kept out leave no room for equal spacing, free angles are searched.
func TestFreeAngles(t *testing.T) {
	out := find(t, read(t, text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m reject", "axial: 10 kN reject"}, []string{"pair"},
		"pick: {at-most: 2, fixed-arms: forbidden, keep-out: [[80°, 280°]]}\n")), Options{})
	if !out.Met || !strings.Contains(out.Space, "free angles") {
		t.Fatalf("met %v, %s: %s", out.Met, out.Nearest, out.Space)
	}
	a := angles(out.Candidates[0].Design)
	if len(a) != 2 || a[1]-a[0] == 180 {
		t.Errorf("angles %v", a)
	}
	for _, x := range a {
		if x > 80 && x < 280 {
			t.Errorf("angle %v is kept out", x)
		}
	}
}

// Two gauge types on one part: pairs for torque, singles for bending, when no type
// alone can do both.
func TestMixedTypes(t *testing.T) {
	source := text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m measure", "axial: 5 kN reject"}, []string{"pair", "single"}, "pick: {at-most: 4}\n")
	w := winner(t, source)
	types := map[int]int{}
	for _, p := range w.Design.Placements {
		types[p.Gauge]++
	}
	if len(w.Design.Bridges) != 2 || len(types) == 0 {
		t.Errorf("%v: %s", types, w.Why)
	}
	mixed := false
	for _, c := range find(t, read(t, source), Options{All: true}).Candidates {
		types := map[int]bool{}
		for _, p := range c.Design.Placements {
			types[p.Gauge] = true
		}
		mixed = mixed || len(types) == 2 && c.Metrics.Met() && c.Metrics.Full > 0
	}
	if !mixed {
		t.Error("no candidate mixes the two types")
	}
}

package pick

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gridwright/internal/bridge"
)

// surveyOf is the ground of the placements of a design file.
func surveyOf(t *testing.T, source string) (*problem, *layout, *ground) {
	t.Helper()
	p, err := newProblem(read(t, source))
	if err != nil {
		t.Fatal(err)
	}
	layouts, err := p.layouts()
	if err != nil {
		t.Fatal(err)
	}
	g, err := p.survey(&layouts[0])
	if err != nil {
		t.Fatal(err)
	}
	return p, &layouts[0], g
}

// The numbers of distinct wirings of 24 grids with up to two in an arm, by hand:
// C(24,4)C(20,4)/2 of full 2/2 + 2/2, C(24,2)C(22,2)·20·19/2 of full 2/2 + 1/1,
// C(24,2)·22·C(21,2)·19/2 of full 2/1 + 2/1, C(24,2)C(22,2)/2 of full 1/1 + 1/1 and
// of half 2/2, 24·23/2 of half 1/1, C(24,2)·22 of half 2/1.
func TestWiringsByHand(t *testing.T) {
	want := map[string]int64{
		"full 2/2 + 2/2": 10626 * 4845 / 2, "full 2/2 + 1/1": 276 * 231 * 190, "full 2/1 + 2/1": 276 * 22 * 210 * 19 / 2,
		"full 1/1 + 1/1": 276 * 231 / 2, "half 2/2": 276 * 231 / 2, "half 1/1": 276, "half 2/1": 276 * 22,
	}
	for _, s := range shapes(2) {
		expect(t, s.words(), s.distinct(24, 1<<40), want[s.words()])
		delete(want, s.words())
	}
	if len(want) > 0 {
		t.Errorf("shapes missing: %v", want)
	}
}

// Every bridge that balances is a shape: all numbers of grids of one resistance in
// four arms with R1·R3 = R2·R4, up to the names of arms.
func TestShapesAreAllThatBalance(t *testing.T) {
	found := map[string]bool{}
	key := func(a [4]int) string {
		var names []string
		for turn := range 4 {
			r := [4]int{a[turn], a[(turn+1)%4], a[(turn+2)%4], a[(turn+3)%4]}
			if turn%2 == 1 {
				continue // supply and signal exchanged is another bridge
			}
			names = append(names, fmt.Sprint(r), fmt.Sprint([4]int{r[1], r[0], r[3], r[2]}), fmt.Sprint([4]int{r[3], r[2], r[1], r[0]}))
		}
		slices.Sort(names)
		return names[0] + names[len(names)-1]
	}
	for _, s := range shapes(maxSeries) {
		if s.full() {
			k := key([4]int{s.first.up, s.first.down, s.second.down, s.second.up})
			if found[k] {
				t.Errorf("%s stands twice", s.words())
			}
			found[k] = true
		}
	}
	for n := range 256 {
		a := [4]int{1 + n&3, 1 + n>>2&3, 1 + n>>4&3, 1 + n>>6&3}
		if balances := a[0]*a[2] == a[1]*a[3]; balances && !found[key(a)] {
			t.Errorf("arms %v balance and are no shape", a)
		}
	}
}

// The weight of a grid is the derivative of the ring's exact output by its ΔR/R.
func TestWeightsAreThoseOfTheRing(t *testing.T) {
	for _, s := range shapes(maxSeries) {
		grids := 0
		take := func(n int) (mask uint64) {
			for range n {
				mask |= 1 << grids
				grids++
			}
			return mask
		}
		w := wiring{shape: s}
		var sizes [4]int
		switch {
		case s.full() && s.merged():
			w.plus[0], w.minus[0] = take(2*s.first.up), take(2*s.first.up)
			sizes = [4]int{s.first.up, s.first.up, s.first.up, s.first.up}
		case s.full():
			w.plus[0], w.minus[0] = take(s.first.up), take(s.first.down)
			w.plus[1], w.minus[1] = take(s.second.down), take(s.second.up)
			sizes = [4]int{s.first.up, s.first.down, s.second.down, s.second.up}
		default:
			w.plus[0], w.minus[0] = take(s.first.up), take(s.first.down)
			sizes = [4]int{s.first.up, s.first.down, s.first.down, s.first.up}
		}
		ring := [4]float64{350 * float64(sizes[0]), 350 * float64(sizes[1]), 350 * float64(sizes[2]), 350 * float64(sizes[3])}
		if out := bridge.Plain(ring); math.Abs(out) > 1e-15 {
			t.Errorf("%s rests at %g", s.words(), out)
		}
		want := bridge.PlainWeights(ring)
		got := make([]float64, grids)
		w.weights(got)
		sum := 0.0
		for i, x := range got {
			sum += x
			arm := slices.IndexFunc([]uint64{w.plus[0], w.minus[0], w.plus[1], w.minus[1]}, func(m uint64) bool { return m>>i&1 == 1 })
			if y := want[arm] * 350; math.Abs(x-y) > 1e-15 {
				t.Errorf("%s: grid %d weighs %g, in the ring %g", s.words(), i, x, y)
			}
		}
		if math.Abs(sum) > 1e-15 {
			t.Errorf("%s: what all grids do alike leaves %g", s.words(), sum)
		}
	}
}

// The enumeration meets as many wirings as the formulas say, and as many as there
// are distinct weight vectors, the sign aside, of all assignments of grids to arms.
func TestWiringsCounted(t *testing.T) {
	for _, c := range []struct{ rosettes, singles, series int }{{1, 0, 4}, {1, 2, 4}, {2, 0, 3}, {2, 1, 2}} {
		placed := "placements:\n"
		for i := range c.rosettes {
			placed += fmt.Sprintf("  %s: {gauge: rosette, around: %d°}\n", letters(i), i*120)
		}
		for i := range c.singles {
			placed += fmt.Sprintf("  %s: {gauge: rosette1, around: %d°}\n", letters(i+5), i*50+200)
		}
		gaugeTexts["rosette1"] = gaugeTexts["single"]
		p, _, g := surveyOf(t, text(tube, []string{"torque: 900 N·m measure"}, []string{"rosette", "rosette1"}, placed))
		k := newKernel(p, g, true, c.series, budgetGiven)
		want := countByWeights(g.grids, c.series)
		expect(t, fmt.Sprintf("%+v: by formulas", c), k.total, want)
		if err := k.enumerate(context.Background()); err != nil {
			t.Fatal(err)
		}
		expect(t, fmt.Sprintf("%+v: enumerated", c), k.searched.Load(), want)
	}
}

// countByWeights puts every grid into one of four arms or aside, keeps what
// balances in a full or half bridge, and counts distinct vectors of weights, one
// of the two signs. The weights of different shapes differ, so that they are told
// apart by them.
func countByWeights(grids, series int) int64 {
	seen := map[string]bool{}
	place := make([]int, grids)
	total := 1
	for range grids {
		total *= 5
	}
	for n := range total {
		var size [4]int
		for i, x := 0, n; i < grids; i, x = i+1, x/5 {
			place[i] = x % 5
			if place[i] < 4 {
				size[place[i]]++
			}
		}
		half := size[2] == 0 && size[3] == 0
		ring := size
		if half {
			ring[2], ring[3] = size[1], size[0]
		}
		if slices.Min(ring[:]) == 0 || slices.Max(size[:]) > series || ring[0]*ring[2] != ring[1]*ring[3] {
			continue
		}
		w := bridge.PlainWeights([4]float64{float64(ring[0]), float64(ring[1]), float64(ring[2]), float64(ring[3])})
		var plus, minus strings.Builder
		for _, arm := range place {
			x := 0.0
			if arm < 4 {
				x = math.Round(w[arm] * 1e9)
			}
			fmt.Fprintf(&plus, "%v,", x)
			fmt.Fprintf(&minus, "%v,", 0-x)
		}
		fmt.Fprint(&plus, half)
		fmt.Fprint(&minus, half)
		if !seen[minus.String()] {
			seen[plus.String()] = true
		}
	}
	return int64(len(seen))
}

// The sets listed are all of them, each once, with the sums of their rows.
func TestSets(t *testing.T) {
	g := &ground{grids: 9, loads: 2, kind: make([]uint8, 9), ohm: make([]uint8, 9)}
	for i := range 9 {
		g.change = append(g.change, float64(i)-3, float64(i*i))
	}
	for k := 1; k <= 6; k++ {
		s := g.sets(k)
		n := 0
		for mask := uint64(0); mask < 1<<9; mask++ {
			if bits.OnesCount64(mask) != k {
				continue
			}
			sum, squares := 0.0, 0.0
			bitsOf(mask, func(i int) { sum += float64(i) - 3; squares += float64(i * i) })
			if s.mask[n] != mask || s.vector[4*n] != sum || s.vector[4*n+1] != squares {
				t.Fatalf("set %d of %d grids: %b with %v, want %b", n, k, s.mask[n], s.vector[4*n:4*n+2], mask)
			}
			n++
		}
		expect(t, fmt.Sprintf("sets of %d", k), s.len(), n)
	}
}

// With more than four loads the other loop runs: it finds the same.
func TestLoopsAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		g := &ground{grids: 9, loads: 3, kind: make([]uint8, 9), ohm: make([]uint8, 9), ohms: make([]float64, 9), uniform: true,
			place: make([]int, 9), sin: make([]float64, 9), cos: make([]float64, 9)}
		wide := *g
		wide.loads = 6
		for range 9 {
			x := []float64{math.Round(4*r.NormFloat64()) * 1e-4, math.Round(3*r.NormFloat64()) * 1e-4, math.Round(r.NormFloat64()) * 1e-4}
			g.change = append(g.change, x...)
			wide.change = append(wide.change, append(x, 0, 0, 0)...)
		}
		d := read(t, text(shaft, []string{"torque: 100 N·m measure"}, []string{"pair"}, ""))
		p, err := newProblem(d)
		if err != nil {
			t.Fatal(err)
		}
		var kept []string
		for _, g := range []*ground{g, &wide} {
			g.losses = p.lossesOf([]float64{350})
			g.tolerances = &tolerances{loads: g.loads, change: g.change, along: make([]float64, 9), stated: true}
			g.index = []int{0, 1, 2, 3, 4, 5, 6, 7, 8}
			k := newKernel(p, g, true, 2, budgetGiven)
			if err := k.enumerate(context.Background()); err != nil {
				t.Fatal(err)
			}
			words := fmt.Sprint(k.searched.Load())
			for _, w := range k.shelves[0].kept() {
				words += fmt.Sprint(w.plus, w.minus, w.shape, w.output, w.crosstalk95)
			}
			kept = append(kept, words)
		}
		expect(t, "kept with eight loads", kept[1], kept[0])
	}
}

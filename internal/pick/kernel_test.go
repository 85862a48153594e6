package pick

import (
	"context"
	"fmt"
	"math"
	"math/bits"
	"strings"
	"testing"

	"gridwright/internal/predict"
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

// The numbers of distinct wirings by hand: two sets of k of n grids that share
// none, the order of the two aside, n!/(k!² (n−2k)!)/2. Six grids: half bridges
// of 1, 2, 3 in series 15, 45, 10, full bridges of 1 in series 45. Twelve: 66 +
// 1485 + 9240, and 1485 + 17325 + 462.
func TestWiringsCounted(t *testing.T) {
	for rosettes, want := range map[int]int64{2: 15 + 45 + 10 + 45, 4: 66 + 1485 + 9240 + 1485 + 17325 + 462} {
		placed := "placements:\n"
		for i := range rosettes {
			placed += fmt.Sprintf("  %s: {gauge: rosette, around: %d°}\n", letters(i), i*360/rosettes)
		}
		p, _, g := surveyOf(t, text(tube, []string{"torque: 900 N·m measure"}, []string{"rosette"}, placed))
		k := newKernel(p, g, true)
		if err := k.enumerate(context.Background()); err != nil {
			t.Fatal(err)
		}
		expect(t, fmt.Sprintf("%d rosettes", rosettes), k.searched, want)
		expect(t, "bounded", k.bounded, false)
	}
}

// The sets listed are all of them, each once, with the sums of their rows.
func TestSubsets(t *testing.T) {
	g := &ground{grids: 9, loads: 2, lot: make([]uint8, 9), ohm: make([]uint8, 9)}
	for i := range 9 {
		g.change = append(g.change, float64(i)-3, float64(i*i))
	}
	for k := 1; k <= 6; k++ {
		s := g.list(k)
		n := 0
		for mask := uint64(0); mask < 1<<9; mask++ {
			if bits.OnesCount64(mask) != k {
				continue
			}
			sum, squares := 0.0, 0.0
			bitsOf(mask, func(i int) { sum += float64(i) - 3; squares += float64(i * i) })
			if s.mask[n] != mask || s.sum[2*n] != sum || s.sum[2*n+1] != squares {
				t.Fatalf("set %d of %d grids: %b with %v, want %b", n, k, s.mask[n], s.sum[2*n:2*n+2], mask)
			}
			n++
		}
		expect(t, fmt.Sprintf("sets of %d", k), len(s.mask), n)
	}
}

// Rated output and crosstalk by rows are those of the exact network, for bridges
// of one to three grids an arm, with leads and a meter that cost output.
func TestRowsAgreeWithNetwork(t *testing.T) {
	for _, wires := range []int{0, 4, 6} {
		d := read(t, text(tube, []string{"torque: 900 N·m measure", "axial: 20 kN measure", "bending-y: 100 N·m reject"}, []string{"rosette", "tee"}, "pick: {at-most: 4}\ninstrument: {input-resistance: 5 kΩ}\nrequire: {crosstalk: {at-most: 10 %}}\n"))
		if wires > 0 {
			d.Leads.Wires, d.Leads.Each = wires, si(3, "leads.each")
		}
		p, err := newProblem(d)
		if err != nil {
			t.Fatal(err)
		}
		layouts, err := p.layouts()
		if err != nil {
			t.Fatal(err)
		}
		s := &search{problem: p, layouts: layouts, results: make([]*wired, len(layouts))}
		if err := s.run(context.Background(), true); err != nil {
			t.Fatal(err)
		}
		series := map[int]bool{}
		checked := 0
		for i, pr := range s.proposals() {
			if i%7 != 0 {
				continue
			}
			before, set := pr.output, pr.set
			c, err := s.candidate(pr)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(pr.output/before-1) > 1e-9 {
				t.Fatalf("%d wires, %s: output %g by rows, %g by the network", wires, pr.layout.words(d), before, pr.output)
			}
			if !c.Metrics.Met() {
				t.Fatalf("%d wires, %s: %v", wires, pr.layout.words(d), c.Metrics.Missed)
			}
			for n := range p.measured {
				series[set.bridges[n].series] = true
			}
			checked++
		}
		if checked < 10 || !series[1] || !series[2] || !series[3] {
			t.Errorf("%d wires: %d checked, series %v", wires, checked, series)
		}
	}
}

// The drift by rows is that of the exact network: a layer of 0.1 mm that expands
// on a small radius moves grids round the part, not those along it.
func TestDriftByRows(t *testing.T) {
	gaugeTexts["layer"] = gaugeTexts["tee"] + ", stand-off: 0.1 mm, stand-off-expansion: 60 ppm/K"
	base := text(shaft, []string{"axial: 50 kN measure", "bending-y: 50 N·m reject"}, []string{"layer"}, "temperature: {range: [0 °C, 60 °C]}\nrequire: {zero-drift: {at-most: LIMIT}}\n")
	loose := find(t, read(t, strings.Replace(base, "LIMIT", "10 %/10K", 1)), Options{})
	if !loose.Met {
		t.Fatal(loose.Nearest)
	}
	w := &loose.Candidates[0]
	// εa = (h/R)(1+ν)/(1−ν)(αL−α)ΔT on the two grids round the part, half of the arms.
	kt := 0.005
	layer := 0.1 / 15 * 1.35 / 0.65 * (60e-6 - 11.5e-6) * (1 - kt) / 2
	axial := 50e3 / (math.Pi / 4 * 0.030 * 0.030 * 205e9) * 1.29 * (1 - kt) / 2
	if got, want := w.Metrics.ZeroDrift.Value, layer/axial; math.Abs(got/want-1) > 1e-3 {
		t.Errorf("zero drift %g, by hand %g", got, want)
	}
	p, l, g := surveyOf(t, strings.Replace(base, "LIMIT", "10 %/10K", 1))
	k := newKernel(p, g, true)
	if err := k.enumerate(context.Background()); err != nil {
		t.Fatal(err)
	}
	if len(k.found[0]) == 0 {
		t.Fatal("no wiring for axial force")
	}
	for _, one := range k.found[0] {
		d, _, _, err := p.build(&proposal{layout: l, set: set{bridges: [maxLoads]wiring{one}}})
		if err != nil {
			t.Fatal(err)
		}
		r, err := predict.Of(d)
		if err != nil {
			t.Fatal(err)
		}
		want := r.Bridges[0].Temperature.ZeroDrift.Value
		if got := k.drift(&one) / one.output; math.Abs(got/want-1) > 1e-2 {
			t.Errorf("drift %g by rows, %g by the network", got, want)
		}
	}
	tight := find(t, read(t, strings.Replace(base, "LIMIT", "0.0001 %/10K", 1)), Options{})
	if tight.Met || len(tight.Candidates) == 0 || !strings.Contains(tight.Nearest, "zero drift of bridge N is") {
		t.Errorf("met %v: %s", tight.Met, tight.Nearest)
	}
}

// Three positions need arms of three grids to be blind to bending: the pairs at
// 0°, 120° and 240° in series.
func TestThreePositionsTakeSeriesArms(t *testing.T) {
	w := winner(t, text(shaft, []string{"torque: 100 N·m measure", "axial: 10 kN reject", "bending-y: 50 N·m reject", "shear-z: 2 kN reject"}, []string{"pair"},
		"placements:\n  A: {gauge: pair, around: 0°}\n  B: {gauge: pair, around: 120°}\n  C: {gauge: pair, around: 240°}\n"))
	expect(t, "torque bridge", arms(w.Design, "T"), "[A2, B2, C2], [A1, B1, C1], 1050 Ω, 1050 Ω")
	if !w.Metrics.Opposite {
		t.Error("three positions evenly round the part do not count as opposite")
	}
}

// A set that would take too long is cut and said so.
func TestBounded(t *testing.T) {
	placed := "placements:\n"
	for i := range 8 {
		placed += fmt.Sprintf("  %s: {gauge: rosette, around: %d°, station: %d mm}\n", letters(i), i%4*90, i/4*20)
	}
	out := find(t, read(t, text(tube, []string{"torque: 900 N·m measure", "bending-y: 100 N·m measure", "axial: 20 kN reject"}, []string{"rosette"}, placed)), Options{})
	expect(t, "proof", out.Proof, Bounded)
	expect(t, "met", out.Met, true)
	if out.Searched > maxWirings || !strings.Contains(out.Space, "longest arms were left out") {
		t.Errorf("%d searched; %s", out.Searched, out.Space)
	}
}

package pick

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

// naive is one bridge of the brute-force twin: arms of one grid each, a grid
// index in the order of the model, −1 for a fixed resistor.
type naive struct {
	used     uint64
	full     bool
	opposite bool // the gauges' middles, counted by grids, have their mean on the part's axis
	output   float64
}

// naiveBridges tries every assignment of grids to arms through the exact network
// and keeps those that give a positive output, are blind to the other loads, and
// whose adjacent arms are of one lot and resistance.
func naiveBridges(t *testing.T, d *design.Design, c design.Component, limit float64) []naive {
	t.Helper()
	one := *d
	one.Bridges = nil
	m, err := model.Compile(&one)
	if err != nil {
		t.Fatal(err)
	}
	n := len(m.Grids)
	lot := func(i int) int { return m.Grids[i].Gauge }
	ohms := func(i int) float64 { return d.Gauges[lot(i)].Resistance[m.Grids[i].Ref.Grid].SI }
	var out []naive
	try := func(arms [4]int) {
		b := design.Bridge{Name: "X", Measures: c, Leads: d.Leads}
		bridge := naive{full: arms[2] >= 0}
		y, z := 0.0, 0.0
		for k, i := range arms {
			if i < 0 {
				b.Arms[k].Resistor = si(ohms(arms[0]), "")
				continue
			}
			b.Arms[k].Grids = []design.GridRef{m.Grids[i].Ref}
			bridge.used |= 1 << i
			around := d.Placements[m.Grids[i].Ref.Placement].Around.SI
			y, z = y+math.Cos(around), z+math.Sin(around)
		}
		bridge.opposite = math.Abs(y) < 1e-6 && math.Abs(z) < 1e-6 || !(c == design.Torque || c == design.Axial)
		like := func(i, j int) bool {
			a, b := arms[i], arms[j]
			return a < 0 && b < 0 || a >= 0 && b >= 0 && lot(a) == lot(b) && ohms(a) == ohms(b)
		}
		if !(like(0, 1) && like(2, 3) || like(0, 3) && like(1, 2)) {
			return
		}
		one.Bridges = []design.Bridge{b}
		mm, err := model.Compile(&one)
		if err != nil {
			return // leads that do not allow the bridge
		}
		f := mm.NewFigures()
		if err := mm.Eval(mm.Nominal, f); err != nil {
			t.Fatal(err)
		}
		own, capacity := 0.0, 0.0
		for j, load := range mm.Components {
			if load == c {
				own = f.Sensitivity[j] * math.Abs(mm.Rated[j])
				for _, i := range arms {
					if i >= 0 {
						capacity += math.Abs(f.State().Row(i, j)*mm.Rated[j]) / 4
					}
				}
			}
		}
		// A grid all but blind is not worth its place: the 2 % that check and pick
		// call blind, less what leads take.
		if own <= 1e-12 || own < 0.02*capacity {
			return
		}
		for j, load := range mm.Components {
			if load != c && math.Abs(f.Sensitivity[j]*mm.Rated[j]) > limit*(1+1e-9)*own+1e-9*own {
				return
			}
		}
		bridge.output = own
		out = append(out, bridge)
	}
	for a := range n {
		for b := range n {
			if b == a {
				continue
			}
			if !d.Pick.ForbidFixedArms {
				try([4]int{a, b, -1, -1})
			}
			for c := a + 1; c < n; c++ { // arms 1 and 3 exchanged with 2 and 4 are the same bridge
				for e := range n {
					if c != b && e != a && e != b && e != c {
						try([4]int{a, b, c, e})
					}
				}
			}
		}
	}
	return out
}

// twin is the best arrangement of the brute force for one combination of full
// and half bridges: where bending is among the loads those opposite first, then
// the greatest least output.
func twin(lists [][]naive, full []bool, bends bool) (opposite bool, best float64, ok bool) {
	var walk func(c int, used uint64, all bool, least float64)
	walk = func(c int, used uint64, all bool, least float64) {
		if c == len(lists) {
			if !ok || all && !opposite || all == opposite && least > best {
				opposite, best, ok = all, least, true
			}
			return
		}
		for _, b := range lists[c] {
			if b.full == full[c] && b.used&used == 0 {
				walk(c+1, used|b.used, all && (b.opposite || !bends), math.Min(least, b.output))
			}
		}
	}
	walk(0, 0, true, math.Inf(1))
	return opposite, best, ok
}

// randomProblem is a small problem: one to three gauges of one or two types and
// lots, at odd places, with unequal gauge factors and resistances.
func randomProblem(r *rand.Rand) string {
	patterns := []string{"single", "tee", "pair", "rosette"}
	factor := func() float64 { return 2 + 0.01*float64(r.IntN(12)) }
	var gauges []string
	for i := range 1 + r.IntN(2) {
		name := fmt.Sprintf("g%d", i)
		base := patterns[r.IntN(4)]
		n := map[string]int{"single": 1, "tee": 2, "pair": 2, "rosette": 3}[base]
		factors := make([]string, n)
		for k := range factors {
			factors[k] = fmt.Sprintf("%.2f", factor())
		}
		if r.IntN(2) == 0 {
			for k := range factors {
				factors[k] = factors[0]
			}
		}
		pattern := map[string]string{"single": "single", "tee": "tee", "pair": "shear-pair", "rosette": "rectangular-rosette"}[base]
		gaugeTexts[name] = fmt.Sprintf("pattern: %s, grid: {length: 3 mm, width: 2 mm}, resistance: %d Ω, gauge-factor: [%s], transverse-sensitivity: %.1f %%",
			pattern, []int{120, 350, 350}[r.IntN(3)], strings.Join(factors, ", "), 0.1*float64(r.IntN(12)))
		gauges = append(gauges, name)
	}
	all := []string{"torque: 900 N·m", "bending-y: 400 N·m", "bending-z: 300 N·m", "axial: 20 kN", "shear-z: 3 kN", "pressure: 50 bar"}
	r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	var loads []string
	for i, l := range all[:1+r.IntN(4)] {
		use := " reject"
		if i < 1+r.IntN(2) {
			use = " measure"
		}
		loads = append(loads, l+use)
	}
	var b strings.Builder
	b.WriteString("placements:\n")
	start, step := 15*r.IntN(24), []int{180, 90, 120, 60, 75}[r.IntN(5)]
	grids := 0
	for i := range 2 + r.IntN(5) {
		g := gauges[r.IntN(len(gauges))]
		n := strings.Count(gaugeTexts[g][strings.Index(gaugeTexts[g], "gauge-factor"):strings.Index(gaugeTexts[g], "]")], ",") + 1
		if grids += n; grids > 8 {
			break
		}
		fmt.Fprintf(&b, "  %s: {gauge: %s, around: %d°, station: %d mm, direction: %d°}\n", letters(i), g, start+i*step, []int{0, 0, 25}[r.IntN(3)], []int{0, 0, 45}[r.IntN(3)])
	}
	fmt.Fprintf(&b, "require: {crosstalk: {at-most: %s}}\n", []string{"0.05 %", "1 %", "5 %", "40 %"}[r.IntN(4)])
	if r.IntN(4) == 0 {
		b.WriteString("pick: {fixed-arms: forbidden}\n")
	}
	if r.IntN(3) == 0 {
		b.WriteString("instrument: {input-resistance: 10 kΩ}\n")
	}
	section := shaft
	if strings.Contains(strings.Join(loads, ""), "pressure") || r.IntN(2) == 0 {
		section = tube
	}
	return text(section, loads, gauges, b.String())
}

// The search and the brute force agree on every combination of full and half
// bridges with one grid an arm: whether there is one, and the output of the best.
func TestBruteForceTwin(t *testing.T) {
	r := rand.New(rand.NewPCG(26, 11))
	problems, solved := 0, 0
	for problems < 120 {
		source := randomProblem(r)
		d := read(t, source)
		if r.IntN(3) == 0 {
			d.Leads = design.Leads{Wires: 4, Each: si(2, "leads.each")}
		}
		problems++
		if compareTwin(t, d) {
			solved++
		}
		if t.Failed() {
			t.Fatalf("problem %d:\n%s", problems, source)
		}
	}
	t.Logf("%d of %d problems have an arrangement", solved, problems)
	if solved < 50 {
		t.Errorf("only %d of %d random problems have an arrangement", solved, problems)
	}
}

func compareTwin(t *testing.T, d *design.Design) bool {
	t.Helper()
	p, err := newProblem(d)
	if err != nil {
		t.Fatal(err)
	}
	var lists [][]naive
	for _, i := range p.measured {
		lists = append(lists, naiveBridges(t, d, p.component(i), p.crosstalk))
	}
	out := find(t, d, Options{All: true, Series: 1})
	// The search keeps nothing that only looks as if it met the limits.
	for _, c := range out.Candidates {
		if out.Met && !c.Metrics.Met() {
			t.Errorf("candidate %d misses %v", c.Rank, c.Metrics.Missed)
		}
	}
	expect(t, "proof", out.Proof, Exhaustive)
	solved := false
	n := len(p.measured)
	for kinds := range 1 << n {
		full := make([]bool, n)
		for c := range full {
			full[c] = kinds>>c&1 == 1
		}
		opposite, want, exists := twin(lists, full, p.bends)
		got, found := bestOf(out, p, full)
		if exists != (found != nil) {
			t.Errorf("full %v: the twin has one: %v, the search: %v", full, exists, found != nil)
			continue
		}
		if exists && (math.Abs(got/want-1) > 2e-6 || found.Metrics.Opposite != opposite) {
			t.Errorf("full %v: output %g, opposite %v; the twin's %g, %v", full, got, found.Metrics.Opposite, want, opposite)
		}
		solved = solved || exists
	}
	return solved
}

// bestOf is the first candidate that meets the requirements with these kinds of
// bridges, and its least output.
func bestOf(out *Outcome, p *problem, full []bool) (float64, *Candidate) {
	for n := range out.Candidates {
		c := &out.Candidates[n]
		if !c.Metrics.Met() {
			continue
		}
		fits := true
		least := math.Inf(1)
		for i, b := range c.Design.Bridges {
			fits = fits && half(&b) != full[i]
			r := &c.Result.Bridges[i]
			least = math.Min(least, r.Sensitivity[r.Target]*p.rated[p.measured[i]])
		}
		if fits {
			return least, c
		}
	}
	return 0, nil
}

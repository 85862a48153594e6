package pick

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/predict"
)

// A half bridge where the same gauges allow a full one stands behind every
// arrangement without such a waste, whatever its number of gauges.
func TestFullBridgesBeforeFewerGauges(t *testing.T) {
	out := find(t, read(t, agitator(t)), Options{})
	spare, gauges := 0, 0
	for _, c := range out.Candidates {
		m := c.Metrics
		if m.HalfSpare < spare {
			t.Errorf("candidate %d wastes %d full bridges, one before it %d", c.Rank, m.HalfSpare, spare)
		}
		if spare == 0 && m.HalfSpare > 0 {
			if m.Gauges >= gauges {
				t.Errorf("candidate %d takes %d gauges, one before it %d: nothing is tested", c.Rank, m.Gauges, gauges)
			}
			if !strings.Contains(c.Why, "half bridge where the grids of the same gauges allow a full one") {
				t.Errorf("candidate %d: %s", c.Rank, c.Why)
			}
		}
		spare, gauges = m.HalfSpare, max(gauges, m.Gauges)
	}
	if spare == 0 {
		t.Error("no candidate wastes a full bridge: nothing is tested")
	}
}

// Every gauge of a proposed placement set has a grid in a bridge.
func TestEveryGaugeIsUsed(t *testing.T) {
	all := find(t, read(t, agitator(t)), Options{All: true}).Candidates
	// Of four pairs, two in a full bridge would give as much with fewer jumpers.
	all = append(all, find(t, read(t, text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, []string{"pair"}, "")), Options{All: true}).Candidates...)
	for _, c := range all {
		used := map[int]bool{}
		for _, b := range c.Design.Bridges {
			for _, a := range b.Arms {
				for _, g := range a.Grids {
					used[g.Placement] = true
				}
			}
		}
		if len(used) != len(c.Design.Placements) {
			t.Fatalf("candidate %d uses %d of %d gauges", c.Rank, len(used), len(c.Design.Placements))
		}
	}
}

// With equal least output, here that of a small torque, the bending bridge that
// gives more decides: between start angles, and between gauges that are placed.
func TestAlignedWithBending(t *testing.T) {
	loads := []string{"torque: 100 N·m measure", "bending-y: 800 N·m measure"}
	w := winner(t, text(tube, loads, []string{"rosette"}, "pick: {at-most: 2}\n"))
	expect(t, "least output", w.Metrics.OutputOf, "T")
	expect(t, "angles", fmt.Sprint(angles(w.Design)), "[90 270]")
	placed := "placements:\n  A: {gauge: rosette, around: 30°}\n  B: {gauge: rosette, around: 210°}\n  C: {gauge: rosette, around: 90°}\n  D: {gauge: rosette, around: 270°}\n"
	halves := 0
	for _, c := range find(t, read(t, text(tube, loads, []string{"rosette"}, placed)), Options{All: true, Series: 1}).Candidates {
		if bar := c.Design.Bridges[1]; c.Metrics.OutputOf == "T" && half(&bar) && len(bar.Arms[0].Grids) == 1 && !half(&c.Design.Bridges[0]) && len(c.Design.Bridges[0].Arms[0].Grids) == 1 {
			halves++
			expect(t, "bending bridge", arms(c.Design, "By"), "C2, D2, 350 Ω, 350 Ω")
		}
	}
	expect(t, "candidates with a full torque bridge and a half bending bridge", halves, 1)
}

// The greater of the least outputs decides between equal numbers of gauges, and
// the runner-up is told the figures.
func TestOutputDecides(t *testing.T) {
	gaugeTexts["weak"] = strings.Replace(gaugeTexts["pair"], "gauge-factor: 2.08", "gauge-factor: 1.9", 1)
	gaugeTexts["able"] = gaugeTexts["pair"]
	for _, names := range [][]string{{"weak", "able"}, {"able", "weak"}} {
		out := find(t, read(t, text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, names, "pick: {at-most: 2, gauges: [weak, able, weak]}\n")), Options{All: true})
		expect(t, "gauge of the first", out.Candidates[0].Design.Gauges[out.Candidates[0].Design.Placements[0].Gauge].Name, "able")
		seen := map[string]bool{}
		told := false
		for _, c := range out.Candidates {
			key := fmt.Sprint(designfile.Describe(c.Design))
			if seen[key] {
				t.Errorf("candidate %d stands twice", c.Rank)
			}
			seen[key] = true
			told = told || strings.Contains(c.Why, "its least rated output is ") && strings.Contains(c.Why, "that of the first ")
		}
		if !told {
			t.Error("no runner-up is told that its output is less")
		}
	}
}

// A bridge for every load comes before one that keeps its limits alone.
func TestNearestMeasuresMost(t *testing.T) {
	out := find(t, read(t, text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m measure"}, []string{"pair"}, "pick: {at-most: 2}\n")), Options{All: true})
	if out.Met || out.Candidates[0].Metrics.NoBridge != 0 {
		t.Errorf("met %v, %+v", out.Met, out.Candidates[0].Metrics)
	}
	last := out.Candidates[len(out.Candidates)-1].Metrics
	if last.NoBridge != 1 || last.Excess > out.Candidates[0].Metrics.Excess {
		t.Errorf("the last, %+v, leaves nothing to be tested", last)
	}
}

// Arms of grids in series are of one resistance, whatever is placed.
func TestArmsOfOneResistance(t *testing.T) {
	gaugeTexts["high"] = strings.Replace(gaugeTexts["pair"], "350 Ω", "1000 Ω", 1)
	p, l, g := surveyOf(t, text(shaft, []string{"torque: 100 N·m measure"}, []string{"pair", "high"},
		"placements:\n  A: {gauge: pair, around: 0°}\n  B: {gauge: pair, around: 90°}\n  C: {gauge: pair, around: 180°}\n  D: {gauge: high, around: 270°}\n"))
	k := newKernel(p, g, true, maxSeries, budgetGiven)
	if err := k.enumerate(context.Background()); err != nil {
		t.Fatal(err)
	}
	series, mixed := 0, 0
	for _, w := range k.shelves[0].kept() {
		d, _, _, err := p.build(&proposal{layout: l, set: set{bridges: [maxLoads]wiring{*w}}})
		if err != nil {
			t.Fatal(err)
		}
		found := map[float64]bool{}
		for _, a := range d.Bridges[0].Arms {
			if len(a.Grids) > 1 {
				series++
			}
			for _, ref := range a.Grids {
				found[d.GridResistance(ref).SI] = true
				expect(t, "resistance in one arm", d.GridResistance(ref).SI, d.GridResistance(a.Grids[0]).SI)
			}
		}
		if len(found) > 1 {
			mixed++
		}
		r, err := predict.Of(d)
		if err != nil {
			t.Fatal(err)
		}
		if z := r.Bridges[0].Balance.Nominal; math.Abs(z) > 1e-12 {
			t.Fatalf("%s: rests at %g", arms(d, "T"), z)
		}
	}
	if series == 0 || mixed == 0 {
		t.Errorf("%d arms in series, %d bridges of two resistances", series, mixed)
	}
}

// Two like grids of slightly different gauge factor oppose each other: the little
// that is left is no output.
func TestLikeGridsAreBlind(t *testing.T) {
	gaugeTexts["like"] = "pattern: custom, directions: [0°, 0°], centres: [[0 mm, -2 mm], [0 mm, 2 mm]], grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: [2.10, 2.12]"
	out := find(t, read(t, text(shaft, []string{"axial: 50 kN measure"}, []string{"like"}, "pick: {at-most: 1}\n")), Options{})
	if out.Met || len(out.Candidates) != 0 {
		t.Errorf("met %v: %+v", out.Met, out.Candidates[0].Metrics)
	}
}

func searchError(d *design.Design) error {
	_, err := Search(context.Background(), d, Options{})
	return err
}

// What cannot be searched is an error with its place and remedy.
func TestErrors(t *testing.T) {
	d := read(t, text(shaft, []string{"torque: 100 N·m measure"}, []string{"pair"}, ""))
	none := *d
	none.Gauges, none.Pick.Gauges = nil, nil
	blind := *d
	blind.Loads = append(blind.Loads[:0:0], d.Loads...)
	blind.Loads[0].Measure = false
	many := *d
	for i := range 33 {
		many.Placements = append(many.Placements, design.Placement{Name: letters(i), Around: si(float64(i)*deg, "")})
	}
	for _, c := range []struct {
		what string
		got  error
		want string
	}{
		{"no gauge", searchError(&none), "gauges: there is no gauge to place; define one"},
		{"nothing to measure", searchError(&blind), "loads: no load is to be measured; give one `use: measure`"},
		{"66 grids", searchError(&many), "placements: 66 grids; wirings of at most 64 can be compared"},
	} {
		if c.got == nil || !strings.HasPrefix(c.got.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.what, c.got, c.want)
		}
	}
}

package pick

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/predict"
)

// Rated output, crosstalk and zero drift by rows and weights are those of the exact
// network, for bridges of every shape, with leads and a meter that cost output.
func TestRowsAgreeWithNetwork(t *testing.T) {
	placed := "placements:\n  A: {gauge: rosette, around: 20°}\n  B: {gauge: rosette, around: 140°}\n  C: {gauge: tee, around: 75°}\n  D: {gauge: tee, around: 200°, station: 30 mm}\n"
	for _, wires := range []int{0, 4, 6} {
		d := read(t, text(tube, []string{"torque: 900 N·m measure", "axial: 20 kN measure", "bending-y: 100 N·m reject"}, []string{"rosette", "tee"},
			placed+"temperature: {range: [0 °C, 60 °C]}\ninstrument: {input-resistance: 5 kΩ}\nrequire: {crosstalk: {at-most: 40 %}, zero-drift: {at-most: 5 %/10K}}\n"))
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
		g, err := p.survey(&layouts[0])
		if err != nil {
			t.Fatal(err)
		}
		k := newKernel(p, g, true, maxSeries, budgetGiven)
		if err := k.enumerate(context.Background()); err != nil {
			t.Fatal(err)
		}
		seen := map[shape]int{}
		for c, load := range p.measured {
			for _, w := range k.shelves[load].kept() {
				if seen[w.shape]++; seen[w.shape] > 12 {
					continue
				}
				pr := &proposal{layout: &layouts[0]}
				pr.set.bridges[c] = *w
				b, _, _, err := p.build(pr)
				if err != nil {
					t.Fatal(err)
				}
				r, err := predict.Of(b)
				if err != nil {
					t.Fatal(err)
				}
				x := &r.Bridges[0]
				what := fmt.Sprintf("%d wires, %s, %s", wires, w.shape.words(), arms(b, x.Name))
				if small := x.Sensitivity[x.Target] * p.rated[load]; math.Abs(small/w.output-1) > 1e-9 {
					t.Fatalf("%s: output %g by rows, %g by the network", what, w.output, small)
				}
				for j, f := range x.Crosstalk {
					if j != x.Target && f.Value > p.crosstalk*(1+1e-6) {
						t.Fatalf("%s: crosstalk %g", what, f.Value)
					}
				}
				if z := math.Abs(x.Balance.Nominal); z > 1e-12 {
					t.Fatalf("%s rests at %g", what, z)
				}
				m := &Metrics{}
				m.Crosstalk95, m.GradientZero = predict.None(""), predict.None("")
				if err := (&search{problem: p}).tolerate(m, nil, r); err != nil {
					t.Fatal(err)
				}
				if math.Abs(m.Crosstalk95.Value/w.crosstalk95-1) > 1e-6 || math.Abs(m.GradientZero.Value-w.gradient) > 1e-6*w.gradient+1e-12 {
					t.Fatalf("%s: crosstalk-95 %g, gradient %g by weights; %g, %g by the network", what, w.crosstalk95, w.gradient, m.Crosstalk95.Value, m.GradientZero.Value)
				}
			}
		}
		if len(seen) < 12 {
			t.Errorf("%d wires: only %d shapes of bridge were kept: %v", wires, len(seen), seen)
		}
	}
}

// Wires in series with unequal arms bring a bridge out of balance: it is not
// proposed, a half bridge of equal arms is.
func TestUnequalArmsBehindWires(t *testing.T) {
	d := read(t, text(tube, []string{"torque: 900 N·m measure"}, []string{"rosette"}, ""))
	d.Leads.Wires, d.Leads.AtInstrument, d.Leads.Each = 3, true, si(2, "leads.each")
	p, err := newProblem(d)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		s    shape
		want bool
	}{{shape{first: divider{1, 1}}, true}, {shape{first: divider{2, 2}}, true}, {shape{first: divider{2, 1}}, false}, {shape{divider{1, 1}, divider{1, 1}}, false}} {
		expect(t, c.s.words(), p.kept(c.s, 350, 350) > 0, c.want)
	}
}

// The drift by weights is that of the exact network: a layer of 0.1 mm that
// expands on a small radius moves grids round the part, not those along it.
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
	tight := find(t, read(t, strings.Replace(base, "LIMIT", "0.0001 %/10K", 1)), Options{})
	if tight.Met || len(tight.Candidates) == 0 || !strings.Contains(tight.Nearest, "zero drift of bridge N is") {
		t.Errorf("met %v: %s", tight.Met, tight.Nearest)
	}
}

// Three positions need arms of three grids to be blind to bending: the pairs at
// 0°, 120° and 240° in series, or a full bridge of arms of two and of one.
func TestThreePositionsTakeSeriesArms(t *testing.T) {
	base := text(shaft, []string{"torque: 100 N·m measure", "axial: 10 kN reject", "bending-y: 50 N·m reject", "shear-z: 2 kN reject"}, []string{"pair"},
		"placements:\n  A: {gauge: pair, around: 0°}\n  B: {gauge: pair, around: 120°}\n  C: {gauge: pair, around: 240°}\n")
	for series, want := range map[int]string{2: "", 3: "[A2, B2, C2], [A1, B1, C1], 1050 Ω, 1050 Ω"} {
		out := find(t, read(t, base), Options{Series: series})
		expect(t, fmt.Sprintf("met with arms of %d", series), out.Met, want != "")
		if want != "" {
			expect(t, "torque bridge", arms(out.Candidates[0].Design, "T"), want)
		}
	}
	w := winner(t, base)
	if !w.Metrics.Opposite {
		t.Error("three positions evenly round the part do not count as opposite")
	}
}

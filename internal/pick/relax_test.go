package pick

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
)

// Problems without solution whose answer is known by hand. Every change that is
// named is searched again and meets everything.
func TestSmallestChange(t *testing.T) {
	torque, bending := []string{"torque: 100 N·m measure"}, []string{"bending-y: 100 N·m measure"}
	drifting := strings.NewReplacer("expansion: 11.5 ppm/K", "expansion: 11.5 ppm/K, youngs-drift: -2.5 %/100K")
	for _, c := range []struct {
		what   string
		source string
		path   string  // of the smallest change
		words  string  // the sentence begins so
		amount float64 // by which the limit is relaxed, within the third digit
		also   string  // a path among the other changes
	}{
		// F·γ/2 of a full bridge at ±45°: γ = 16T/πd³G = 237.4 µε, 15.05/15 for the
		// stand-off: 0.2477 mV/V, rounded down.
		{"output beyond reach", text(shaft, torque, []string{"pair"}, "pick: {at-most: 2}\nrequire: {rated-output: {at-least: 0.3 mV/V}}\n"),
			"require.rated-output", "require a rated output of at least 0.247 mV/V only (now 0.3 mV/V)", 0.3/0.2477 - 1, ""},
		// The half bridges of one gauge are all that there is.
		{"half bridge forbidden", text(shaft, torque, []string{"pair"}, "pick: {at-most: 1, fixed-arms: forbidden}\n"),
			"pick.fixed-arms", "allow fixed arms (pick.fixed-arms, now forbidden)", 0, "pick.at-most"},
		{"placed, half bridge forbidden", text(shaft, torque, []string{"pair"}, "placements:\n  A: {gauge: pair, around: 0°}\npick: {fixed-arms: forbidden}\n"),
			"pick.fixed-arms", "allow fixed arms", 0, "placements"},
		// One grid has nothing to oppose it.
		{"gauge left in the drawer", text(shaft, torque, []string{"single", "pair"}, "pick: {gauges: [single], at-most: 1}\n"),
			"pick.gauges", "offer gauge pair too (pick.gauges)", 0, "gauges"},
		{"no pattern for it", text(shaft, torque, []string{"single"}, "pick: {at-most: 1}\n"),
			"gauges", "add a gauge of pattern ", 0, ""},
		// Bending apart from axial force takes two sides.
		{"one gauge for bending", text(shaft, []string{"bending-y: 100 N·m measure", "axial: 9 kN reject"}, []string{"single"}, "pick: {at-most: 1}\n"),
			"pick.at-most", "allow 2 gauges (pick.at-most, now 1)", 0, ""},
		{"no room", text(shaft, torque, []string{"pair"}, "pick: {at-most: 1, keep-out: [[0°, 359°]]}\n"),
			"pick.keep-out[0]", "free the sector from 0° to 359° (pick.keep-out)", 0, ""},
		// At 0° and 180° the bending My strains nothing.
		{"placed on the neutral axis", text(shaft, bending, []string{"pair"}, "placements:\n  A: {gauge: pair, around: 0°}\n  B: {gauge: pair, around: 180°}\n"),
			"placements", "take the placements out", 0, ""},
		// Three wires and fixed arms forbidden: no full bridge has so few.
		{"leads", text(shaft, torque, []string{"pair"}, "pick: {at-most: 2, fixed-arms: forbidden}\nleads: {wires: 3, each: 0.5 Ω, completion: instrument}\n"),
			"pick.fixed-arms", "allow fixed arms", 0, "leads"},
		{"station off the straight length", strings.Replace(text(shaft, torque, []string{"pair"}, ""), "loads:", "  straight-length: {from: 50 mm, to: 150 mm}\nloads:", 1),
			"pick.stations", "allow station 100 mm too", 0, ""},
		// The least strain that still measures: 32M/πd³E = 184 µε, ν of it across the
		// part and, 15° off the neutral axis, sin 15° of that: 13.8 µε.
		{"strain", text(shaft, bending, []string{"single"}, "pick: {at-most: 2}\nrequire: {strain: {at-most: 12 µε}}\n"),
			"require.strain", "allow strain up to 13.", 13.8/12 - 1, ""},
		// Bridges feel εx − εφ: of pressure with closed ends −(1+ν)s/E, s = pa²/(b²−a²),
		// of axial force (1+ν)F/AE, so that crosstalk is pπa²/F = 38.01 %.
		{"pressure", text(tube, []string{"axial: 20 kN measure", "pressure: 50 bar reject"}, []string{"tee"}, "pick: {at-most: 2}\n"),
			"require.crosstalk", "allow crosstalk up to 38.1 % (now 0.05 %, the limit where the file states none)", 0.381/0.0005 - 1, "loads.pressure"},
		// Modulus −2.5 %/100K, and (1+αΔT)⁻³ of the growing part: 0.2500 − 0.0345 %/10K.
		{"span drift", drifting.Replace(text(shaft, torque, []string{"pair"}, "pick: {at-most: 2}\ntemperature: {range: [0 °C, 40 °C]}\nrequire: {span-drift: {at-most: 0.15 %/10K}}\n")),
			"require.span-drift", "allow span drift up to 0.21", 0.2155/0.15 - 1, ""},
		// Two pairs make a full bridge for one of the two; half bridges, of a pair and a
		// tee, serve both.
		{"two at once", text(shaft, []string{"torque: 100 N·m measure", "axial: 10 kN measure"}, []string{"pair"}, "pick: {at-most: 2, fixed-arms: forbidden}\n"),
			"pick.fixed-arms, gauges", "allow fixed arms (pick.fixed-arms, now forbidden), and add a gauge of pattern tee", 0, ""},
	} {
		d := read(t, c.source)
		out := find(t, d, Options{Change: true})
		if out.Met {
			t.Errorf("%s: it has a solution: %s", c.what, out.Candidates[0].Why)
			continue
		}
		for _, change := range out.Changes {
			t.Logf("%s: %s [%s, %.3g]", c.what, change.Words, change.Path, change.Amount)
		}
		if len(out.Changes) == 0 {
			t.Errorf("%s: no change: %s", c.what, out.Change)
			continue
		}
		first := out.Changes[0]
		if first.Path != c.path || !strings.HasPrefix(out.Change, c.words) || !strings.HasPrefix(first.Words, c.words) {
			t.Errorf("%s: %s at %s, want %s at %s", c.what, out.Change, first.Path, c.words, c.path)
		}
		if math.Abs(first.Amount-c.amount) > 0.01*(1+c.amount) {
			t.Errorf("%s: relaxed by %g, want %g", c.what, first.Amount, c.amount)
		}
		if c.also != "" && !slices.ContainsFunc(out.Changes, func(x Change) bool { return x.Path == c.also }) {
			t.Errorf("%s: no change of %s", c.what, c.also)
		}
		for _, change := range out.Changes {
			if again := find(t, change.Design, Options{}); !again.Met {
				t.Errorf("%s: with %q nothing meets the requirements: %s", c.what, change.Words, again.Nearest)
			}
		}
	}
}

// A limit that is relaxed is the least: just below it nothing meets.
func TestRelaxedLimitIsTheLeast(t *testing.T) {
	d := read(t, text(tube, []string{"axial: 20 kN measure", "pressure: 50 bar reject"}, []string{"tee"}, "pick: {at-most: 2}\n"))
	change := find(t, d, Options{Change: true}).Changes[0]
	less := change.Design.Clone()
	less.Require.Crosstalk.SI *= 0.99
	if out := find(t, less, Options{}); out.Met {
		t.Errorf("%q is not the least: 1 %% less serves", change.Words)
	}
	if d.Require.Crosstalk.Set {
		t.Error("the problem itself was changed")
	}

	// From a candidate that is far from the least: the strain of the first by output.
	d = read(t, text(shaft, []string{"bending-y: 100 N·m measure"}, []string{"single"}, "pick: {at-most: 2}\nrequire: {strain: {at-most: 12 µε}}\n"))
	loose := d.Clone()
	loose.Require.Strain.SI = 1e-3
	far := find(t, loose, Options{}).Candidates[0]
	r := &relaxer{ctx: context.Background()}
	for i := range limits {
		if limits[i].key != "strain" {
			continue
		}
		if f, _ := limits[i].figure(&far); f < 100e-6 {
			t.Fatalf("strain %g is near the least: nothing is tested", f)
		}
		if !r.relaxOne(d, &limits[i], []*Candidate{&far}, edit{}) || math.Abs(r.found[0].Design.Require.Strain.SI/13.8e-6-1) > 0.01 {
			t.Errorf("from far: %+v", r.found)
		}
	}
}

// When time is up the sentence says so, and a problem that is solved has no change.
func TestSmallestChangeBounds(t *testing.T) {
	d := read(t, text(shaft, []string{"torque: 100 N·m measure"}, []string{"pair"}, "pick: {at-most: 1, fixed-arms: forbidden}\n"))
	ctx, cancel := context.WithCancel(context.Background())
	out := find(t, d, Options{})
	if out.Change != "" {
		t.Errorf("a change that was not asked for: %s", out.Change)
	}
	cancel()
	if words, changes := smallestChange(ctx, d, out); len(changes) != 0 || !strings.Contains(words, "was ended after") {
		t.Errorf("%d changes: %s", len(changes), words)
	}
	d.Pick.ForbidFixedArms = false
	if out := find(t, d, Options{Change: true}); !out.Met || out.Change != "" {
		t.Errorf("met %v, change %q", out.Met, out.Change)
	}
}

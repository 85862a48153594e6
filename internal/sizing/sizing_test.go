package sizing

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/check"
	"gridwright/internal/designfile"
	"gridwright/internal/predict"
	"gridwright/internal/variant"
)

// shaft is a solid shaft with a torque bridge of four grids at ±45°, so small and so
// near to the surface that only the closed forms are left:
//
//	V/E = F τ/(2G) = F (1+ν)/E · 16 T/(π D³),   n = σy/(√3 τ),   τ = 16 T/(π D³)
//
// (any text on strength of materials; von Mises in pure shear).
const shaft = `gridwright: 1
title: solid shaft
part:
  material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, yield: 400 MPa}
  section: {shape: round, outside-diameter: 40 mm}
loads:
  torque: {rated: 1000 N·m, use: measure}
gauges:
  S: {pattern: shear-pair, grid: {length: 0.001 mm, width: 0.001 mm}, resistance: 350 Ω, gauge-factor: 2.0}
placements:
  A: {gauge: S, around: 0°}
  B: {gauge: S, around: 180°}
bridges:
  T: {measures: torque, arms: [A2, A1, B2, B1]}
`

func base(t testing.TB, text string) *variant.Base {
	t.Helper()
	b, err := variant.Read("design.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func problem(t testing.TB, b *variant.Base, asks []Ask, specs ...string) *Problem {
	t.Helper()
	r, err := Requirements(b.Design, asks)
	if err != nil {
		t.Fatal(err)
	}
	p := &Problem{Base: b, Requirements: r, Trials: 2000, Seed: 1}
	for _, spec := range specs {
		a, err := b.Axis(spec, false)
		if err != nil {
			t.Fatal(err)
		}
		p.Axes, p.Steps = append(p.Axes, a), append(p.Steps, EvenStep(a.From, a.To))
	}
	return p
}

func solve(t testing.TB, p *Problem) *Outcome {
	t.Helper()
	o, err := Solve(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func TestShaftByClosedForm(t *testing.T) {
	const torque, young, nu, factor, yield = 1000.0, 200e9, 0.3, 2.0, 400e6
	for _, c := range []struct{ output, n float64 }{{0.5e-3, 2}, {1e-3, 1.2}, {0.8e-3, 3}, {0.3e-3, 4}} {
		b := base(t, shaft)
		p := problem(t, b, []Ask{{"rated-output", c.output, "--output"}, {"yield-factor", c.n, "--yield-factor"}}, "part.section.outside-diameter=15 mm:80 mm")
		o := solve(t, p)
		most := math.Cbrt(factor * (1 + nu) / young * 16 * torque / (math.Pi * c.output))
		least := math.Cbrt(c.n * math.Sqrt(3) * 16 * torque / (math.Pi * yield))
		if least > most {
			if o.Best != nil || len(o.Intervals) > 0 {
				t.Errorf("output %g, factor %g: found %v though %g > %g", c.output, c.n, o.Intervals, least, most)
			}
			if by := p.Requirements[o.Nearest.Active].Figure.Key; by != "T.rated-output" && by != "yield-factor" {
				t.Errorf("blocked by %s", by)
			}
			// nearest is where both miss alike: D² over its limits the other way round
			continue
		}
		if len(o.Intervals) != 1 {
			t.Fatalf("output %g, factor %g: %d intervals", c.output, c.n, len(o.Intervals))
		}
		v := o.Intervals[0]
		for _, e := range []struct {
			got  End
			want float64
			by   string
		}{{v.Low, least * 1e3, "yield-factor"}, {v.High, most * 1e3, "T.rated-output"}} {
			if math.Abs(e.got.X/e.want-1) > 1e-6 {
				t.Errorf("output %g, factor %g: ends at %.9g mm, closed form %.9g mm", c.output, c.n, e.got.X, e.want)
			}
			if by := p.Requirements[e.got.By].Figure.Key; by != e.by {
				t.Errorf("ended by %s, want %s", by, e.by)
			}
		}
		// factors are (D/least)³ and (most/D)³: equal at the geometric mean
		if want := math.Sqrt(least*most) * 1e3; math.Abs(o.Best.X[0]/want-1) > 1e-5 {
			t.Errorf("best at %g mm, the geometric mean is %g mm", o.Best.X[0], want)
		}
	}
}

// reread evaluates a point by nothing that the search uses: the text with the value is
// read and predicted.
func reread(t testing.TB, p *Problem, x ...float64) (*variant.Prediction, bool) {
	t.Helper()
	var set []variant.Setting
	for i, a := range p.Axes {
		set = append(set, a.Put(x[i]))
	}
	text, err := p.Base.Write(set...)
	if err != nil {
		t.Fatal(err)
	}
	d, err := designfile.Read("again.yaml", text)
	if err != nil {
		return nil, false
	}
	r, err := predict.Of(d)
	if err != nil {
		return nil, false
	}
	v := &variant.Prediction{Result: r}
	for _, q := range p.Requirements {
		f := q.Figure.Of(v)
		size := math.Abs(f.Value)
		if !f.OK() || q.AtLeast && size < q.Limit || !q.AtLeast && size > q.Limit {
			return v, false
		}
	}
	return v, true
}

// few makes rapid draw fewer cases in one test: each is a search of hundreds of
// predictions.
func few(t *testing.T) {
	checks := flag.Lookup("rapid.checks")
	before := checks.Value.String()
	if err := checks.Value.Set("12"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { checks.Value.Set(before) })
}

// What is chosen meets everything when it is read and predicted anew, and one small step
// beyond each end of an interval does not.
func TestEndsAreEnds(t *testing.T) {
	text := strings.Replace(shaft, "{shape: round, outside-diameter: 40 mm}",
		"{shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.1 mm}\n  straight-length: {from: -120 mm, to: 120 mm}", 1)
	b := base(t, text)
	found, none := 0, 0
	few(t)
	judge := func(r interface {
		Errorf(string, ...any)
		Fatalf(string, ...any)
	}, output, yield, stiffness float64) {
		asks := []Ask{
			{"rated-output", output, "--output"},
			{"yield-factor", yield, "--yield-factor"},
			{"torsional-stiffness", stiffness, "--stiffness"},
		}
		p := problem(t, b, asks, "part.section.inside-diameter=30 mm:62 mm")
		o := solve(t, p)
		if o.Best == nil {
			none++
			// nothing of a comb meets everything either
			for i := range 40 {
				x := 30.1 + 0.74*float64(i)
				if _, ok := reread(t, p, x); ok {
					r.Fatalf("%g mm meets everything, but nothing was found", x)
				}
			}
			return
		}
		found++
		if _, ok := reread(t, p, o.Best.X...); !ok {
			r.Errorf("the best, %v, does not meet everything when it is read", o.Best.X)
		}
		if o.Chosen != nil {
			if _, ok := reread(t, p, o.Chosen.X...); !ok {
				r.Errorf("the choice, %v, does not meet everything when it is read", o.Chosen.X)
			}
			if k := o.Chosen.X[0] / p.Steps[0]; math.Abs(k-math.Round(k)) > 1e-9 {
				r.Errorf("%v is no multiple of %v", o.Chosen.X[0], p.Steps[0])
			}
		}
		for _, v := range o.Intervals {
			for _, e := range []struct {
				end  End
				away float64
			}{{v.Low, -1e-6}, {v.High, 1e-6}} {
				if _, ok := reread(t, p, e.end.X); !ok {
					r.Errorf("the end %.12g is not inside", e.end.X)
				}
				if e.end.Range {
					continue
				}
				if _, ok := reread(t, p, e.end.X+e.away); ok {
					r.Errorf("a millionth beyond the end %.12g everything is still met", e.end.X)
				}
			}
		}
	}
	judge(t, 0.06e-3, 1.3, 6e4)   // easily met
	judge(t, 0.59e-3, 7.9, 2.9e5) // much output of a stiff part: not to be had
	rapid.Check(t, func(r *rapid.T) {
		judge(r, rapid.Float64Range(0.05e-3, 0.6e-3).Draw(r, "output"), rapid.Float64Range(1.2, 8).Draw(r, "yield"),
			rapid.Float64Range(5e4, 3e5).Draw(r, "stiffness"))
	})
	if found == 0 || none == 0 {
		t.Errorf("%d found, %d not: the test is to see both", found, none)
	}
}

// bent is a bending bridge of two grids: one at 270°, one that goes round. A strain of
// −k sin φ at the first's far side leaves
//
//	V/E ∝ (1 + sin φ)/2
//
// so output as a function of the angle rises and falls.
const bent = `gridwright: 1
title: bending, one grid going round
part:
  material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}
  section: {shape: round, outside-diameter: 40 mm}
loads:
  bending-y: {rated: 100 N·m, use: measure}
gauges:
  S: {pattern: single, grid: {length: 0.001 mm, width: 0.001 mm}, resistance: 350 Ω, gauge-factor: 2.0}
placements:
  A: {gauge: S, around: 80°}
  B: {gauge: S, around: 270°}
bridges:
  M: {measures: bending-y, arms: [A1, B1, 350 Ω, 350 Ω]}
`

func TestResponseThatRisesAndFalls(t *testing.T) {
	b := base(t, bent)
	// M R/(E I) = 100·32/(π 0.04³·200e9), half bridge: F ε/2 at φ = 90° (closed form)
	full := 2.0 * 100 * 32 / (math.Pi * 0.04 * 0.04 * 0.04 * 200e9) / 2
	// one summit, both borders; then a range that cuts the summit in two
	p := problem(t, b, []Ask{{"rated-output", 0.9 * full, "--output"}}, "placements.A.around=1°:359°")
	o := solve(t, p)
	half := math.Asin(2*0.9-1) * 180 / math.Pi
	// the exact bridge of unequal strains is not quite linear: of some 1e-4 of its strain,
	// which is a few thousandths of a degree here
	check := func(v Interval, low, high float64) {
		t.Helper()
		if math.Abs(v.Low.X-low) > 6e-3 || math.Abs(v.High.X-high) > 6e-3 {
			t.Errorf("from %g° to %g°, the closed form gives %g° to %g°", v.Low.X, v.High.X, low, high)
		}
	}
	if len(o.Intervals) != 1 {
		t.Fatalf("%d intervals: %v", len(o.Intervals), o.Intervals)
	}
	check(o.Intervals[0], half, 180-half)
	if math.Abs(o.Best.X[0]-90) > 0.1 {
		t.Errorf("best at %g°, want 90°", o.Best.X[0])
	}
	o = solve(t, problem(t, b, []Ask{{"rated-output", 0.9 * full, "--output"}}, "placements.A.around=85°:460°"))
	if len(o.Intervals) != 2 {
		t.Fatalf("%d intervals: %v", len(o.Intervals), o.Intervals)
	}
	check(o.Intervals[0], 85, 180-half)
	check(o.Intervals[1], 360+half, 460)
	if !o.Intervals[0].Low.Range || !o.Intervals[1].High.Range || o.Intervals[0].High.Range {
		t.Error("the ends of the range are not told from those of the requirement")
	}
}

// A summit that only just reaches the limit between two points of the grid is found,
// one that just fails is not made up, and a trough between two points is seen.
func TestNarrowSummitAndTrough(t *testing.T) {
	b := base(t, bent)
	summit := func(limit float64) *Outcome {
		p := problem(t, b, []Ask{{"rated-output", 1, "--output"}}, "placements.A.around=0.7°:200.3°")
		full := math.Abs(solveAt(t, p, 90).Values[0])
		p.Requirements[0].Limit = limit * full
		return solve(t, p)
	}
	if o := summit(1 - 1e-7); o.Best == nil || len(o.Intervals) != 1 || o.Intervals[0].High.X-o.Intervals[0].Low.X > 0.2 {
		t.Errorf("a summit a ten-millionth above the limit: %v", o.Intervals)
	}
	if o := summit(1 + 1e-7); o.Best != nil || math.Abs(o.Nearest.X[0]-90) > 0.1 {
		t.Errorf("a summit a ten-millionth below the limit: %v", o.Intervals)
	}
	// at most, about the same summit: a hole in the middle
	p := problem(t, b, []Ask{{"rated-output", 1, "--output"}}, "placements.A.around=0.7°:200.3°")
	full := math.Abs(solveAt(t, p, 90).Values[0])
	p.Requirements[0].AtLeast, p.Requirements[0].Limit = false, (1-1e-7)*full
	o := solve(t, p)
	if len(o.Intervals) != 2 {
		t.Fatalf("%d intervals about a narrow hole: %v", len(o.Intervals), o.Intervals)
	}
	if hole := o.Intervals[1].Low.X - o.Intervals[0].High.X; !(hole > 0 && hole < 0.2) {
		t.Errorf("the hole is %g° wide", hole)
	}
}

func solveAt(t testing.TB, p *Problem, x ...float64) Point {
	t.Helper()
	s := &solver{Problem: p, ctx: context.Background(), maker: p.Base.Maker(p.Axes)}
	q := s.at(x...)
	if q.Err != nil {
		t.Fatal(q.Err)
	}
	return q
}

// Meeting everything and passing check are the same, of the rules that a figure tells.
func TestAgreesWithCheck(t *testing.T) {
	judged := []string{"rated-output", "crosstalk", "nonlinearity", "zero-drift", "span-drift", "strain", "yield-factor", "overload"}
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	limits := strings.NewReplacer("{at-least: 0.1 mV/V}", "{at-least: 0.15 mV/V}", "yield-factor: {at-least: 2}", "yield-factor: {at-least: 3}").Replace(string(text))
	b := base(t, limits)
	p := problem(t, b, nil, "part.section.inside-diameter=30 mm:59 mm")
	good, bad := 0, 0
	for x := 30.0; x < 59; x += 0.7 {
		q := solveAt(t, p, x)
		d, err := b.Read(p.Axes[0].Put(x))
		if err != nil {
			t.Fatal(err)
		}
		r, err := predict.Of(d)
		if err != nil {
			t.Fatal(err)
		}
		fails := slices.ContainsFunc(check.Of(r), func(f check.Finding) bool { return f.Level == check.Fail && slices.Contains(judged, f.Rule) })
		if q.Meets() == fails {
			t.Errorf("%g mm: meets everything %v, check fails %v", x, q.Meets(), fails)
		}
		if q.Meets() {
			good++
		} else {
			bad++
		}
	}
	if good == 0 || bad == 0 {
		t.Errorf("%d good, %d bad: the test is to see both", good, bad)
	}
}

// Of two values none of a comb of points is better than the best, and the choice is a
// multiple of both steps that meets everything.
func TestPlaneBest(t *testing.T) {
	b := base(t, shaft)
	asks := []Ask{{"rated-output", 0.5e-3, "--output"}, {"yield-factor", 2, "--yield-factor"}, {"strain", 1500e-6, "--strain"}}
	p := problem(t, b, asks, "part.section.outside-diameter=15 mm:80 mm", "loads.torque.rated=200 N·m:3000 N·m")
	p.Steps = []float64{0.5, 50}
	o := solve(t, p)
	if o.Best == nil || o.Chosen == nil {
		t.Fatal("nothing found")
	}
	// both factors depend on T/D³ alone: best anywhere on one curve, with the factor of
	// TestShaftByClosedForm, √(most³/least³)
	want := math.Sqrt(2.0 * 1.3 / 200e9 / 0.5e-3 * 400e6 / (2 * math.Sqrt(3)))
	if got := o.Best.Least; math.Abs(got/want-1) > 1e-3 {
		t.Errorf("smallest factor %g, closed form %g", got, want)
	}
	if _, ok := reread(t, p, o.Chosen.X...); !ok {
		t.Error("the choice does not meet everything when it is read")
	}
	if o.Chosen.Least < 0.97*o.Best.Least {
		t.Errorf("the choice has a smallest factor of %g, the best %g", o.Chosen.Least, o.Best.Least)
	}
	if math.Mod(o.Chosen.X[0], 0.5) != 0 || math.Mod(o.Chosen.X[1], 50) != 0 {
		t.Errorf("%v are no multiples of 0.5 mm and 50 N·m", o.Chosen.X)
	}
	for _, band := range o.Bands {
		least := math.Cbrt(2*math.Sqrt(3)*16*band.Y/(math.Pi*400e6)) * 1e3
		for _, v := range band.Intervals {
			if !v.Low.Range && math.Abs(v.Low.X/least-1) > 1e-6 {
				t.Errorf("at %g N·m from %g mm, closed form %g mm", band.Y, v.Low.X, least)
			}
		}
	}
}

// Where no multiple of the steps meets everything none is chosen.
func TestStepsTooCoarse(t *testing.T) {
	b := base(t, shaft)
	asks := []Ask{{"rated-output", 0.5e-3, "--output"}, {"yield-factor", 2, "--yield-factor"}}
	p := problem(t, b, asks, "part.section.outside-diameter=15 mm:80 mm")
	p.Steps[0] = 64 // feasible is about 36 mm to 51 mm
	if o := solve(t, p); o.Best == nil || o.Chosen != nil {
		t.Errorf("chosen %v", o.Chosen)
	}
	p = problem(t, b, asks, "part.section.outside-diameter=15 mm:80 mm", "loads.torque.rated=200 N·m:3000 N·m")
	p.Steps = []float64{80, 200} // 80 mm needs more than 3866 N·m for the output
	if o := solve(t, p); o.Best == nil || o.Chosen != nil {
		t.Errorf("chosen %v", o.Chosen)
	}
}

// A requirement that the value does not move is no part of the choice: here it would be
// the tightest everywhere, and any diameter as good as any other.
func TestIdleRequirementDoesNotChoose(t *testing.T) {
	text := strings.Replace(shaft, "loads:", "temperature: {range: [0 °C, 100 °C]}\nrequire: {span-drift: {at-most: 0.1001 %/10K}}\nloads:", 1)
	text = strings.Replace(text, "gauge-factor: 2.0", "gauge-factor: 2.0, gauge-factor-drift: 1 %/100K", 1)
	p := problem(t, base(t, text), []Ask{{"rated-output", 0.5e-3, "--output"}, {"yield-factor", 2, "--yield-factor"}}, "part.section.outside-diameter=15 mm:80 mm")
	o := solve(t, p)
	want := solve(t, problem(t, base(t, shaft), []Ask{{"rated-output", 0.5e-3, "--output"}, {"yield-factor", 2, "--yield-factor"}}, "part.section.outside-diameter=15 mm:80 mm"))
	if o.Best == nil || math.Abs(o.Best.X[0]/want.Best.X[0]-1) > 1e-5 {
		t.Errorf("best %v, without the idle requirement %v", o.Best, want.Best.X)
	}
	if i := slices.IndexFunc(p.Requirements, func(r Requirement) bool { return r.Figure.Key == "T.span-drift" }); i < 0 || !o.Idle[i] || o.Best.Factors[i] > 1.01 {
		t.Errorf("idle %v", o.Idle)
	}
}

// Of two limits of strain the smaller holds, and a flag replaces both.
func TestStrainLimit(t *testing.T) {
	for _, c := range []struct {
		require, gauge string
		asks           []Ask
		limit          float64
		from           string
	}{
		{"1000 µε", "1500 µε", nil, 1000e-6, "require.strain"}, {"1500 µε", "1000 µε", nil, 1000e-6, "gauges.S.max-strain"},
		{"1000 µε", "1500 µε", []Ask{{"strain", 1200e-6, "--strain"}}, 1200e-6, "--strain"},
	} {
		text := strings.Replace(shaft, "loads:", "require: {strain: {at-most: "+c.require+"}}\nloads:", 1)
		text = strings.Replace(text, "gauge-factor: 2.0", "gauge-factor: 2.0, max-strain: "+c.gauge, 1)
		list, err := Requirements(base(t, text).Design, c.asks)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(list, func(r Requirement) bool { return r.Figure.Key == "strain" })
		if r := list[i]; math.Abs(r.Limit-c.limit) > 1e-15 || r.From != c.from || r.AtLeast {
			t.Errorf("%s and %s: %g by %s", c.require, c.gauge, r.Limit, r.From)
		}
	}
}

// Requirements that cannot both be met, each possible alone, are told as such; so is the
// one that holds nowhere.
func TestWhatBlocks(t *testing.T) {
	b := base(t, shaft)
	p := problem(t, b, []Ask{{"rated-output", 1e-3, "--output"}, {"yield-factor", 4, "--yield-factor"}}, "part.section.outside-diameter=15 mm:80 mm")
	o := solve(t, p)
	if o.Best != nil || o.Chosen != nil || len(o.Intervals) != 0 {
		t.Fatal("found what cannot be")
	}
	for i, a := range o.Alone {
		if len(a.Intervals) != 1 {
			t.Errorf("%s alone has %d intervals", p.Requirements[i].Figure.Key, len(a.Intervals))
		}
	}
	// both miss by one factor at the nearest
	f := o.Nearest.Factors
	if math.Abs(f[0]/f[1]-1) > 1e-4 || f[0] >= 1 {
		t.Errorf("at the nearest the factors are %v", f)
	}
	p = problem(t, b, []Ask{{"rated-output", 1, "--output"}}, "part.section.outside-diameter=15 mm:80 mm")
	o = solve(t, p)
	if o.Best != nil || len(o.Alone[0].Intervals) != 0 || o.Alone[0].Best.X[0] != 15 {
		t.Errorf("an output of 1 V/V: %+v", o.Alone[0])
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		text, vary string
		asks       []Ask
		want       string
	}{
		{strings.Replace(shaft, ", yield: 400 MPa", "", 1), "part.section.outside-diameter=15 mm:80 mm", nil, "nothing is required"},
		{strings.Replace(shaft, ", yield: 400 MPa", "", 1), "part.section.outside-diameter=15 mm:80 mm", []Ask{{"yield-factor", 2, "--yield-factor"}}, "states no yield strength"},
		{shaft, "part.section.outside-diameter=15 mm:80 mm", []Ask{{"natural-frequency", 20, "--frequency"}}, "no straight length"},
		{shaft, "gauges.S.resistance=120 Ω:1000 Ω", []Ask{{"rated-output", 0.5e-3, "--output"}}, "no requirement depends on gauges.S.resistance"},
		{shaft, "part.section.outside-diameter=-20 mm:-10 mm", []Ask{{"rated-output", 0.5e-3, "--output"}}, "no value of the range makes a design"},
	} {
		b := base(t, c.text)
		_, err := Solve(context.Background(), problem(t, b, c.asks, c.vary))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %v: %v, want %q", c.vary, c.asks, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Solve(ctx, problem(t, base(t, shaft), nil, "part.section.outside-diameter=15 mm:80 mm")); err == nil {
		t.Error("a cancelled search gave an outcome")
	}
}

// The same outcome for any number of workers.
func TestSizingWorkers(t *testing.T) {
	b := base(t, shaft)
	words := ""
	for _, workers := range []int{1, 2, 8} {
		p := problem(t, b, []Ask{{"rated-output", 0.5e-3, "--output"}}, "part.section.outside-diameter=15 mm:80 mm")
		p.Workers = workers
		o := solve(t, p)
		got := fmt.Sprint(o.Intervals, *o.Best, *o.Chosen)
		if words == "" {
			words = got
		}
		if got != words {
			t.Errorf("%d workers: %s, one: %s", workers, got, words)
		}
	}
}

func TestEvenStep(t *testing.T) {
	for _, c := range []struct{ low, high, want float64 }{{30, 55, 0.05}, {0, 500, 1}, {0, 1000, 2}, {0, 2.4, 0.002}, {10, 11, 0.002}, {-5, 5, 0.02}} {
		if got := EvenStep(c.low, c.high); got != c.want {
			t.Errorf("a range from %g to %g has steps of %g, want %g", c.low, c.high, got, c.want)
		}
	}
}

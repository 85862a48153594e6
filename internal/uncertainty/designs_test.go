package uncertainty_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

func of(t testing.TB, r *predict.Result, o uncertainty.Options) *uncertainty.Result {
	t.Helper()
	out, err := uncertainty.Of(context.Background(), r, o)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The result is the same, bit for bit, with any number of workers, and another with
// another seed.
func TestSameWithAnyNumberOfWorkers(t *testing.T) {
	r := example(t, "agitator-tube", true)
	one := of(t, r, uncertainty.Options{Trials: 125_500, Seed: 9, Workers: 1})
	for _, workers := range []int{2, 8} {
		if many := of(t, r, uncertainty.Options{Trials: 125_500, Seed: 9, Workers: workers}); !reflect.DeepEqual(one, many) {
			t.Errorf("%d workers find something else than one", workers)
		}
	}
	if other := of(t, r, uncertainty.Options{Trials: 125_500, Seed: 10, Workers: 2}); other.Bridges[0].Sensitivity.Mean == one.Bridges[0].Sensitivity.Mean {
		t.Error("another seed gives the same trials")
	}
}

// On every example of the folder designs/ the first order and Monte Carlo agree for the
// sensitivity, with the tolerances of the file and with those of common practice; where
// a crosstalk's differ there is a reason, and a zero nominal crosstalk is always one.
func TestFirstOrderAndMonteCarloOnTheExamples(t *testing.T) {
	paths, _ := filepath.Glob("../../designs/*.yaml")
	differed := 0
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".yaml")
		for _, assume := range []bool{false, true} {
			r := example(t, name, assume)
			out := of(t, r, uncertainty.Options{Trials: 200_000, Seed: 3})
			for b, br := range out.Bridges {
				where := fmt.Sprintf("%s, bridge %s, assume %v", name, br.Name, assume)
				if r.Bridges[b].Blind {
					for j, c := range br.Crosstalk {
						if c.OK() {
							t.Errorf("%s: a blind bridge has crosstalk %d", where, j)
						}
					}
					if br.Relative().OK() {
						t.Errorf("%s: a blind bridge has a relative uncertainty", where)
					}
					continue
				}
				s, f := br.Sensitivity, br.FirstOrder
				t.Logf("%s: relative u %.3f %%, first order %.3f %%, agrees %v %s; tighten %s %.0f %%", where, 100*s.Standard/math.Abs(s.Mean), 100*f.Standard/math.Abs(f.Nominal), f.Agrees, f.Why, br.Tighten.From, br.Tighten.Percent)
				if f.Agrees == (f.Why != "") {
					t.Errorf("%s: agrees %v, but says %q", where, f.Agrees, f.Why)
				}
				near(t, where+", u of first order over that of Monte Carlo", f.Standard/s.Standard, 1, 0.02)
				near(t, where+", mean over nominal", s.Mean/f.Nominal, 1, 0.02*s.Standard/math.Abs(s.Mean)+2e-3)
				total := 0.0
				for i, share := range f.Budget {
					total += share.Percent
					if i > 0 && share.Percent > f.Budget[i-1].Percent {
						t.Errorf("%s: the budget does not descend", where)
					}
				}
				near(t, where+", sum of the budget", total, 100, 1e-6)
				for j, c := range br.FirstOrderCrosstalk {
					if j == br.Target {
						continue
					}
					if c.Agrees == (c.Why != "") {
						t.Errorf("%s: crosstalk %d agrees %v, but says %q", where, j, c.Agrees, c.Why)
					}
					if c.Agrees {
						continue
					}
					differed++
					t.Logf("%s, crosstalk %v: first order %.3g, Monte Carlo %.3g: %s", where, r.Model.Components[j], c.Quantile, br.Crosstalk[j].Quantile, c.Why)
					if math.Abs(c.Nominal) < 1e-9 && !strings.Contains(c.Why, "nominal crosstalk is zero") {
						t.Errorf("%s: crosstalk %d is nominally zero, but the reason is %q", where, j, c.Why)
					}
				}
				if got := br.Crosstalk[br.Target]; got.OK() {
					t.Errorf("%s: crosstalk of the measured load", where)
				}
			}
		}
	}
	if differed == 0 {
		t.Error("no crosstalk differs, though nearly all are nominally zero")
	}
}

// Where one rectangular limit is nearly all the uncertainty, the first order's interval is
// too wide (as in JCGM 101:2008, 9.2.4), and says so.
func TestDominatedByALimit(t *testing.T) {
	out := of(t, example(t, "winch-shaft", false), uncertainty.Options{Trials: 200_000, Seed: 1})
	f := out.Bridges[0].FirstOrder
	if f.Agrees || !strings.Contains(f.Why, "nearly rectangular") {
		t.Errorf("agrees %v: %q", f.Agrees, f.Why)
	}
}

// A bridge turned by 15° on purpose has a crosstalk of tan 15° between the two bending
// moments (equal rated loads), far from zero: there the first order holds.
func TestCrosstalkFarFromZero(t *testing.T) {
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	turned := strings.NewReplacer("around: 90°, direction", "around: 105°, direction", "around: 270°, direction", "around: 285°, direction").Replace(string(text))
	r := predicted(t, turned, false)
	out := of(t, r, uncertainty.Options{Trials: 200_000, Seed: 1})
	for j, c := range r.Model.Components {
		if c != design.BendingZ {
			continue
		}
		l, mc := out.Bridges[1].FirstOrderCrosstalk[j], out.Bridges[1].Crosstalk[j]
		near(t, "nominal", math.Abs(l.Nominal), math.Tan(15*math.Pi/180), 1e-9)
		if !l.Agrees {
			t.Errorf("first order %g, Monte Carlo %g: %s", l.Quantile, mc.Quantile, l.Why)
		}
		// both placements turn by ±1° (limit), each half of it: u = 1°/√3/√2 · sec² 15°
		near(t, "u", l.Standard, math.Pi/180/math.Sqrt(6)/math.Pow(math.Cos(15*math.Pi/180), 2), 0.02*l.Standard)
		return
	}
	t.Fatal("no bending-z")
}

const oneLimit = `gridwright: 1
title: one limit
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 30 mm}}
loads: {torque: {rated: 100 N·m, use: measure}}
gauges: {S: {pattern: shear-pair, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2 ± 1 %}}
placements: {A: {gauge: S, around: 0°}, B: {gauge: S, around: 180°}}
bridges: {T: {measures: torque, arms: [A2, A1, B2, B1]}}
`

// Closed form: a torque bridge of four equal grids. Its sensitivity is proportional to the
// gauge factor, to (1+ν)/E and to 1/D³, so relative standard uncertainties add in quadrature:
// F 1 %/√3, E 2 % and D 3 × 0.1 %/√3. Its zero by spread s of each grid is Fi/4·Σ±s ΔT.
func TestClosedFormBudget(t *testing.T) {
	const text = `gridwright: 1
title: closed form
part: {material: {youngs-modulus: 200 GPa ± 4 % (k=2), poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 30 mm ± 0.1 %}}
loads: {torque: {rated: 100 N·m, use: measure}}
gauges:
  S: {pattern: shear-pair, grid: {length: 1 µm, width: 1 µm}, resistance: 350 Ω, gauge-factor: 2 ± 1 %, thermal-output: {celsius: [0, 0], spread: 0.2 µε/K}}
placements: {A: {gauge: S, around: 0°}, B: {gauge: S, around: 180°}}
placement-tolerance: {station: 0 mm, around: 0°, direction: 0°}
bridges: {T: {measures: torque, arms: [A2, A1, B2, B1]}}
temperature: {range: [0 °C, 40 °C]}
`
	r := predicted(t, text, false)
	out := of(t, r, uncertainty.Options{Trials: 400_000, Seed: 1, All: true})
	b := out.Bridges[0]
	uf, ue, ud := 0.01/math.Sqrt(3), 0.02, 0.003/math.Sqrt(3)
	u := math.Sqrt(uf*uf + ue*ue + ud*ud)
	near(t, "first order", b.FirstOrder.Standard/b.FirstOrder.Nominal, u, 1e-6*u)
	near(t, "Monte Carlo", b.Sensitivity.Standard/b.FirstOrder.Nominal, u, 0.006*u)
	for i, c := range []struct {
		path string
		u    float64
	}{{"part.material.youngs-modulus", ue}, {"gauges.S.gauge-factor", uf}, {"part.section.outside-diameter", ud}} {
		s := b.FirstOrder.Budget[i]
		if got := out.Inputs[s.Input].Label; got != c.path {
			t.Errorf("entry %d of the budget is %s, want %s", i, got, c.path)
		}
		near(t, c.path+", %", s.Percent, 100*c.u*c.u/(u*u), 1e-4)
	}
	if b.Tighten.From != "part.material.youngs-modulus" {
		t.Errorf("tighten %s first", b.Tighten.From)
	}
	near(t, "with E's tolerance halved", b.Tighten.Standard/b.FirstOrder.Nominal, math.Sqrt(uf*uf+ue*ue/4+ud*ud), 1e-6*u)
	halved := predicted(t, strings.Replace(text, "± 4 % (k=2)", "± 2 % (k=2)", 1), false)
	again := of(t, halved, uncertainty.Options{}).Bridges[0].FirstOrder
	near(t, "as the halved design has it", b.Tighten.Standard, again.Standard, 1e-6*again.Standard)

	// The sum of four rectangular ±0.2 µε/K (JCGM 101:2008, 9.2.3: 95 % at 3.879406741/2
	// standard deviations) times Fi/4 = 0.5, over the rated output.
	rated := math.Abs(r.Bridges[0].Rated)
	near(t, "zero by spread, 1/K", b.ZeroSpread.Quantile, 0.5*2*(0.2e-6/math.Sqrt(3))*3.879406741/2/rated, 0.01*b.ZeroSpread.Quantile)
	if !b.ZeroDrift.OK() || !b.SpanDrift.OK() {
		t.Fatal("no drift")
	}
	// |slope| is all that moves the zero here
	near(t, "zero drift, 95 %", b.ZeroDrift.Quantile, b.ZeroSpread.Quantile, 0.01*b.ZeroSpread.Quantile)
	near(t, "span drift", b.SpanDrift.Mean, r.Bridges[0].Temperature.SpanDrift.Value, 1e-12)
	// all loads recovered: T̂ = T·S/S_nominal
	near(t, "recovered torque's standard uncertainty", math.Sqrt(out.Recovered.Covariance[0][0]), 100*u, 0.6*u)
	near(t, "the same of first order", math.Sqrt(out.Recovered.FirstOrder[0][0]), 100*u, 1e-4*u)
}

// Without tolerances nothing is uncertain, and nothing is NaN.
func TestExactDesign(t *testing.T) {
	text := strings.Replace(oneLimit, "2 ± 1 %", "2", 1) + "placement-tolerance: {station: 0 mm, around: 0°, direction: 0°}\n"
	out := of(t, predicted(t, text, false), uncertainty.Options{Trials: 20_000})
	b := out.Bridges[0]
	if b.Sensitivity.Standard != 0 || b.FirstOrder.Standard != 0 || len(b.FirstOrder.Budget) != 0 || b.Tighten.From != "" || !b.FirstOrder.Agrees || b.Relative().Value != 0 {
		t.Errorf("%+v", b)
	}
	if b.ZeroSpread.OK() || b.ZeroDrift.OK() {
		t.Error("spread or drift without the inputs for it")
	}
	if _, err := uncertainty.Of(context.Background(), predicted(t, text, false), uncertainty.Options{Trials: 10}); err == nil {
		t.Error("ten trials were accepted")
	}
	none := of(t, predicted(t, text, false), uncertainty.Options{})
	if none.Trials != 0 || none.Bridges[0].Sensitivity.OK() {
		t.Error("Monte Carlo without trials")
	}
}

// True parts drawn from the tolerances by other code than the package's, their sensitivity
// from the exact network: the 95 % interval holds 95 % of them.
func TestIntervalsCoverTrueParts(t *testing.T) {
	const designs, parts = 120, 40
	g := rand.New(rand.NewPCG(2024, 11))
	inside, crosstalk, all, allCrosstalk := 0, 0, 0, 0
	for n := 0; n < designs; n++ {
		r := predicted(t, random(g), false)
		out := of(t, r, uncertainty.Options{Trials: 10_000, Seed: uint64(n)})
		m := r.Model
		s := m.NewState()
		x := append([]float64(nil), m.Nominal...)
		for range parts {
			for k, in := range m.Inputs {
				switch {
				case in.Coverage > 0:
					x[k] = in.Nominal + in.Tolerance/in.Coverage*g.NormFloat64()
				default:
					x[k] = in.Nominal + in.Tolerance*(2*g.Float64()-1)
				}
			}
			if err := m.Set(x, s); err != nil {
				t.Fatal(err)
			}
			for b := range m.Bridges {
				target := m.Bridges[b].Measures
				own := slope(t, m, s, b, target)
				i := out.Bridges[b].Sensitivity.Interval
				all++
				if own >= i[0] && own <= i[1] {
					inside++
				}
				for j, c := range out.Bridges[b].Crosstalk {
					if j == target || !c.OK() {
						continue
					}
					allCrosstalk++
					if math.Abs(slope(t, m, s, b, j)*m.Rated[j]/(own*m.Rated[target])) <= c.Quantile {
						crosstalk++
					}
				}
			}
		}
	}
	t.Logf("%d of %d sensitivities, %d of %d crosstalks", inside, all, crosstalk, allCrosstalk)
	// Four standard deviations: of the parts, and of the interval, which 10^4 trials
	// place to 0.22 % of probability; bridges of one part share inputs (a factor of two).
	check := func(what string, in, of int) {
		sd := math.Sqrt(2*0.95*0.05/float64(of) + 0.0022*0.0022/designs)
		near(t, what, float64(in)/float64(of), 0.95, 4*sd+0.002) // the shortest of 10^4 is short by 0.002 at most
	}
	check("coverage of the sensitivity", inside, all)
	check("coverage of the crosstalk", crosstalk, allCrosstalk)
}

// slope is d(V/E)/dF of the exact network by a difference over ±1e-3 of the rated load.
func slope(t *testing.T, m *model.Model, s *model.State, b, j int) float64 {
	t.Helper()
	c := model.At(m.Design.Temperature.Reference.SI)
	h := 1e-3 * m.Rated[j]
	c.Load[j] = h
	up, err := m.Output(s, b, &c)
	if err != nil {
		t.Fatal(err)
	}
	c.Load[j] = -h
	down, err := m.Output(s, b, &c)
	if err != nil {
		t.Fatal(err)
	}
	return (up - down) / (2 * h)
}

// random is the text of a design: a shaft or tube with a torque bridge, a bending bridge
// and tolerances of every kind.
func random(g *rand.Rand) string {
	real := func(lo, hi float64) float64 { return lo + (hi-lo)*g.Float64() }
	d := real(15, 80)
	section := fmt.Sprintf("{shape: round, outside-diameter: %.3f mm ± %.3f mm}", d, d*real(1e-4, 3e-3))
	if g.IntN(2) == 0 {
		section = fmt.Sprintf("{shape: round-tube, outside-diameter: %.3f mm ± %.3f mm, inside-diameter: %.3f mm ± %.3f mm (k=2)}", d, d*real(1e-4, 3e-3), d*real(0.3, 0.85), d*real(1e-4, 3e-3))
	}
	shear := ""
	if g.IntN(3) == 0 {
		shear = fmt.Sprintf(", shear-modulus: 79 GPa ± %.2f %%", real(0.5, 3))
	}
	leads := [...]string{"", "leads: {wires: 4, each: 1.2 Ω ± 0.2 Ω}\n", "leads: {wires: 6, each: 0.8 Ω}\ninstrument: {input-resistance: 100 kΩ}\n"}[g.IntN(3)]
	return fmt.Sprintf(`gridwright: 1
title: random
part: {material: {youngs-modulus: 205 GPa ± %.2f %% (k=2), poisson-ratio: 0.29 ± %.4f%s}, section: %s}
loads: {torque: {rated: 500 N·m, use: measure}, bending-y: {rated: 200 N·m, use: measure}, bending-z: {rated: 200 N·m}, axial: {rated: 10 kN}, shear-z: {rated: 1 kN}}
gauges:
  R:
    pattern: rectangular-rosette
    grid: {length: %.3f mm, width: 1.5 mm}
    centres: [[0 mm, -2 mm], [0 mm, 0 mm], [0 mm, 2 mm]]
    resistance: 350 Ω ± %.2f %%
    gauge-factor: [2.08 ± 0.5 %%, 2.09 ± 1 %%, 2.08 ± 0.5 %%]
    gauge-factor-scatter: %.2f %%
    transverse-sensitivity: 0.8 %% ± 0.3 %%
    stand-off: 0.05 mm ± 0.02 mm
placements:
  A: {gauge: R, station: %.1f mm, around: %.1f°, direction: %.2f° ± 0.7°}
  B: {gauge: R, station: %.1f mm, around: %.1f°, direction: 0°}
placement-tolerance: {station: 0.5 mm, around: %.2f°, direction: %.2f°}
bridges:
  T:  {measures: torque, arms: [A3, A1, B3, B1]}
  By: {measures: bending-y, arms: [A2, B2, 350 Ω ± 0.05 %%, 350 Ω ± 0.05 %%]}
%s`, real(0.5, 4), real(0.002, 0.02), shear, section, real(1, 4), real(0.1, 0.5), real(0.05, 0.3),
		real(-20, 20), real(75, 105), real(-3, 3), real(-20, 20), real(255, 285), real(0.3, 2), real(0.3, 2), leads)
}

func near(t testing.TB, what string, got, want, half float64) {
	t.Helper()
	if !(math.Abs(got-want) <= half) {
		t.Errorf("%s: %.10g, want %.10g ± %g", what, got, want, half)
	}
}

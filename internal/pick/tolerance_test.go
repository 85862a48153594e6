package pick

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"gridwright/internal/model"
	"gridwright/internal/predict"
)

// The quantile against distribution functions of gonum: the folded normal one
// directly, rectangular and normal together by integrating over the rectangle.
func TestFoldedQuantile(t *testing.T) {
	normal := distuv.UnitNormal
	within := func(q, mean, sigma, limit float64) float64 {
		if sigma == 0 {
			return (math.Max(0, math.Min(q, mean+limit)-math.Max(-q, mean-limit))) / (2 * limit)
		}
		p := func(m float64) float64 { return normal.CDF((q-m)/sigma) - normal.CDF((-q-m)/sigma) }
		if limit == 0 {
			return p(mean)
		}
		const n = 4000 // Simpson
		sum := p(mean-limit) + p(mean+limit)
		for i := 1; i < n; i++ {
			sum += float64(2+2*(i&1)) * p(mean-limit+2*limit*float64(i)/n)
		}
		return sum / (3 * n)
	}
	rapid.Check(t, func(t *rapid.T) {
		mean := rapid.SampledFrom([]float64{0, 1e-6, 0.03, 0.4, 1, 3, 20}).Draw(t, "mean") * rapid.Float64Range(0.5, 2).Draw(t, "times")
		sigma := rapid.SampledFrom([]float64{0, 0.05, 1, 1, 4}).Draw(t, "sigma")
		limit := rapid.SampledFrom([]float64{0, 1e-4, 0.3, 1, 5}).Draw(t, "limit")
		q := folded95(mean, sigma, limit)
		if sigma == 0 && limit == 0 {
			if q != mean {
				t.Fatalf("without spread %g, want %g", q, mean)
			}
			return
		}
		if p := within(q, mean, sigma, limit); math.Abs(p-0.95) > 1e-7 {
			t.Errorf("mean %g, sigma %g, limit %g: %.9f within %g, want 0.95", mean, sigma, limit, p, q)
		}
		if folded95(-mean, sigma, limit) != q {
			t.Error("depends on the sign of the mean")
		}
		// The bound that lets crosstalk95 skip a load.
		if most := mean + twoSided95*math.Hypot(sigma, limit/math.Sqrt(3)); q > most*(1+1e-12) {
			t.Errorf("mean %g, sigma %g, limit %g: %g above its bound %g", mean, sigma, limit, q, most)
		}
	})
	expect(t, "two-sided", fmt.Sprintf("%.9f", folded95(0, 1, 0)), fmt.Sprintf("%.9f", normal.Quantile(0.975)))
	expect(t, "one-sided", fmt.Sprintf("%.9f", folded95(5, 1, 0)), fmt.Sprintf("%.9f", 5+normal.Quantile(0.95)))
}

const toleranced = "pattern: rectangular-rosette, grid: {length: 3 mm, width: 2.5 mm}, centres: [[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]], backing: {length: 9 mm, width: 11 mm}, resistance: 350 Ω ± 0.3 %, " +
	"gauge-factor: [2.08 ± 0.5 %, 2.09 ± 1 %, 2.08 ± 0.5 %], gauge-factor-scatter: 0.4 %, transverse-sensitivity: [0.9 % ± 0.2 %, 0.6 % ± 0.2 %, 0.9 % ± 0.2 %], stand-off: 0.05 mm ± 0.02 mm, " +
	"thermal-output: {celsius: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], spread: 0.2 µε/K}"

// wired4 is an invented tube with four rosettes, all of its bridges wired, and
// every tolerance stated.
func wired4(more string) string {
	gaugeTexts["toleranced"] = toleranced
	source := text("{shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.1 mm}",
		[]string{"torque: 900 N·m measure", "bending-y: 400 N·m measure", "bending-z: 300 N·m measure", "axial: 20 kN reject", "shear-z: 2 kN reject"},
		[]string{"toleranced"}, more)
	source = strings.Replace(source, "poisson-ratio: 0.29", "poisson-ratio: 0.29 ± 0.01 (k=2)", 1)
	return strings.Replace(source, "205 GPa", "205 GPa ± 2 %", 1)
}

const fourPlacements = `placements:
  A: {gauge: toleranced, around: 90°}
  B: {gauge: toleranced, around: 270°, station: 10 mm ± 1 mm}
  C: {gauge: toleranced, around: 0°}
  D: {gauge: toleranced, around: 180°, direction: 2° ± 0.5° (k=2)}
`

const fourBridges = `bridges:
  T: {measures: torque, arms: [A3, A1, B3, B1]}
  By: {measures: bending-y, arms: [A2, B2, 350 Ω, 350 Ω]}
  Bz: {measures: bending-z, arms: [D2, C2, 350 Ω, 350 Ω]}
`

func predicted(t testing.TB, source string) (*predict.Result, *tolerances) {
	t.Helper()
	r, err := predict.Of(read(t, source))
	if err != nil {
		t.Fatal(err)
	}
	tol, err := newTolerances(r.Model, r.State)
	if err != nil {
		t.Fatal(err)
	}
	return r, tol
}

// Every derivative is that of the model stepped input by input, and no input that
// moves a row is missing.
func TestDerivatives(t *testing.T) {
	for _, source := range []string{
		wired4(fourPlacements),
		text(shaft, []string{"torque: 100 N·m measure", "axial: 9 kN reject"}, []string{"toleranced"}, "placements:\n  A: {gauge: toleranced, around: 30°, measured: {around: 31° ± 0.2°}}\n  A1: {gauge: toleranced, around: 120°}\n"),
	} {
		source = strings.Replace(source, "A1:", "Q:", 1)
		r, tol := predicted(t, source)
		m := r.Model
		n := len(m.Components)
		// Effects of all inputs as columns, in no order: compared by sorted text.
		var got, want []string
		column := func(of func(g, j int) float64) string {
			var b strings.Builder
			for g := range m.Grids {
				for j := range n {
					scale := math.Abs(tol.change[g*n]) + 1e-6
					fmt.Fprintf(&b, "%.5f ", of(g, j)/scale*1e2)
				}
			}
			return strings.ReplaceAll(b.String(), "-0.00000 ", "0.00000 ")
		}
		for _, in := range tol.inputs {
			got = append(got, column(func(g, j int) float64 {
				for k := in.from; k < in.to; k++ {
					if int(tol.of[k]) == g {
						return tol.effect[k*n+j]
					}
				}
				return 0
			}))
		}
		up, down := m.NewState(), m.NewState()
		for i, in := range m.Inputs {
			u := in.Standard()
			if u == 0 {
				continue
			}
			x := slices.Clone(m.Nominal)
			const step = 0.003
			x[i] = m.Nominal[i] + step*u
			if err := m.Set(x, up); err != nil {
				t.Fatal(err)
			}
			x[i] = m.Nominal[i] - step*u
			if err := m.Set(x, down); err != nil {
				t.Fatal(err)
			}
			moves := false
			c := column(func(g, j int) float64 {
				d := (up.Row(g, j) - down.Row(g, j)) * m.Rated[j] / (2 * step)
				moves = moves || d != 0
				return d
			})
			if moves {
				want = append(want, c)
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		expect(t, "inputs that move a row", len(got), len(want))
		if len(want) < 8 {
			t.Errorf("only %d inputs move a row: nothing is tested", len(want))
		}
		for i := range got {
			if i < len(want) && got[i] != want[i] {
				t.Errorf("input %d:\n%s\nwant\n%s", i, got[i], want[i])
			}
		}
	}
}

// monteCarlo draws every input by its stated distribution through the whole model
// and returns the 95 % quantile of the crosstalk of each load of each bridge.
func monteCarlo(t testing.TB, m *model.Model, trials int, seed uint64) [][]float64 {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 3))
	f := m.NewFigures()
	x := make([]float64, len(m.Inputs))
	n := len(m.Components)
	draws := make([][]float64, len(m.Bridges)*n)
	for range trials {
		for i, in := range m.Inputs {
			if in.Coverage > 0 {
				x[i] = in.Nominal + in.Tolerance/in.Coverage*r.NormFloat64()
			} else {
				x[i] = in.Nominal + in.Tolerance*(2*r.Float64()-1)
			}
		}
		if err := m.Eval(x, f); err != nil {
			t.Fatal(err)
		}
		for b := range m.Bridges {
			own := f.Sensitivity[b*n+m.Bridges[b].Measures] * m.Rated[m.Bridges[b].Measures]
			for j := range n {
				draws[b*n+j] = append(draws[b*n+j], math.Abs(f.Sensitivity[b*n+j]*m.Rated[j]/own))
			}
		}
	}
	out := make([][]float64, len(m.Bridges))
	for k, d := range draws {
		slices.Sort(d)
		out[k/n] = append(out[k/n], d[len(d)*95/100])
	}
	return out
}

// First order against Monte Carlo through the exact network, resistances drawn
// too: within 2 % of the quantile, which is three times the scatter of 40 000
// trials. With series arms the tolerance of resistance, here 0.3 % against a
// direction of 1°, adds what is left out.
func TestCrosstalk95AgainstMonteCarlo(t *testing.T) {
	for _, c := range []struct {
		what, source string
		within       float64
	}{
		{"four rosettes", wired4(fourPlacements + fourBridges), 0.02},
		{"series arms", wired4(fourPlacements + "bridges:\n  T: {measures: torque, arms: [[A3, C3], [A1, C1], [B3, D3], [B1, D1]]}\n  By: {measures: bending-y, arms: [A2, B2, 350 Ω, 350 Ω]}\n"), 0.03},
		// One rectangular direction is all that matters: its own distribution counts. A
		// normal one would give 19 % too much.
		{"one rectangular alone", text(tube, []string{"bending-y: 400 N·m measure", "torque: 900 N·m reject"}, []string{"single"},
			"placements:\n  A: {gauge: single, around: 90°, direction: 0° ± 1°}\n  B: {gauge: single, around: 270°, direction: 0° ± 0.001°}\nplacement-tolerance: {station: 0 mm, around: 0°, direction: 0°}\nbridges:\n  By: {measures: bending-y, arms: [A1, B1, 350 Ω, 350 Ω]}\n"), 0.01},
	} {
		r, tol := predicted(t, c.source)
		m := r.Model
		all := monteCarlo(t, m, 40000, 7)
		for b := range m.Bridges {
			weights, err := weightsOf(r, b)
			if err != nil {
				t.Fatal(err)
			}
			target := m.Bridges[b].Measures
			got, of := tol.crosstalk95(weights, target)
			want, at := 0.0, -1
			for j, q := range all[b] {
				if j != target && q > want {
					want, at = q, j
				}
			}
			t.Logf("%s, %s: %.4f %% of %v, Monte Carlo %.4f %%", c.what, m.Bridges[b].Name, got*100, m.Components[of], want*100)
			if of != at || math.Abs(got/want-1) > c.within {
				t.Errorf("%s, bridge %s: %.5g of %v; Monte Carlo %.5g of %v", c.what, m.Bridges[b].Name, got, m.Components[of], want, m.Components[at])
			}
		}
	}
}

// By hand: a grid along the axis of a shaft at the top of its bending, turned by δ,
// takes γ δ of the torque; two of them in a half bridge, each ±1°, give a triangular
// sum, whose 95 % point is 2(1 − √0.05)·δ of one.
func TestCrosstalk95ByHand(t *testing.T) {
	r, tol := predicted(t, text(shaft, []string{"bending-y: 100 N·m measure", "torque: 200 N·m reject"}, []string{"fine"},
		"placements:\n  A: {gauge: fine, around: 90°}\n  B: {gauge: fine, around: 270°}\nplacement-tolerance: {station: 0 mm, around: 0°, direction: 1°}\nbridges:\n  By: {measures: bending-y, arms: [A1, B1, 350 Ω, 350 Ω]}\n"))
	weights, err := weightsOf(r, 0)
	if err != nil {
		t.Fatal(err)
	}
	// σ = M/W, τ = T/2W: with T = 2M γ/ε = τ/G·E/σ = 2(1+ν).
	one := 2 * (1 + 0.29) * deg / 2 // half of the bridge's output comes from each
	want := 2 * (1 - math.Sqrt(0.05)) * one
	target := r.Model.Bridges[0].Measures
	got, of := tol.crosstalk95(weights, target)
	if of == target || math.Abs(got/want-1) > 0.01 { // one of the two rectangles counts as a normal one
		t.Errorf("%g of load %d, want %g", got, of, want)
	}
	if allocs := testing.AllocsPerRun(100, func() { tol.crosstalk95(weights, target); tol.gradientZero(weights, target) }); allocs != 0 {
		t.Errorf("%v allocations", allocs)
	}
	none := make([]float64, len(weights))
	if q, of := tol.crosstalk95(none, target); !math.IsInf(q, 1) || of != -1 || !math.IsInf(tol.gradientZero(none, target), 1) {
		t.Errorf("a bridge without grids: %g of %d", q, of)
	}
}

// What changes the response to all loads alike, the gauge factor of the one lot
// and the modulus, changes no crosstalk.
func TestCommonTolerancesCancel(t *testing.T) {
	gaugeTexts["spread"] = strings.Replace(gaugeTexts["single"], "gauge-factor: 2.1", "gauge-factor: 2.1 ± 10 %", 1)
	source := text(shaft, []string{"bending-y: 100 N·m measure", "axial: 9 kN reject"}, []string{"spread"},
		"placements:\n  A: {gauge: spread, around: 90°}\nplacement-tolerance: {station: 0 mm, around: 0°, direction: 0°}\nbridges:\n  By: {measures: bending-y, arms: [A1, 350 Ω, 350 Ω, 350 Ω]}\n")
	r, tol := predicted(t, strings.Replace(source, "205 GPa", "205 GPa ± 5 %", 1))
	weights, err := weightsOf(r, 0)
	if err != nil {
		t.Fatal(err)
	}
	target := r.Bridges[0].Target
	got, of := tol.crosstalk95(weights, target)
	if want := r.Bridges[0].Crosstalk[of].Value; len(tol.inputs) < 2 || want < 0.1 || math.Abs(got/want-1) > 1e-6 {
		t.Errorf("%d inputs: %g, nominal %g", len(tol.inputs), got, want)
	}
}

func init() {
	gaugeTexts["fine"] = "pattern: single, grid: {length: 0.01 mm, width: 0.01 mm}, resistance: 350 Ω, gauge-factor: 2"
}

// The zero under a stated gradient is predict's, but for the curvature of the
// bridge, a thousandth of its thermal ΔR/R.
func TestGradientZero(t *testing.T) {
	for _, gradient := range []string{"{across: 2 K, toward: 60°, along: 5 K/m}", "{across: 2 K}", "{along: -40 K/m}"} {
		r, tol := predicted(t, wired4(fourPlacements+fourBridges+"temperature: {range: [-10 °C, 60 °C], gradient: "+gradient+"}\n"))
		tested := 0
		for b := range r.Bridges {
			weights, err := weightsOf(r, b)
			if err != nil {
				t.Fatal(err)
			}
			want := math.Abs(r.Bridges[b].Temperature.ZeroGradient.Value)
			got := tol.gradientZero(weights, r.Bridges[b].Target)
			if want > 1e-7 {
				tested++
			}
			if math.Abs(got-want) > 2e-3*want+1e-9 {
				t.Errorf("gradient %s, bridge %s: %g, predicted %g", gradient, r.Bridges[b].Name, got, want)
			}
		}
		if tested == 0 {
			t.Errorf("gradient %s: no bridge has a zero error, nothing is tested", gradient)
		}
	}
}

// Without a stated gradient: 1 K across in the worst direction and 1 K/m along,
// found by trying directions with a stated one.
func TestGradientZeroUnstated(t *testing.T) {
	r, tol := predicted(t, wired4(fourPlacements+fourBridges))
	for b := range r.Bridges {
		weights, err := weightsOf(r, b)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for toward := 0; toward < 360; toward += 3 {
			for _, along := range []int{1, -1} {
				d := r.Model.Design.Clone()
				d.Temperature.Across, d.Temperature.Toward, d.Temperature.Along = si(0.01, ""), si(float64(toward)*deg, ""), si(0.01*float64(along), "")
				stated, err := predict.Of(d)
				if err != nil {
					t.Fatal(err)
				}
				worst = math.Max(worst, 100*math.Abs(stated.Bridges[b].Temperature.ZeroGradient.Value))
			}
		}
		if got := tol.gradientZero(weights, r.Bridges[b].Target); math.Abs(got-worst) > 3e-3*worst+1e-6 {
			t.Errorf("bridge %s: %g, by trying %g", r.Bridges[b].Name, got, worst)
		}
	}
	// A gauge whose thermal output the file leaves out: 1 µε/K. Two grids on opposite
	// sides in adjacent arms: F·1e-6·1 K·(1/4)(½ + ½).
	r, tol = predicted(t, text(shaft, []string{"bending-y: 100 N·m measure"}, []string{"fine"}, "placements:\n  A: {gauge: fine, around: 90°}\n  B: {gauge: fine, around: 270°}\nbridges:\n  By: {measures: bending-y, arms: [A1, B1, 350 Ω, 350 Ω]}\n"))
	weights, _ := weightsOf(r, 0)
	if got, want := tol.gradientZero(weights, 0), 2*1e-6/4/math.Abs(r.Bridges[0].Rated); math.Abs(got/want-1) > 1e-3 {
		t.Errorf("unit thermal output: %g, want %g", got, want)
	}
}

// Tolerances scale: with all of them halved the effect of each input halves.
func TestTolerancesScale(t *testing.T) {
	rapid.Check(t, func(t2 *rapid.T) {
		degrees := rapid.Float64Range(0.1, 3).Draw(t2, "degrees")
		start := rapid.IntRange(0, 359).Draw(t2, "start")
		of := func(tolerance float64) float64 {
			_, tol := predicted(t, text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m reject", "axial: 20 kN reject"}, []string{"pair"},
				fmt.Sprintf("placements:\n  A: {gauge: pair, around: %d°}\n  B: {gauge: pair, around: %d°}\nplacement-tolerance: {station: 0 mm, around: %f°, direction: %f°}\n", start, start+180, tolerance, tolerance)))
			q, _ := tol.crosstalk95([]float64{-0.25, 0.25, -0.25, 0.25}, slices.Index(find1(t, text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m reject", "axial: 20 kN reject"}, []string{"pair"}, "placements:\n  A: {gauge: pair, around: 0°}\nbridges:\n  T: {measures: torque, arms: [A2, A1, 350 Ω, 350 Ω]}\n")).Model.Rated, 900))
			return q
		}
		whole, half := of(degrees), of(degrees/2)
		if math.Abs(whole/half-2) > 1e-3 || whole == 0 {
			t2.Errorf("%g, with half the tolerance %g", whole, half)
		}
	})
}

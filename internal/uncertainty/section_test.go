package uncertainty_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gridwright/internal/uncertainty"
)

// The budget of a part with flat sides names the numbers of its section, those of lists
// too, and what stands for a tolerance that nobody stated.
func TestDimensionsOfListsAreInputs(t *testing.T) {
	r := predicted(t, `gridwright: 1
title: angle
part:
  material: {name: invented steel, youngs-modulus: 200 GPa, poisson-ratio: 0.3}
  section: {shape: polygon, outline: [[0 mm, 0 mm], [40 mm ± 0.1 mm, 0 mm], [40 mm ± 0.1 mm, 8 mm ± 0.1 mm], [8 mm, 8 mm ± 0.1 mm], [8 mm, 40 mm], [0 mm, 40 mm]]}
loads: {bending-y: {rated: 10 N·m, use: measure}}
gauges: {S: {pattern: single, grid: {length: 2 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, face: -z, across: 5 mm}}
bridges: {By: {measures: bending-y, arms: [350 Ω, A1, 350 Ω, 350 Ω]}}
`, false)
	out, err := uncertainty.Of(context.Background(), r, uncertainty.Options{})
	if err != nil {
		t.Fatal(err)
	}
	shares := map[string]float64{}
	from := map[string]string{}
	sum := 0.0
	for _, s := range out.Bridges[0].FirstOrder.Budget {
		in := out.Inputs[s.Input]
		shares[in.Label], from[in.Label] = s.Percent, in.From
		sum += s.Percent
	}
	if math.Abs(sum-100) > 1e-9 {
		t.Errorf("shares sum to %g %%", sum)
	}
	for _, label := range []string{"part.section.outline[2][1]", "part.section.outline[2][0]", "part.section.outline[3][1]"} {
		if !(shares[label] > 0) {
			t.Errorf("%s has %.3g %% of the variance, of %v", label, shares[label], shares)
		}
	}
	if _, ok := shares["part.section.outline[0][0]"]; ok {
		t.Error("an exact point has a share")
	}
	if got := from["placements.A.across"]; got != "placement-tolerance.station" {
		t.Errorf("the tolerance across comes from %q", got)
	}
}

// The Monte Carlo of a section goes through its response; full solutions of the same
// draws give the same sensitivities, each within a fraction of their scatter.
func TestResponseAgainstFullSolutions(t *testing.T) {
	for _, name := range []string{"box-strut", "flatted-shaft"} {
		r := example(t, name, false)
		draws := 30
		if full {
			draws = 200
		}
		rng := rand.New(rand.NewPCG(5, 6))
		m := r.Model
		quick, exact := m.NewState(), m.NewExact()
		var worst, n, sum, square float64
		for range draws {
			x := append([]float64(nil), m.Nominal...)
			for i, in := range m.Inputs {
				if in.Coverage > 0 {
					x[i] += in.Tolerance / in.Coverage * rng.NormFloat64()
				} else {
					x[i] += in.Tolerance * (2*rng.Float64() - 1)
				}
			}
			if err := m.Set(x, quick); err != nil {
				t.Fatal(err)
			}
			if err := m.Set(x, exact); err != nil {
				t.Fatal(err)
			}
			for g := range m.Grids {
				for c := range m.Components {
					scale := math.Abs(r.State.Row(g, c))
					for k := range m.Grids {
						scale = math.Max(scale, math.Abs(r.State.Row(k, c)))
					}
					worst = math.Max(worst, math.Abs(quick.Row(g, c)-exact.Row(g, c))/scale)
					if c == r.Bridges[0].Target && g == 0 {
						v := exact.Row(g, c) / scale
						n, sum, square = n+1, sum+v, square+v*v
					}
				}
			}
		}
		scatter := math.Sqrt(square/n - sum*sum/n/n)
		if worst > 2e-4 || worst > 0.1*scatter {
			t.Errorf("%s: the response departs by %.2g from full solutions, whose scatter is %.2g", name, worst, scatter)
		}
		t.Logf("%s: %.2g of %.2g, %d draws", name, worst, scatter, draws)
	}
}

// A hundred thousand trials of a box whose dimensions have tolerances: three bridges,
// five loads, all figures with their quantiles.
func BenchmarkMonteCarloOfABox(b *testing.B) {
	r := example(b, "box-strut", false)
	b.ReportAllocs()
	for b.Loop() {
		out, err := uncertainty.Of(context.Background(), r, uncertainty.Options{Trials: 100_000, All: true, Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		if out.Trials != 100_000 {
			b.Fatalf("%d trials", out.Trials)
		}
	}
}

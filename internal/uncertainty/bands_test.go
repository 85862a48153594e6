package uncertainty

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/model"
	"gridwright/internal/predict"
)

// The bands are what parts drawn from the tolerances do: the standard deviation of
// zero and span of 4000 of them at three temperatures, network and all, is the
// band's within its own scatter.
func TestBandsAreThoseOfDrawnParts(t *testing.T) {
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := designfile.Read("agitator-tube.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	d.Assume = "common-practice"
	Assume(d)
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	got, err := bands(r)
	if err != nil {
		t.Fatal(err)
	}
	m := r.Model
	s := m.NewState()
	random := rand.New(rand.NewPCG(5, 6))
	rows := []int{0, 12, 20}
	const parts = 4000
	type sums struct{ z, zz, p, pp float64 }
	total := make([][3]sums, len(r.Bridges))
	sens := make([]float64, len(m.Components))
	x := make([]float64, len(m.Inputs))
	for range parts {
		for i, in := range m.Inputs {
			x[i] = in.Nominal
			switch {
			case in.Tolerance == 0:
			case in.Coverage > 0:
				x[i] += in.Standard() * random.NormFloat64()
			default:
				x[i] += in.Tolerance * (2*random.Float64() - 1)
			}
		}
		if err := m.Set(x, s); err != nil {
			t.Fatal(err)
		}
		for b := range r.Bridges {
			at := model.At(d.Temperature.Reference.SI)
			rest, err := m.Output(s, b, &at)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := m.Sensitivity(s, b, at.Kelvin, sens); err != nil {
				t.Fatal(err)
			}
			span := sens[r.Bridges[b].Target]
			for n, k := range rows {
				at := model.At(r.Bridges[b].Temperature.Rows[k].Kelvin)
				at.Across, at.Along, at.Toward = d.Temperature.Across.SI, d.Temperature.Along.SI, d.Temperature.Toward.SI
				v, err := m.Output(s, b, &at)
				if err != nil {
					t.Fatal(err)
				}
				if _, err := m.Sensitivity(s, b, at.Kelvin, sens); err != nil {
					t.Fatal(err)
				}
				z, p := v-rest, sens[r.Bridges[b].Target]/span-1
				sum := &total[b][n]
				sum.z, sum.zz, sum.p, sum.pp = sum.z+z, sum.zz+z*z, sum.p+p, sum.pp+p*p
			}
		}
	}
	deviation := func(sum, squares float64) float64 { return math.Sqrt((squares - sum*sum/parts) / (parts - 1)) }
	for b := range r.Bridges {
		for n, k := range rows {
			sum := total[b][n]
			// the standard deviation of 4000 draws scatters by about 1.1 %
			if want := band95 * deviation(sum.z, sum.zz); math.Abs(got[b][k].Zero-want) > 0.05*want {
				t.Errorf("bridge %d, row %d: zero ± %g, drawn ± %g", b, k, got[b][k].Zero, want)
			}
			if want := band95 * deviation(sum.p, sum.pp); math.Abs(got[b][k].Span-want) > 0.05*want {
				t.Errorf("bridge %d, row %d: span ± %g, drawn ± %g", b, k, got[b][k].Span, want)
			}
		}
	}
}

// A tolerance of the gradient alone widens the zero, and nothing widens it at the
// reference temperature without gradient.
func TestBandsOfTheGradient(t *testing.T) {
	text := `gridwright: 1
title: invented bar
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: 11 ppm/K}, section: {shape: round, outside-diameter: 30 mm}}
loads: {bending-y: {rated: 300 N·m, use: measure}}
temperature: {range: [20 °C, 40 °C], gradient: {across: 2 K ± 0.5 K, toward: 90°}}
placement-tolerance: {station: 0 mm, around: 0°, direction: 0°}
gauges: {S: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2, thermal-output: {celsius: [0, 1], for-expansion: 11 ppm/K}}}
placements: {A: {gauge: S, around: 90°}, B: {gauge: S, around: 270°}}
bridges: {By: {measures: bending-y, arms: [A1, B1, 700 Ω, 700 Ω]}}
`
	d, err := designfile.Read("x.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	got, err := bands(r)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: 1 µε/K on an instrument of factor 2 is 2e-6/K in each grid; the grids
	// are half the gradient Δ warmer and cooler, ΔR/R = ±1e-6·Δ; two arms of weight
	// ¼ give 0.5e-6·Δ. Δ is rectangular, ± 0.5 K.
	want := band95 * 0.5 / math.Sqrt(3) * 0.5e-6
	for k, band := range got[0] {
		if math.Abs(band.Zero-want) > 1e-3*want || band.Span != 0 {
			t.Errorf("row %d: %+v, want a zero of ± %g and an exact span", k, band, want)
		}
	}
}

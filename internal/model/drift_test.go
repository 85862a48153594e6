package model_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/model"
)

func temperatures(low, high float64) []float64 {
	var out []float64
	for i := range 21 {
		out = append(out, low+(high-low)*float64(i)/20)
	}
	return out
}

// curves are the extents of zero and span of a bridge by the exact network, one
// temperature after the other.
func curves(t testing.TB, m *model.Model, s *model.State, b int, kelvin []float64) (zero, span model.Extent) {
	t.Helper()
	reference := m.Design.Temperature.Reference.SI
	c := model.At(reference)
	rest, err := m.Output(s, b, &c)
	if err != nil {
		t.Fatal(err)
	}
	sens := make([]float64, len(m.Components))
	target := m.Bridges[b].Measures
	if _, err := m.Sensitivity(s, b, reference, sens); err != nil {
		t.Fatal(err)
	}
	s0 := sens[target]
	zero, span = model.Extent{Low: math.Inf(1), High: math.Inf(-1)}, model.Extent{Low: math.Inf(1), High: math.Inf(-1)}
	for _, k := range kelvin {
		c := model.At(k)
		v, err := m.Output(s, b, &c)
		if err != nil {
			t.Fatal(err)
		}
		zero.Low, zero.High = math.Min(zero.Low, v-rest), math.Max(zero.High, v-rest)
		if _, err := m.Sensitivity(s, b, k, sens); err != nil {
			t.Fatal(err)
		}
		span.Low, span.High = math.Min(span.Low, sens[target]/s0), math.Max(span.High, sens[target]/s0)
	}
	return zero, span
}

// At the nominal inputs the drift is that of the exact network; within the tolerances it
// departs from it by less than a thousandth of the width or a nanovolt per volt, and small-signal figures are
// those of Eval.
func TestDriftIsThatOfTheNetwork(t *testing.T) {
	for name, parsed := range map[string]*design.Design{"example": readFile(t, agitator), "everything": readText(t, everything)} {
		m := modelOf(t, parsed)
		kelvin := temperatures(263.15, 333.15)
		d, err := m.NewDrift(kelvin)
		if err != nil {
			t.Fatal(err)
		}
		f := m.NewFigures()
		r := rand.New(rand.NewPCG(7, 7))
		x := append([]float64(nil), m.Nominal...)
		for trial := range 200 {
			if trial > 0 {
				for k, in := range m.Inputs {
					x[k] = in.Nominal + in.Tolerance*(2*r.Float64()-1)
				}
			}
			if err := m.EvalDrift(x, d); err != nil {
				t.Fatal(err)
			}
			if err := m.Eval(x, f); err != nil {
				t.Fatal(err)
			}
			for i := range f.Sensitivity {
				if a, b := d.Figures.Sensitivity[i], f.Sensitivity[i]; math.Abs(a-b) > 1e-13*math.Abs(b)+1e-20 { // 1e-20: of the grids of a bridge that cancel, rounding is left
					t.Fatalf("%s, trial %d: sensitivity %d is %g, of Eval %g", name, trial, i, a, b)
				}
			}
			for b := range m.Bridges {
				if d.Figures.Balance[b] != f.Balance[b] {
					t.Fatalf("%s: balance of bridge %d is %g, of Eval %g", name, b, d.Figures.Balance[b], f.Balance[b])
				}
				zero, span := curves(t, m, f.State(), b, kelvin)
				// 1e-9 V/V, a thousandth of what an indicator shows: where thermal outputs
				// that cancel leave less than their second order
				half := math.Max(1e-3*zero.Width(), 1e-9)
				if trial == 0 {
					half = 1e-15
				}
				for _, c := range []struct {
					what            string
					got, want, half float64
				}{
					{"low of zero", d.Zero[b].Low, zero.Low, half}, {"high of zero", d.Zero[b].High, zero.High, half},
					// followed leads are a parabola: what that leaves is 1e-7 here
					{"low of span", d.Span[b].Low, span.Low, 1e-7}, {"high of span", d.Span[b].High, span.High, 1e-7},
				} {
					if !(math.Abs(c.got-c.want) <= c.half) {
						t.Errorf("%s, bridge %s, trial %d: %s %.9g, of the network %.9g", name, m.Bridges[b].Name, trial, c.what, c.got, c.want)
					}
				}
			}
		}
	}
}

// The zero's slope by spread is the change of the zero that the spread inputs make.
func TestDriftBySpread(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	reference := m.Design.Temperature.Reference.SI
	d, err := m.NewDrift(nil)
	if err != nil {
		t.Fatal(err)
	}
	x := append([]float64(nil), m.Nominal...)
	plain, spread := m.NewState(), m.NewState()
	if err := m.Set(x, plain); err != nil {
		t.Fatal(err)
	}
	n := 0
	for k, in := range m.Inputs {
		if in.Place.Path == "gauges.R.thermal-output.spread" || in.Place.Path == "gauges.S.thermal-output.spread" {
			n++
			x[k] = in.Tolerance * math.Cos(float64(n))
		}
	}
	if n == 0 {
		t.Fatal("no spread")
	}
	if err := m.EvalDrift(x, d); err != nil {
		t.Fatal(err)
	}
	if err := m.Set(x, spread); err != nil {
		t.Fatal(err)
	}
	for b := range m.Bridges {
		const dT = 1e-2
		c := model.At(reference + dT)
		with, err := m.Output(spread, b, &c)
		if err != nil {
			t.Fatal(err)
		}
		without, err := m.Output(plain, b, &c)
		if err != nil {
			t.Fatal(err)
		}
		if want := (with - without) / dT; math.Abs(d.Spread[b]-want) > 1e-5*math.Abs(want)+1e-13 {
			t.Errorf("bridge %s: slope %g, of the network %g", m.Bridges[b].Name, d.Spread[b], want)
		}
	}
}

// Random designs with any wiring, leads that follow and lots in °F: exact at the nominal
// inputs.
func TestDriftOfRandomDesigns(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		_, text := randomPart(rt)
		parsed, err := designfile.Read("random.yaml", []byte(text))
		if err != nil {
			rt.Skip()
		}
		m, err := model.Compile(parsed)
		if err != nil {
			rt.Skip()
		}
		kelvin := temperatures(263.15, 333.15)
		d, err := m.NewDrift(kelvin)
		if err != nil {
			rt.Fatal(err)
		}
		if err := m.EvalDrift(m.Nominal, d); err != nil {
			rt.Fatal(err)
		}
		for b := range m.Bridges {
			zero, span := curves(t, m, d.Figures.State(), b, kelvin)
			if math.Abs(d.Zero[b].Low-zero.Low) > 1e-14 || math.Abs(d.Zero[b].High-zero.High) > 1e-14 {
				rt.Fatalf("zero %v, of the network %v\n%s", d.Zero[b], zero, text)
			}
			// a bridge whose grids cancel has a ratio of rounding errors
			n := len(m.Components)
			s, capacity := d.Figures.Sensitivity[b*n+m.Bridges[b].Measures], 0.0
			for _, a := range m.Bridges[b].Arms {
				for _, g := range a.Grids {
					capacity += math.Abs(d.Figures.State().Row(g, m.Bridges[b].Measures)) / 4
				}
			}
			if capacity < 1e-200 || math.Abs(s) < 0.1*capacity || m.Components[m.Bridges[b].Measures] == design.Pressure {
				continue
			}
			// leads of up to 20 Ω that follow are a parabola between both ends of the range
			half := 1e-3*span.Width() + 1e-5
			if math.Abs(d.Span[b].Low-span.Low) > half || math.Abs(d.Span[b].High-span.High) > half {
				rt.Fatalf("span %v, of the network %v\n%s", d.Span[b], span, text)
			}
		}
	})
}

func TestEvalDriftAllocatesNothing(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	d, err := m.NewDrift(temperatures(263.15, 333.15))
	if err != nil {
		t.Fatal(err)
	}
	if n := testing.AllocsPerRun(100, func() {
		if err := m.EvalDrift(m.Nominal, d); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkEvalDrift(b *testing.B) {
	m := modelOf(b, readFile(b, agitator))
	d, err := m.NewDrift(temperatures(263.15, 333.15))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := m.EvalDrift(m.Nominal, d); err != nil {
			b.Fatal(err)
		}
	}
}

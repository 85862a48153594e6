package model_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/designfile"
	"gridwright/internal/model"
)

func compile(t rapid.TB, text string) *model.Model {
	t.Helper()
	d, err := designfile.Read("test.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	m, err := model.Compile(d)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return m
}

// contribution is the largest that one grid of the bridge makes to its sensitivity to
// component j, V/V: a quarter of its ΔR/R. A grid that lies across all strain makes
// none; rounding is then relative to the field that it cancels, of which at least a
// ten-thousandth counts.
func contribution(p *refPart, b *refBridge, s *model.State, j int) float64 {
	largest := 0.0
	for _, arm := range b.arms {
		for _, i := range arm.grids {
			g := &p.grids[i]
			largest = max(largest, math.Abs(s.Row(i, j))/4, 1e-4*math.Abs(g.factor)*p.field(g, p.components[j])/4)
		}
	}
	return largest
}

// each runs a check on random parts, two for each of rapid's checks: 200 by default.
func each(t *testing.T, check func(t *rapid.T, p *refPart, text string)) {
	rapid.Check(t, func(t *rapid.T) {
		for range 2 {
			p, text := randomPart(t)
			check(t, p, text)
		}
	})
}

// Eval and Sensitivity against the independent model, on random parts at no load.
func TestEvalAgainstQuadratureAndComplexStep(t *testing.T) {
	each(t, func(t *rapid.T, p *refPart, text string) {
		m := compile(t, text)
		if len(m.Grids) != len(p.grids) || len(m.Bridges) != len(p.bridges) || len(m.Components) != len(p.components) {
			t.Fatalf("%d grids, %d bridges, %d components\n%s", len(m.Grids), len(m.Bridges), len(m.Components), text)
		}
		f := m.NewFigures()
		if err := m.Eval(m.Nominal, f); err != nil {
			t.Fatal(err)
		}
		n := len(m.Components)
		hot := rapid.Float64Range(230, 400).Draw(t, "T")
		at := make([]float64, n)
		none := make([]complex128, n)
		for b := range p.bridges {
			rb := &p.bridges[b]
			if v := real(p.output(rb, none, p.t0, false, false)); math.Abs(f.Balance[b]-v) > 1e-12 {
				t.Fatalf("bridge %d: balance %g, want %g\n%s", b, f.Balance[b], v, text)
			}
			if _, err := m.Sensitivity(f.State(), b, hot, at); err != nil {
				t.Fatal(err)
			}
			for j := range n {
				scale := contribution(p, rb, f.State(), j)
				want := p.sensitivity(rb, j, p.t0)
				if got := f.Sensitivity[b*n+j]; math.Abs(got-want) > 1e-9*scale {
					t.Fatalf("bridge %d, %v: %.15g, want %.15g, scale %g\n%s", b, p.components[j], got, want, scale, text)
				}
				want = p.sensitivity(rb, j, hot)
				if got := at[j]; math.Abs(got-want) > 1.5e-9*scale {
					t.Fatalf("bridge %d, %v at %g K: %.15g, want %.15g, scale %g\n%s", b, p.components[j], hot, got, want, scale, text)
				}
			}
		}
	})
}

// Output against the independent model: every load at once, hot, with a gradient.
func TestOutputAgainstQuadratureAndNetwork(t *testing.T) {
	each(t, func(t *rapid.T, p *refPart, text string) {
		m := compile(t, text)
		s := m.NewState()
		if err := m.Set(m.Nominal, s); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct{ loaded, hot, gradient bool }{
			{false, false, false}, {true, false, false}, {false, true, false}, {false, false, true}, {true, true, true},
		} {
			cond := model.At(p.t0)
			loads := make([]complex128, len(p.components))
			if c.loaded {
				for j := range loads {
					f := p.rated[j] * rapid.Float64Range(-1, 1).Draw(t, "load")
					cond.Load[j], loads[j] = f, complex(f, 0)
				}
			}
			if c.hot {
				cond.Kelvin = rapid.Float64Range(230, 400).Draw(t, "T")
			}
			if c.gradient {
				cond.Across, cond.Toward, cond.Along = p.across, p.toward, p.dx
			}
			for b := range p.bridges {
				want := real(p.output(&p.bridges[b], loads, cond.Kelvin, c.gradient, true))
				got, err := m.Output(s, b, &cond)
				if err != nil {
					t.Fatal(err)
				}
				if math.Abs(got-want) > 1e-12 { // V/V: rounding of a ratio near one half
					t.Fatalf("bridge %d, %+v: %.15g, want %.15g\n%s", b, c, got, want, text)
				}
				sol, err := m.Solve(s, b, &cond)
				if err != nil || sol.Output != got {
					t.Fatalf("Solve gives %g, Output %g, %v", sol.Output, got, err)
				}
			}
		}
	})
}

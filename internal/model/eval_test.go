package model_test

import (
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"gridwright/internal/model"
)

func TestEvalAllocatesNothing(t *testing.T) {
	for name, m := range map[string]*model.Model{"example": modelOf(t, readFile(t, agitator)), "everything": modelOf(t, readText(t, everything))} {
		f := m.NewFigures()
		if n := testing.AllocsPerRun(100, func() {
			if err := m.Eval(m.Nominal, f); err != nil {
				t.Fatal(err)
			}
		}); n != 0 {
			t.Errorf("%s: %g allocations", name, n)
		}
		c := model.At(300)
		c.Across = 2
		if n := testing.AllocsPerRun(100, func() {
			if _, err := m.Output(f.State(), 0, &c); err != nil {
				t.Fatal(err)
			}
		}); n != 0 {
			t.Errorf("%s: Output makes %g allocations", name, n)
		}
	}
}

// Workers that share a Model, each with its own Figures, find the same bits as one after
// the other, in whatever order they evaluate.
func TestWorkersShareAModel(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	r := rand.New(rand.NewPCG(1, 2))
	const draws = 64
	xs := make([][]float64, draws)
	for i := range xs {
		xs[i] = append([]float64(nil), m.Nominal...)
		for k, in := range m.Inputs {
			xs[i][k] += in.Tolerance * (2*r.Float64() - 1)
		}
	}
	want := make([][]float64, draws)
	one := m.NewFigures()
	for i, x := range xs {
		if err := m.Eval(x, one); err != nil {
			t.Fatal(err)
		}
		want[i] = append(append([]float64(nil), one.Sensitivity...), one.Balance...)
	}
	var group sync.WaitGroup
	for w := range 8 {
		group.Go(func() {
			f := m.NewFigures()
			for n := range draws {
				i := (n*(2*w+1) + w) % draws // another order for each
				if err := m.Eval(xs[i], f); err != nil {
					t.Error(err)
					return
				}
				got := append(append([]float64(nil), f.Sensitivity...), f.Balance...)
				for k := range got {
					if math.Float64bits(got[k]) != math.Float64bits(want[i][k]) {
						t.Errorf("worker %d, draw %d, figure %d: %v, alone %v", w, i, k, got[k], want[i][k])
						return
					}
				}
			}
		})
	}
	group.Wait()
}

// Inputs that make no part are errors, not figures.
func TestEvalRefusesWhatIsNoPart(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	f := m.NewFigures()
	for k, in := range m.Inputs {
		for _, c := range []struct {
			path  string
			value float64
		}{
			{"part.section.inside-diameter", 0.061}, {"part.section.outside-diameter", -1}, {"part.section.outside-diameter", math.NaN()},
			{"part.material.poisson-ratio", 0.7}, {"bridges.T.leads.each", -1}, {"bridges.By.arms[2].value", 0},
		} {
			if in.Label() != c.path {
				continue
			}
			x := append([]float64(nil), m.Nominal...)
			x[k] = c.value
			if err := m.Eval(x, f); err == nil {
				t.Errorf("%s = %g was accepted", c.path, c.value)
			}
		}
	}
	if err := m.Eval(m.Nominal, f); err != nil { // the scratch space recovers
		t.Error(err)
	}
}

func BenchmarkEval(b *testing.B) {
	m := modelOf(b, readFile(b, agitator))
	f := m.NewFigures()
	b.ReportAllocs()
	for b.Loop() {
		if err := m.Eval(m.Nominal, f); err != nil {
			b.Fatal(err)
		}
	}
}

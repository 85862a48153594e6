package uncertainty

import (
	"context"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func closed(f func(x, y []float64)) func() (func(x, y []float64) error, error) {
	return func() (func(x, y []float64) error, error) {
		return func(x, y []float64) error { f(x, y); return nil }, nil
	}
}

func near(t testing.TB, what string, got, want, half float64) {
	t.Helper()
	if !(math.Abs(got-want) <= half) {
		t.Errorf("%s: %.10g, want %.10g ± %g", what, got, want, half)
	}
}

// Each distribution has the standard deviation of JCGM 101:2008, 6.4, and its quantiles.
func TestDistributions(t *testing.T) {
	beta := func(p float64) float64 { return math.Sin(math.Pi * (p - 0.5)) } // arcsine, closed form
	triangular := func(p float64) float64 {
		if p < 0.5 {
			return -1 + math.Sqrt(2*p)
		}
		return 1 - math.Sqrt(2*(1-p))
	}
	student := distuv.StudentsT{Sigma: 1, Nu: 5}
	for _, c := range []struct {
		q        Quantity
		sd       float64
		quantile func(float64) float64
	}{
		{Quantity{Form: Rectangular, Width: 1}, 1 / math.Sqrt(3), func(p float64) float64 { return 2*p - 1 }},
		{Quantity{Form: Normal, Width: 1}, 1, distuv.UnitNormal.Quantile},
		{Quantity{Form: Student, Width: 1, Freedom: 5}, math.Sqrt(5. / 3), student.Quantile},
		{Quantity{Form: Arcsine, Width: 1}, 1 / math.Sqrt2, beta},
		{Quantity{Form: Triangular, Width: 1}, 1 / math.Sqrt(6), triangular},
		{Quantity{Form: Curvilinear, Width: 1, Inexact: 0.5}, math.Sqrt(1./3 + 0.25/9), nil},
	} {
		const n = 200_000
		s := newSource(5, 0)
		values := make([]float64, n)
		sum, squares := 0.0, 0.0
		for i := range values {
			values[i] = c.q.draw(s)
			sum += values[i]
			squares += values[i] * values[i]
		}
		name := c.q.Form.String()
		near(t, name+", mean", sum/n, 0, 5*c.sd/math.Sqrt(n))
		near(t, name+", standard deviation", math.Sqrt(squares/n), c.sd, 0.015*c.sd)
		if c.q.Form != Student {
			near(t, name+", standard uncertainty", c.q.Standard(), c.sd, 1e-12)
		}
		if c.quantile == nil {
			continue
		}
		slices.Sort(values)
		for _, p := range []float64{0.025, 0.25, 0.5, 0.9, 0.975} {
			// by the fraction below the true quantile: five of its standard deviations
			at, _ := slices.BinarySearch(values, c.quantile(p))
			near(t, name+", fraction below its quantile", float64(at)/n, p, 5*math.Sqrt(p*(1-p)/n))
		}
	}
}

// Central differences against derivatives in closed form, at uncertainties from 1e-4 to
// 30 % of the value.
func TestFirstOrderAgainstClosedForms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		real := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		a, b, c := real("a", 1, 3), real("b", 1, 3), real("c", 0.5, 1.5)
		p := &Propagation{Outputs: 2, New: closed(func(x, y []float64) {
			y[0] = x[0] * x[0] * x[0] / x[1] * math.Sin(x[2])
			y[1] = math.Exp(x[0]) + x[1]
		})}
		for _, v := range []float64{a, b, c} {
			u := v * math.Pow(10, real("log u", -4, -1))
			p.Inputs = append(p.Inputs, Quantity{Name: "x", Estimate: v, Form: Normal, Width: u})
		}
		f, err := p.FirstOrder()
		if err != nil {
			rt.Fatal(err)
		}
		want := [][]float64{
			{3 * a * a / b * math.Sin(c), -a * a * a / (b * b) * math.Sin(c), a * a * a / b * math.Cos(c)},
			{math.Exp(a), 1, 0},
		}
		for k := range want {
			variance := 0.0
			for i, w := range want[k] {
				if d := math.Abs(f.Coefficient[k][i] - w); d > 1e-6*(math.Abs(w)+1e-3) {
					rt.Fatalf("∂y%d/∂x%d is %.10g, want %.10g", k, i, f.Coefficient[k][i], w)
				}
				variance += w * w * p.Inputs[i].Width * p.Inputs[i].Width
			}
			if u := math.Sqrt(variance); math.Abs(f.Standard[k]-u) > 2e-6*u {
				rt.Fatalf("u(y%d) is %.10g, want %.10g", k, f.Standard[k], u)
			}
		}
	})
}

// δ by the examples of JCGM 101:2008, 7.9.2 (from memory): u = 0.00035 g to two digits is
// 35·10⁻⁵, δ = 0.000005 g; u = 2 K to one digit, δ = 0.5 K.
func TestTolerance(t *testing.T) {
	near(t, "δ of 0.00035 g", Tolerance(0.00035, 2), 0.5e-5, 1e-18)
	near(t, "δ of 2 K", Tolerance(2, 1), 0.5, 1e-15)
	near(t, "δ of 0.0996, which is 0.10", Tolerance(0.0996, 2), 0.005, 1e-15)
	near(t, "δ of 0", Tolerance(0, 2), 0, 0)
}

// The histogram gives the order statistics: quantiles and the shortest interval of a
// skewed sample against its sorted values.
func TestHistogramAgainstSorting(t *testing.T) {
	s := newSource(3, 0)
	const n = 400_000
	values := make([]float64, n)
	for i := range values {
		values[i] = math.Exp(0.4 * s.rand.NormFloat64())
	}
	first := slices.Clone(values[:pilotSize])
	slices.Sort(first)
	c := newCounted(scaleOf(first), bins)
	for _, v := range values {
		c.counts[c.bin(v)]++
		c.min, c.max = math.Min(c.min, v), math.Max(c.max, v)
		c.total++
	}
	slices.Sort(values)
	for _, p := range []float64{0.001, 0.025, 0.5, 0.95, 0.975, 0.999} {
		near(t, "quantile", c.quantile(p), values[int(p*n)], 1e-3)
	}
	q := int(0.95 * n)
	width := math.Inf(1)
	for i := 0; i+q < n; i++ {
		width = math.Min(width, values[i+q]-values[i])
	}
	got := c.shortest(0.95)
	near(t, "width of the shortest interval", got[1]-got[0], width, 2e-3)
	if got[1]-got[0] > c.quantile(0.975)-c.quantile(0.025) {
		t.Error("the shortest interval is longer than the symmetric one")
	}
	inside := 0
	for _, v := range values {
		if v >= got[0] && v <= got[1] {
			inside++
		}
	}
	near(t, "coverage of the shortest interval", float64(inside)/n, 0.95, 1e-4)
}

// A constant output has a degenerate distribution, and values far outside the bins of the
// pilot still count.
func TestHistogramAtItsLimits(t *testing.T) {
	p := &Propagation{Outputs: 3, Inputs: []Quantity{{Name: "x", Form: Normal, Width: 1}}, New: closed(func(x, y []float64) {
		y[0], y[1], y[2] = 7, 0, 0
		if x[0] > 3.5 { // two in ten thousand
			y[2] = 1000
		}
	})}
	m, err := p.MonteCarlo(context.Background(), Run{Trials: 100_000, Seed: 2})
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{7, 0} {
		s := m.Outputs[k]
		if s.Mean != want || s.Standard != 0 || s.Shortest != [2]float64{want, want} || s.Quantile != want || !s.Stable {
			t.Errorf("a constant %g is summarised as %+v", want, s)
		}
	}
	near(t, "end below a rare excess", m.Outputs[2].Symmetric[1], 0, 0.5) // within a bin of the pilot's width
	if m.Outputs[2].Standard < 5 {
		t.Errorf("a rare excess of 1000 is lost: %+v", m.Outputs[2])
	}
}

// The adaptive rule ends early when one digit suffices and not before two digits are
// stable; what it says of stability holds: other seeds give the same two digits.
func TestAdaptiveRule(t *testing.T) {
	p := &Propagation{Outputs: 1, Inputs: []Quantity{{Name: "x", Form: Normal, Width: 0.12}, {Name: "z", Form: Rectangular, Width: 0.01}},
		New: closed(func(x, y []float64) { y[0] = x[0] + x[1] })}
	one, err := p.MonteCarlo(context.Background(), Run{Trials: 2_000_000, Seed: 1, Digits: 1})
	if err != nil {
		t.Fatal(err)
	}
	for seed := range uint64(5) {
		two, err := p.MonteCarlo(context.Background(), Run{Trials: 2_000_000, Seed: seed, Digits: 2})
		if err != nil {
			t.Fatal(err)
		}
		if !two.Stable || two.Trials >= 2_000_000 || two.Trials < one.Trials {
			t.Errorf("seed %d: %d trials, stable %v; one digit took %d", seed, two.Trials, two.Stable, one.Trials)
		}
		u := math.Hypot(0.12, 0.01/math.Sqrt(3))
		near(t, "u", two.Outputs[0].Standard, u, Tolerance(u, 2))
		near(t, "upper end", two.Outputs[0].Symmetric[1], 1.95995*u, 2*Tolerance(u, 2))
	}
	few, err := p.MonteCarlo(context.Background(), Run{Trials: 15_000, Seed: 1, Digits: 3})
	if err != nil {
		t.Fatal(err)
	}
	if few.Stable || few.Trials != 15_000 {
		t.Errorf("%d trials are called stable to three digits", few.Trials)
	}
}

// Covariance by Monte Carlo is that of the closed form.
func TestCovariance(t *testing.T) {
	p := &Propagation{Outputs: 3, Inputs: []Quantity{{Name: "a", Estimate: 1e6, Form: Normal, Width: 2}, {Name: "b", Form: Rectangular, Width: 3}},
		New: closed(func(x, y []float64) { y[0], y[1], y[2] = x[0]+x[1], 0, x[0]-2*x[1] })}
	m, err := p.MonteCarlo(context.Background(), Run{Trials: 200_000, Seed: 4, All: true, Covary: []int{0, 2}})
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range [][]float64{{4 + 3, 4 - 6}, {4 - 6, 4 + 12}} { // var(b) = 3²/3
		for j, want := range row {
			near(t, "covariance", m.Covariance[i][j], want, 0.15)
		}
	}
}

func TestBadPropagation(t *testing.T) {
	good := func() *Propagation {
		return &Propagation{Outputs: 1, Inputs: []Quantity{{Name: "x", Form: Normal, Width: 1}}, New: closed(func(x, y []float64) { y[0] = x[0] })}
	}
	for name, spoil := range map[string]func(p *Propagation, r *Run){
		"negative width":   func(p *Propagation, _ *Run) { p.Inputs[0].Width = -1 },
		"NaN":              func(p *Propagation, _ *Run) { p.Inputs[0].Estimate = math.NaN() },
		"t without ν":      func(p *Propagation, _ *Run) { p.Inputs[0].Form = Student },
		"too inexact":      func(p *Propagation, _ *Run) { p.Inputs[0].Form, p.Inputs[0].Inexact = Curvilinear, 2 },
		"no outputs":       func(p *Propagation, _ *Run) { p.Outputs = 0 },
		"few trials":       func(_ *Propagation, r *Run) { r.Trials = 10 },
		"coverage":         func(_ *Propagation, r *Run) { r.Coverage = 1.5 },
		"not finite":       func(p *Propagation, _ *Run) { p.New = closed(func(x, y []float64) { y[0] = math.Log(x[0]) }) },
		"correlated draws": func(p *Propagation, _ *Run) { p.Correlation = [][]float64{{1}} },
		"bad correlation":  func(p *Propagation, _ *Run) { p.Correlation = [][]float64{{2}} },
	} {
		p, r := good(), Run{Trials: 10_000}
		spoil(p, &r)
		if m, err := p.MonteCarlo(context.Background(), r); err == nil {
			t.Errorf("%s was accepted: %+v", name, m)
		}
	}
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := good().MonteCarlo(cancelled, Run{Trials: 100_000}); err != context.Canceled {
		t.Errorf("a cancelled run ends with %v", err)
	}
}

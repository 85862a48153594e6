package published_test

import (
	"context"
	"math"
	"testing"

	"gridwright/internal/uncertainty"
)

// Source: JCGM 101:2008, Propagation of distributions using a Monte Carlo method, clause 9
// (tables of 9.2 and 9.3 from memory, 9.5 read as quoted in Metrology 2 (2022) 1:3, section
// 4.1; each recomputed by 10^7 trials or exactly). Monte Carlo here runs 10^6 trials; a
// printed endpoint is met within half a unit of its last digit plus the sampling error
// of both, which the standard's own runs of 10^5 to 10^6 trials had too.

func run(t *testing.T, p *uncertainty.Propagation, coverage float64) *uncertainty.MonteCarlo {
	t.Helper()
	m, err := p.MonteCarlo(context.Background(), uncertainty.Run{Trials: 1_000_000, All: true, Seed: 101, Coverage: coverage})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func first(t *testing.T, p *uncertainty.Propagation) *uncertainty.FirstOrder {
	t.Helper()
	f, err := p.FirstOrder()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// sum is Y = X1 + X2 + X3 + X4, the model of 9.2.
func sum(inputs ...uncertainty.Quantity) *uncertainty.Propagation {
	return &uncertainty.Propagation{Inputs: inputs, Outputs: 1, New: measurement(func(x, y []float64) { y[0] = x[0] + x[1] + x[2] + x[3] })}
}

func normal(u float64) uncertainty.Quantity {
	return uncertainty.Quantity{Name: "X", Form: uncertainty.Normal, Width: u}
}

func rectangular(u float64) uncertainty.Quantity {
	return uncertainty.Quantity{Name: "X", Form: uncertainty.Rectangular, Width: u * math.Sqrt(3)}
}

// 9.2.2: four N(0,1): y 0, u 2.0, 95 % [−3.92, 3.92].
func TestMonteCarlo922Normal(t *testing.T) {
	p := sum(normal(1), normal(1), normal(1), normal(1))
	f, m := first(t, p), run(t, p, 0.95).Outputs[0]
	printed(t, "first order u", f.Standard[0], 2.0, 1e-9)
	printed(t, "y", m.Mean, 0.00, 0.008) // four standard deviations of the mean
	printed(t, "u", m.Standard, 2.00, 0.006)
	for i, want := range []float64{-3.92, 3.92} {
		printed(t, "symmetric end", m.Symmetric[i], want, 0.005+4*2.67*2/1000)
		// the shortest interval may shift: its ends scatter more, its width does not
		printed(t, "shortest end", m.Shortest[i], want, 0.1)
	}
	printed(t, "width of the shortest", m.Shortest[1]-m.Shortest[0], 2*3.92, 0.02)
}

// 9.2.3: four rectangular of u = 1: u 2.0, 95 % [−3.88, 3.88]; first order [−3.92, 3.92].
// Exactly ±2√3(2 − (3/5)^¼) = ±3.879406741.
func TestMonteCarlo923Rectangular(t *testing.T) {
	p := sum(rectangular(1), rectangular(1), rectangular(1), rectangular(1))
	f, m := first(t, p), run(t, p, 0.95).Outputs[0]
	printed(t, "first order end", 1.959964*f.Standard[0], 3.92, 0.005)
	printed(t, "u", m.Standard, 2.00, 0.006)
	for i, want := range []float64{-3.88, 3.88} {
		printed(t, "symmetric end", m.Symmetric[i], want, 0.005+0.018)
	}
	printed(t, "width of the shortest", m.Shortest[1]-m.Shortest[0], 2*3.879406741347821, 0.02)
}

// 9.2.4: the same with u(X4) = 10: u 10.1, 95 % [−17.0, 17.0]; first order [−19.9, 19.9].
func TestMonteCarlo924OneDominates(t *testing.T) {
	p := sum(rectangular(1), rectangular(1), rectangular(1), rectangular(10))
	f, m := first(t, p), run(t, p, 0.95).Outputs[0]
	printed(t, "first order u", f.Standard[0], 10.1, 0.05)
	printed(t, "first order end", 1.959964*f.Standard[0], 19.9, 0.05)
	printed(t, "u", m.Standard, 10.1, 0.06)
	for i, want := range []float64{-17.0, 17.0} {
		printed(t, "symmetric end", m.Symmetric[i], want, 0.05)
	}
	printed(t, "width of the shortest", m.Shortest[1]-m.Shortest[0], 2*17.0158, 0.06)
}

// mass is 9.3: the conventional mass of a weight less 100 g, in mg,
// δm = (mRc + δmRc)[1 + (ρa − 1.2)(1/ρW − 1/ρR)] − 100 000.
func mass() *uncertainty.Propagation {
	q := func(name string, estimate float64, form uncertainty.Form, width float64) uncertainty.Quantity {
		return uncertainty.Quantity{Name: name, Estimate: estimate, Form: form, Width: width}
	}
	return &uncertainty.Propagation{
		Inputs: []uncertainty.Quantity{
			q("mRc", 100_000, uncertainty.Normal, 0.050), q("δmRc", 1.234, uncertainty.Normal, 0.020),
			q("ρa", 1.20, uncertainty.Rectangular, 0.10), q("ρW", 8000, uncertainty.Rectangular, 1000), q("ρR", 8000, uncertainty.Rectangular, 50),
		},
		Outputs: 1,
		New: measurement(func(x, y []float64) {
			y[0] = (x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100_000
		}),
	}
}

// 9.3: first order 1.2340, u 0.0539, [1.1285, 1.3395]; Monte Carlo 1.2341, u 0.0754,
// [1.0834, 1.3825]; second order u 0.0750, [1.0870, 1.3810]. By clause 8 the first order
// is not validated with δ = 0.005, the second order is.
func TestMonteCarlo93Mass(t *testing.T) {
	p := mass()
	f, m := first(t, p), run(t, p, 0.95).Outputs[0]
	printed(t, "first order y, mg", f.Value[0], 1.2340, 0.00005)
	printed(t, "first order u, mg", f.Standard[0], 0.0539, 0.00005)
	printed(t, "first order low, mg", f.Value[0]-1.96*f.Standard[0], 1.1285, 0.0001)
	printed(t, "first order high, mg", f.Value[0]+1.96*f.Standard[0], 1.3395, 0.0001)
	second, err := p.SecondOrder()
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "second order u, mg", second[0], 0.0750, 0.00005)
	printed(t, "second order low, mg", f.Value[0]-1.96*second[0], 1.0870, 0.0001)
	printed(t, "y, mg", m.Mean, 1.2341, 0.00035)
	printed(t, "u, mg", m.Standard, 0.0754, 0.00025)
	// The standard's ends are of the shortest interval of one run.
	printed(t, "shortest low, mg", m.Shortest[0], 1.0834, 0.002)
	printed(t, "shortest high, mg", m.Shortest[1], 1.3825, 0.002)
	printed(t, "symmetric low, mg", m.Symmetric[0], 1.08451, 0.0008)
	printed(t, "symmetric high, mg", m.Symmetric[1], 1.38355, 0.0008)
	const delta = 0.005 // ½·10⁻², one significant digit of u
	printed(t, "δ, mg", uncertainty.Tolerance(m.Standard, 1), delta, 1e-15)
	if uncertainty.Validates(f.Value[0], f.Standard[0], m, 1) {
		t.Error("the first order is validated; the standard finds that it is not")
	}
	if !uncertainty.Validates(f.Value[0], second[0], m, 1) {
		t.Error("the second order is not validated; the standard finds that it is")
	}
}

// 9.5: the gauge block at 99 %: first order 838 nm, u 32, [745, 931]; Monte Carlo 838 nm,
// u 36, [745, 932].
func TestMonteCarlo95GaugeBlock(t *testing.T) {
	p := &uncertainty.Propagation{
		Inputs: []uncertainty.Quantity{
			{Name: "Ls", Estimate: 50_000_623, Form: uncertainty.Student, Width: 25, Freedom: 18},
			{Name: "D", Estimate: 215, Form: uncertainty.Student, Width: 6, Freedom: 24},
			{Name: "d1", Form: uncertainty.Student, Width: 4, Freedom: 5},
			{Name: "d2", Form: uncertainty.Student, Width: 7, Freedom: 8},
			{Name: "αs", Estimate: 11.5e-6, Form: uncertainty.Rectangular, Width: 2e-6},
			{Name: "θ0", Estimate: -0.1, Form: uncertainty.Normal, Width: 0.2},
			{Name: "Δ", Form: uncertainty.Arcsine, Width: 0.5},
			{Name: "δα", Form: uncertainty.Curvilinear, Width: 1e-6, Inexact: 0.1e-6},
			{Name: "δθ", Form: uncertainty.Curvilinear, Width: 0.050, Inexact: 0.025},
		},
		Outputs: 1,
		New: measurement(func(x, y []float64) {
			y[0] = x[0] + x[1] + x[2] + x[3] - 50_000_000 - x[0]*(x[7]*(x[5]+x[6])+x[4]*x[8])
		}),
	}
	m := run(t, p, 0.99).Outputs[0]
	printed(t, "y, nm", m.Mean, 838, 0.5)
	printed(t, "u, nm", m.Standard, 36, 0.5)
	printed(t, "u, 10^7 trials, nm", m.Standard, 35.81, 0.12)
	printed(t, "low, nm", m.Symmetric[0], 745, 1.2) // printed from one run; 10^7 trials 744.29
	printed(t, "high, nm", m.Symmetric[1], 932, 1.2)
	printed(t, "low, 10^7 trials, nm", m.Symmetric[0], 744.29, 0.9)
	printed(t, "high, 10^7 trials, nm", m.Symmetric[1], 931.61, 0.9)
}

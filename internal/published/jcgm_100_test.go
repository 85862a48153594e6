package published_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"

	"gridwright/internal/uncertainty"
)

// Source: JCGM 100:2008, Guide to the expression of uncertainty in measurement, annex H
// (inputs, data and combined uncertainties read in public copies of the examples; the
// expanded uncertainty of H.1, its terms of second order and the correlations of H.2 from
// memory; all recomputed).

func measurement(f func(x, y []float64)) func() (func(x, y []float64) error, error) {
	return func() (func(x, y []float64) error, error) {
		return func(x, y []float64) error { f(x, y); return nil }, nil
	}
}

// endGauge is example H.1: the length, nm, of an end gauge by comparison,
// l = ls + d − ls(δα·θ + αs·δθ), with d = d0 + d1 + d2 and θ = θ0 + Δ.
func endGauge() *uncertainty.Propagation {
	q := func(name string, estimate float64, form uncertainty.Form, width, freedom float64) uncertainty.Quantity {
		return uncertainty.Quantity{Name: name, Estimate: estimate, Form: form, Width: width, Freedom: freedom}
	}
	return &uncertainty.Propagation{
		Inputs: []uncertainty.Quantity{
			q("ls", 50_000_623, uncertainty.Normal, 25, 18),
			q("d0", 215, uncertainty.Normal, 5.8, 24), q("d1", 0, uncertainty.Normal, 3.9, 5), q("d2", 0, uncertainty.Normal, 6.7, 8),
			q("αs", 11.5e-6, uncertainty.Rectangular, 2e-6, 0),
			q("θ0", -0.1, uncertainty.Normal, 0.2, 0), q("Δ", 0, uncertainty.Arcsine, 0.5, 0),
			q("δα", 0, uncertainty.Rectangular, 1e-6, 50), q("δθ", 0, uncertainty.Rectangular, 0.05, 2),
		},
		Outputs: 1,
		New: measurement(func(x, y []float64) {
			y[0] = x[0] + x[1] + x[2] + x[3] - x[0]*(x[7]*(x[5]+x[6])+x[4]*x[8])
		}),
	}
}

// H.1: l = 50 000 838 nm; terms 25, 9.7, 2.9 and 16.6 nm; uc = 32 nm (uc² = 1002 nm²);
// ν_eff = 16 (16.7 truncated), t99 = 2.92, U99 = 93 nm.
func TestGuideH1EndGauge(t *testing.T) {
	p := endGauge()
	f, err := p.FirstOrder()
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "l, nm", f.Value[0], 50_000_838, 0.5)
	term := func(i int) float64 { return f.Coefficient[0][i] * p.Inputs[i].Standard() }
	printed(t, "term of ls, nm", term(0), 25, 0.5)
	printed(t, "term of d, nm", math.Hypot(math.Hypot(term(1), term(2)), term(3)), 9.7, 0.05)
	printed(t, "term of αs, nm", term(4), 0, 1e-9)
	printed(t, "term of θ, nm", math.Hypot(term(5), term(6)), 0, 1e-9)
	printed(t, "term of δα, nm", math.Abs(term(7)), 2.9, 0.05)
	printed(t, "term of δθ, nm", math.Abs(term(8)), 16.6, 0.05)
	printed(t, "uc, nm", f.Standard[0], 32, 0.5)
	// printed 1002 from rounded terms; unrounded 1002.60124
	printed(t, "uc², nm²", f.Standard[0]*f.Standard[0], 1002.60124, 5e-6*1002)
	printed(t, "ν_eff", math.Floor(f.Freedom[0]), 16, 0)
	printed(t, "ν_eff", f.Freedom[0], 16.7, 0.06) // printed truncated; unrounded 16.751856
	k, ok := uncertainty.CoverageFactor(0.99, f.Freedom[0])
	if !ok {
		t.Fatal("no coverage factor")
	}
	printed(t, "t99(16)", k, 2.92, 0.005)
	// 93 is 2.92 × 32 rounded up; unrounded 92.4833
	printed(t, "U99, nm", k*f.Standard[0], 92.4833, 5e-5)
}

// H.1.7: with the terms of second order, 11.7 and 1.7 nm, uc = 34 nm.
func TestGuideH1SecondOrder(t *testing.T) {
	second, err := endGauge().SecondOrder()
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "uc with second order, nm", second[0], 34, 0.5)
	printed(t, "uc with second order, unrounded, nm", second[0], 33.80654543, 5e-5)
}

// H.2: resistance, reactance and impedance from five simultaneous readings of V, I and φ,
// whose means are correlated.
func TestGuideH2Impedance(t *testing.T) {
	file, err := os.Open("testdata/jcgm_100_h2.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	data := make([][]float64, 3)
	for _, row := range rows[1:] {
		for i, text := range row {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			if i == 1 {
				v *= 1e-3 // mA
			}
			data[i] = append(data[i], v)
		}
	}
	p := uncertainty.Propagation{Outputs: 3, New: measurement(func(x, y []float64) {
		z := x[0] / x[1]
		y[0], y[1], y[2] = z*math.Cos(x[2]), z*math.Sin(x[2]), z
	})}
	for i, name := range []string{"V", "I", "φ"} {
		mean, sd := stat.MeanStdDev(data[i], nil)
		p.Inputs = append(p.Inputs, uncertainty.Quantity{Name: name, Estimate: mean, Form: uncertainty.Normal, Width: sd / math.Sqrt(float64(len(data[i])))})
		p.Correlation = append(p.Correlation, []float64{1, 1, 1})
	}
	for _, c := range []struct {
		i, j int
		want float64
	}{{0, 1, -0.36}, {0, 2, 0.86}, {1, 2, -0.65}} {
		rho := stat.Correlation(data[c.i], data[c.j], nil)
		printed(t, "correlation of inputs", rho, c.want, 0.005)
		p.Correlation[c.i][c.j], p.Correlation[c.j][c.i] = rho, rho
	}
	printed(t, "s(V), V", p.Inputs[0].Width, 0.0032, 0.00005)
	printed(t, "s(I), A", p.Inputs[1].Width, 0.0095e-3, 0.00005e-3)
	printed(t, "s(φ), rad", p.Inputs[2].Width, 0.00075, 0.000005)

	f, err := p.FirstOrder()
	if err != nil {
		t.Fatal(err)
	}
	for k, c := range []struct {
		name string
		y, u float64
	}{{"R", 127.732, 0.071}, {"X", 219.847, 0.295}, {"Z", 254.260, 0.236}} {
		printed(t, c.name+", Ω", f.Value[k], c.y, 0.0005)
		// X is printed 0.295 from rounded correlations; the data give 0.29558
		printed(t, "u("+c.name+"), Ω", f.Standard[k], c.u, 0.0006)
	}
	printed(t, "u(R), Ω, from the data", f.Standard[0], 0.07107141, 5e-8)
	printed(t, "u(X), Ω, from the data", f.Standard[1], 0.29558168, 5e-8)
	printed(t, "u(Z), Ω, from the data", f.Standard[2], 0.23633613, 5e-8)
	rho := func(k, l int) float64 { return f.Covariance[k][l] / (f.Standard[k] * f.Standard[l]) }
	printed(t, "r(R,X)", rho(0, 1), -0.588, 0.0005)
	printed(t, "r(R,Z)", rho(0, 2), -0.485, 0.0005)
	printed(t, "r(X,Z)", rho(1, 2), 0.993, 0.0005)
}

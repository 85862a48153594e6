package calibration

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// TestExactPolynomial: data that lie on a polynomial give it back, with and without
// constant term, whatever the range.
func TestExactPolynomial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degree := rapid.IntRange(1, 5).Draw(t, "degree")
		constant := rapid.Bool().Draw(t, "constant")
		reach := math.Pow(10, rapid.Float64Range(-3, 6).Draw(t, "reach"))
		a := make([]float64, degree+1)
		for k := range a {
			a[k] = rapid.Float64Range(0.1, 2).Draw(t, "a") / math.Pow(reach, float64(k))
		}
		if !constant {
			a[0] = 0
		}
		var x, y []float64
		for i := range 12 {
			v := reach * float64(i+1) / 12
			p, sum := 1.0, 0.0
			for _, c := range a {
				sum += c * p
				p *= v
			}
			x, y = append(x, v), append(y, sum)
		}
		f, err := FitPolynomial(x, y, degree, constant)
		if err != nil {
			t.Fatal(err)
		}
		for k := range a {
			if math.Abs(f.Coefficients[k]-a[k]) > 1e-8*math.Pow(reach, -float64(k)) {
				t.Fatalf("a%d = %g, want %g", k, f.Coefficients[k], a[k])
			}
		}
		for i := range x {
			if math.Abs(f.At(x[i])-y[i]) > 1e-12*math.Abs(y[i]) {
				t.Fatalf("at %g: %g, want %g", x[i], f.At(x[i]), y[i])
			}
		}
	})
}

// noisy draws readings about a gentle curve.
func noisy(t *rapid.T) (x, y []float64) {
	n := rapid.IntRange(8, 25).Draw(t, "n")
	for i := range n {
		v := float64(i%9 + 1)
		x = append(x, v)
		y = append(y, 0.2*v+1e-4*v*v+1e-6*float64(rapid.IntRange(-1000, 1000).Draw(t, "noise")))
	}
	return x, y
}

// TestScaling: loads in another unit change coefficients by powers of it and nothing
// else; outputs in another unit change all alike.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := noisy(t)
		degree, constant := rapid.IntRange(1, 3).Draw(t, "degree"), rapid.Bool().Draw(t, "constant")
		kx, ky := rapid.SampledFrom([]float64{1e3, 0.1129848290276167, 4.4482216152605, 1e-6}).Draw(t, "kx"), rapid.SampledFrom([]float64{1e-3, 7, 1e6}).Draw(t, "ky")
		a, err := FitPolynomial(x, y, degree, constant)
		if err != nil {
			t.Fatal(err)
		}
		var sx, sy []float64
		for i := range x {
			sx, sy = append(sx, kx*x[i]), append(sy, ky*y[i])
		}
		b, err := FitPolynomial(sx, sy, degree, constant)
		if err != nil {
			t.Fatal(err)
		}
		same := func(what string, got, want, scale float64) {
			if math.Abs(got-want) > 1e-9*scale {
				t.Fatalf("%s: %g, want %g", what, got, want)
			}
		}
		for k := range a.Coefficients {
			f := ky / math.Pow(kx, float64(k))
			same("coefficient", b.Coefficients[k], f*a.Coefficients[k], f)
			same("deviation", b.SD[k], f*a.SD[k], f*math.Max(a.SD[k], 1e-6))
		}
		same("s", b.ResidualSD, ky*a.ResidualSD, ky*a.ResidualSD)
		if a.LackOfFit.Missing == "" {
			same("F", b.LackOfFit.F, a.LackOfFit.F, 1e3*(1+a.LackOfFit.F))
		}
		da, _, _ := ChooseDegree(x, y, 5, constant)
		db, _, _ := ChooseDegree(sx, sy, 5, constant)
		if da != db {
			t.Fatalf("degree %d, in other units %d", da, db)
		}
	})
}

// TestPermutation: the order of the readings does not matter.
func TestPermutation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := noisy(t)
		order := rapid.Permutation(indexes(len(x))).Draw(t, "order")
		var px, py []float64
		for _, i := range order {
			px, py = append(px, x[i]), append(py, y[i])
		}
		a, err := FitPolynomial(x, y, 2, true)
		if err != nil {
			t.Fatal(err)
		}
		b, err := FitPolynomial(px, py, 2, true)
		if err != nil {
			t.Fatal(err)
		}
		for k := range a.Coefficients {
			if math.Abs(a.Coefficients[k]-b.Coefficients[k]) > 1e-12 {
				t.Fatalf("a%d: %g and %g", k, a.Coefficients[k], b.Coefficients[k])
			}
		}
		for i, o := range order {
			if math.Abs(a.Leverage[o]-b.Leverage[i]) > 1e-10 {
				t.Fatalf("leverage %g and %g", a.Leverage[o], b.Leverage[i])
			}
		}
	})
}

func indexes(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// TestNormalEquations: coefficients, covariance and leverage against the normal
// equations in powers of x, which a small range bears; the leverages sum to the number
// of coefficients, the residuals are orthogonal to the powers.
func TestNormalEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := noisy(t)
		const degree = 2
		n := len(x)
		a := mat.NewDense(n, degree+1, nil)
		for i := range x {
			for k := range degree + 1 {
				a.Set(i, k, math.Pow(x[i], float64(k)))
			}
		}
		var ata, inv, h mat.Dense
		ata.Mul(a.T(), a)
		if err := inv.Inverse(&ata); err != nil {
			t.Fatal(err)
		}
		var aty, beta mat.VecDense
		aty.MulVec(a.T(), mat.NewVecDense(n, y))
		beta.MulVec(&inv, &aty)
		f, err := FitPolynomial(x, y, degree, true)
		if err != nil {
			t.Fatal(err)
		}
		h.Product(a, &inv, a.T())
		sum := 0.0
		for i := range x {
			if math.Abs(h.At(i, i)-f.Leverage[i]) > 1e-8 {
				t.Fatalf("leverage %g, want %g", f.Leverage[i], h.At(i, i))
			}
			sum += f.Leverage[i]
		}
		if math.Abs(sum-degree-1) > 1e-9 {
			t.Fatalf("the leverages sum to %g", sum)
		}
		for k := range degree + 1 {
			if math.Abs(beta.AtVec(k)-f.Coefficients[k]) > 1e-8 {
				t.Fatalf("a%d %g, want %g", k, f.Coefficients[k], beta.AtVec(k))
			}
			dot := 0.0
			for i := range x {
				dot += f.Residuals[i] * a.At(i, k)
			}
			if math.Abs(dot) > 1e-10 {
				t.Fatalf("residuals · x^%d = %g", k, dot)
			}
			for j := range degree + 1 {
				want := f.ResidualSD * f.ResidualSD * inv.At(k, j)
				if math.Abs(f.Covariance[k][j]-want) > 1e-7*f.SD[k]*f.SD[j] {
					t.Fatalf("cov %d %d: %g, want %g", k, j, f.Covariance[k][j], want)
				}
			}
		}
		v := rapid.Float64Range(0, 10).Draw(t, "x")
		want := 0.0
		for j := range degree + 1 {
			for k := range degree + 1 {
				want += f.Covariance[j][k] * math.Pow(v, float64(j+k))
			}
		}
		if math.Abs(f.Standard(v)-math.Sqrt(want)) > 1e-8*f.Standard(v) {
			t.Fatalf("u at %g: %g, want %g", v, f.Standard(v), math.Sqrt(want))
		}
	})
}

// TestRegressGroups: one constant for each group, taken out by means, is the fit with a
// column of ones for each.
func TestRegressGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(9, 20).Draw(t, "n")
		var x, wide [][]float64
		var y []float64
		groups := make([]int, n)
		for i := range n {
			groups[i] = i % 2
			row := []float64{float64(rapid.IntRange(-100, 100).Draw(t, "x")) / 100, float64(i * i % 11)}
			ones := []float64{float64(1 - groups[i]), float64(groups[i])}
			x, wide = append(x, row), append(wide, append(slices.Clone(row), ones...))
			y = append(y, rapid.Float64Range(-1, 1).Draw(t, "y"))
		}
		a, err := regressGroups(x, y, groups, 2)
		if err != nil {
			t.Skip(err)
		}
		b, err := Regress(wide, y, false)
		if err != nil {
			t.Skip(err)
		}
		if a.Freedom != b.Freedom || math.Abs(a.SumSquares-b.SumSquares) > 1e-9 {
			t.Fatalf("ν %d and %d, sums %g and %g", a.Freedom, b.Freedom, a.SumSquares, b.SumSquares)
		}
		for j := range 2 {
			if math.Abs(a.Slopes[j]-b.Slopes[j]) > 1e-8*(1+math.Abs(b.Slopes[j])) || math.Abs(a.SD[j]-b.SD[j]) > 1e-8*(1+b.SD[j]) {
				t.Fatalf("slope %g ± %g and %g ± %g", a.Slopes[j], a.SD[j], b.Slopes[j], b.SD[j])
			}
		}
		for i := range n {
			if math.Abs(a.Leverage[i]-b.Leverage[i]) > 1e-8 {
				t.Fatalf("leverage %g and %g", a.Leverage[i], b.Leverage[i])
			}
		}
	})
}

// TestFitRefused: what cannot be fitted is an error that says what to do.
func TestFitRefused(t *testing.T) {
	nan := math.NaN()
	for want, c := range map[string]struct {
		x, y   []float64
		degree int
	}{
		"2 readings cannot carry":  {[]float64{1, 2}, []float64{1, 2}, 1},
		"1 different load cannot":  {[]float64{1, 1, 1, 1}, []float64{1, 2, 1, 2}, 1},
		"2 different loads cannot": {[]float64{1, 1, 2, 2, 2}, []float64{1, 2, 1, 2, 3}, 2},
		"not finite":               {[]float64{1, 2, nan, 3}, []float64{1, 2, 3, 4}, 1},
		"3 values of x but 2 of y": {[]float64{1, 2, 3}, []float64{1, 2}, 1},
		"has nothing to fit":       {[]float64{1, 2, 3}, []float64{1, 2, 3}, -1},
	} {
		if _, err := FitPolynomial(c.x, c.y, c.degree, true); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if _, err := Regress([][]float64{{1, 2}, {2, 4}, {3, 6}, {4, 8}}, []float64{1, 2, 3, 4}, false); err != errDependent {
		t.Errorf("dependent columns: %v", err)
	}
}

// TestChosenDegree: data on a polynomial choose its degree; what is left is rounding.
func TestChosenDegree(t *testing.T) {
	for degree := 1; degree <= 5; degree++ {
		var x, y []float64
		for i := range 11 {
			v := float64(i+1) / 11
			x = append(x, v)
			sum := 0.0
			for k := degree; k >= 0; k-- {
				sum = sum*v + 1
			}
			y = append(y, sum)
		}
		got, _, err := ChooseDegree(x, y, 5, true)
		if err != nil || got != degree {
			t.Errorf("degree %d: %d, %v", degree, got, err)
		}
	}
}

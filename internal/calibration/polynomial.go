package calibration

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Polynomial is a least-squares fit
//
//	y = a0 + a1 x + … + am x^m,   a0 = 0 without a constant term
type Polynomial struct {
	Degree       int
	Constant     bool
	Coefficients []float64   // a0 … am
	SD           []float64   // standard deviation of each; 0 of a constant that was not fitted
	Covariance   [][]float64 // of the coefficients
	Readings     int
	Freedom      int     // readings less fitted coefficients
	SumSquares   float64 // of the residuals
	ResidualSD   float64 // √(SumSquares/Freedom)
	Residuals    []float64
	Leverage     []float64 // diagonal of the hat matrix
	LackOfFit    LackOfFit

	middle, half float64    // of the range of x
	reach        float64    // greatest |x|
	weights      []float64  // of the basis
	inverse      *mat.Dense // R⁻¹ of the basis
}

// LackOfFit compares the scatter about the fit with that of repeated readings.
type LackOfFit struct {
	F           float64
	Freedom     [2]int  // of lack of fit, of repeats
	PureError   float64 // standard deviation of repeats
	Limit       float64 // 95 % quantile of F
	Significant bool
	Missing     string
}

const atRounding = 1e-13

// FitPolynomial fits a polynomial of the given degree by least squares,
//
//	min Σ (y_i − P(x_i))²,   s = √(Σ r²/(n−p)),   cov(a) = s² (XᵀX)⁻¹
//
// p: fitted coefficients. The fit is a QR factorisation in Chebyshev polynomials of
// (x − middle)/half, times x/reach without a constant term, so that large or distant
// x cost no digits; the coefficients of powers of x are then expanded in long
// arithmetic. With fewer than p + 1 readings, fewer than p different x, or values
// that are not finite there is an error.
//
// Source: textbook regression; lack of fit as in NIST/SEMATECH e-Handbook of
// Statistical Methods, 4.4.4.6.
func FitPolynomial(x, y []float64, degree int, constant bool) (*Polynomial, error) {
	p := &Polynomial{Degree: degree, Constant: constant, Readings: len(x)}
	n, first := len(x), 0
	if !constant {
		first = 1
	}
	terms := degree + 1 - first
	switch {
	case degree < 0 || terms < 1:
		return nil, fmt.Errorf("a polynomial of degree %d has nothing to fit", degree)
	case len(y) != n:
		return nil, fmt.Errorf("%d values of x but %d of y", n, len(y))
	case n < terms+1:
		return nil, fmt.Errorf("%s cannot carry a fit of %s and its scatter; take more, or a lower degree", count(n, "reading"), count(terms, "coefficient"))
	}
	for i := range x {
		if !finite(x[i]) || !finite(y[i]) {
			return nil, errors.New("a reading is not finite")
		}
	}
	if k := distinct(x, !constant); k < terms {
		return nil, fmt.Errorf("%s cannot carry a fit of %s; take more steps, or a lower degree", count(k, "different load"), count(terms, "coefficient"))
	}
	low, high := slices.Min(x), slices.Max(x)
	p.middle, p.half, p.reach = low/2+high/2, high/2-low/2, math.Max(math.Abs(low), math.Abs(high))
	if p.half == 0 { // one x: a line through the origin, or a constant
		p.half = 1
	}
	if p.reach == 0 {
		p.reach = 1
	}
	a := mat.NewDense(n, terms, nil)
	for i := range x {
		p.basis(x[i], a.RawRowView(i))
	}
	var qr mat.QR
	qr.Factorize(a)
	rhs := mat.NewVecDense(n, append([]float64(nil), y...))
	var w mat.VecDense
	if err := qr.SolveVecTo(&w, false, rhs); err != nil && !isCondition(err) {
		return nil, errors.New("the loads do not determine the fit; take more steps, or a lower degree")
	}
	p.weights = append([]float64(nil), w.RawVector().Data...)
	p.residuals(a, y)
	var step mat.VecDense // once more on the residuals: the factorisation's own rounding
	if err := qr.SolveVecTo(&step, false, mat.NewVecDense(n, p.Residuals)); err == nil || isCondition(err) {
		for k := range p.weights {
			p.weights[k] += step.AtVec(k)
		}
		p.residuals(a, y)
	}
	var r mat.Dense
	qr.RTo(&r)
	p.inverse = mat.NewDense(terms, terms, nil)
	if err := p.inverse.Inverse(r.Slice(0, terms, 0, terms)); err != nil && !isCondition(err) {
		return nil, errors.New("the loads do not determine the fit; take more steps, or a lower degree")
	}
	p.Freedom = n - terms
	for _, e := range p.Residuals {
		p.SumSquares += e * e
	}
	p.ResidualSD = math.Sqrt(p.SumSquares / float64(p.Freedom))
	p.expand(first)
	var q mat.Dense
	q.Mul(a, p.inverse)
	for i := range x {
		h := 0.0
		for _, v := range q.RawRowView(i) {
			h += v * v
		}
		p.Leverage = append(p.Leverage, math.Min(h, 1))
	}
	p.lackOfFit(x, y, terms)
	return p, nil
}

func isCondition(err error) bool {
	var c mat.Condition
	return errors.As(err, &c) && !math.IsInf(float64(c), 1)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// distinct counts the different x, without 0 when the fit has no constant.
func distinct(x []float64, skipZero bool) int {
	s := slices.Clone(x)
	slices.Sort(s)
	s = slices.Compact(s)
	if skipZero {
		s = slices.DeleteFunc(s, func(v float64) bool { return v == 0 })
	}
	return len(s)
}

// basis fills out with the Chebyshev polynomials at x, times x/reach without a
// constant term.
func (p *Polynomial) basis(x float64, out []float64) {
	s, f := (x-p.middle)/p.half, 1.0
	if !p.Constant {
		f = x / p.reach
	}
	a, b := 1.0, s
	for k := range out {
		out[k] = f * a
		a, b = b, 2*s*b-a
	}
}

func (p *Polynomial) residuals(a *mat.Dense, y []float64) {
	p.Residuals = make([]float64, len(y))
	for i := range y {
		sum := 0.0
		for k, v := range a.RawRowView(i) {
			sum += v * p.weights[k]
		}
		p.Residuals[i] = y[i] - sum
	}
}

// At is the fitted y.
func (p *Polynomial) At(x float64) float64 {
	row := make([]float64, len(p.weights))
	p.basis(x, row)
	sum := 0.0
	for k, v := range row {
		sum += v * p.weights[k]
	}
	return sum
}

// Standard is the standard uncertainty of the fitted y at x by the scatter of the
// readings, √(gᵀ cov g), g the powers of x.
func (p *Polynomial) Standard(x float64) float64 {
	row := make([]float64, len(p.weights))
	p.basis(x, row)
	sum := 0.0
	for j := range row {
		v := 0.0
		for k := range row {
			v += row[k] * p.inverse.At(k, j)
		}
		sum += v * v
	}
	return p.ResidualSD * math.Sqrt(sum)
}

// expand turns the weights of the basis into coefficients of powers of x.
func (p *Polynomial) expand(first int) {
	const bits = 300
	number := func(v float64) *big.Float { return new(big.Float).SetPrec(bits).SetFloat64(v) }
	zero := func(n int) []*big.Float {
		out := make([]*big.Float, n)
		for i := range out {
			out[i] = number(0)
		}
		return out
	}
	terms := len(p.weights)
	scale := new(big.Float).SetPrec(bits).Quo(number(1), number(p.half))
	shift := new(big.Float).SetPrec(bits).Mul(number(-p.middle), scale)
	// rows of T: coefficients of each Chebyshev polynomial in powers of x
	t := make([][]*big.Float, terms)
	for k := range t {
		t[k] = zero(terms)
		switch k {
		case 0:
			t[0][0] = number(1)
		case 1:
			t[1][0], t[1][1] = new(big.Float).Copy(shift), new(big.Float).Copy(scale)
		default:
			for i := range terms {
				v := new(big.Float).SetPrec(bits).Mul(t[k-1][i], shift)
				if i > 0 {
					v.Add(v, new(big.Float).SetPrec(bits).Mul(t[k-1][i-1], scale))
				}
				v.Mul(v, number(2))
				t[k][i] = v.Sub(v, t[k-2][i])
			}
		}
	}
	outer := number(1)
	if first == 1 {
		outer.Quo(outer, number(p.reach))
	}
	p.Coefficients, p.SD = make([]float64, p.Degree+1), make([]float64, p.Degree+1)
	half := make([][]float64, p.Degree+1) // T·R⁻¹, so that cov = s² half·halfᵀ
	for i := range half {
		half[i] = make([]float64, terms)
	}
	for i := range terms {
		sum := number(0)
		for k := range terms {
			sum.Add(sum, new(big.Float).SetPrec(bits).Mul(t[k][i], number(p.weights[k])))
		}
		p.Coefficients[i+first], _ = sum.Mul(sum, outer).Float64()
		for j := range terms {
			sum := number(0)
			for k := range terms {
				sum.Add(sum, new(big.Float).SetPrec(bits).Mul(t[k][i], number(p.inverse.At(k, j))))
			}
			half[i+first][j], _ = sum.Mul(sum, outer).Float64()
		}
	}
	p.Covariance = make([][]float64, p.Degree+1)
	for i := range half {
		p.Covariance[i] = make([]float64, p.Degree+1)
		for j := range half {
			sum := 0.0
			for k := range terms {
				sum += half[i][k] * half[j][k]
			}
			p.Covariance[i][j] = p.ResidualSD * p.ResidualSD * sum
		}
		p.SD[i] = math.Sqrt(p.Covariance[i][i])
	}
}

// lackOfFit splits the residuals into the scatter of repeats and the rest,
//
//	F = (SS_lof/(k − p)) / (SS_pe/(n − k))
//
// k: different x, p: coefficients.
func (p *Polynomial) lackOfFit(x, y []float64, terms int) {
	groups := map[float64][]float64{}
	var order []float64
	for i := range x {
		if groups[x[i]] == nil {
			order = append(order, x[i])
		}
		groups[x[i]] = append(groups[x[i]], y[i])
	}
	slices.Sort(order) // so that the sum does not depend on the order of the rows
	pure, size := 0.0, 0.0
	for _, v := range order {
		g := groups[v]
		mean := 0.0
		for _, e := range g {
			mean += e / float64(len(g))
			size = math.Max(size, math.Abs(e))
		}
		for _, e := range g {
			pure += (e - mean) * (e - mean)
		}
	}
	l := &p.LackOfFit
	l.Freedom = [2]int{len(groups) - terms, len(x) - len(groups)}
	switch {
	case l.Freedom[1] < 1:
		l.Missing = "no load was repeated"
		return
	case l.Freedom[0] < 1:
		l.Missing = "there are no more different loads than coefficients"
		l.PureError = math.Sqrt(pure / float64(l.Freedom[1]))
		return
	}
	l.PureError = math.Sqrt(pure / float64(l.Freedom[1]))
	if l.PureError <= atRounding*size {
		l.Missing = "repeated readings do not scatter"
		return
	}
	l.F = math.Max(0, p.SumSquares-pure) / float64(l.Freedom[0]) / (pure / float64(l.Freedom[1]))
	l.Limit = distuv.F{D1: float64(l.Freedom[0]), D2: float64(l.Freedom[1])}.Quantile(0.95)
	l.Significant = l.F > l.Limit
}

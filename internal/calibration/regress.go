package calibration

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Regression is a linear least-squares fit of several columns,
//
//	y = β0 + Σ βj xj,   cov(β) = s² (XᵀX)⁻¹
type Regression struct {
	Constant   float64 // β0; 0 without
	ConstantSD float64
	Slopes     []float64
	SD         []float64
	Covariance [][]float64 // of the slopes
	Freedom    int
	SumSquares float64
	ResidualSD float64
	Residuals  []float64
	Leverage   []float64
	inverse    [][]float64 // (XᵀX)⁻¹ of the centred columns
}

// Regress fits y by the columns x[i] of each reading, with a constant when asked
// for, by QR on columns that are centred (with a constant) and scaled to length 1.
// Too few readings, values that are not finite, or columns that depend on each
// other to within 1e-12 are errors.
func Regress(x [][]float64, y []float64, constant bool) (*Regression, error) {
	n := len(y)
	if n == 0 || len(x) != n || len(x[0]) == 0 {
		return nil, errors.New("no readings to fit")
	}
	p := len(x[0])
	groups := make([]int, n)
	if !constant {
		for i := range groups {
			groups[i] = -1
		}
	}
	return regressGroups(x, y, groups, p)
}

// regressGroups fits with one constant for each group of readings; group −1 has
// none. Constants are taken out by the mean of each group, which gives the same
// slopes as fitting them.
func regressGroups(x [][]float64, y []float64, groups []int, p int) (*Regression, error) {
	n := len(y)
	for i := range x {
		for _, v := range x[i] {
			if !finite(v) {
				return nil, errors.New("a reading is not finite")
			}
		}
		if !finite(y[i]) {
			return nil, errors.New("a reading is not finite")
		}
	}
	means, size := groupMeans(x, y, groups, p)
	constants := len(means)
	if n < p+constants+1 {
		return nil, fmt.Errorf("%s cannot carry a fit of %s and its scatter; take more", count(n, "reading"), count(p+constants, "coefficient"))
	}
	a := mat.NewDense(n, p, nil)
	rhs := mat.NewVecDense(n, nil)
	length := make([]float64, p)
	for i := range x {
		m := means[groups[i]]
		for j, v := range x[i] {
			if m != nil {
				v -= m[j]
			}
			a.Set(i, j, v)
			length[j] = math.Hypot(length[j], v)
		}
		v := y[i]
		if m != nil {
			v -= m[p]
		}
		rhs.SetVec(i, v)
	}
	for j := range length {
		if length[j] == 0 {
			return nil, errDependent
		}
		for i := range n {
			a.Set(i, j, a.At(i, j)/length[j])
		}
	}
	var qr mat.QR
	qr.Factorize(a)
	var r, inv mat.Dense
	qr.RTo(&r)
	for j := range p {
		if math.Abs(r.At(j, j)) < 1e-12 {
			return nil, errDependent
		}
	}
	var beta, step mat.VecDense
	if err := qr.SolveVecTo(&beta, false, rhs); err != nil && !isCondition(err) {
		return nil, errDependent
	}
	res := mat.NewVecDense(n, nil)
	residual := func() {
		res.MulVec(a, &beta)
		res.SubVec(rhs, res)
	}
	residual()
	if err := qr.SolveVecTo(&step, false, res); err == nil || isCondition(err) {
		beta.AddVec(&beta, &step)
		residual()
	}
	if err := inv.Inverse(r.Slice(0, p, 0, p)); err != nil && !isCondition(err) {
		return nil, errDependent
	}
	out := &Regression{Freedom: n - p - constants, Residuals: append([]float64(nil), res.RawVector().Data...)}
	for _, e := range out.Residuals {
		out.SumSquares += e * e
	}
	out.ResidualSD = math.Sqrt(out.SumSquares / float64(out.Freedom))
	for j := range p {
		out.Slopes = append(out.Slopes, beta.AtVec(j)/length[j])
		var rowI, rowC []float64
		for k := range p {
			sum := 0.0
			for l := range p {
				sum += inv.At(j, l) * inv.At(k, l)
			}
			sum /= length[j] * length[k]
			rowI = append(rowI, sum)
			rowC = append(rowC, out.ResidualSD*out.ResidualSD*sum)
		}
		out.inverse = append(out.inverse, rowI)
		out.Covariance = append(out.Covariance, rowC)
		out.SD = append(out.SD, math.Sqrt(rowC[j]))
	}
	var q mat.Dense
	q.Mul(a, &inv)
	for i := range n {
		h := 0.0
		if m := means[groups[i]]; m != nil {
			h = 1 / size[groups[i]]
		}
		for _, v := range q.RawRowView(i) {
			h += v * v
		}
		out.Leverage = append(out.Leverage, math.Min(h, 1))
	}
	if m := means[0]; m != nil && constants == 1 {
		out.Constant = m[p]
		v := 1 / size[0]
		for j := range p {
			out.Constant -= out.Slopes[j] * m[j]
			for k := range p {
				v += m[j] * out.inverse[j][k] * m[k]
			}
		}
		out.ConstantSD = out.ResidualSD * math.Sqrt(v)
	}
	return out, nil
}

var errDependent = errors.New("the loads of the readings depend on each other")

// groupMeans of columns and y (last), of each group that has a constant.
func groupMeans(x [][]float64, y []float64, groups []int, p int) (means map[int][]float64, size map[int]float64) {
	means, size = map[int][]float64{}, map[int]float64{}
	for _, g := range groups {
		if g >= 0 {
			if means[g] == nil {
				means[g] = make([]float64, p+1)
			}
			size[g]++
		}
	}
	for i, g := range groups {
		if g < 0 {
			continue
		}
		for j, v := range x[i] {
			means[g][j] += v / size[g]
		}
		means[g][p] += y[i] / size[g]
	}
	return means, size
}

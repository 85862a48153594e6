package diagnosis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// gaussian is a normal distribution about 0.
type gaussian struct {
	n      int
	lower  []float64 // L of the covariance LLᵀ, row by row
	logDet float64   // of the covariance
}

// newGaussian factors noise + Σ d dᵀ over the columns, taken at the used figures.
func (b *bench) newGaussian(columns [][]float64) (*gaussian, error) {
	n := len(b.used)
	if n == 0 {
		return &gaussian{}, nil
	}
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(b.noise)
	raw := cov.RawSymmetric()
	for _, d := range columns {
		for i, f := range b.used {
			v := d[f]
			if v == 0 {
				continue
			}
			row := raw.Data[i*raw.Stride:]
			for j := i; j < n; j++ {
				row[j] += v * d[b.used[j]]
			}
		}
	}
	var c mat.Cholesky
	if !c.Factorize(cov) {
		return nil, fmt.Errorf("the covariance of the measured figures is not positive definite; check the covariances given")
	}
	var l mat.TriDense
	c.LTo(&l)
	g := &gaussian{n: n, lower: make([]float64, n*n), logDet: c.LogDet()}
	for i := range n {
		for j := range i + 1 {
			g.lower[i*n+j] = l.At(i, j)
		}
	}
	return g, nil
}

// white solves L z = r in place.
func (g *gaussian) white(r []float64) {
	for i := range g.n {
		row := g.lower[i*g.n : i*g.n+i+1]
		v := r[i]
		for j, l := range row[:i] {
			v -= l * r[j]
		}
		r[i] = v / row[i]
	}
}

// square is rᵀC⁻¹r; r is overwritten.
func (g *gaussian) square(r []float64) float64 {
	g.white(r)
	q := 0.0
	for _, z := range r {
		q += z * z
	}
	return q
}

// log is the logarithm of the density at a squared distance.
func (g *gaussian) log(square float64) float64 {
	return -0.5 * (square + g.logDet + float64(g.n)*math.Log(2*math.Pi))
}

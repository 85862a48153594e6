package rosette

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// unseen is a strain below what any instrument resolves, m/m: a load whose rated value
// moves every grid by less counts as one that they do not respond to.
const unseen = 1e-8

// apart is the least singular value, of columns brought to length 1, at which loads count
// as told apart. The area of the grids and their stand-off make loads that strain the
// surface alike differ by less than that; no reading is good enough to live on it.
const apart = 1e-3

// seen is an error that names what the grids do not tell.
func (y *system) seen() error {
	rows, n := y.a.Dims()
	padded := mat.NewDense(max(rows, n), n, nil)
	length := make([]float64, n)
	for c := range n {
		column := y.a.ColView(c)
		if length[c] = mat.Norm(column, 2); length[c] < unseen {
			length[c] = 1
			continue
		}
		for k := range rows {
			padded.Set(k, c, column.AtVec(k)/length[c])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(padded, mat.SVDThin) {
		return fmt.Errorf("the singular values did not converge")
	}
	values := svd.Values(nil)
	var v mat.Dense
	svd.VTo(&v)
	// the projection on what is not seen does not depend on the basis that the
	// decomposition took for it
	hidden := mat.NewDense(n, n, nil)
	rank := 0
	for k := range n {
		if values[k] > apart {
			rank++
			continue
		}
		for i := range n {
			for j := range n {
				hidden.Set(i, j, hidden.At(i, j)+v.At(i, k)*v.At(j, k))
			}
		}
	}
	if rank == n {
		return nil
	}
	var alone, mixed []string
	for i := range n {
		name := y.m.Components[y.columns[i]].String()
		switch h := hidden.At(i, i); {
		case h > 1-1e-6:
			alone = append(alone, name)
		case h > 1e-6:
			mixed = append(mixed, name)
		}
	}
	var parts []string
	if len(alone) > 0 {
		parts = append(parts, "no grid that was read responds to "+strings.Join(alone, ", "))
	}
	if len(mixed) > 0 {
		s := "the grids that were read cannot tell " + strings.Join(mixed, ", ") + " apart"
		if n-rank-len(alone) == 1 {
			s += ": " + y.combination(hidden, length) + " at once moves them by next to nothing"
		}
		parts = append(parts, s)
	}
	return fmt.Errorf("the loads do not follow from these readings: %s; read more rosettes, or leave loads out", strings.Join(parts, "; "))
}

// combination writes the one mixed direction that is hidden, in parts of the rated loads.
func (y *system) combination(hidden *mat.Dense, length []float64) string {
	n := len(y.columns)
	from := -1
	for i := range n {
		if h := hidden.At(i, i); h <= 1-1e-6 && (from < 0 || h > hidden.At(from, from)) {
			from = i
		}
	}
	var words []string
	for i := range n {
		f := hidden.At(i, from) / length[i] / (hidden.At(from, from) / length[from])
		if math.Abs(f) > 1e-3 {
			words = append(words, fmt.Sprintf("%+.3g of rated %v", f, y.m.Components[y.columns[i]]))
		}
	}
	return strings.Join(words, " with ")
}

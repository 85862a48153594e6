package predict

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

// Matrix is all bridges together.
type Matrix struct {
	Sensitivity [][]float64 // bridges × components, V/V per N, N·m or Pa
	Measured    []design.Component
	Columns     []int       // of the measured components in Model.Components
	Inverse     [][]float64 // measured × bridges, loads per V/V; nil when undefined
	Condition   Figure      // 2-norm, columns × rated load, rows ÷ own rated output
}

// matrixOf inverts the block of the measured components, by least squares when
// there are more bridges than loads.
func matrixOf(m *model.Model, bridges []Bridge) Matrix {
	var out Matrix
	for _, b := range bridges {
		out.Sensitivity = append(out.Sensitivity, b.Sensitivity)
	}
	for j, l := range m.Design.Loads {
		if l.Measure {
			out.Measured = append(out.Measured, l.Component)
			out.Columns = append(out.Columns, j)
		}
	}
	rows, cols := len(bridges), len(out.Columns)
	switch {
	case cols == 0:
		out.Condition = None("no load is to be measured")
		return out
	case rows < cols:
		out.Condition = None("there are fewer bridges than loads to measure")
		return out
	}
	// Columns × rated load bring the block to V/V; the least-squares inverse does
	// not depend on that scale, its conditioning does.
	scaled := mat.NewDense(rows, cols, nil)
	normal := mat.NewDense(rows, cols, nil)
	out.Condition = None("")
	for i, b := range bridges {
		for k, j := range out.Columns {
			scaled.Set(i, k, b.Sensitivity[j]*m.Rated[j])
			normal.Set(i, k, b.Sensitivity[j]*m.Rated[j]/b.Rated)
		}
		if b.Blind {
			out.Condition = None("a bridge gives no output for the load that it measures")
		}
	}
	if out.Condition.OK() {
		out.Condition = condition(normal)
	}
	var svd mat.SVD
	if !svd.Factorize(scaled, mat.SVDThin) {
		return out
	}
	v := svd.Values(nil)
	if v[0] == 0 || v[cols-1] < 1e-13*v[0] {
		return out
	}
	var p mat.Dense
	if err := p.Solve(scaled, identity(rows)); err != nil {
		return out
	}
	for k, j := range out.Columns {
		row := make([]float64, rows)
		for i := range row {
			row[i] = p.At(k, i) * m.Rated[j]
		}
		out.Inverse = append(out.Inverse, row)
	}
	return out
}

func identity(n int) *mat.Dense {
	d := mat.NewDense(n, n, nil)
	for i := 0; i < n; i++ {
		d.Set(i, i, 1)
	}
	return d
}

func condition(a *mat.Dense) Figure {
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDNone) {
		return None("the singular values did not converge")
	}
	v := svd.Values(nil)
	if last := v[len(v)-1]; last > 1e-13*v[0] && !math.IsNaN(last) {
		return Some(v[0] / last)
	}
	return None("the bridges cannot tell the measured loads apart")
}

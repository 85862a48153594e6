package calibration

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// separable is the least ratio of singular values that an inverse is given for, the
// loads scaled by their rated values: readings have six digits, so that beyond it
// nothing but noise is left.
const separable = 1e-7

// Decouple is the matrix D that gives loads from outputs, and the condition of S,
//
//	D = (SᵀWS)⁻¹SᵀW,   for a square S D = S⁻¹ whatever the weights
//	κ = largest over smallest singular value of S, columns × rated, rows ÷ own
//
// S: bridges × loads; rated: a scale for each load; own: one for each bridge, such
// as its rated output, nil where it is not known; weights: of the bridges, nil for
// equal ones. Fewer bridges than loads, or bridges that cannot tell the loads apart,
// are errors.
//
// Source: textbook weighted least squares.
func Decouple(s [][]float64, rated, own, weights []float64) (d [][]float64, condition predict.Figure, err error) {
	rows, cols := len(s), len(rated)
	if cols == 0 {
		return nil, predict.Figure{}, errors.New("no load is to be measured")
	}
	if rows < cols {
		return nil, predict.Figure{}, errors.New("there are fewer bridges than loads to measure")
	}
	scaled, normal, rhs := mat.NewDense(rows, cols, nil), mat.NewDense(rows, cols, nil), mat.NewDense(rows, rows, nil)
	condition = predict.None("the output of a bridge at rated load is not known")
	known := own != nil
	for i := range rows {
		w := 1.0
		if weights != nil {
			w = math.Sqrt(weights[i])
		}
		if known && own[i] == 0 {
			known = false
		}
		for j := range cols {
			if rated[j] == 0 {
				return nil, predict.Figure{}, errors.New("a load to be measured is rated 0")
			}
			scaled.Set(i, j, w*s[i][j]*rated[j])
			if known {
				normal.Set(i, j, s[i][j]*rated[j]/own[i])
			}
		}
		rhs.Set(i, i, w)
	}
	var svd mat.SVD
	if !svd.Factorize(scaled, mat.SVDThin) {
		return nil, condition, errors.New("the singular values did not converge")
	}
	if v := svd.Values(nil); v[0] == 0 || v[cols-1] < separable*v[0] {
		return nil, condition, errors.New("the bridges cannot tell the measured loads apart")
	}
	var x mat.Dense
	svd.SolveTo(&x, rhs, cols)
	for j := range cols {
		row := make([]float64, rows)
		for i := range row {
			row[i] = x.At(j, i) * rated[j]
		}
		d = append(d, row)
	}
	if known {
		if !svd.Factorize(normal, mat.SVDNone) {
			return d, predict.None("the singular values did not converge"), nil
		}
		v := svd.Values(nil)
		condition = predict.Some(v[0] / v[cols-1])
	}
	return d, condition, nil
}

// invert the block of the measured loads.
func (m *Matrix) invert(d *design.Design, data *Data, o Options) {
	var rated []float64
	for _, j := range m.Measured {
		rated = append(rated, d.Loads[m.Components[j]].Rated.SI)
	}
	block := make([][]float64, len(m.Bridges))
	var own []float64
	largest := 0.0
	for k := range m.Bridges {
		for _, j := range m.Measured {
			block[k] = append(block[k], m.Sensitivity[k][j])
			largest = math.Max(largest, math.Abs(m.Sensitivity[k][j]*d.Loads[m.Components[j]].Rated.SI))
		}
		t := m.own(d, k)
		if t < 0 {
			own = nil
			break
		}
		own = append(own, m.Sensitivity[k][t]*d.Loads[m.Components[t]].Rated.SI)
	}
	if len(own) < len(m.Bridges) {
		own = nil
	}
	m.Condition = predict.None("")
	if len(m.Bridges) > len(m.Measured) && !o.EqualWeight {
		m.Weights = m.weights(largest)
	}
	inverse, condition, err := Decouple(block, rated, own, m.Weights)
	if err != nil {
		m.Missing, m.Condition = err.Error(), predict.None(err.Error())
		return
	}
	m.Inverse, m.Condition = inverse, condition
}

// weights of the bridges: reciprocal variances of their residuals, none smaller
// than rounding, the largest 1; nil when all bridges leave nothing but rounding.
func (m *Matrix) weights(largest float64) []float64 {
	floor := 1e-7 * largest
	out, top, any := make([]float64, len(m.Bridges)), 0.0, false
	for k := range out {
		s := math.Sqrt(m.Residual[k][k])
		any = any || s > floor
		s = math.Max(s, floor)
		out[k] = 1 / (s * s)
		top = math.Max(top, out[k])
	}
	if !any || top == 0 || math.IsInf(top, 0) {
		return nil
	}
	for k := range out {
		out[k] /= top
	}
	return out
}

// recover the loads of the readings that have every bridge, and compare. Loads that
// the transducer does not measure are in the outputs as they are in use.
func (m *Matrix) recover(d *design.Design, data *Data, reduced [][]float64, rows, groups []int) {
	sum, n := make([]float64, len(m.Measured)), 0
	m.Recovery = make([]Channel, len(m.Measured))
	rec := m.recovery(d)
	constants := m.constants(data, reduced, rows, groups)
	outputs, loads := make([]float64, len(m.Bridges)), make([]float64, len(m.Measured))
	failed := 0
	for i, row := range rows {
		whole := true
		for k, b := range m.Bridges {
			outputs[k] = reduced[row][b] - constants[k][groups[i]]
			whole = whole && !math.IsNaN(outputs[k])
		}
		if !whole {
			continue
		}
		if err := rec.Loads(outputs, loads); err != nil {
			failed++
			continue
		}
		n++
		for q, j := range m.Measured {
			c := m.Components[j]
			e := (loads[q] - data.Readings[row].Loads[c]) / math.Abs(d.Loads[c].Rated.SI)
			sum[q] += e * e
			if math.Abs(e) > math.Abs(m.Recovery[q].Largest) {
				m.Recovery[q].Largest, m.Recovery[q].Line = e, data.Readings[row].Line
			}
		}
	}
	for q, j := range m.Measured {
		m.Recovery[q].Component, m.Recovery[q].Readings = m.Components[j], n
		if n > 0 {
			m.Recovery[q].RMS = math.Sqrt(sum[q] / float64(n))
		}
	}
	if failed > 0 {
		m.Orientation = append(m.Orientation, fmt.Sprintf("%s could not be turned into loads with the second-order terms", count(failed, "reading")))
	}
}

// constants of each run that the fit left in the outputs; 0 in group −1.
func (m *Matrix) constants(data *Data, reduced [][]float64, rows, groups []int) []map[int]float64 {
	x, _ := m.columns(data, rows)
	out := make([]map[int]float64, len(m.Bridges))
	for k, b := range m.Bridges {
		sum, n := map[int]float64{}, map[int]float64{}
		for i, row := range rows {
			if g := groups[i]; g >= 0 && !math.IsNaN(reduced[row][b]) {
				sum[g] += reduced[row][b] - m.output(k, x[i])
				n[g]++
			}
		}
		for g := range sum {
			sum[g] /= n[g]
		}
		out[k] = sum
	}
	return out
}

// output of bridge k under loads of Components by the matrix.
func (m *Matrix) output(k int, loads []float64) float64 {
	v := 0.0
	for j, f := range loads {
		v += m.Sensitivity[k][j] * f
	}
	for q, p := range m.Pairs {
		v += m.Product[k][q] * loads[p[0]] * loads[p[1]]
	}
	return v
}

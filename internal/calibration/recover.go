package calibration

import (
	"errors"
	"fmt"
	"math"

	"gridwright/internal/design"
)

// Recovery turns changes of the bridges' outputs into loads.
type Recovery struct {
	Bridges    []string
	Components []design.Component
	Inverse    [][]float64 // D, loads per V/V: components × bridges

	// Covariance of the sensitivities of Components, bridge by bridge, and of single
	// readings of the bridges; V/V units.
	Covariance [][]float64
	Residual   [][]float64
	// Relative and Absolute are the other terms of each load's budget:
	// u² += Absolute² + (Relative·F)².
	Relative, Absolute []float64

	Pairs   [][2]int    // of Components
	Product [][]float64 // bridges × pairs, V/V per unit of both loads
}

// recovery over the measured loads; the others are taken as zero.
func (m *Matrix) recovery(d *design.Design) *Recovery {
	r := &Recovery{Inverse: m.Inverse, Residual: m.Residual, Relative: make([]float64, len(m.Measured)), Absolute: make([]float64, len(m.Measured))}
	place := map[int]int{}
	for q, j := range m.Measured {
		place[j] = q
		r.Components = append(r.Components, d.Loads[m.Components[j]].Component)
	}
	n := len(m.Components)
	for _, b := range m.Bridges {
		r.Bridges = append(r.Bridges, d.Bridges[b].Name)
	}
	r.Covariance = square(len(m.Bridges) * len(m.Measured))
	for a := range m.Bridges {
		for b := range m.Bridges {
			for p, j := range m.Measured {
				for q, k := range m.Measured {
					r.Covariance[a*len(m.Measured)+p][b*len(m.Measured)+q] = m.Covariance[a*n+j][b*n+k]
				}
			}
		}
	}
	var keep []int
	for q, p := range m.Pairs {
		a, okA := place[p[0]]
		b, okB := place[p[1]]
		if okA && okB {
			r.Pairs = append(r.Pairs, [2]int{a, b})
			keep = append(keep, q)
		}
	}
	if len(keep) > 0 {
		for k := range m.Bridges {
			var row []float64
			for _, q := range keep {
				row = append(row, m.Product[k][q])
			}
			r.Product = append(r.Product, row)
		}
	}
	return r
}

const (
	maxIterations = 100
	settled       = 1e-13
)

// errDiverges is given where the iteration does not settle.
var errDiverges = errors.New("the outputs have no load near: the second-order terms are as large as the linear ones there, so the outputs lie outside of what was calibrated")

// Loads fills loads from the changes of the outputs from no load, V/V:
//
//	F = D ΔR;  with second-order terms  F ← D (ΔR − C H(F)),  H_q = F_j F_k
//
// until the linear part of no output changes by more than 1e-13 of the largest
// output. NaN among the outputs, or terms so large that this does not settle,
// are errors. It allocates only with second-order terms.
//
// Source: iteration of the balance method for wind-tunnel balances, AIAA R-091,
// equation 3.3.7, as quoted in reports.
func (r *Recovery) Loads(outputs, loads []float64) error {
	if len(outputs) != len(r.Bridges) || len(loads) != len(r.Components) {
		return fmt.Errorf("%d outputs and %d loads for %d bridges and %d loads", len(outputs), len(loads), len(r.Bridges), len(r.Components))
	}
	for _, v := range outputs {
		if !finite(v) {
			return errors.New("an output is not finite")
		}
	}
	r.multiply(outputs, loads)
	if len(r.Pairs) == 0 {
		return nil
	}
	top := 0.0
	for _, v := range outputs {
		top = math.Max(top, math.Abs(v))
	}
	before, rest := append([]float64(nil), outputs...), make([]float64, len(outputs))
	for range maxIterations {
		change := 0.0
		for b := range rest {
			rest[b] = outputs[b]
			for q, p := range r.Pairs {
				rest[b] -= r.Product[b][q] * loads[p[0]] * loads[p[1]]
			}
			if !finite(rest[b]) {
				return errDiverges
			}
			change = math.Max(change, math.Abs(rest[b]-before[b]))
			before[b] = rest[b]
		}
		r.multiply(rest, loads)
		if change <= settled*top {
			return nil
		}
	}
	return errDiverges
}

func (r *Recovery) multiply(outputs, loads []float64) {
	for j, row := range r.Inverse {
		sum := 0.0
		for b, v := range row {
			sum += v * outputs[b]
		}
		loads[j] = sum
	}
}

// Uncertain fills u with the standard uncertainties of loads that Loads gave, each
// from a single reading of the outputs:
//
//	cov(F) = D [ Σ_res + M ] Dᵀ,   M_ab = Σ F_j F_k cov(S_aj, S_bk)
//	u²(F_j) = cov(F)_jj + A_j² + (w_j F_j)²
//
// Second-order terms enter by the loads only: that D is not the slope there is left
// out, of their relative size.
//
// Source: JCGM 100:2008, 5.2.2.
func (r *Recovery) Uncertain(loads, u []float64) {
	nb, n := len(r.Bridges), len(r.Components)
	for j := range n {
		sum := 0.0
		for a := range nb {
			for b := range nb {
				v := r.Residual[a][b]
				for p := range n {
					if loads[p] == 0 {
						continue
					}
					for q := range n {
						v += loads[p] * loads[q] * r.Covariance[a*n+p][b*n+q]
					}
				}
				sum += r.Inverse[j][a] * v * r.Inverse[j][b]
			}
		}
		w := r.Relative[j] * loads[j]
		u[j] = math.Sqrt(math.Max(0, sum) + r.Absolute[j]*r.Absolute[j] + w*w)
	}
}

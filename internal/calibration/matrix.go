package calibration

import (
	"errors"
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

// Matrix is all bridges against all loads that the data move.
type Matrix struct {
	Bridges     []int       // of the design
	Components  []int       // loads of the design with a column and readings
	Sensitivity [][]float64 // V/V per N, N·m or Pa
	Standard    [][]float64 // standard uncertainty with applied load and indicator
	Scatter     [][]float64 // standard deviation by the scatter of the readings alone
	// Covariance of the sensitivities by scatter, in the order bridge by bridge.
	Covariance [][]float64
	Residual   [][]float64 // covariance of the residuals of the bridges, (V/V)²
	Freedom    []int       // of each bridge's fit
	Rows       int

	// Second-order terms: coefficients of each bridge for F_j F_k, pairs in Pairs
	// (indexes into Components); nil when they were not asked for.
	Pairs   [][2]int
	Product [][]float64

	Measured  []int          // of Components, that the transducer is to measure
	Inverse   [][]float64    // measured × bridges, loads per V/V; nil with InverseMissing
	Weights   []float64      // of the bridges in Inverse, ratios of the largest
	Condition predict.Figure // 2-norm, columns × rated load, rows ÷ own rated output
	Missing   string         // why there is no inverse

	Crosstalk   [][]predict.Figure // |S_j rated_j| / |S_t rated_t| of each bridge, Components
	Recovery    []Channel          // of each measured load
	Orientation []string           // notes
	Outliers    []Outlier          // among readings that are not of the bridge's own load alone
}

// Channel is how well the inverse gives one load back in the calibration itself,
// ratios of its rated load.
type Channel struct {
	Component    int // of the design
	RMS, Largest float64
	Line         int // where the largest is
	Readings     int
}

// sharp is the least singular value, of the largest, of readings that tell the
// loads apart.
const sharp = 1e-6

// matrixRows collects the readings of the matrix and the group, a run, that has a
// constant of its own: a zero reading is then one reading among others, and its
// scatter is in the covariance.
func matrixRows(d *Data) (rows, groups []int) {
	byRun := map[int]int{}
	for i := range d.Readings {
		r := &d.Readings[i]
		if r.Shunt >= 0 {
			continue
		}
		k, ok := byRun[r.Run]
		if !ok {
			k = len(byRun)
			byRun[r.Run] = k
		}
		rows, groups = append(rows, i), append(groups, k)
	}
	return rows, groups
}

// matrixOf regresses each bridge on all loads at once,
//
//	ΔR_b = Σ S_bj F_j (+ Σ C_bjk F_j F_k),   cov(S) = Σ_res ⊗ (XᵀX)⁻¹
//
// with a constant for each run, so that it does not matter which zero was taken from
// the outputs. Only interpolated zeros, which bend with a drift, make a difference:
// their own scatter is then not in the covariance.
// The inverse over the measured loads is D = (SᵀWS)⁻¹SᵀW, W the reciprocal
// variances of the bridges' residuals; with as many bridges as loads D = S⁻¹.
//
// Loads that the readings do not tell apart are an error that names the
// combination. A load that the transducer is to reject and that nothing moves is
// left out with a note.
//
// Source: multivariate least squares, textbook; condition as package predict's.
func matrixOf(d *design.Design, data *Data, reduced [][]float64, o Options, b block) (*Matrix, error) {
	m := &Matrix{}
	for i := range data.Bridges {
		if data.HasBridge[i] {
			m.Bridges = append(m.Bridges, i)
		}
	}
	rows, groups := matrixRows(data)
	loaded := false
	for _, i := range rows {
		loaded = loaded || !data.Readings[i].unloaded()
	}
	if !loaded {
		return nil, fmt.Errorf("%s: no reading has a load on", data.File)
	}
	if err := m.choose(d, data, rows); err != nil {
		return nil, err
	}
	if err := m.span(d, data, rows, groups); err != nil {
		return nil, err
	}
	if o.SecondOrder {
		for j := range m.Components {
			for k := j; k < len(m.Components); k++ {
				m.Pairs = append(m.Pairs, [2]int{j, k})
			}
		}
	}
	if err := m.fit(d, data, reduced, rows, groups); err != nil {
		return nil, err
	}
	m.uncertain(b)
	m.invert(d, data, o)
	m.crosstalk(d)
	if m.Inverse != nil {
		m.recover(d, data, reduced, rows, groups)
	}
	return m, nil
}

// terms of a row: its loads and, when asked for, their products.
func (m *Matrix) terms(loads []float64) []float64 {
	out := append([]float64(nil), loads...)
	for _, p := range m.Pairs {
		out = append(out, loads[p[0]]*loads[p[1]])
	}
	return out
}

// fit each bridge over its own readings.
func (m *Matrix) fit(d *design.Design, data *Data, reduced [][]float64, rows, groups []int) error {
	n, w := len(m.Components), len(m.Components)+len(m.Components)*(len(m.Components)+1)/2
	if m.Pairs == nil {
		w = n
	}
	all, _ := m.columns(data, rows)
	fits := make([]*Regression, len(m.Bridges))
	at := make([]map[int]int, len(m.Bridges)) // row → residual
	lists := make([][][]float64, len(m.Bridges))
	for k, b := range m.Bridges {
		var x [][]float64
		var y []float64
		var g []int
		at[k] = map[int]int{}
		for i, row := range rows {
			if math.IsNaN(reduced[row][b]) {
				continue
			}
			at[k][i] = len(y)
			x, y, g = append(x, m.terms(all[i])), append(y, reduced[row][b]), append(g, groups[i])
		}
		name := data.Bridges[b]
		f, err := regressGroups(x, y, g, w)
		if errors.Is(err, errDependent) {
			if m.Pairs != nil {
				return fmt.Errorf("%s: bridge %s: the readings do not carry second-order terms; add combined loads and steps of both signs, or leave the terms out", data.File, name)
			}
			return fmt.Errorf("%s: bridge %s was not read where the loads differ; fill its blanks", data.File, name)
		}
		if err != nil {
			return fmt.Errorf("%s: bridge %s: %w", data.File, name, err)
		}
		fits[k] = f
		m.flag(d, data, k, f, y, rows, at[k])
		lists[k] = centred(x, g, w)
		m.Sensitivity = append(m.Sensitivity, f.Slopes[:n])
		m.Scatter = append(m.Scatter, f.SD[:n])
		m.Freedom = append(m.Freedom, f.Freedom)
		m.Rows = max(m.Rows, len(y))
		if m.Pairs != nil {
			m.Product = append(m.Product, f.Slopes[n:])
		}
	}
	m.Residual = square(len(fits))
	m.Covariance = square(len(fits) * n)
	for a := range fits {
		for b := range fits {
			m.covary(a, b, fits, at, lists, n, w)
		}
	}
	return nil
}

// covary fills the covariance of bridges a and b: the residuals of the readings that
// both have, and
//
//	cov(β_a, β_b) = σ_ab Q_a (X_aᵀ X_b) Q_b,   Q = (XᵀX)⁻¹
//
// over them, which is σ_ab Q where both have the same readings.
func (m *Matrix) covary(a, b int, fits []*Regression, at []map[int]int, x [][][]float64, n, w int) {
	sum, shared := 0.0, 0
	cross := square(w)
	for i, ra := range at[a] {
		rb, ok := at[b][i]
		if !ok {
			continue
		}
		shared++
		sum += fits[a].Residuals[ra] * fits[b].Residuals[rb]
		for j := range w {
			for k := range w {
				cross[j][k] += x[a][ra][j] * x[b][rb][k]
			}
		}
	}
	if shared == 0 {
		return
	}
	lost := len(fits[a].Residuals) - fits[a].Freedom
	free := math.Max(1, float64(shared-lost))
	if a == b {
		free = float64(fits[a].Freedom)
	}
	sigma := sum / free
	if limit := fits[a].ResidualSD * fits[b].ResidualSD; math.Abs(sigma) > limit { // few shared readings
		sigma = math.Copysign(limit, sigma)
	}
	m.Residual[a][b] = sigma
	if a == b {
		for j := range n {
			for k := range n {
				m.Covariance[a*n+j][a*n+k] = fits[a].Covariance[j][k]
			}
		}
		return
	}
	qa, qb := fits[a].inverse, fits[b].inverse
	for j := range n {
		for k := range n {
			v := 0.0
			for p := range w {
				for q := range w {
					v += qa[j][p] * cross[p][q] * qb[q][k]
				}
			}
			m.Covariance[a*n+j][b*n+k] = sigma * v
		}
	}
}

func centred(x [][]float64, groups []int, p int) [][]float64 {
	means, _ := groupMeans(x, make([]float64, len(x)), groups, p)
	out := make([][]float64, len(x))
	for i := range x {
		out[i] = append([]float64(nil), x[i]...)
		if g := means[groups[i]]; g != nil {
			for j := range out[i] {
				out[i][j] -= g[j]
			}
		}
	}
	return out
}

func square(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}

// uncertain adds what scatter does not show: the applied load and the indicator,
//
//	u²(S) = s² + S² (w_s² + w_i²)
func (m *Matrix) uncertain(b block) {
	w2 := 0.0
	for _, f := range []predict.Figure{b.standard, b.indicator} {
		if f.OK() {
			w2 += f.Value * f.Value
		}
	}
	for i, row := range m.Sensitivity {
		var u []float64
		for j, s := range row {
			u = append(u, math.Sqrt(m.Scatter[i][j]*m.Scatter[i][j]+s*s*w2))
		}
		m.Standard = append(m.Standard, u)
	}
}

// own is the index in Components of the load that bridge k measures.
func (m *Matrix) own(d *design.Design, k int) int {
	for j, c := range m.Components {
		if d.Loads[c].Component == d.Bridges[m.Bridges[k]].Measures {
			return j
		}
	}
	return -1
}

// CoverageFactor is k of a 95 % interval of the entries of bridge k by scatter alone,
// Student's t for the degrees of freedom of its fit (JCGM 100:2008, G.3).
func (m *Matrix) CoverageFactor(k int) float64 {
	t, _ := uncertainty.CoverageFactor(0.95, float64(m.Freedom[k])) // a fit has at least one
	return t
}

// crosstalk of each load in each bridge at rated loads.
func (m *Matrix) crosstalk(d *design.Design) {
	for k := range m.Bridges {
		t := m.own(d, k)
		var row []predict.Figure
		for j, c := range m.Components {
			switch {
			case j == t:
				row = append(row, predict.None("it is the measured load"))
			case t < 0:
				row = append(row, predict.None("the load that the bridge measures is not in the data"))
			default:
				row = append(row, ratio(math.Abs(m.Sensitivity[k][j]*d.Loads[c].Rated.SI), math.Abs(m.Sensitivity[k][t]*d.Loads[m.Components[t]].Rated.SI)))
			}
		}
		m.Crosstalk = append(m.Crosstalk, row)
	}
}

// flag names the outliers of a bridge among the readings that its own fit does not have.
func (m *Matrix) flag(d *design.Design, data *Data, k int, f *Regression, y []float64, rows []int, at map[int]int) {
	scale := 0.0
	for _, v := range y {
		scale = math.Max(scale, math.Abs(v))
	}
	which, t, limit := outlying(f.Residuals, f.Leverage, f.Freedom, f.SumSquares, scale)
	if len(which) == 0 {
		return
	}
	reading := make([]int, len(y))
	for i, e := range at {
		reading[e] = rows[i]
	}
	b := m.Bridges[k]
	own := -1
	if j := m.own(d, k); j >= 0 {
		own = m.Components[j]
	}
	for q, e := range which {
		r := &data.Readings[reading[e]]
		if own >= 0 && r.alone(own) && !r.unloaded() {
			continue
		}
		m.Outliers = append(m.Outliers, Outlier{Line: r.Line, Bridge: data.Bridges[b], Matrix: true, Residual: f.Residuals[e], Studentised: t[q], Limit: limit})
	}
}

package rosette

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/model"
)

// Reading is what the grids of one placement indicate, m/m.
type Reading struct {
	Placement int // index into Design.Placements
	Strains   []float64
	Row       int // line of the file that it was read from, 0: none
}

// Options of the loads implied.
type Options struct {
	Instrument float64            // gauge factor that the instrument was set to for all grids; 0: each grid's own
	Standard   float64            // standard uncertainty of a reading, m/m; 0: not known
	Over       []design.Component // loads to look for; nil: all of the design
}

// Implied is the load on the part that the readings imply. Lists go with Components.
type Implied struct {
	Components []design.Component
	Load       []float64 // N, N·m or Pa
	Standard   []float64 // √ of the diagonal of Covariance
	Covariance [][]float64

	// FromReadings is the part of Covariance that the readings make; the rest is that of the
	// tolerances of the design. Basis says which uncertainty of a reading it is of.
	FromReadings [][]float64
	Basis        string

	Grids    []Residual
	Freedom  int     // readings less loads
	Residual float64 // standard deviation of the residuals, m/m; NaN without freedom
	Notes    []string
}

// Residual of one grid, m/m as indicated.
type Residual struct {
	Name              string
	Reading, Expected float64
}

// GridsOf are the grids of a placement as bonded.
func GridsOf(m *model.Model, s *model.State, placement int, instrument float64) []Grid {
	var out []Grid
	for i := range m.Grids {
		if m.Grids[i].Ref.Placement == placement {
			g := &s.Grids[i]
			out = append(out, Grid{Direction: math.Atan2(g.Sin, g.Cos), Factor: g.Factor, Transverse: g.Transverse, Instrument: instrument})
		}
	}
	return out
}

// TolerancesOf are the standard uncertainties that the design states for a placement,
// with that of a reading, m/m.
func TolerancesOf(d *design.Design, placement int, reading float64) Tolerances {
	p := &d.Placements[placement]
	g := &d.Gauges[p.Gauge]
	_, _, direction := p.AsBonded(d.Tolerance)
	t := Tolerances{Reading: reading, Direction: direction.Standard(), Young: d.Part.Material.Youngs.Standard(), Poisson: d.Part.Material.Poisson.Standard()}
	scatter := g.Scatter.Value
	scatter.Tolerance = scatter.SI // its value is its limit
	t.Scatter = scatter.Standard()
	for k := range g.Directions {
		if k < len(g.GaugeFactor) {
			t.Factor = append(t.Factor, math.Abs(g.GaugeFactor[k].Standard()/g.GaugeFactor[k].SI))
		}
		if k < len(g.Transverse) {
			t.Transverse = append(t.Transverse, g.Transverse[k].Standard())
		}
	}
	return t
}

// system is the linear system of all readings.
type system struct {
	m        *model.Model
	state    *model.State
	grids    []int     // of each reading, indexes into Model.Grids
	readings []float64 // m/m
	set      []float64 // gauge factor that the instrument was set to
	columns  []int     // loads looked for, indexes into Model.Components
	a        *mat.Dense
}

// fill computes what each grid indicates for the rated value of each load at the inputs x:
//
//	a_kj = F/Fi·(εa + Kt εt)_kj/(1 − ν0 Kt) · rated_j
//
// the strains being the means over the grid's area.
func (y *system) fill(x []float64) error {
	if err := y.m.Set(x, y.state); err != nil {
		return err
	}
	for k, i := range y.grids {
		g := &y.state.Grids[i]
		gain := gauge.Gain(g.Factor, g.Transverse) / y.set[k]
		for c, j := range y.columns {
			e := y.state.Strain(i, j)
			y.a.Set(k, c, gain*(e.Along+g.Transverse*e.Across)*y.m.Rated[j])
		}
	}
	return nil
}

// solve is the loads over their rated values.
func (y *system) solve() ([]float64, error) {
	var x mat.VecDense
	if err := x.SolveVec(y.a, mat.NewVecDense(len(y.readings), append([]float64(nil), y.readings...))); err != nil {
		return nil, fmt.Errorf("the loads did not come out: %w", err)
	}
	return append([]float64(nil), x.RawVector().Data...), nil
}

// Loads finds by least squares the loads of the design that make its grids indicate the
// readings. Each grid has its own place, area, F and Kt. The covariance is of first order:
//
//	cov = u² (AᵀA)⁻¹ + Σ c_i c_iᵀ u²(x_i),   c_i = ∂F/∂x_i of every tolerance of the design
//
// with u the stated uncertainty of a reading or, where none is stated, the standard
// deviation of the residuals. Readings that leave a combination of loads unseen are an
// error that names it.
func Loads(m *model.Model, readings []Reading, o Options) (*Implied, error) {
	y := &system{m: m, state: m.NewState()}
	out := &Implied{Residual: math.NaN()}
	if err := y.choose(o.Over); err != nil {
		return nil, err
	}
	for _, j := range y.columns {
		out.Components = append(out.Components, m.Components[j])
	}
	if err := m.Set(m.Nominal, y.state); err != nil {
		return nil, err
	}
	if err := y.take(readings, o.Instrument); err != nil {
		return nil, err
	}
	rows, n := len(y.grids), len(y.columns)
	if rows == 0 {
		return nil, fmt.Errorf("there are no readings")
	}
	y.a = mat.NewDense(rows, n, nil)
	if err := y.fill(m.Nominal); err != nil {
		return nil, err
	}
	if err := y.seen(); err != nil {
		return nil, err
	}
	load, err := y.solve()
	if err != nil {
		return nil, err
	}
	out.Freedom = rows - n
	sum := 0.0
	for k, i := range y.grids {
		expected := mat.Dot(y.a.RowView(k), mat.NewVecDense(n, load))
		out.Grids = append(out.Grids, Residual{m.Grids[i].Name, y.readings[k], expected})
		sum += (y.readings[k] - expected) * (y.readings[k] - expected)
	}
	if out.Freedom > 0 {
		out.Residual = math.Sqrt(sum / float64(out.Freedom))
	}
	for c, j := range y.columns {
		out.Load = append(out.Load, load[c]*m.Rated[j])
	}
	if err := y.spread(out, o.Standard); err != nil {
		return nil, err
	}
	return out, nil
}

// choose sets the loads looked for.
func (y *system) choose(over []design.Component) error {
	for j, c := range y.m.Components {
		if over == nil {
			y.columns = append(y.columns, j)
			continue
		}
		for _, o := range over {
			if o == c {
				y.columns = append(y.columns, j)
				break
			}
		}
	}
	if over != nil && len(y.columns) != len(over) {
		return fmt.Errorf("a load that is looked for is not among those of the design, or stands twice")
	}
	if len(y.columns) == 0 {
		return fmt.Errorf("the design has no loads")
	}
	return nil
}

// take lines the readings up with the grids.
func (y *system) take(readings []Reading, instrument float64) error {
	if math.IsNaN(instrument) || math.IsInf(instrument, 0) {
		return fmt.Errorf("the gauge factor of the instrument is %g; give a finite number", instrument)
	}
	seen := map[int]bool{}
	for _, r := range readings {
		if r.Placement < 0 || r.Placement >= len(y.m.Design.Placements) || seen[r.Placement] {
			return fmt.Errorf("a reading names a placement that is not there, or one placement twice")
		}
		seen[r.Placement] = true
		k := 0
		for i := range y.m.Grids {
			if y.m.Grids[i].Ref.Placement != r.Placement {
				continue
			}
			if k < len(r.Strains) {
				if e := r.Strains[k]; math.IsNaN(e) || math.IsInf(e, 0) {
					return fmt.Errorf("grid %s: the reading is not a finite number", y.m.Grids[i].Name)
				}
				set := instrument
				if set == 0 {
					set = y.state.Grids[i].Factor
				}
				y.grids, y.readings, y.set = append(y.grids, i), append(y.readings, r.Strains[k]), append(y.set, set)
			}
			k++
		}
		if k != len(r.Strains) {
			return fmt.Errorf("placement %s: %d readings for %d grids", y.m.Design.Placements[r.Placement].Name, len(r.Strains), k)
		}
	}
	return nil
}

// spread fills the covariances.
func (y *system) spread(out *Implied, standard float64) error {
	n := len(y.columns)
	square := func() [][]float64 {
		c := make([][]float64, n)
		for i := range c {
			c[i] = make([]float64, n)
		}
		return c
	}
	out.FromReadings, out.Covariance = square(), square()
	u := standard
	switch {
	case standard > 0:
		out.Basis = "the stated uncertainty of a reading"
		if out.Freedom > 0 && out.Residual > 2*standard {
			out.Notes = append(out.Notes, "the residuals are more than twice what the uncertainty of a reading explains: a load that is not in the design, a reading or a placement may be wrong")
		}
	case out.Freedom > 0:
		u, out.Basis = out.Residual, "the standard deviation of the residuals"
	default:
		out.Basis = "none: no uncertainty of a reading is stated and there are as many loads as readings"
	}
	var q mat.SymDense
	q.SymOuterK(1, y.a.T())
	var chol mat.Cholesky
	if !chol.Factorize(&q) {
		return fmt.Errorf("the covariance of the loads did not come out")
	}
	var inverse mat.SymDense
	if err := chol.InverseTo(&inverse); err != nil {
		return fmt.Errorf("the covariance of the loads did not come out: %w", err)
	}
	rated := func(c int) float64 { return y.m.Rated[y.columns[c]] }
	for i := range n {
		for j := range n {
			out.FromReadings[i][j] = u * u * inverse.At(i, j) * rated(i) * rated(j)
			out.Covariance[i][j] = out.FromReadings[i][j]
		}
	}
	x := append([]float64(nil), y.m.Nominal...)
	for k := range y.m.Inputs {
		ux := y.m.Inputs[k].Standard()
		if ux == 0 {
			continue
		}
		h := ux / 16
		var at [2][]float64
		for side, sign := range [2]float64{1, -1} {
			x[k] = y.m.Nominal[k] + sign*h
			if err := y.fill(x); err != nil {
				return fmt.Errorf("%s: %w", y.m.Inputs[k].Label(), err)
			}
			var err error
			if at[side], err = y.solve(); err != nil {
				return err
			}
		}
		x[k] = y.m.Nominal[k]
		for i := range n {
			for j := range n {
				out.Covariance[i][j] += (at[0][i] - at[1][i]) * (at[0][j] - at[1][j]) * rated(i) * rated(j) * (ux * ux / (4 * h * h))
			}
		}
	}
	for i := range n {
		out.Standard = append(out.Standard, math.Sqrt(out.Covariance[i][i]))
	}
	return y.fill(y.m.Nominal)
}

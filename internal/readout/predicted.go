package readout

import (
	"fmt"
	"math"

	"gridwright/internal/model"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Predicted is the recovery that a prediction gives where there is no calibration: D the
// inverse of the block of the measured loads, its uncertainty that of first order under
// the tolerances of the file, the zero that of the resistances' nominal values, drift with
// a uniform temperature at the 21 temperatures of the prediction, and of the instrument
// its noise and its resolution (rectangular). The notes say what it leaves out.
//
// Loads are in the units of sys. A design whose bridges cannot tell the measured loads
// apart is an error.
func Predicted(p *predict.Result, sys quantity.System) (*Recovery, []string, error) {
	m := p.Model
	if p.Matrix.Inverse == nil {
		why := p.Matrix.Condition.Missing
		if why == "" {
			why = "the bridges cannot tell the measured loads apart"
		}
		return nil, nil, fmt.Errorf("no loads can be recovered: %s", why)
	}
	r := &Recovery{D: p.Matrix.Inverse}
	for i, c := range p.Matrix.Measured {
		unit := c.Kind().Unit(sys)
		factor, err := quantity.Convert(1, c.Kind(), unit)
		if err != nil {
			return nil, nil, err
		}
		rated := m.Rated[p.Matrix.Columns[i]]
		r.Components = append(r.Components, Component{Name: c.String(), Unit: unit, Factor: factor, Low: -math.Abs(rated), High: math.Abs(rated)})
	}
	notes := []string{"the matrix is predicted, not calibrated"}
	for b := range p.Bridges {
		r.Bridges = append(r.Bridges, p.Bridges[b].Name)
		r.Zero = append(r.Zero, p.Bridges[b].Balance.Nominal)
	}
	cov, exact, err := covarianceOfSensitivity(p)
	if err != nil {
		return nil, nil, err
	}
	r.CovS = cov
	if exact {
		notes = append(notes, "no input of the design has a tolerance: the uncertainty is that of the readings alone")
	}
	for j, l := range m.Design.Loads {
		if !l.Measure {
			notes = append(notes, fmt.Sprintf("%v is not measured: what it puts into the bridges counts as load, and is not in the uncertainty", m.Components[j]))
		}
	}
	if r.Noise = noise(p); r.Noise == nil {
		notes = append(notes, "the design states neither noise nor resolution of the instrument, or no excitation: readings count as exact")
	}
	if r.Drift, err = DriftOf(p); err != nil {
		return nil, nil, err
	}
	if r.Drift == nil {
		notes = append(notes, "the design has no temperature range: drift is not known")
	}
	return r, notes, r.Validate()
}

// covarianceOfSensitivity is of first order, Σ c_i c_iᵀ u²(x_i), for the entries of the measured
// block of S, bridge by bridge; c by central differences with steps of u/16.
func covarianceOfSensitivity(p *predict.Result) (cov [][]float64, exact bool, err error) {
	m := p.Model
	columns, n := p.Matrix.Columns, len(m.Components)
	size := len(m.Bridges) * len(columns)
	for range size {
		cov = append(cov, make([]float64, size))
	}
	f := m.NewFigures()
	x := append([]float64(nil), m.Nominal...)
	entry := func(out []float64) error {
		if err := m.Eval(x, f); err != nil {
			return err
		}
		for b := range m.Bridges {
			for k, j := range columns {
				out[b*len(columns)+k] = f.Sensitivity[b*n+j]
			}
		}
		return nil
	}
	up, down := make([]float64, size), make([]float64, size)
	exact = true
	for i := range m.Inputs {
		u := m.Inputs[i].Standard()
		if u == 0 {
			continue
		}
		exact = false
		h := u / 16
		x[i] = m.Nominal[i] + h
		if err := entry(up); err != nil {
			return nil, false, fmt.Errorf("%s: %w", m.Inputs[i].Label(), err)
		}
		x[i] = m.Nominal[i] - h
		if err := entry(down); err != nil {
			return nil, false, fmt.Errorf("%s: %w", m.Inputs[i].Label(), err)
		}
		x[i] = m.Nominal[i]
		for k := range size {
			for l := range size {
				cov[k][l] += (up[k] - down[k]) * (up[l] - down[l]) * (u * u / (4 * h * h))
			}
		}
	}
	return cov, exact, nil
}

// noise is the covariance of readings, noise and resolution over the excitation; nil where
// the design does not state them.
func noise(p *predict.Result) [][]float64 {
	in := &p.Model.Design.Instrument
	if !in.Noise.Set && !in.Resolution.Set {
		return nil
	}
	n := len(p.Bridges)
	cov := make([][]float64, n)
	for b := range cov {
		cov[b] = make([]float64, n)
		e := p.Model.Design.Bridges[b].Excitation.SI
		if e == 0 {
			return nil
		}
		// a rectangle as wide as the resolution
		cov[b][b] = (in.Noise.SI*in.Noise.SI + in.Resolution.SI*in.Resolution.SI/12) / (e * e)
	}
	return cov
}

// DriftOf is how zero and span of each bridge go with a uniform temperature, from the reference
// of the design, at the temperatures of the prediction; the rows of the prediction have
// the gradient in their zero, which a log does not tell. It is nil where the design has no
// range. A bridge that is blind to what it measures is an error.
func DriftOf(p *predict.Result) ([]Drift, error) {
	m := p.Model
	if !m.Design.Temperature.HasRange {
		return nil, nil
	}
	out := make([]Drift, len(p.Bridges))
	for b := range p.Bridges {
		d := &out[b]
		for _, row := range p.Bridges[b].Temperature.Rows {
			c := model.At(row.Kelvin)
			v, err := m.Output(p.State, b, &c)
			if err != nil {
				return nil, err
			}
			if !row.Span.OK() {
				return nil, fmt.Errorf("bridge %s: %s", p.Bridges[b].Name, row.Span.Missing)
			}
			d.Kelvin = append(d.Kelvin, row.Kelvin)
			d.Zero = append(d.Zero, v-p.Bridges[b].Balance.Nominal)
			d.Span = append(d.Span, row.Span.Value)
		}
	}
	return out, nil
}

package uncertainty

import (
	"gridwright/internal/model"
	"gridwright/internal/predict"
)

// layout says which output of the propagation is which figure of which bridge.
type layout struct {
	r         *predict.Result
	kelvin    []float64 // of the temperature curves; nil without a range
	bridges   []places
	recovered []int // outputs that are the recovered loads
	outputs   int
}

// places of one bridge's figures; -1 where there is none.
type places struct {
	sensitivity, balance, zero, span, spread int
	crosstalk                                []int
	scale                                    float64 // rated output over sensitivity: nonlinearity is that of the nominal design
}

func layOut(r *predict.Result) *layout {
	l := &layout{r: r}
	next := func() int { l.outputs++; return l.outputs - 1 }
	if len(r.Bridges) > 0 {
		for _, p := range r.Bridges[0].Temperature.Rows {
			l.kelvin = append(l.kelvin, p.Kelvin)
		}
	}
	for i := range r.Bridges {
		b := &r.Bridges[i]
		p := places{sensitivity: next(), balance: next(), zero: -1, span: -1, spread: -1}
		for j := range r.Model.Components {
			at := -1
			if j != b.Target && !unratable(b) {
				at = next()
			}
			p.crosstalk = append(p.crosstalk, at)
		}
		if !unratable(b) {
			p.scale = b.Rated / b.Sensitivity[b.Target]
			if l.kelvin != nil {
				p.zero, p.span = next(), next()
			}
			if hasSpread(r.Model, i) {
				p.spread = next()
			}
		}
		l.bridges = append(l.bridges, p)
	}
	for range r.Matrix.Inverse {
		l.recovered = append(l.recovered, next())
	}
	return l
}

// unratable says that nothing can be divided by the bridge's rated output.
func unratable(b *predict.Bridge) bool { return b.Blind || b.Sensitivity[b.Target] == 0 }

// hasSpread says that a lot of the bridge states the spread of its grids.
func hasSpread(m *model.Model, b int) bool {
	for _, a := range m.Bridges[b].Arms {
		for _, g := range a.Grids {
			if m.Design.Gauges[m.Grids[g].Gauge].Thermal.Spread.Set {
				return true
			}
		}
	}
	return false
}

// propagation of the design's tolerances to all figures.
func (l *layout) propagation() *Propagation {
	m := l.r.Model
	p := &Propagation{Outputs: l.outputs, Magnitude: make([]bool, l.outputs), New: l.worker}
	for i := range m.Inputs {
		in := &m.Inputs[i]
		q := Quantity{Name: in.Label(), Estimate: in.Nominal, Form: Rectangular, Width: in.Tolerance}
		if in.Coverage > 0 {
			q.Form, q.Width = Normal, in.Tolerance/in.Coverage
		}
		p.Inputs = append(p.Inputs, q)
	}
	for _, b := range l.bridges {
		for _, k := range append([]int{b.spread}, b.crosstalk...) {
			if k >= 0 {
				p.Magnitude[k] = true
			}
		}
	}
	return p
}

// worker is the model of one worker: inputs to figures, crosstalk and spread with their
// signs.
func (l *layout) worker() (func(x, y []float64) error, error) {
	m := l.r.Model
	drift, err := m.NewDrift(l.kelvin)
	if err != nil {
		return nil, err
	}
	n := len(m.Components)
	perRange := 0.0
	if k := len(l.kelvin); k > 0 {
		perRange = 1 / (l.kelvin[k-1] - l.kelvin[0])
	}
	return func(x, y []float64) error {
		if err := m.EvalDrift(x, drift); err != nil {
			return err
		}
		for b := range l.bridges {
			p := &l.bridges[b]
			s := drift.Figures.Sensitivity[b*n : (b+1)*n]
			target := m.Bridges[b].Measures
			own := s[target]
			y[p.sensitivity], y[p.balance] = own, drift.Figures.Balance[b]
			perOwn := 1 / (own * m.Rated[target])
			for j, k := range p.crosstalk {
				if k >= 0 {
					y[k] = s[j] * m.Rated[j] * perOwn
				}
			}
			rated := own * p.scale
			if p.zero >= 0 {
				perRated := perRange / rated
				if perRated < 0 {
					perRated = -perRated
				}
				y[p.zero] = drift.Zero[b].Width() * perRated
				y[p.span] = drift.Span[b].Width() * perRange
			}
			if p.spread >= 0 {
				y[p.spread] = drift.Spread[b] / rated
			}
		}
		for i, k := range l.recovered {
			load := 0.0
			for b, inverse := range l.r.Matrix.Inverse[i] {
				v := 0.0
				for _, j := range l.r.Matrix.Columns {
					v += drift.Figures.Sensitivity[b*n+j] * m.Rated[j]
				}
				load += inverse * v
			}
			y[k] = load
		}
		return nil
	}, nil
}

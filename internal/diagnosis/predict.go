package diagnosis

import (
	"gridwright/internal/model"
)

// worker is the scratch space of one goroutine.
type worker struct {
	b       *bench
	model   model.Model // with the cause's wiring
	own     *model.State
	ownOf   *model.Model
	state   model.State // with the cause's grids
	lying   []model.GridState
	bridges []model.Bridge
	x, out  []float64
	plus    []float64
	minus   []float64
}

func (b *bench) newWorker() *worker {
	return &worker{b: b, x: make([]float64, len(b.m.Inputs)), out: make([]float64, len(b.m.Components)),
		plus: make([]float64, len(b.figures)), minus: make([]float64, len(b.figures))}
}

// scene resolves a cause: the model with its wiring and the state of its grids. At is an
// index into the bench's states: 0 nominal, then + and − of each uncertain input. The
// result is good until the next call.
func (w *worker) scene(c *cause, theta float64, at int) (*model.Model, *model.State, error) {
	b := w.b
	base := b.modelOf(c)
	s := b.states[at]
	if c.inputs != nil || c.model != nil {
		copy(w.x, b.m.Nominal)
		if at > 0 {
			k, sign := (at-1)/2, 1.0
			if at%2 == 0 {
				sign = -1
			}
			w.x[b.uncertain[k]] += sign * b.steps[k]
		}
		if c.inputs != nil {
			c.inputs(w.x, theta)
		}
		if w.ownOf != base {
			w.own, w.ownOf = base.NewState(), base
		}
		if err := base.Set(w.x, w.own); err != nil {
			return nil, nil, err
		}
		s = w.own
	}
	if c.grids != nil {
		w.lying = append(w.lying[:0], s.Grids...)
		w.state = *s
		w.state.Grids = w.lying
		c.grids(&w.state, theta)
		s = &w.state
	}
	w.model = *base
	if c.bridges != nil {
		w.bridges = append(w.bridges[:0], base.Bridges...)
		c.bridges(w.bridges, theta)
		w.model.Bridges = w.bridges
	}
	return &w.model, s, nil
}

// predict fills y with every figure as the cause would have it. Exact takes slopes over
// the loads applied, from the exact network; otherwise they are those at no load.
func (w *worker) predict(c *cause, theta float64, at int, exact bool, y []float64) error {
	b := w.b
	m, s, err := w.scene(c, theta, at)
	if err != nil {
		return err
	}
	n := len(m.Components)
	reference := m.Design.Temperature.Reference.SI
	for br := range m.Bridges {
		row := y[br*b.row : (br+1)*b.row]
		balance, err := m.Sensitivity(s, br, b.kelvin, w.out)
		if err != nil {
			return err
		}
		for j := range n {
			row[j] = w.out[j] * rated(m, j)
		}
		if exact {
			if err := w.chords(m, s, br, row); err != nil {
				return err
			}
		}
		row[n] = balance
		if b.kelvin != reference {
			still := model.At(b.kelvin)
			if row[n], err = m.Output(s, br, &still); err != nil {
				return err
			}
		}
		for k, sh := range m.Design.Shunts {
			if to, ok := c.leads[br]; ok && !sh.AtInstrument {
				sh.Arm = to[sh.Arm-1] + 1
			}
			v, err := m.Shunted(s, br, sh)
			if err != nil {
				// a shunt that this wiring has no place for is no figure of it
				v = 0
			}
			row[n+1+k] = v
		}
	}
	if c.readings != nil {
		c.readings(y, theta)
	}
	return nil
}

// chords replaces slopes at no load by those between the ends of the loads applied.
func (w *worker) chords(m *model.Model, s *model.State, br int, row []float64) error {
	for j := range m.Components {
		l := w.b.loads[j]
		if !(l[1] > l[0]) {
			continue
		}
		c := model.At(w.b.kelvin)
		c.Load[j] = l[1]
		high, err := m.Output(s, br, &c)
		if err != nil {
			return err
		}
		c.Load[j] = l[0]
		low, err := m.Output(s, br, &c)
		if err != nil {
			return err
		}
		row[j] = (high - low) / (l[1] - l[0]) * rated(m, j)
	}
	return nil
}

// jacobian is, for each uncertain input, half the difference of the figures over ± one
// standard uncertainty: figures as they change by one standard uncertainty. Inputs that
// the cause's parameter stands for are left out.
func (w *worker) jacobian(c *cause, theta float64) ([][]float64, error) {
	b := w.b
	var owned []int
	if c.parameter != nil {
		owned = c.parameter.owns
	}
	var out [][]float64
next:
	for k, in := range b.uncertain {
		for _, o := range owned {
			if o == in {
				continue next
			}
		}
		if err := w.predict(c, theta, 1+2*k, false, w.plus); err != nil {
			return nil, err
		}
		if err := w.predict(c, theta, 2+2*k, false, w.minus); err != nil {
			return nil, err
		}
		// the step was halved where a whole standard uncertainty is out of range
		whole := b.m.Inputs[in].Standard() / b.steps[k]
		d := make([]float64, len(b.figures))
		moved := false
		for i := range d {
			d[i] = 0.5 * whole * (w.plus[i] - w.minus[i])
			moved = moved || d[i] != 0
		}
		if moved {
			out = append(out, d)
		}
	}
	return out, nil
}

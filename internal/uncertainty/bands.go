package uncertainty

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/predict"
)

// Band is how far zero and span may lie from their nominal curves at one
// temperature: half of the 95 % interval, of first order.
type Band struct {
	Zero float64 // V/V
	Span float64 // ratio of S(T0); 0 where the bridge gives no output
}

// band95 covers 95 % of a normal distribution on both sides.
const band95 = 1.959963984540054

// bands computes the band of every bridge at every row of its temperature curves,
//
//	u²(T) = Σ [½ (f(x+uᵢ, T) − f(x−uᵢ, T))]²,  half-width 1.96 u
//
// over all inputs of the model and the stated gradient; zero is V(T) less V with
// every grid at the reference temperature of the same part, span S(T)/S(T0) of it.
// nil without a temperature range.
func bands(r *predict.Result) ([][]Band, error) {
	if !r.Model.Design.Temperature.HasRange || len(r.Bridges) == 0 {
		return nil, nil
	}
	c := newCurves(r)
	m := r.Model
	x := append([]float64(nil), m.Nominal...)
	for i := range m.Inputs {
		u := m.Inputs[i].Standard()
		if u == 0 {
			continue
		}
		x[i] = m.Nominal[i] + u
		if err := c.fill(x, c.up); err != nil {
			return nil, fmt.Errorf("temperature bands, %s: %w", m.Inputs[i].Label(), err)
		}
		x[i] = m.Nominal[i] - u
		if err := c.fill(x, c.down); err != nil {
			return nil, fmt.Errorf("temperature bands, %s: %w", m.Inputs[i].Label(), err)
		}
		x[i] = m.Nominal[i]
		c.sum()
	}
	for _, n := range []struct {
		value design.Number
		at    *float64
	}{{m.Design.Temperature.Across, &c.across}, {m.Design.Temperature.Along, &c.along}, {m.Design.Temperature.Toward, &c.turn}} {
		u := n.value.Standard()
		if u == 0 {
			continue
		}
		nominal := *n.at
		*n.at = nominal + u
		if err := c.fill(x, c.up); err != nil {
			return nil, err
		}
		*n.at = nominal - u
		if err := c.fill(x, c.down); err != nil {
			return nil, err
		}
		*n.at = nominal
		c.sum()
	}
	for b := range c.squares {
		for k := range c.squares[b] {
			s := &c.squares[b][k]
			s.Zero, s.Span = band95*math.Sqrt(s.Zero), band95*math.Sqrt(s.Span)
		}
	}
	return c.squares, nil
}

// curves are zero and span of all bridges over the rows of their prediction.
type curves struct {
	r                   *predict.Result
	s                   *model.State
	across, along, turn float64 // turn is added to the direction of each bridge
	up, down, squares   [][]Band
	sens                []float64
}

func newCurves(r *predict.Result) *curves {
	t := &r.Model.Design.Temperature
	c := &curves{r: r, s: r.Model.NewState(), across: t.Across.SI, along: t.Along.SI, sens: make([]float64, len(r.Model.Components))}
	room := func() [][]Band {
		out := make([][]Band, len(r.Bridges))
		for b := range out {
			out[b] = make([]Band, len(r.Bridges[b].Temperature.Rows))
		}
		return out
	}
	c.up, c.down, c.squares = room(), room(), room()
	return c
}

// fill computes the curves of the part with inputs x.
func (c *curves) fill(x []float64, out [][]Band) error {
	m := c.r.Model
	if err := m.Set(x, c.s); err != nil {
		return err
	}
	reference := m.Design.Temperature.Reference.SI
	for b := range c.r.Bridges {
		br := &c.r.Bridges[b]
		at := model.At(reference)
		rest, err := m.Output(c.s, b, &at)
		if err != nil {
			return err
		}
		if _, err := m.Sensitivity(c.s, b, reference, c.sens); err != nil {
			return err
		}
		span := c.sens[br.Target]
		for k, row := range br.Temperature.Rows {
			at := model.At(row.Kelvin)
			at.Across, at.Along, at.Toward = c.across, c.along, br.Temperature.Toward+c.turn
			v, err := m.Output(c.s, b, &at)
			if err != nil {
				return err
			}
			out[b][k].Zero, out[b][k].Span = v-rest, 0
			if br.Blind || span == 0 {
				continue
			}
			if _, err := m.Sensitivity(c.s, b, row.Kelvin, c.sens); err != nil {
				return err
			}
			out[b][k].Span = c.sens[br.Target] / span
		}
	}
	return nil
}

// sum adds the square of half the step from down to up.
func (c *curves) sum() {
	for b := range c.squares {
		for k := range c.squares[b] {
			z := (c.up[b][k].Zero - c.down[b][k].Zero) / 2
			s := (c.up[b][k].Span - c.down[b][k].Span) / 2
			c.squares[b][k].Zero += z * z
			c.squares[b][k].Span += s * s
		}
	}
}

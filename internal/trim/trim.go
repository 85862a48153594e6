// Package trim sizes the resistors that take the zero balance, the drift of zero
// and the drift of span out of one bridge, and that set its output and its input
// resistance. Each is sized twice: exactly, and as it can be bought or cut; what
// then remains over the range of temperature, and what the resistors' own
// tolerances can add, is recomputed with the resistor network.
//
// The resistors sit where the grids' temperature is: a balance shunt across one
// arm, a wire of high temperature coefficient in one arm with an equal resistor of
// low coefficient in its neighbour, and in the supply, half in either lead, the
// resistor that falls off with temperature, and the one that sets the output.
// Sense wires of a supply of 6 wires meet the transducer's terminals, outside these
// resistors.
//
// It does not model gradients of temperature, self-heating, lag of a resistor
// behind the grids, drift with time, the resistance of joints, or the temperature
// coefficient of bought resistors beyond the limit that it is given.
package trim

import (
	"errors"
	"fmt"
	"math"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Measurement is one output, V/V, at one temperature, K.
type Measurement struct{ Kelvin, Output float64 }

// Options are what was measured and what is wanted. The zero value sizes from the
// predicted figures, with copper and the E96 series.
type Options struct {
	Zero   *float64      // measured V/E at no load and the reference temperature, V/V
	ZeroAt []Measurement // V/E at no load at two temperatures
	SpanAt []Measurement // V/E at rated load minus V/E at no load at two temperatures

	TargetOutput *float64 // wanted output at rated load, V/V
	TargetInput  *float64 // wanted input resistance, Ω

	Material       string         // of the wire whose resistance rises: see Wires; "" is copper
	TCR            quantity.Value // of its lot at 20 °C, 1/K; 0: the table's
	WireResistance quantity.Value // of that wire at 20 °C, Ω/m; 0: bought by the series
	SpanResistor   float64        // a resistor of that wire at hand, Ω at 20 °C, to be shunted to fit; 0: sized

	Series            Series  // 0 is E96
	ResistorTolerance float64 // ratio; 0: that of the series
	ResistorTCR       float64 // limit of bought resistors of low coefficient, 1/K
}

// Source says where a figure that resistors are sized from comes from.
type Source string

// Sources of a figure.
const (
	Predicted Source = "predicted"
	Measured  Source = "measured"
)

// Plan is the resistors of one bridge with what they achieve.
type Plan struct {
	Bridge   int // index into the design's bridges
	Name     string
	Zero     Source
	Drift    Source
	Span     Source
	Material *Wire
	Low      float64 // K, the two temperatures that zero and span are made equal at; both 0 when there are none
	High     float64
	From     float64 // K, the range over which the rows run
	To       float64

	Exact  []Part // the resistors that take the drifts out exactly
	Fitted []Part // as bought or cut; each sized again for those before it

	InSeries    predict.Figure // Ω, what does the same as the balance shunt from within the arm InSeriesArm
	InSeriesArm int

	Before, After, Best Figures // without resistors, with those fitted, with the exact ones
	Limits              Figures // largest of each of After under the resistors' tolerances; of Output and Input the largest change
	Rows                []Row

	Allowance Allowance
	Choices   []Choice // what the span resistor would be of each wire
	Notes     []string
}

// Figures of a bridge as the instrument shows them.
type Figures struct {
	Zero      float64        // V/E at no load and the reference temperature
	ZeroDrift predict.Figure // (max − min of V/E at no load)/range, V/V per K
	SpanDrift predict.Figure // (max − min of S(T)/S(T0))/range, 1/K
	Output    predict.Figure // at rated load and the reference temperature, V/V
	Input     float64        // resistance between the supply terminals of the transducer, Ω
}

// Row is the bridge at one temperature: V/E at no load from that at the reference
// temperature, and S(T)/S(T0), without resistors and with those fitted.
type Row struct {
	Kelvin                float64
	ZeroBefore, ZeroAfter float64
	SpanBefore, SpanAfter predict.Figure
}

// Allowance is what the tolerances of grids and fixed resistors may ask for, before
// the bridge is bonded and measured.
type Allowance struct {
	Balance float64        // V/V, worst zero balance on either side of zero
	Series  predict.Figure // Ω, largest resistor in series for it
	Shunt   predict.Figure // Ω, smallest shunt for it
	Drift   predict.Figure // V/V per K, worst drift of zero from the lot's spread, on either side of the predicted
	Wire    predict.Figure // Ω, largest wire for it
}

// Choice is the span resistor of one wire.
type Choice struct {
	Wire *Wire
	Ohm  predict.Figure // at 20 °C, both halves
	Loss predict.Figure // ratio of output lost
}

// maxZero is the largest zero that is trimmed, V/V: more is a fault of the bridge.
const maxZero = 0.05

// Of sizes the resistors of one bridge of a prediction.
func Of(r *predict.Result, b int, o Options) (*Plan, error) {
	if b < 0 || b >= len(r.Bridges) {
		return nil, fmt.Errorf("no bridge %d", b)
	}
	w, err := o.wire()
	if err != nil {
		return nil, err
	}
	if o.Series == 0 {
		o.Series = E96
	}
	if o.ResistorTolerance == 0 {
		o.ResistorTolerance = o.Series.Tolerance()
	}
	if err := o.check(&r.Bridges[b]); err != nil {
		return nil, err
	}
	c, err := newCircuit(r, b, &o)
	if err != nil {
		return nil, err
	}
	for _, t := range c.temperatures() {
		if err := w.holds(t); err != nil && c.compensable() == "" {
			return nil, err
		}
	}
	p := &Plan{Bridge: b, Name: r.Bridges[b].Name, Zero: Predicted, Drift: Predicted, Span: Predicted, Material: w}
	if o.Zero != nil || len(o.ZeroAt) > 0 {
		p.Zero = Measured
	}
	if len(o.ZeroAt) > 0 {
		p.Drift = Measured
	}
	if len(o.SpanAt) > 0 {
		p.Span = Measured
	}
	s := &sizing{c: c, o: &o, wire: w}
	if p.Exact, err = s.parts(exactly); err != nil {
		return nil, err
	}
	s.notes = nil
	if p.Fitted, err = s.parts(s.bought); err != nil {
		return nil, err
	}
	p.InSeries = predict.None("the bridge is balanced")
	if ohm, arm, err := s.inSeries(p.Fitted); err != nil {
		return nil, err
	} else if arm > 0 {
		p.InSeries, p.InSeriesArm = predict.Some(ohm), arm
	}
	if err := p.judge(c, &o); err != nil {
		return nil, err
	}
	p.allow(r, c, w)
	if p.Choices, err = s.choices(); err != nil {
		return nil, err
	}
	p.remark(c, s)
	return p, nil
}

// check refuses what cannot have been measured or wanted of a bridge.
func (o *Options) check(b *predict.Bridge) error {
	for _, list := range []struct {
		flag string
		at   []Measurement
	}{{"zero", o.ZeroAt}, {"span", o.SpanAt}} {
		if n := len(list.at); n != 0 && n != 2 {
			return fmt.Errorf("the %s is given at %d temperature; give it at two, or leave it out to use the prediction", list.flag, n)
		}
		if len(list.at) == 2 && !(math.Abs(list.at[0].Kelvin-list.at[1].Kelvin) >= 1) {
			return fmt.Errorf("the two temperatures of the %s are less than 1 K apart; measure it at temperatures far enough apart to show a drift", list.flag)
		}
	}
	if len(o.ZeroAt) == 2 && len(o.SpanAt) == 2 && ends(o.ZeroAt) != ends(o.SpanAt) {
		return errors.New("zero and span are given at different temperatures; measure both at the same two")
	}
	zeros := append([]Measurement(nil), o.ZeroAt...)
	if o.Zero != nil {
		zeros = append(zeros, Measurement{Output: *o.Zero})
	}
	for _, m := range zeros {
		if !(math.Abs(m.Output) <= maxZero) {
			return fmt.Errorf("a zero of %.4g mV/V is more than resistors trim (%g mV/V); look for a grid of another resistance, a wrong arm or an open joint", m.Output*1e3, maxZero*1e3)
		}
	}
	for _, m := range o.SpanAt {
		switch {
		case b.Blind:
			return fmt.Errorf("bridge %s gives no output for the load that it measures, yet a span of %.4g mV/V is given; run `gridwright check` on the wiring", b.Name, m.Output*1e3)
		case !(m.Output*b.Rated > 0):
			return fmt.Errorf("a span of %.4g mV/V where the design predicts %.4g mV/V at rated load: the sign is the other one, or there is none; find the exchanged wires or the sense of the load first, because resistors would go into the wrong arms", m.Output*1e3, b.Rated*1e3)
		}
	}
	for _, v := range []struct {
		what string
		v    *float64
	}{{"target output", o.TargetOutput}, {"target input resistance", o.TargetInput}} {
		if v.v != nil && !(math.Abs(*v.v) > 0 && !math.IsInf(*v.v, 0)) {
			return fmt.Errorf("the %s is %g; it must not be zero", v.what, *v.v)
		}
	}
	if o.TargetInput != nil && *o.TargetInput < 0 {
		return fmt.Errorf("the target input resistance is %g Ω; it must be more than zero", *o.TargetInput)
	}
	if o.TargetOutput != nil && *o.TargetOutput*b.Rated < 0 {
		return fmt.Errorf("the target output is %.4g mV/V and the design predicts %.4g mV/V: no resistor changes the sign; give the target the sign of the prediction, or exchange the signal wires in the design", *o.TargetOutput*1e3, b.Rated*1e3)
	}
	if o.SpanResistor < 0 || !(o.ResistorTolerance >= 0 && o.ResistorTolerance < 1) {
		return errors.New("a resistor at hand and a tolerance must not be negative, and a tolerance below 100 %")
	}
	return nil
}

// ends are the two temperatures, the lower first.
func ends(m []Measurement) [2]float64 {
	return [2]float64{math.Min(m[0].Kelvin, m[1].Kelvin), math.Max(m[0].Kelvin, m[1].Kelvin)}
}

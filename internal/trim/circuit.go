package trim

import (
	"fmt"
	"math"

	"gridwright/internal/bridge"
	"gridwright/internal/model"
	"gridwright/internal/predict"
)

// circuit is one bridge with its leads and instrument, arms known at every
// temperature, into which resistors can be put.
type circuit struct {
	plain  *model.Model // the design without leads and instrument, whose solution tells the arms
	state  *model.State
	index  int
	target int // component that the bridge measures
	rated  float64
	blind  bool

	wiring    bridge.Wiring // leads and instrument as the design has them
	follow    bool
	reference float64
	rest      [4]float64 // arms at no load and the reference temperature

	points   []point // over the range; nil without temperatures
	ends     [2]point
	middle   point // at the reference temperature
	hasEnds  bool
	from, to float64
}

// point is one temperature.
type point struct {
	kelvin float64
	hot    [4]float64 // arms at no load, Ω
	rise   [4]float64 // what the rated load adds to each, Ω; thermal output apart
	span   float64    // measured span over the predicted, 1 without measurement
}

// rows is how many temperatures the curves have.
const rows = 21

func newCircuit(r *predict.Result, b int, o *Options) (*circuit, error) {
	d := r.Model.Design.Clone()
	own := d.Bridges[b].Leads
	d.Bridges[b].Leads.Wires = 0
	d.Instrument.InputResistance.Set, d.Instrument.InputResistance.SI = false, 0
	plain, err := model.Compile(d)
	if err != nil {
		return nil, err
	}
	c := &circuit{plain: plain, state: plain.NewState(), index: b, target: plain.Bridges[b].Measures, blind: r.Bridges[b].Blind,
		follow: own.FollowPart, reference: d.Temperature.Reference.SI}
	if err := plain.Set(plain.Nominal, c.state); err != nil {
		return nil, err
	}
	c.rated = plain.Rated[c.target]
	c.wiring = bridge.Wiring{Wires: own.Wires, Remote: r.Model.Design.Bridges[b].Remote(), Meter: r.Model.Design.Instrument.InputResistance.SI}
	if own.Wires > 0 {
		c.wiring.Each = own.Each.SI
	}

	t := &d.Temperature
	switch {
	case len(o.ZeroAt) == 2 || len(o.SpanAt) == 2:
		at := o.ZeroAt
		if len(at) == 0 {
			at = o.SpanAt
		}
		e := ends(at)
		c.ends[0].kelvin, c.ends[1].kelvin, c.hasEnds = e[0], e[1], true
	case t.HasRange:
		c.ends[0].kelvin, c.ends[1].kelvin, c.hasEnds = t.Low.SI, t.High.SI, true
	}
	c.from, c.to = c.ends[0].kelvin, c.ends[1].kelvin
	if t.HasRange {
		c.from, c.to = t.Low.SI, t.High.SI
	}
	c.middle.kelvin = c.reference
	if c.hasEnds {
		for i := range rows {
			c.points = append(c.points, point{kelvin: c.from + (c.to-c.from)*float64(i)/(rows-1)})
		}
	}
	all := []*point{&c.middle}
	if c.hasEnds {
		all = append(all, &c.ends[0], &c.ends[1])
		for i := range c.points {
			all = append(all, &c.points[i])
		}
	}
	for _, p := range all {
		if err := c.fill(p); err != nil {
			return nil, err
		}
	}
	c.rest = c.middle.hot
	return c, c.correct(all, o)
}

// temperatures that the law of a wire has to reach.
func (c *circuit) temperatures() []float64 {
	t := []float64{c.reference}
	if c.hasEnds {
		t = append(t, c.ends[0].kelvin, c.ends[1].kelvin, c.from, c.to)
	}
	return t
}

// compensable is "" when all four arms are at the part, so that resistors in the
// supply and in arms can have the grids' temperature; else why not.
func (c *circuit) compensable() string {
	if c.plain.Design.Bridges[c.index].Leads.AtInstrument {
		return "the bridge is completed in the instrument, so no resistor in its supply, and none beside its grids, has a bridge at one temperature to act on"
	}
	return ""
}

// arms at a temperature under a load, Ω. Of the plain ring
//
//	current through arms 1 and 2   I = 1/(R1+R2)
//	weights                        ∂/∂R1 = R2 I²,  ∂/∂R2 = −R1 I²
//
// and alike for 3 and 4, which gives the arms back.
func (c *circuit) arms(kelvin, load float64) ([4]float64, error) {
	cond := model.At(kelvin)
	cond.Load[c.target] = load
	sol, err := c.plain.Solve(c.state, c.index, &cond)
	if err != nil {
		return [4]float64{}, err
	}
	i, w := sol.Current, sol.Weight
	return [4]float64{-w[1] / (i[1] * i[1]), w[0] / (i[0] * i[0]), -w[3] / (i[3] * i[3]), w[2] / (i[2] * i[2])}, nil
}

func (c *circuit) fill(p *point) error {
	var err error
	p.span = 1
	if p.hot, err = c.arms(p.kelvin, 0); err != nil {
		return err
	}
	loaded, err := c.arms(p.kelvin, c.rated)
	for k := range loaded {
		p.rise[k] = loaded[k] - p.hot[k]
	}
	return err
}

// correct bends the predicted arms so that the bridge shows what was measured: the
// difference from the prediction is a straight line in temperature through the
// measurements. For the zero all four arms give alike; which of them really differ
// is not known and changes the resistors only in second order.
func (c *circuit) correct(all []*point, o *Options) error {
	zero := func(p *point) (float64, error) {
		r, err := c.at(p, nil)
		return r.zero, err
	}
	var slope, offset float64 // of measured − predicted, about the reference temperature
	if len(o.ZeroAt) == 2 {
		var diff [2]float64
		for i, m := range o.ZeroAt {
			p := point{kelvin: m.Kelvin}
			if err := c.fill(&p); err != nil {
				return err
			}
			z, err := zero(&p)
			if err != nil {
				return err
			}
			diff[i] = m.Output - z
		}
		slope = (diff[1] - diff[0]) / (o.ZeroAt[1].Kelvin - o.ZeroAt[0].Kelvin)
		offset = diff[0] - slope*(o.ZeroAt[0].Kelvin-c.reference)
	}
	if o.Zero != nil {
		z, err := zero(&c.middle)
		if err != nil {
			return err
		}
		offset = *o.Zero - z
	}
	if slope != 0 || offset != 0 {
		for _, p := range all {
			z, err := zero(p)
			if err != nil {
				return err
			}
			if err := c.unbalance(p, z+offset+slope*(p.kelvin-c.reference)); err != nil {
				return err
			}
		}
		c.rest = c.middle.hot
	}
	if len(o.SpanAt) != 2 {
		return nil
	}
	var ratio [2]float64
	for i, m := range o.SpanAt {
		p := &c.ends[0]
		if p.kelvin != m.Kelvin {
			p = &c.ends[1]
		}
		r, err := c.at(p, nil)
		if err != nil {
			return err
		}
		ratio[i] = m.Output / r.span
	}
	rate := (ratio[1] - ratio[0]) / (o.SpanAt[1].Kelvin - o.SpanAt[0].Kelvin)
	for _, p := range all {
		p.span = ratio[0] + rate*(p.kelvin-o.SpanAt[0].Kelvin)
		if !(p.span > 0) {
			return fmt.Errorf("the measured spans, continued in a straight line, reach zero at %.4g °C inside the range; check them", p.kelvin-celsius0)
		}
	}
	return nil
}

// unbalance changes the arms of p, the raising ones up and the lowering ones down in
// one ratio, until the instrument shows zero.
func (c *circuit) unbalance(p *point, zero float64) error {
	arms := p.hot
	apply := func(x float64) {
		for k := range arms {
			if k%2 == 0 {
				p.hot[k] = arms[k] * (1 + x)
			} else {
				p.hot[k] = arms[k] * (1 - x)
			}
		}
	}
	x, err := root(func(x float64) (float64, error) {
		apply(x)
		r, err := c.at(p, nil)
		return r.zero - zero, err
	}, 0, 1e-6)
	if err == nil {
		apply(x)
	}
	return err
}

// reading is what the instrument shows at one temperature.
type reading struct {
	zero  float64 // V/E at no load
	span  float64 // V/E that the rated load adds, at the rate of no load
	ring  float64 // input resistance of the ring, Ω
	input float64 // between the supply terminals of the transducer, Ω
}

// at solves the bridge with resistors at one temperature. The ring, signal wires and
// instrument are solved by the network, the supply held at the ring's corners; the
// supply line is a divider before it, exact because the ring takes the current
// 1/Rin for each volt whatever stands before:
//
//	V/E = (V/E)_ring · Rin/(Rt(1 + L/Rp) + L),  Rt = Rin + Rm + Rs
//
// L both supply leads of a bridge of 4 wires, Rp the shunt across the terminals. The
// span's weights are taken at the arms' rest resistance with the resistors at their
// own temperature (thermal output belongs to zero), Rin at the arms' true one.
func (c *circuit) at(p *point, parts []Part) (reading, error) {
	w, lead := c.ringWiring(p.kelvin)
	hot, _ := insert(p.hot, parts, p.kelvin)
	var sol, cold bridge.Solution
	if err := w.Solve(hot, &sol); err != nil {
		return reading{}, err
	}
	still, gain := insert(c.rest, parts, p.kelvin)
	if err := w.Solve(still, &cold); err != nil {
		return reading{}, err
	}
	s := supplyOf(parts, p.kelvin)
	f := sol.InputResistance / s.total(sol.InputResistance, lead)
	r := reading{zero: sol.Output * f, ring: sol.InputResistance, input: sol.InputResistance + s.series}
	if s.shunt > 0 {
		r.input = parallel(r.input, s.shunt)
	}
	for k := range cold.Weight {
		r.span += cold.Weight[k] * gain[k] * p.rise[k]
	}
	r.span *= p.span * f
	if math.IsNaN(r.zero+r.span+r.input) || math.IsInf(r.zero+r.span+r.input, 0) {
		return reading{}, fmt.Errorf("the resistors do not give a finite output at %.4g °C", p.kelvin-celsius0)
	}
	return r, nil
}

// ringWiring is the wiring with the supply held at the ring's corners, and the two
// supply leads that then stand before it, Ω. Where the bridge is completed in the
// instrument nothing stands before it.
func (c *circuit) ringWiring(kelvin float64) (bridge.Wiring, float64) {
	w := c.wiring
	if c.follow {
		w.Each *= 1 + model.CopperTCR*(kelvin-c.reference)
	}
	if w.Wires == 4 {
		w.Wires = 6
		return w, 2 * w.Each
	}
	return w, 0
}

func parallel(a, b float64) float64 { return a * b / (a + b) }

// supply is what stands before the ring.
type supply struct {
	series float64 // in the supply lines, Ω
	shunt  float64 // across the transducer's supply terminals, Ω; 0: none
}

// total is the resistance over which the supply is divided.
func (s supply) total(ring, lead float64) float64 {
	t := ring + s.series
	if s.shunt > 0 {
		t *= 1 + lead/s.shunt
	}
	return t + lead
}

func supplyOf(parts []Part, kelvin float64) supply {
	var s supply
	span, across := 0.0, 0.0
	for i := range parts {
		ohm := parts[i].at(kelvin)
		switch parts[i].Role {
		case SpanResistor:
			span = ohm
		case SpanParallel:
			across = ohm
		case SpanSetting:
			s.series += ohm
		case InputSetting:
			s.shunt = ohm
		}
	}
	if across > 0 {
		span = parallel(span, across)
	}
	s.series += span
	return s
}

// insert puts the resistors into the arms and returns how much of each arm's change
// is left beside them: wires and series resistors first, a shunt across the whole
// arm last.
func insert(arms [4]float64, parts []Part, kelvin float64) (with, gain [4]float64) {
	with, gain = arms, [4]float64{1, 1, 1, 1}
	for i := range parts {
		if k := parts[i].Arm - 1; k >= 0 && parts[i].Role != BalanceShunt {
			with[k] += parts[i].at(kelvin)
		}
	}
	for i := range parts {
		if k := parts[i].Arm - 1; k >= 0 && parts[i].Role == BalanceShunt {
			ohm := parts[i].at(kelvin)
			g := ohm / (with[k] + ohm)
			with[k] *= g
			gain[k] = g * g
		}
	}
	return with, gain
}

// root solves f(x) = 0 by secants for an f that is nearly a straight line, to the
// rounding of an output.
func root(f func(float64) (float64, error), x0, x1 float64) (float64, error) {
	y0, err := f(x0)
	if err != nil {
		return 0, err
	}
	for range 60 {
		y1, err := f(x1)
		if err != nil {
			return 0, err
		}
		if math.Abs(y1) < 1e-15 || y1 == y0 { // below is the rounding of an output
			return x1, nil
		}
		x2 := x1 - y1*(x1-x0)/(y1-y0)
		if math.IsNaN(x2) || math.IsInf(x2, 0) {
			break
		}
		if math.Abs(x2-x1) <= 1e-12*math.Abs(x2) {
			return x2, nil
		}
		x0, y0, x1 = x1, y1, x2
	}
	return 0, fmt.Errorf("no resistor was found that brings the output to zero; check the figures given")
}

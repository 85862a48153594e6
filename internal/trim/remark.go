package trim

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/bridge"
	"gridwright/internal/predict"
)

// allow works out what the tolerances may ask for where nothing was measured.
func (p *Plan) allow(r *predict.Result, c *circuit, w *Wire) {
	a := &p.Allowance
	none := predict.None("the zero is measured")
	a.Series, a.Shunt, a.Drift, a.Wire = none, none, none, none
	big, small := c.rest[0], c.rest[0]
	for _, ohm := range c.rest {
		big, small = math.Max(big, ohm), math.Min(small, ohm)
	}
	if p.Zero == Predicted {
		b := r.Bridges[p.Bridge].Balance
		a.Balance = math.Abs(b.Nominal) + b.Worst
		a.Series, a.Shunt = predict.None("no resistance of the bridge has a tolerance"), predict.None("no resistance of the bridge has a tolerance")
		if a.Balance >= noZero {
			if ohm, err := ZeroSeries(big, a.Balance); err == nil {
				a.Series = predict.Some(ohm)
			}
			if ohm, err := ZeroShunt(small, a.Balance); err == nil {
				a.Shunt = predict.Some(ohm)
			}
		}
	}
	if p.Drift == Predicted && c.hasEnds {
		weight := bridge.PlainWeights(c.rest)
		spread := 0.0
		for k := range c.plain.Bridges[c.index].Arms {
			for _, i := range c.plain.Bridges[c.index].Arms[k].Grids {
				g := &c.plain.Design.Gauges[c.plain.Grids[i].Gauge]
				spread += math.Abs(weight[k] * c.state.Grids[i].Resistance * g.Thermal.ForFactor.SI * g.Thermal.Spread.SI)
			}
		}
		a.Drift = predict.Some(spread)
		a.Wire = predict.None("the lots state no spread of thermal output")
		if z, err := c.zeroDifference(nil); err == nil && spread > 0 {
			slope := math.Abs(z)/(c.ends[1].kelvin-c.ends[0].kelvin) + spread
			if ohm, err := ZeroWire(big, slope, w.Coefficient(c.ends[0].kelvin, c.ends[1].kelvin)); err == nil && c.compensable() == "" {
				a.Wire = predict.Some(ohm)
			}
		}
	}
}

// choices is the span resistor of each metal, alone in the supply.
func (s *sizing) choices() ([]Choice, error) {
	c := s.c
	if !c.hasEnds || c.blind || c.compensable() != "" {
		return nil, nil
	}
	list := append([]Wire(nil), Wires...)
	for i := range list {
		if list[i].Name == s.wire.Name {
			list[i] = *s.wire
		}
	}
	var out []Choice
	for i := range list {
		w := &list[i]
		ch := Choice{Wire: w, Ohm: predict.None("no resistor of it keeps the span"), Loss: predict.None("no resistor of it keeps the span")}
		var outside error
		for _, t := range c.temperatures() {
			if err := w.holds(t); err != nil {
				outside = err
			}
		}
		if outside != nil {
			ch.Ohm, ch.Loss = predict.None(outside.Error()), predict.None(outside.Error())
			out = append(out, ch)
			continue
		}
		l, err := s.line(nil, w)
		if err != nil {
			return nil, err
		}
		if rm := l.span(0, 0); rm > 1e-6*l.middle.ring && rm <= math.MaxFloat64 {
			ch.Ohm = predict.Some(rm)
			ch.Loss = predict.Some(1 - l.middle.total(0, 0)/l.middle.total(rm*l.middle.ratio, 0))
		}
		out = append(out, ch)
	}
	return out, nil
}

// remark says what the figures rest on and leave out.
func (p *Plan) remark(c *circuit, s *sizing) {
	add := func(format string, args ...any) { p.Notes = append(p.Notes, fmt.Sprintf(format, args...)) }
	p.Notes = append(p.Notes, s.notes...)
	d := c.plain.Design
	b := &c.plain.Bridges[c.index]
	if p.Zero == Predicted {
		add("the zero is a prediction: what the bridge will show at no load comes from the tolerances of its grids and from bonding, so its zero can only be trimmed after bonding; measure it then and give --zero")
	}
	if p.Drift == Predicted && c.hasEnds {
		add("the drift of zero is a prediction from the lot's thermal output: what grids of one lot leave is known only after bonding; measure the zero at two temperatures and give --zero-at twice")
	}
	var lots []string
	noThermal, noDrift := "", ""
	seen := map[int]bool{}
	for k := range b.Arms {
		for _, i := range b.Arms[k].Grids {
			lot := c.plain.Grids[i].Gauge
			if seen[lot] {
				continue
			}
			seen[lot] = true
			g := &d.Gauges[lot]
			lots = append(lots, g.Name)
			if !g.Thermal.Set {
				noThermal = g.Name
			}
			if !g.Drift.Set {
				noDrift = g.Name
			}
		}
	}
	if p.Drift == Predicted && noThermal != "" && c.hasEnds {
		add("gauge %s has no thermal-output, so its drift of zero is left out of the prediction", noThermal)
	}
	if p.Span == Predicted && c.hasEnds {
		if noDrift != "" {
			add("gauge %s has no gauge-factor-drift: the predicted drift of span leaves it out, and the span resistor with it", noDrift)
		}
		if !d.Part.Material.YoungsDrift.Set {
			add("the material has no youngs-drift: the predicted drift of span leaves it out, and the span resistor with it")
		}
	}
	if len(lots) > 1 {
		add("the bridge has grids of the lots %s, whose thermal outputs differ", strings.Join(lots, ", "))
	}
	if c.hasEnds && p.Zero == Predicted && p.Drift == Measured {
		add("the zero at the reference temperature lies on the straight line through the two measured, but for the predicted curvature; give --zero where it is measured")
	}
	if c.compensable() == "" {
		var fixed []string
		for k := range b.Arms {
			if b.Arms[k].Fixed {
				fixed = append(fixed, fmt.Sprint(k+1))
			}
		}
		if len(fixed) > 0 {
			add("arm %s is a fixed resistor: these figures hold while it sits at the part, at the temperature of the grids", strings.Join(fixed, " and arm "))
		}
	}
	if len(p.Fitted) > 0 {
		if p.Material.Name == "nickel-iron" && !p.Material.Stated && usesWire(p.Fitted) {
			add("the coefficient of nickel-iron is common practice, from memory; lots run from 4500 to 5200 ppm/K: measure the wire and give --tcr")
		}
		if p.Material.Stated && usesWire(p.Fitted) {
			add("the coefficient of %s is the stated %.5g ppm/K at 20 °C, taken as linear", p.Material.Name, p.Material.Linear*1e6)
		}
		if s.o.ResistorTCR == 0 {
			add("resistors of low coefficient are taken to have none; --resistor-tcr gives their limit")
		}
		add("every resistor has to have the temperature of the grids: bond wire beside them, and leave no gradient between")
	}
	if t := d.Temperature; t.Across.Set || t.Along.Set {
		add("the figures are for one temperature all over; what a gradient puts into the zero is not taken out")
	}
	if c.hasEnds && (c.from < c.ends[0].kelvin-1e-9 || c.to > c.ends[1].kelvin+1e-9) {
		add("the range of the file reaches beyond the temperatures that were measured; there the curves continue the measurement by a straight line")
	}
	if c.wiring.Wires == 6 && inSupply(p.Fitted) {
		add("with 6 wires the sense wires end at the transducer's terminals, outside the resistors in the supply; at the bridge's corners they would undo them")
	}
	if p.Before.Output.OK() && p.After.Output.OK() && inSupply(p.Fitted) {
		f := p.Before.Output.Value / p.After.Output.Value
		if e := d.Bridges[c.index].Excitation; e.Set {
			add("the resistors in the supply cost %.3g %% of the output; %.4g V instead of %.4g V give it back with no more power in the grids", 100*(1-1/f), e.SI*f, e.SI)
		} else {
			add("the resistors in the supply cost %.3g %% of the output; %.4g times the excitation gives it back with no more power in the grids (the file states no excitation)", 100*(1-1/f), f)
		}
	}
}

func usesWire(parts []Part) bool {
	for _, p := range parts {
		if p.Wire != nil {
			return true
		}
	}
	return false
}

func inSupply(parts []Part) bool {
	for _, p := range parts {
		if p.Role == SpanResistor || p.Role == SpanSetting {
			return true
		}
	}
	return false
}

// Order is the order of work, in words; a step that nothing is fitted for is left
// out, but for measuring.
func (p *Plan) Order() []string {
	steps := []string{"bond and wire the grids, and cure; measure V/E at no load, and at two temperatures V/E at no load and at rated load"}
	have := map[Role]bool{}
	for _, q := range p.Fitted {
		have[q.Role] = true
	}
	for _, s := range []struct {
		role  Role
		words string
	}{
		{BalanceShunt, "zero balance: the shunt across its arm, for now by a resistor on clips"},
		{DriftWire, "zero drift: the wire into its arm, the equal of low coefficient into the adjacent arm; measure zero at both temperatures again"},
		{SpanResistor, "span drift: half of the resistor into each supply lead; measure the span at both temperatures again"},
		{SpanSetting, "span: half of the resistor of low coefficient into each supply lead"},
		{InputSetting, "input resistance: the shunt across the supply terminals"},
	} {
		if have[s.role] {
			steps = append(steps, s.words)
		}
	}
	return append(steps, "zero balance once more, last, because every step moved it; then seal, cycle the temperature and measure all again")
}

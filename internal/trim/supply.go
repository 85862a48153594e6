package trim

import (
	"fmt"
	"math"
)

// station is one temperature as the supply line sees the ring: the span is
//
//	S = drive/((ring + Rm·ratio + Rs)(1 + lead/Rp) + lead)
type station struct {
	drive float64 // span of the ring times its input resistance, V/V·Ω
	ring  float64 // Ω
	ratio float64 // of the span resistor to itself at 20 °C
	lead  float64 // both supply leads of a 4-wire bridge, Ω
}

func (s *sizing) station(p *point, parts []Part, w *Wire) (station, error) {
	r, err := s.c.at(p, parts)
	_, lead := s.c.ringWiring(p.kelvin)
	return station{drive: r.span * (r.ring + lead), ring: r.ring, ratio: w.Ratio(p.kelvin), lead: lead}, err
}

// line is the supply at the two temperatures and the reference temperature.
type line struct{ low, high, middle station }

func (s *sizing) line(parts []Part, w *Wire) (line, error) {
	var l line
	var err error
	if l.middle, err = s.station(&s.c.middle, parts, w); err != nil || !s.c.hasEnds {
		return l, err
	}
	if l.low, err = s.station(&s.c.ends[0], parts, w); err != nil {
		return l, err
	}
	l.high, err = s.station(&s.c.ends[1], parts, w)
	return l, err
}

// total is over what the supply is divided with series Ω before the ring and a
// shunt of Rp (0: none) across the terminals.
func (t station) total(series, shunt float64) float64 {
	return supply{series: series, shunt: shunt}.total(t.ring, t.lead)
}

// widen is the factor 1 + lead/Rp.
func (t station) widen(shunt float64) float64 {
	if shunt > 0 {
		return 1 + t.lead/shunt
	}
	return 1
}

// span is Rm that equals the spans at the two temperatures beside a series
// resistance that does not change, by
//
//	drive1·total2 = drive2·total1
//
// which is a straight line in Rm.
func (l line) span(fixed, shunt float64) float64 {
	a, b := l.low, l.high
	return (b.drive*a.total(fixed, shunt) - a.drive*b.total(fixed, shunt)) /
		(a.drive*b.ratio*b.widen(shunt) - b.drive*a.ratio*a.widen(shunt))
}

// fixed is Rs that brings the span at the reference temperature to the target beside
// a span resistor of rm Ω at that temperature.
func (l line) fixed(target, rm, shunt float64) float64 {
	m := l.middle
	return (math.Abs(m.drive/target)-m.lead)/m.widen(shunt) - m.ring - rm
}

// both is Rm and Rs together: the two straight lines meet.
func (l line) both(target, shunt float64) (rm, rs float64) {
	// Rs = p − ratio·Rm, put into the equality of the spans, is linear in Rm.
	p := l.fixed(target, 0, shunt)
	f := func(rm float64) float64 {
		rs := p - l.middle.ratio*rm
		return l.low.drive*l.high.total(l.high.ratio*rm+rs, shunt) - l.high.drive*l.low.total(l.low.ratio*rm+rs, shunt)
	}
	f0, f1 := f(0), f(1)
	rm = f0 / (f0 - f1)
	return rm, p - l.middle.ratio*rm
}

// supply sizes the resistors in the supply for a ring with its own.
func (s *sizing) supply(parts []Part, fit fitting) ([]Part, error) {
	c, o := s.c, s.o
	if why := c.compensable(); why != "" {
		if o.TargetOutput != nil || o.TargetInput != nil || o.SpanResistor > 0 {
			return nil, fmt.Errorf("span, output and input resistance are set by resistors in the supply of a bridge whose four arms are at the part; here %s", why)
		}
		s.note("span drift, span and input resistance: %s; correct the span by a measured temperature", why)
		return nil, nil
	}
	l, err := s.line(parts, s.wire)
	if err != nil {
		return nil, err
	}
	if c.blind && o.TargetOutput != nil {
		return nil, fmt.Errorf("no target output can be set: the bridge gives no output for the load that it measures")
	}
	want := s.wanted(l)
	if !want && o.SpanResistor > 0 {
		return nil, fmt.Errorf("the span resistor of %.5g Ω has nothing to compensate; leave it out", o.SpanResistor)
	}
	rm, rs, shunt := 0.0, 0.0, 0.0
	for range 100 { // once, but where supply leads see the shunt across the terminals
		before := shunt
		switch {
		case want && o.TargetOutput != nil:
			rm, rs = l.both(*o.TargetOutput, shunt)
		case want:
			rm = l.span(0, shunt)
		case o.TargetOutput != nil:
			rs = l.fixed(*o.TargetOutput, 0, shunt)
		}
		if o.TargetInput != nil {
			shunt, _ = InputShunt(l.middle.ring+l.middle.ratio*rm+rs, *o.TargetInput)
		}
		if l.middle.lead == 0 || math.Abs(shunt-before) <= 1e-13*shunt {
			break
		}
	}
	if want && !(rm > 0 && rm <= math.MaxFloat64) {
		s.note("span drift: the span grows faster than %s in the supply can take away; take a material of larger coefficient", s.wire.Name)
		want, rm = false, 0
	}
	if o.TargetOutput != nil && rs < -1e-9*l.middle.ring {
		series := 0.0
		if want {
			series = l.middle.ratio * l.span(0, shunt)
		}
		return nil, fmt.Errorf("the target output of %.5g mV/V cannot be reached: without a span-set resistor the bridge gives %.5g mV/V; a resistor only takes away, so ask for at most that",
			math.Abs(*o.TargetOutput)*1e3, math.Abs(l.middle.drive/l.middle.total(series, shunt))*1e3)
	}
	var out []Part
	now := 0.0 // of the span resistor at the reference temperature, Ω
	if want {
		span, at, err := s.spanParts(l, rm, shunt, fit)
		if err != nil {
			return nil, err
		}
		out, now = span, at
	}
	if o.TargetOutput != nil {
		rs = l.fixed(*o.TargetOutput, now, shunt)
		if rs > 1e-9*l.middle.ring {
			if p, ok := fit(Part{Role: SpanSetting, Ohm: rs, Halves: true}); ok {
				out, now = append(out, p), now+p.Ohm
			}
		}
	}
	if o.TargetInput != nil {
		rt := l.middle.ring + now
		switch {
		case math.Abs(*o.TargetInput-rt) <= 1e-9*rt:
		case *o.TargetInput > rt:
			return nil, fmt.Errorf("the target input resistance of %.5g Ω cannot be reached: the bridge has %.5g Ω with its resistors, and a shunt across the supply only lowers it; a lower target output adds a span-set resistor", *o.TargetInput, rt)
		default:
			rp, err := InputShunt(rt, *o.TargetInput)
			if err != nil {
				return nil, err
			}
			if p, ok := fit(Part{Role: InputSetting, Ohm: rp}); ok {
				out = append(out, p)
			}
		}
	}
	return out, nil
}

// wanted tells whether a resistor can take the span's drift out, and notes why not.
func (s *sizing) wanted(l line) bool {
	c := s.c
	switch {
	case c.blind:
		s.note("span drift: the bridge gives no output for the load that it measures")
		return false
	case !c.hasEnds:
		s.note("span drift: the file gives no temperature range and no span is given at two temperatures, so nothing is sized for it")
		return false
	}
	growth := l.high.drive*l.low.total(0, 0)/(l.low.drive*l.high.total(0, 0)) - 1
	switch {
	case math.Abs(growth) < noGrowth:
		s.note("span drift: the span is the same at both temperatures; nothing is to be compensated")
		return false
	case growth < 0:
		s.note("span drift: the span falls by %.3g %% from the lower to the higher temperature; a resistor that rises with temperature would add to it, so none is sized", -100*growth)
		return false
	}
	return true
}

// spanParts is the span resistor of rm Ω at 20 °C, or the one at hand with its shunt,
// and what is fitted of it at the reference temperature, Ω.
func (s *sizing) spanParts(l line, rm, shunt float64, fit fitting) ([]Part, float64, error) {
	hand := s.o.SpanResistor
	if hand == 0 {
		p, ok := fit(Part{Role: SpanResistor, Ohm: rm, Halves: true, Wire: s.wire})
		if !ok {
			return nil, 0, nil
		}
		return []Part{p}, p.at(s.c.reference), nil
	}
	span := Part{Role: SpanResistor, Ohm: hand, Halves: true, Wire: s.wire, Tolerance: s.o.ResistorTolerance}
	if math.Abs(hand/rm-1) < 1e-6 {
		return []Part{span}, span.at(s.c.reference), nil
	}
	if hand < rm {
		return nil, 0, fmt.Errorf("the span resistor of %.5g Ω is too small: %.5g Ω of %s are needed, and a shunt only makes it smaller", hand, rm, s.wire.Name)
	}
	across := func(g float64, t station) float64 { r := hand * t.ratio; return r / (1 + r*g) }
	set := func(g float64) float64 {
		if s.o.TargetOutput == nil {
			return 0
		}
		return l.fixed(*s.o.TargetOutput, across(g, l.middle), shunt)
	}
	siemens, err := root(func(g float64) (float64, error) {
		rs := set(g)
		return l.low.drive*l.high.total(across(g, l.high)+rs, shunt)/(l.high.drive*l.low.total(across(g, l.low)+rs, shunt)) - 1, nil
	}, 0, (1/rm-1/hand)/2)
	if err != nil {
		return nil, 0, err
	}
	if err := positive("span shunt", "S", siemens); err != nil {
		return nil, 0, err
	}
	if s.o.TargetOutput != nil && set(siemens) < 0 {
		return nil, 0, fmt.Errorf("the target output of %.5g mV/V cannot be reached with the span resistor of %.5g Ω: its pair with the shunt already takes more away", math.Abs(*s.o.TargetOutput)*1e3, hand)
	}
	p, ok := fit(Part{Role: SpanParallel, Ohm: 1 / siemens, Halves: true})
	if !ok {
		return []Part{span}, span.at(s.c.reference), nil
	}
	return []Part{span, p}, parallel(span.at(s.c.reference), p.Ohm), nil
}

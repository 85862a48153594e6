package trim

import (
	"fmt"
	"math"
)

// sizing sizes the resistors of one bridge.
type sizing struct {
	c     *circuit
	o     *Options
	wire  *Wire
	notes []string
}

func (s *sizing) note(format string, args ...any) {
	s.notes = append(s.notes, fmt.Sprintf(format, args...))
}

// fitting turns an exact resistor into the one fitted; false when none is.
type fitting func(Part) (Part, bool)

func exactly(p Part) (Part, bool) { return p, true }

// What is smaller is not made, what is larger not bought, Ω.
const (
	smallest = 0.01
	largest  = 10e6
)

// cut is the step to which wire is cut, m.
const cut = 1e-3

// bought is the nearest resistor of the series, or wire cut to the millimetre where
// its resistance per metre is stated.
func (s *sizing) bought(p Part) (Part, bool) {
	each := p.Each()
	pieces := p.Ohm / each
	if each < smallest || each > largest {
		s.note("the %s would have %.3g Ω; outside %g Ω to %g MΩ none is fitted", p.Role, each, smallest, largest/1e6)
		return p, false
	}
	if p.Wire != nil && s.o.WireResistance.SI > 0 {
		per := s.o.WireResistance
		n := math.Max(1, math.Round(each/per.SI/cut))
		p.Length = n / math.Round(1/cut)
		p.Ohm = p.Length * per.SI * pieces
		p.Tolerance = per.Tolerance/per.SI + cut/2/p.Length
		return p, true
	}
	p.Ohm = s.o.Series.Nearest(each) * pieces
	p.Tolerance = s.o.ResistorTolerance
	return p, true
}

// Below these a figure is rounding, and no resistor is asked for.
const (
	noZero   = 1e-9 // V/V
	noGrowth = 1e-6 // of the span, ratio
)

// parts sizes every resistor, each for those already fitted, in the order of work.
// The balance comes last, because the others move it, but stands first.
func (s *sizing) parts(fit fitting) ([]Part, error) {
	drift, err := s.drift(fit)
	if err != nil {
		return nil, err
	}
	balance, err := s.balance(drift)
	if err != nil {
		return nil, err
	}
	if balance != nil {
		if p, ok := fit(*balance); ok {
			balance = &p
		} else {
			balance = nil
		}
	}
	parts := drift
	if balance != nil {
		parts = append([]Part{*balance}, drift...)
	}
	supply, err := s.supply(parts, fit)
	return append(parts, supply...), err
}

// balance is the shunt that brings V/E at no load and the reference temperature to
// zero, nil when none is needed.
func (s *sizing) balance(parts []Part) (*Part, error) {
	r, err := s.c.at(&s.c.middle, parts)
	if err != nil || math.Abs(r.zero) < noZero {
		return nil, err
	}
	arm := s.c.armFor(r.zero > 0)
	with := append(append([]Part(nil), parts...), Part{Role: BalanceShunt, Arm: arm})
	shunt := &with[len(with)-1]
	ohm := s.c.rest[arm-1] * math.Max(1/(4*math.Abs(r.zero))-0.5, 0.5)
	siemens, err := root(func(g float64) (float64, error) {
		if !(g > 0) {
			g = 1e-15
		}
		shunt.Ohm = 1 / g
		r, err := s.c.at(&s.c.middle, with)
		return r.zero, err
	}, 1/ohm, 1.001/ohm)
	if err != nil {
		return nil, err
	}
	shunt.Ohm = 1 / siemens
	return shunt, nil
}

// inSeries is the resistor in series that does what the balance shunt does, and its
// arm; 0 when none is needed.
func (s *sizing) inSeries(parts []Part) (float64, int, error) {
	var others []Part
	for _, p := range parts {
		if p.Role != BalanceShunt {
			others = append(others, p)
		}
	}
	r, err := s.c.at(&s.c.middle, others)
	if err != nil || math.Abs(r.zero) < noZero {
		return 0, 0, err
	}
	arm := s.c.armFor(r.zero < 0)
	with := append(others, Part{Role: BalanceSeries, Arm: arm})
	ohm, err := root(func(x float64) (float64, error) {
		with[len(with)-1].Ohm = x
		r, err := s.c.at(&s.c.middle, with)
		return r.zero, err
	}, 0, 4*s.c.rest[arm-1]*math.Abs(r.zero))
	return ohm, arm, err
}

// armFor is the arm for a balance resistor: a raising one (1 or 3) or a lowering one
// (2 or 4). A fixed resistor comes first, because what is put on it costs no output
// and can be reached; then the half of the bridge that has no zero-drift wire.
func (c *circuit) armFor(raising bool) int {
	choice := [2]int{3, 1}
	if !raising {
		choice = [2]int{4, 2}
	}
	for _, arm := range choice {
		if c.plain.Bridges[c.index].Arms[arm-1].Fixed {
			return arm
		}
	}
	return choice[0]
}

// drift is the wire that makes the zeros at the two temperatures equal, and its
// partner. The wire goes into arm 2 when the zero grows with temperature, else into
// arm 1.
func (s *sizing) drift(fit fitting) ([]Part, error) {
	c := s.c
	if !c.hasEnds {
		s.note("zero drift: the file gives no temperature range and no zero is given at two temperatures, so nothing is sized for it")
		return nil, nil
	}
	z, err := c.zeroDifference(nil)
	if err != nil {
		return nil, err
	}
	if math.Abs(z) < noZero {
		return nil, nil
	}
	if why := c.compensable(); why != "" {
		s.note("zero drift: %s; choose grids of one lot in adjacent arms, or complete the bridge at the part", why)
		return nil, nil
	}
	arm, partner := 2, 1
	if z < 0 {
		arm, partner = 1, 2
	}
	width := c.ends[1].kelvin - c.ends[0].kelvin
	start, err := ZeroWire(c.rest[arm-1], z/width, s.wire.Coefficient(c.ends[0].kelvin, c.ends[1].kelvin))
	if err != nil {
		return nil, err
	}
	pair := []Part{{Role: DriftWire, Arm: arm, Wire: s.wire}, {Role: DriftPartner, Arm: partner}}
	ohm, err := root(func(x float64) (float64, error) {
		pair[0].Ohm, pair[1].Ohm = x, x
		with := pair
		b, err := s.balance(pair)
		if err != nil {
			return 0, err
		}
		if b != nil {
			with = []Part{*b, pair[0], pair[1]}
		}
		return c.zeroDifference(with)
	}, start, start+math.Max(1e-3*start, 1e-3)) // a step of less would drown in rounding
	if err != nil {
		return nil, err
	}
	if err := positive("zero-drift wire", "Ω", ohm); err != nil {
		return nil, err
	}
	pair[0].Ohm = ohm
	var ok bool
	if pair[0], ok = fit(pair[0]); !ok {
		return nil, nil
	}
	pair[1].Ohm = pair[0].Ohm
	if pair[1], ok = fit(pair[1]); !ok {
		return nil, nil
	}
	return pair, nil
}

// zeroDifference is V/E at no load at the higher temperature minus that at the lower.
func (c *circuit) zeroDifference(parts []Part) (float64, error) {
	lo, err := c.at(&c.ends[0], parts)
	if err != nil {
		return 0, err
	}
	hi, err := c.at(&c.ends[1], parts)
	return hi.zero - lo.zero, err
}

package designfile

import (
	"strconv"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

var instrumentFields = []field[design.Instrument]{
	number("noise", quantity.Voltage, func(i *design.Instrument) *design.Number { return &i.Noise }, notNegative),
	number("bandwidth", quantity.Frequency, func(i *design.Instrument) *design.Number { return &i.Bandwidth }, positive),
	number("input-resistance", quantity.Resistance, func(i *design.Instrument) *design.Number { return &i.InputResistance }, positive),
	number("resolution", quantity.Voltage, func(i *design.Instrument) *design.Number { return &i.Resolution }, notNegative),
}

var shuntFields = []field[design.Shunt]{
	number("resistor", quantity.Resistance, func(s *design.Shunt) *design.Number { return &s.Resistor }, positive).must(),
	field[design.Shunt]{key: "arm", takes: "the arm's number, 1 to 4", form: is(Whole{Low: 1, High: 4}), read: func(r *reader, v at, s *design.Shunt) {
		text, ok := r.scalar(v, "the arm's number, 1 to 4")
		if !ok {
			return
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > 4 {
			r.fail(v, "`%s` is no arm; write 1, 2, 3 or 4", clip(text))
			return
		}
		s.Arm = n
	}}.must(),
	choice("at", []string{"part", "instrument"}, func(s *design.Shunt, w string) { s.AtInstrument = w == "instrument" }),
}

func (r *reader) shunts(v at, f *file) {
	items, _ := r.list(v, "a list of {resistor, arm, at}")
	for _, item := range items {
		s := design.Shunt{Place: item.place()}
		mapping(r, item, shuntFields, &s)
		f.Shunts = append(f.Shunts, s)
	}
}

// limit is a requirement: a mapping with at-least or at-most alone.
func limit(key, bound string, kind quantity.Kind, to func(*design.Require) *design.Number) field[design.Require] {
	inner := []field[design.Require]{number(bound, kind, to, notNegative).must()}
	return field[design.Require]{key: key, takes: "{" + bound + ": " + kind.Example() + "}", form: mappingOf(inner), read: func(r *reader, v at, q *design.Require) {
		mapping(r, v, inner, q)
	}}
}

var requireFields = []field[design.Require]{
	limit("rated-output", "at-least", quantity.VoltageRatio, func(q *design.Require) *design.Number { return &q.RatedOutput }),
	limit("crosstalk", "at-most", quantity.Ratio, func(q *design.Require) *design.Number { return &q.Crosstalk }),
	limit("crosstalk-95", "at-most", quantity.Ratio, func(q *design.Require) *design.Number { return &q.Crosstalk95 }),
	limit("nonlinearity", "at-most", quantity.Ratio, func(q *design.Require) *design.Number { return &q.Nonlinearity }),
	limit("zero-drift", "at-most", quantity.PerKelvin, func(q *design.Require) *design.Number { return &q.ZeroDrift }),
	limit("span-drift", "at-most", quantity.PerKelvin, func(q *design.Require) *design.Number { return &q.SpanDrift }),
	limit("uncertainty", "at-most", quantity.Ratio, func(q *design.Require) *design.Number { return &q.Uncertainty }),
	limit("strain", "at-most", quantity.Strain, func(q *design.Require) *design.Number { return &q.Strain }),
	limit("yield-factor", "at-least", quantity.Number, func(q *design.Require) *design.Number { return &q.YieldFactor }),
}

var calibrationFields = []field[design.Calibration]{
	number("standard-uncertainty", quantity.Ratio, func(c *design.Calibration) *design.Number { return &c.StandardUncertainty }, notNegative),
	number("indicator-resolution", quantity.VoltageRatio, func(c *design.Calibration) *design.Number { return &c.IndicatorResolution }, notNegative),
	number("indicator-uncertainty", quantity.Ratio, func(c *design.Calibration) *design.Number { return &c.IndicatorUncertainty }, notNegative),
	choice("limits", []string{"from-memory", "confirmed"}, func(c *design.Calibration, w string) { c.LimitsConfirmed = w == "confirmed" }),
}

// maxStations bounds the stations that a search combines in pairs.
const maxStations = 12

var pickFields = []field[file]{
	{key: "gauges", takes: "a list of gauge names", form: listOf(is(Name{Of: "gauge"})), read: func(r *reader, v at, f *file) {
		items, _ := r.list(v, "a list of gauge names")
		for _, item := range items {
			if i, ok := f.gaugeIndex(item); ok {
				f.Pick.Gauges = append(f.Pick.Gauges, i)
			}
		}
	}},
	{key: "at-most", takes: "the greatest number of gauges", form: is(Whole{Low: 1, High: 64}), read: func(r *reader, v at, f *file) {
		s, ok := r.scalar(v, "a number of gauges")
		if !ok {
			return
		}
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 || n > 64 {
			r.fail(v, "`%s` is no number of gauges; write one from 1 to 64", clip(s))
			return
		}
		f.Pick.AtMost = n
	}},
	{key: "keep-out", takes: "a list of sectors, such as [[150°, 170°]]", form: listOf(listOf(quantityOf(quantity.Angle), 2)), read: func(r *reader, v at, f *file) {
		items, _ := r.list(v, "a list of sectors, such as [[150°, 170°]]")
		for _, item := range items {
			if n, ok := r.numbers(item, quantity.Angle, false, []int{2}, "a pair of angles, such as [150°, 170°]"); ok {
				f.Pick.KeepOut = append(f.Pick.KeepOut, design.Sector{From: n[0], To: n[1]})
			}
		}
	}},
	{key: "stations", takes: "a list of stations, such as [0 mm, 40 mm]", form: listOfUpTo(0, maxStations, quantityOf(quantity.Length)), read: func(r *reader, v at, f *file) {
		if n, ok := r.numbers(v, quantity.Length, false, nil, "a list of stations, such as [0 mm, 40 mm]"); ok {
			if len(n) > maxStations {
				r.fail(v, "there are %d stations; at most %d are searched", len(n), maxStations)
				return
			}
			f.Pick.Stations = n
		}
	}},
	choice("fixed-arms", []string{"allowed", "forbidden"}, func(f *file, w string) { f.Pick.ForbidFixedArms = w == "forbidden" }),
}

func (f *file) readPick() {
	if f.pick.node != nil {
		mapping(f.r, f.pick, pickFields, f)
	}
	if len(f.Pick.Gauges) == 0 {
		for i := range f.Gauges {
			f.Pick.Gauges = append(f.Pick.Gauges, i)
		}
	}
	if len(f.Pick.Stations) == 0 {
		f.Pick.Stations = []design.Number{implied(0)}
	}
}

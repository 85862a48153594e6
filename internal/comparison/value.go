package comparison

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// Value is one value of a design: a quantity, or a word.
type Value struct {
	Path  string
	Group string // the named thing that it belongs to, itself a path of the list; "" : none

	word    string
	number  design.Number
	kind    quantity.Kind // 0: it is a word
	implied bool          // what is not written is the same as its default
	list    string        // the path of the list that one value may stand for; "": none
}

// String is the value as the file has it.
func (v *Value) String() string {
	n := &v.number
	switch {
	case v.kind == 0:
		return v.word
	case n.Text != "":
		return n.Text
	case !n.Set && n.SI == 0:
		return ""
	}
	s := quantity.Format(n.SI, v.kind, quantity.SI, 0)
	if !n.Set {
		s += " (default)"
	}
	return s
}

func (v *Value) empty() bool { return v.String() == "" }

// same reports whether two values mean the same.
func (v *Value) same(w *Value) bool {
	if v.kind == 0 || w.kind == 0 {
		return v.kind == w.kind && v.word == w.word
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b)) }
	a, b := &v.number, &w.number
	if !near(a.SI, b.SI) || !near(a.Tolerance, b.Tolerance) || a.Tolerance != 0 && a.Coverage != b.Coverage {
		return false
	}
	return a.Set == b.Set || v.implied
}

// list collects values.
type list struct {
	values []Value
	group  string
}

func (l *list) word(path, word string) {
	l.values = append(l.values, Value{Path: path, Group: l.group, word: word})
}

func (l *list) number(path string, n design.Number, k quantity.Kind) {
	l.values = append(l.values, Value{Path: path, Group: l.group, number: n, kind: k})
}

// implied is a number whose default means the same as writing it.
func (l *list) implied(path string, n design.Number, k quantity.Kind) {
	l.number(path, n, k)
	l.values[len(l.values)-1].implied = true
}

// begin opens a named thing; what follows belongs to it until it ends.
func (l *list) begin(path, words string) {
	l.group = ""
	l.word(path, words)
	l.group = path
}

func (l *list) end() { l.group = "" }

func yes(b bool, word string) string {
	if b {
		return word
	}
	return ""
}

// Values are all values of a design by their paths.
func Values(d *design.Design) []Value {
	l := &list{}
	l.word("title", d.Title)
	l.part(d)
	for _, load := range d.Loads {
		path := "loads." + load.Component.String()
		l.begin(path, "there")
		l.number(path+".rated", load.Rated, load.Component.Kind())
		l.word(path+".use", map[bool]string{true: "measure", false: "reject"}[load.Measure])
		l.end()
	}
	l.implied("overload", d.Overload, quantity.Number)
	l.number("cycles", d.Cycles, quantity.Number)
	t := &d.Temperature
	l.implied("temperature.reference", t.Reference, quantity.Temperature)
	if t.HasRange {
		l.number("temperature.range[0]", t.Low, quantity.Temperature)
		l.number("temperature.range[1]", t.High, quantity.Temperature)
	}
	l.number("temperature.gradient.across", t.Across, quantity.TemperatureDifference)
	l.number("temperature.gradient.toward", t.Toward, quantity.Angle)
	l.number("temperature.gradient.along", t.Along, quantity.TemperatureGradient)
	for i := range d.Gauges {
		l.gauge(&d.Gauges[i])
	}
	for i := range d.Placements {
		l.placement(d, &d.Placements[i])
	}
	l.implied("placement-tolerance.station", d.Tolerance.Station, quantity.Length)
	l.implied("placement-tolerance.around", d.Tolerance.Around, quantity.Angle)
	l.implied("placement-tolerance.direction", d.Tolerance.Direction, quantity.Angle)
	for i := range d.Bridges {
		l.bridge(d, &d.Bridges[i])
	}
	l.leads("leads", d.Leads)
	n := &d.Instrument
	l.number("instrument.noise", n.Noise, quantity.Voltage)
	l.number("instrument.bandwidth", n.Bandwidth, quantity.Frequency)
	l.number("instrument.input-resistance", n.InputResistance, quantity.Resistance)
	l.number("instrument.resolution", n.Resolution, quantity.Voltage)
	for i, s := range d.Shunts {
		path := fmt.Sprintf("shunt[%d]", i)
		l.begin(path, "there")
		l.number(path+".resistor", s.Resistor, quantity.Resistance)
		l.word(path+".arm", fmt.Sprint(s.Arm))
		l.word(path+".at", map[bool]string{true: "instrument", false: "part"}[s.AtInstrument])
		l.end()
	}
	l.rest(d)
	return l.values
}

func (l *list) part(d *design.Design) {
	p, m := &d.Part, &d.Part.Material
	for _, w := range [][2]string{{"number", p.Number}, {"maker", p.Maker}, {"serial", p.Serial}, {"drawing", p.Drawing}, {"revision", p.Revision},
		{"date", p.Date}, {"note", p.Note}, {"ends", map[bool]string{true: "open", false: "closed"}[p.OpenEnds]}, {"transmission", p.Transmission}} {
		l.word("part."+w[0], w[1])
	}
	l.word("part.material", m.Name+yes(m.BuiltIn, " (built-in)"))
	for _, n := range []struct {
		key  string
		n    design.Number
		kind quantity.Kind
	}{
		{"youngs-modulus", m.Youngs, quantity.Stress}, {"poisson-ratio", m.Poisson, quantity.Number}, {"shear-modulus", m.Shear, quantity.Stress},
		{"density", m.Density, quantity.Density}, {"expansion", m.Expansion, quantity.PerKelvin}, {"yield", m.Yield, quantity.Stress},
		{"ultimate", m.Ultimate, quantity.Stress}, {"endurance", m.Endurance, quantity.Stress},
		{"youngs-drift", m.YoungsDrift, quantity.PerKelvin}, {"shear-drift", m.ShearDrift, quantity.PerKelvin},
	} {
		l.number("part.material."+n.key, n.n, n.kind)
	}
	l.word("part.material.source", m.Source)
	l.word("part.section.shape", p.Section.Shape)
	shape, _ := section.Find(p.Section.Shape)
	for i, n := range p.Section.Dimensions {
		key, kind := fmt.Sprintf("dimension %d", i+1), quantity.Length
		if i < len(shape.Dimensions) {
			key, kind = shape.Dimensions[i].Key, shape.Dimensions[i].Kind
		}
		path := "part.section." + key
		if n.Place.Path != "" { // of a list, such as the points of an outline
			path = n.Place.Path
		}
		l.number(path, n, kind)
	}
	l.number("part.straight-length.from", p.StraightLength.From, quantity.Length)
	l.number("part.straight-length.to", p.StraightLength.To, quantity.Length)
	l.number("part.speed", p.Speed, quantity.RotationalSpeed)
	for i, n := range p.EndInertias {
		l.number(fmt.Sprintf("part.end-inertias[%d]", i), n, quantity.Inertia)
	}
	for i, f := range p.Features {
		path := fmt.Sprintf("part.features[%d]", i)
		l.begin(path, f.Name)
		l.number(path+".station", f.Station, quantity.Length)
		l.number(path+".factor.torque", f.Torque, quantity.Number)
		l.number(path+".factor.bending", f.Bending, quantity.Number)
		l.number(path+".factor.axial", f.Axial, quantity.Number)
		l.end()
	}
}

// numbers are a list for which one value may stand.
func (l *list) numbers(path string, all []design.Number, k quantity.Kind) {
	for i, n := range all {
		l.implied(fmt.Sprintf("%s[%d]", path, i), n, k)
		l.values[len(l.values)-1].list = path
	}
}

func (l *list) gauge(g *design.Gauge) {
	path := "gauges." + g.Name
	l.begin(path, g.Pattern)
	l.word(path+".numbered", map[bool]string{true: "counterclockwise", false: "clockwise"}[g.CounterClockwise])
	for i, v := range g.Directions {
		l.number(fmt.Sprintf("%s.directions[%d]", path, i), design.Number{Value: quantity.Exact(v), Set: true}, quantity.Angle)
	}
	l.number(path+".grid.length", g.GridLength, quantity.Length)
	l.number(path+".grid.width", g.GridWidth, quantity.Length)
	for i, c := range g.Centres {
		l.implied(fmt.Sprintf("%s.centres[%d][0]", path, i), c[0], quantity.Length)
		l.implied(fmt.Sprintf("%s.centres[%d][1]", path, i), c[1], quantity.Length)
	}
	if g.Backing.Set { // else it follows from the grids
		l.number(path+".backing.length", g.Backing.Length, quantity.Length)
		l.number(path+".backing.width", g.Backing.Width, quantity.Length)
	}
	l.numbers(path+".resistance", g.Resistance, quantity.Resistance)
	l.numbers(path+".gauge-factor", g.GaugeFactor, quantity.Number)
	l.implied(path+".gauge-factor-scatter", g.Scatter, quantity.Ratio)
	l.numbers(path+".transverse-sensitivity", g.Transverse, quantity.Ratio)
	l.number(path+".gauge-factor-drift", g.Drift, quantity.PerKelvin)
	l.implied(path+".stand-off", g.StandOff, quantity.Length)
	l.number(path+".stand-off-expansion", g.StandOffExpansion, quantity.PerKelvin)
	l.implied(path+".stand-off-poisson", g.StandOffPoisson, quantity.Number)
	t := &g.Thermal
	l.word(path+".thermal-output", yes(t.Set, map[bool]string{true: "fahrenheit", false: "celsius"}[t.Fahrenheit]))
	for i, c := range t.Coefficients {
		l.number(fmt.Sprintf("%s.thermal-output.coefficients[%d]", path, i), c, quantity.Number)
	}
	l.implied(path+".thermal-output.for-factor", t.ForFactor, quantity.Number)
	l.number(path+".thermal-output.for-expansion", t.ForExpansion, quantity.PerKelvin)
	l.number(path+".thermal-output.spread", t.Spread, quantity.PerKelvin)
	l.number(path+".power-density", g.PowerDensity, quantity.PowerDensity)
	l.word(path+".heat-sink", g.HeatSink)
	l.number(path+".max-strain", g.MaxStrain, quantity.Strain)
	l.word(path+".lot", g.Lot)
	l.end()
}

func (l *list) placement(d *design.Design, p *design.Placement) {
	path := "placements." + p.Name
	l.begin(path, "gauge "+d.Gauges[p.Gauge].Name)
	l.implied(path+".station", p.Station, quantity.Length)
	l.number(path+".around", p.Around, quantity.Angle)
	l.word(path+".face", p.Face)
	l.implied(path+".across", p.Across, quantity.Length)
	l.implied(path+".direction", p.Direction, quantity.Angle)
	m := &p.Measured
	l.number(path+".measured.station", m.Station, quantity.Length)
	l.number(path+".measured.around", m.Around, quantity.Angle)
	l.number(path+".measured.across", m.Across, quantity.Length)
	l.number(path+".measured.direction", m.Direction, quantity.Angle)
	for i, n := range m.Resistance {
		l.number(fmt.Sprintf("%s.measured.resistance[%d]", path, i), n, quantity.Resistance)
	}
	l.end()
}

func (l *list) bridge(d *design.Design, b *design.Bridge) {
	path := "bridges." + b.Name
	l.begin(path, "measures "+b.Measures.String())
	for i, a := range b.Arms {
		arm := fmt.Sprintf("%s.arms[%d]", path, i)
		if a.Fixed() {
			l.number(arm, a.Resistor, quantity.Resistance)
			l.implied(arm+".tcr", a.TCR, quantity.PerKelvin)
			continue
		}
		var names []string
		for _, g := range a.Grids {
			names = append(names, d.GridName(g))
		}
		l.word(arm, strings.Join(names, " + "))
	}
	l.number(path+".excitation", b.Excitation, quantity.Voltage)
	own, all := b.Leads, d.Leads
	own.Place, all.Place = design.Place{}, design.Place{}
	own.Each.Place, all.Each.Place = design.Place{}, design.Place{}
	if own != all {
		l.leads(path+".leads", b.Leads)
	}
	l.end()
}

func (l *list) leads(path string, w design.Leads) {
	if w.Wires == 0 && !w.Each.Set && !w.AtInstrument && !w.FollowPart {
		return
	}
	l.word(path+".wires", fmt.Sprint(w.Wires))
	l.number(path+".each", w.Each, quantity.Resistance)
	l.word(path+".completion", map[bool]string{true: "instrument", false: "part"}[w.AtInstrument])
	l.word(path+".follow", map[bool]string{true: "part", false: "none"}[w.FollowPart])
}

func (l *list) rest(d *design.Design) {
	q := &d.Require
	for _, r := range []struct {
		path string
		n    design.Number
		kind quantity.Kind
	}{
		{"rated-output.at-least", q.RatedOutput, quantity.VoltageRatio}, {"crosstalk.at-most", q.Crosstalk, quantity.Ratio},
		{"crosstalk-95.at-most", q.Crosstalk95, quantity.Ratio}, {"nonlinearity.at-most", q.Nonlinearity, quantity.Ratio},
		{"zero-drift.at-most", q.ZeroDrift, quantity.PerKelvin}, {"span-drift.at-most", q.SpanDrift, quantity.PerKelvin},
		{"uncertainty.at-most", q.Uncertainty, quantity.Ratio}, {"strain.at-most", q.Strain, quantity.Strain},
		{"yield-factor.at-least", q.YieldFactor, quantity.Number},
	} {
		l.number("require."+r.path, r.n, r.kind)
	}
	p := &d.Pick
	var gauges []string
	for _, g := range p.Gauges {
		gauges = append(gauges, d.Gauges[g].Name)
	}
	l.word("pick.gauges", strings.Join(gauges, ", "))
	l.word("pick.at-most", fmt.Sprint(p.AtMost))
	for i, k := range p.KeepOut {
		l.number(fmt.Sprintf("pick.keep-out[%d][0]", i), k.From, quantity.Angle)
		l.number(fmt.Sprintf("pick.keep-out[%d][1]", i), k.To, quantity.Angle)
	}
	for i, n := range p.Stations {
		l.implied(fmt.Sprintf("pick.stations[%d]", i), n, quantity.Length)
	}
	l.word("pick.fixed-arms", map[bool]string{true: "forbidden", false: "allowed"}[p.ForbidFixedArms])
	c := &d.Calibration
	l.number("calibration.standard-uncertainty", c.StandardUncertainty, quantity.Ratio)
	l.number("calibration.indicator-resolution", c.IndicatorResolution, quantity.VoltageRatio)
	l.number("calibration.indicator-uncertainty", c.IndicatorUncertainty, quantity.Ratio)
	l.word("calibration.limits", map[bool]string{true: "confirmed", false: "from-memory"}[c.LimitsConfirmed])
	l.word("assume", d.Assume)
}

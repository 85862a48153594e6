// Package designfile reads the YAML text of a design into package design's data,
// and splices a chosen arrangement back into the text. Every problem of a file
// is found in one run and carries line, column, the key's path and what would be
// right.
//
// It refuses what cannot be computed. It does not judge whether a design is a
// good one: package check does.
package designfile

import (
	"strconv"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// Version of the format that this package reads.
const Version = 1

// Read reads a design file. The error, if any, is Problems.
func Read(file string, text []byte) (*design.Design, error) {
	root, problems := parse(file, text)
	if len(problems) > 0 {
		return nil, problems.sorted()
	}
	r := &reader{file: file}
	r.placeholders(at{root, ""})
	d := r.design(at{root, ""})
	if len(r.problems) > 0 {
		return nil, r.problems.sorted()
	}
	return d, nil
}

// file is a design while it is read: names are resolved when all is there.
type file struct {
	design.Design
	r          *reader
	gauges     at
	placements at
	bridges    at
	pick       at
	leads      bool
	leadsRaw   leads
	doubtful   []string // placements that could not be read, so that their grids are not missed too
}

var designFields = []field[file]{
	{key: "gridwright", takes: "the format's version, 1", form: is(Whole{Low: 1, High: Version}), read: readVersion},
	text("title", func(f *file) *string { return &f.Title }),
	{key: "part", takes: "the part: material, section", form: mappingOf(partFields), read: func(r *reader, v at, f *file) { mapping(r, v, partFields, &f.Part) }},
	{key: "loads", takes: "the loads on the part", form: loadsForm, read: func(r *reader, v at, f *file) { r.loads(v, f) }},
	number("overload", quantity.Number, func(f *file) *design.Number { return &f.Overload }, atLeast(1)).as("a number such as 1.5"),
	number("cycles", quantity.Number, func(f *file) *design.Number { return &f.Cycles }, positive).as("a number such as 1e7"),
	{key: "temperature", takes: "reference, range, gradient", form: mappingOf(temperatureFields), read: func(r *reader, v at, f *file) { mapping(r, v, temperatureFields, &f.Temperature) }},
	{key: "gauges", takes: "the gauge types, by name", form: namesOf(mappingOf(gaugeFields)), read: func(r *reader, v at, f *file) { f.gauges = v }},
	{key: "placements", takes: "the bonded gauges, by name", form: namesOf(mappingOf(placementFields)), read: func(r *reader, v at, f *file) { f.placements = v }},
	{key: "placement-tolerance", takes: "station, around, direction", form: mappingOf(toleranceFields), read: func(r *reader, v at, f *file) { mapping(r, v, toleranceFields, &f.Tolerance) }},
	{key: "bridges", takes: "the bridges, by name", form: namesOf(mappingOf(bridgeFields)), read: func(r *reader, v at, f *file) { f.bridges = v }},
	{key: "leads", takes: "wires, each, completion, follow", form: mappingOf(leadFields), read: func(r *reader, v at, f *file) { f.leadsRaw, f.leads = r.leads(v) }},
	{key: "instrument", takes: "noise, bandwidth, input-resistance, resolution", form: mappingOf(instrumentFields), read: func(r *reader, v at, f *file) {
		mapping(r, v, instrumentFields, &f.Instrument)
		f.Instrument.Set = true
	}},
	{key: "shunt", takes: "a list of shunt resistors", form: listOf(mappingOf(shuntFields)), read: func(r *reader, v at, f *file) { r.shunts(v, f) }},
	{key: "require", takes: "the limits", form: mappingOf(requireFields), read: func(r *reader, v at, f *file) { mapping(r, v, requireFields, &f.Require) }},
	{key: "pick", takes: "what may be picked", form: mappingOf(pickFields), read: func(r *reader, v at, f *file) { f.pick = v }},
	{key: "calibration", takes: "standard-uncertainty, indicator-resolution, indicator-uncertainty", form: mappingOf(calibrationFields), read: func(r *reader, v at, f *file) { mapping(r, v, calibrationFields, &f.Calibration) }},
	choice("assume", []string{"common-practice"}, func(f *file, w string) { f.Assume = w }),
	choice("transmission", transmissions, func(f *file, w string) { f.Part.Transmission = w }),
}

func init() {
	for i, f := range designFields {
		switch f.key {
		case "gridwright", "title", "part", "loads":
			designFields[i].required = true
		}
	}
}

func readVersion(r *reader, v at, _ *file) {
	s, ok := r.scalar(v, "the format's version, 1")
	if !ok {
		return
	}
	n, err := strconv.Atoi(s)
	switch {
	case err != nil || n < 1:
		r.fail(v, "`%s` is no version of the format; write `gridwright: 1`", clip(s))
	case n > Version:
		r.fail(v, "version %d is newer than this program reads; use a newer program, or version %d", n, Version)
	}
}

// design reads the whole file: first every key, then what refers to names.
func (r *reader) design(v at) *design.Design {
	f := &file{r: r}
	f.Overload = implied(1)
	f.Temperature.Reference = implied(293.15)
	f.Tolerance = design.PlacementTolerance{Station: implied(0.5e-3), Around: implied(deg), Direction: implied(deg)}
	f.Pick.AtMost = 4
	mapping(r, v, designFields, f)
	f.readGauges()
	f.readPlacements()
	f.readBridges()
	f.readPick()
	if f.leads {
		f.Leads = f.leadsRaw.Leads
	}
	f.settle()
	return &f.Design
}

const deg = 3.14159265358979323846264338327950288 / 180

// implied is the value of a key that the file may leave out.
func implied(si float64) design.Number { return design.Number{Value: quantity.Exact(si)} }

// settle checks what only the whole file tells and fills documented defaults.
func (f *file) settle() {
	r, t := f.r, f.Temperature
	if t.HasRange && !(t.Low.SI < t.High.SI) {
		r.failAt(t.High.Place, "the range does not ascend; write the lower temperature first")
	}
	if len(f.Loads) > 0 {
		measured := false
		for _, l := range f.Loads {
			measured = measured || l.Measure
		}
		if !measured && len(f.Bridges) == 0 {
			r.failAt(f.Loads[0].Place, "no load is to be measured; give one `use: measure`")
		}
	}
	if len(f.Part.Section.Dimensions) > 0 {
		if s, err := section.Of(f.Part); err == nil {
			for _, l := range f.Loads {
				if err := s.Bears(l.Component); err != nil {
					r.failAt(l.Place, "%v; leave the load out, or write `shape: round-tube`", err)
				}
			}
		}
	}
	for i := range f.Gauges {
		g := &f.Gauges[i]
		if !g.Thermal.ForFactor.Set {
			g.Thermal.ForFactor.SI = 2
		}
		if !g.StandOffPoisson.Set {
			g.StandOffPoisson.SI = 0.35
		}
	}
}

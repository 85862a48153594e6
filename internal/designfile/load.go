package designfile

import (
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

var temperatureFields = []field[design.Temperature]{
	number("reference", quantity.Temperature, func(t *design.Temperature) *design.Number { return &t.Reference }),
	{key: "range", takes: "a list of two temperatures, such as [-10 °C, 60 °C]", form: listOf(quantityOf(quantity.Temperature), 2), read: func(r *reader, v at, t *design.Temperature) {
		if n, ok := r.numbers(v, quantity.Temperature, false, []int{2}, "a list of two temperatures, such as [-10 °C, 60 °C]"); ok {
			t.Low, t.High, t.HasRange = n[0], n[1], true
		}
	}},
	{key: "gradient", takes: "across, toward, along", form: mappingOf(gradientFields), read: func(r *reader, v at, t *design.Temperature) { mapping(r, v, gradientFields, t) }},
}

var gradientFields = []field[design.Temperature]{
	number("across", quantity.TemperatureDifference, func(t *design.Temperature) *design.Number { return &t.Across }),
	number("toward", quantity.Angle, func(t *design.Temperature) *design.Number { return &t.Toward }),
	number("along", quantity.TemperatureGradient, func(t *design.Temperature) *design.Number { return &t.Along }),
}

var toleranceFields = []field[design.PlacementTolerance]{
	number("station", quantity.Length, func(t *design.PlacementTolerance) *design.Number { return &t.Station }, notNegative),
	number("around", quantity.Angle, func(t *design.PlacementTolerance) *design.Number { return &t.Around }, notNegative),
	number("direction", quantity.Angle, func(t *design.PlacementTolerance) *design.Number { return &t.Direction }, notNegative),
}

// loads reads the load components, in canonical order whatever theirs.
func (r *reader) loads(v at, f *file) {
	names := design.ComponentNames()
	if !r.isMapping(v, func() []string { return names }) {
		return
	}
	if len(v.keys) == 0 {
		r.fail(v, "there is no load; write at least one of: %s", strings.Join(names, ", "))
	}
	byComponent := map[design.Component]design.Load{}
	for i, k := range v.keys {
		value := at{v.values[i], join(v.path, k.text)}
		c, ok := design.ParseComponent(k.text)
		if !ok {
			r.unknownKey(v, k, value, names)
			continue
		}
		if value.null {
			r.fail(at{k, value.path}, "the load has no values; write {rated: ..., use: measure} or leave it out")
			continue
		}
		l := design.Load{Component: c, Place: value.place()}
		mapping(r, value, loadFields(c), &l)
		if l.Measure && l.Rated.Set && l.Rated.SI == 0 {
			r.failAt(l.Rated.Place, "a load to be measured is rated zero; write its rated value")
		}
		byComponent[c] = l
	}
	for c := design.Component(0); c < design.Components; c++ {
		if l, ok := byComponent[c]; ok {
			f.Loads = append(f.Loads, l)
		}
	}
}

// loadsForm is what loads reads.
func loadsForm(path string) Form {
	m := Mapping{Least: 1}
	for c := design.Component(0); c < design.Components; c++ {
		k := Key{Name: c.String(), Path: join(path, c.String()), Takes: "{rated: ..., use: measure}"}
		k.Form = mappingOf(loadFields(c))(k.Path)
		k.About, k.Example = notes[k.Path].about, notes[k.Path].example
		m.Keys = append(m.Keys, k)
	}
	return m
}

func loadFields(c design.Component) []field[design.Load] {
	rules := []rule{finite}
	if c == design.Pressure {
		rules = append(rules, notNegative)
	}
	return []field[design.Load]{
		number("rated", c.Kind(), func(l *design.Load) *design.Number { return &l.Rated }, rules...).must(),
		choice("use", []string{"measure", "reject"}, func(l *design.Load, w string) { l.Measure = w == "measure" }),
	}
}

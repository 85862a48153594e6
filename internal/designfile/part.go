package designfile

import (
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/material"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

var transmissions = []string{"slip-ring", "telemetry"}

var partFields = []field[design.Part]{
	text("number", func(p *design.Part) *string { return &p.Number }),
	text("maker", func(p *design.Part) *string { return &p.Maker }),
	text("serial", func(p *design.Part) *string { return &p.Serial }),
	text("drawing", func(p *design.Part) *string { return &p.Drawing }),
	text("revision", func(p *design.Part) *string { return &p.Revision }),
	text("date", func(p *design.Part) *string { return &p.Date }),
	text("note", func(p *design.Part) *string { return &p.Note }),
	{key: "material", required: true, takes: "the name of a built-in material, or its values", read: readMaterial},
	{key: "section", required: true, takes: "shape and dimensions", read: readSection},
	{key: "straight-length", takes: "from and to", read: func(r *reader, v at, p *design.Part) {
		mapping(r, v, spanFields, &p.StraightLength)
		s := &p.StraightLength
		s.Set = s.From.Set && s.To.Set
		if s.Set && !(s.From.SI < s.To.SI) {
			r.fail(v, "the straight length does not ascend; write the smaller station as `from`")
		}
	}},
	choice("ends", []string{"closed", "open"}, func(p *design.Part, w string) { p.OpenEnds = w == "open" }),
	number("speed", quantity.RotationalSpeed, func(p *design.Part) *design.Number { return &p.Speed }, notNegative),
	choice("transmission", transmissions, func(p *design.Part, w string) { p.Transmission = w }),
	{key: "end-inertias", takes: "a list of two inertias, such as [0.02 kg·m², 0.5 kg·m²]", read: func(r *reader, v at, p *design.Part) {
		if n, ok := r.numbers(v, quantity.Inertia, false, []int{2}, "a list of two inertias, such as [0.02 kg·m², 0.5 kg·m²]", positive); ok {
			p.EndInertias, p.HasEndInertias = [2]design.Number{n[0], n[1]}, true
		}
	}},
	{key: "features", takes: "a list of steps, holes and the like", read: func(r *reader, v at, p *design.Part) {
		items, _ := r.list(v, "a list of {name, station, factor}")
		for _, item := range items {
			f := design.Feature{Place: item.place()}
			mapping(r, item, featureFields, &f)
			p.Features = append(p.Features, f)
		}
	}},
}

var spanFields = []field[design.Span]{
	number("from", quantity.Length, func(s *design.Span) *design.Number { return &s.From }).must(),
	number("to", quantity.Length, func(s *design.Span) *design.Number { return &s.To }).must(),
}

var featureFields = []field[design.Feature]{
	text("name", func(f *design.Feature) *string { return &f.Name }).must(),
	number("station", quantity.Length, func(f *design.Feature) *design.Number { return &f.Station }).must(),
	{key: "factor", takes: "stress concentration factors for torque, bending, axial", read: func(r *reader, v at, f *design.Feature) {
		mapping(r, v, factorFields, f)
	}},
}

var factorFields = []field[design.Feature]{
	number("torque", quantity.Number, func(f *design.Feature) *design.Number { return &f.Torque }, atLeast(1)),
	number("bending", quantity.Number, func(f *design.Feature) *design.Number { return &f.Bending }, atLeast(1)),
	number("axial", quantity.Number, func(f *design.Feature) *design.Number { return &f.Axial }, atLeast(1)),
}

var materialFields = []field[design.Material]{
	text("name", func(m *design.Material) *string { return &m.Name }),
	number("youngs-modulus", quantity.Stress, func(m *design.Material) *design.Number { return &m.Youngs }, modulus).must(),
	number("poisson-ratio", quantity.Number, func(m *design.Material) *design.Number { return &m.Poisson }, between(0, 0.5, "between 0 and 0.5, its tolerance included")).as("a number such as 0.29").must(),
	number("shear-modulus", quantity.Stress, func(m *design.Material) *design.Number { return &m.Shear }, modulus),
	number("density", quantity.Density, func(m *design.Material) *design.Number { return &m.Density }, positive),
	number("expansion", quantity.PerKelvin, func(m *design.Material) *design.Number { return &m.Expansion }),
	number("yield", quantity.Stress, func(m *design.Material) *design.Number { return &m.Yield }, positive),
	number("ultimate", quantity.Stress, func(m *design.Material) *design.Number { return &m.Ultimate }, positive),
	number("endurance", quantity.Stress, func(m *design.Material) *design.Number { return &m.Endurance }, positive),
	number("youngs-drift", quantity.PerKelvin, func(m *design.Material) *design.Number { return &m.YoungsDrift }),
	number("shear-drift", quantity.PerKelvin, func(m *design.Material) *design.Number { return &m.ShearDrift }),
	text("source", func(m *design.Material) *string { return &m.Source }),
}

func readMaterial(r *reader, v at, p *design.Part) {
	p.Material.Place = v.place()
	if v.kind != scalarNode {
		mapping(r, v, materialFields, &p.Material)
		return
	}
	m, ok := material.Find(v.text)
	if !ok {
		if near := quantity.Nearest(v.text, material.IDs()); near != "" {
			r.fail(v, "no built-in material `%s`; did you mean `%s`?", clip(v.text), near)
			return
		}
		r.fail(v, "no built-in material `%s`; write one of %s, or a mapping with youngs-modulus, poisson-ratio and more", clip(v.text), strings.Join(material.IDs(), ", "))
		return
	}
	p.Material = builtIn(m, v.place())
}

// builtIn turns an entry of the materials' table into the design's material. Its
// values are exact unless the file assumes common practice; G follows from E and
// ν, of which the table's G is a rounded copy.
func builtIn(m material.Material, place design.Place) design.Material {
	n := func(f material.Figure) design.Number {
		return design.Number{Value: quantity.Exact(f.Value), Set: f.Set}
	}
	at := func(f material.Figure, key string) design.Number {
		out := n(f)
		out.Place = design.Place{Path: place.Path + "." + key, Line: place.Line, Column: place.Column}
		return out
	}
	return design.Material{
		Name: m.ID, BuiltIn: true, Place: place, Source: "built-in table: " + m.Name,
		Youngs: at(m.E, "youngs-modulus"), Poisson: at(m.Poisson, "poisson-ratio"), Density: at(m.Density, "density"),
		Expansion: at(m.Expansion, "expansion"), Yield: at(m.Yield, "yield"), Ultimate: at(m.Ultimate, "ultimate"),
		Endurance: at(m.Endurance, "endurance"), YoungsDrift: at(m.YoungsDrift, "youngs-drift"), ShearDrift: at(m.ShearDrift, "shear-drift"),
	}
}

// readSection reads shape first, then the dimensions that the shape has.
func readSection(r *reader, v at, p *design.Part) {
	p.Section.Place = v.place()
	names := make([]string, len(section.Shapes))
	for i, s := range section.Shapes {
		names[i] = s.Name
	}
	shapeKey := choice("shape", names, func(s *design.Section, w string) { s.Shape = w }).must()
	if !r.isMapping(v, func() []string { return []string{"shape", "its dimensions"} }) {
		return
	}
	for i, k := range v.keys {
		if k.text == "shape" && !v.values[i].null {
			before := len(r.problems)
			shapeKey.read(r, at{v.values[i], join(v.path, "shape")}, &p.Section)
			if len(r.problems) > before {
				return
			}
		}
	}
	shape, ok := section.Find(p.Section.Shape)
	if !ok {
		r.problems = append(r.problems, Problem{r.file, v.line, v.column, join(v.path, "shape"), "the key is missing; write `shape:` with one of: " + strings.Join(names, ", ")})
		return
	}
	p.Section.Dimensions = make([]design.Number, len(shape.Dimensions))
	fields := []field[design.Section]{{key: "shape", required: true, takes: shapeKey.takes, read: func(*reader, at, *design.Section) {}}}
	for i, d := range shape.Dimensions {
		fields = append(fields, number(d.Key, d.Kind, func(s *design.Section) *design.Number { return &s.Dimensions[i] }, partSize).must())
	}
	before := len(r.problems)
	for i, k := range v.keys {
		if other := shapeWith(k.text); other != "" && !has(fields, k.text) {
			r.fail(at{v.keys[i], join(v.path, k.text)}, "shape %s has no %s; leave it out, or write `shape: %s`", shape.Name, k.text, other)
			return
		}
	}
	mapping(r, v, fields, &p.Section)
	if len(r.problems) > before {
		return
	}
	dims := make([]float64, len(p.Section.Dimensions))
	for i, n := range p.Section.Dimensions {
		dims[i] = n.SI
	}
	if err := shape.New(false).Set(dims, 0.3); err != nil {
		r.fail(v, "%v; write dimensions that do, such as %s", err, shape.Example)
	}
}

// shapeWith names a shape that has a dimension of that key, "" when none has.
func shapeWith(key string) string {
	for _, s := range section.Shapes {
		for _, d := range s.Dimensions {
			if d.Key == key {
				return s.Name
			}
		}
	}
	return ""
}

func has[T any](fields []field[T], key string) bool {
	_, ok := find(fields, key)
	return ok
}

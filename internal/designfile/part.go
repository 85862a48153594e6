package designfile

import (
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/material"
	"gridwright/internal/quantity"
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
	{key: "material", required: true, takes: "the name of a built-in material, or its values", form: oneOf(materialNames, mappingOf(materialFields)), read: readMaterial},
	{key: "section", required: true, takes: "shape and dimensions", form: sectionForm, read: readSection},
	{key: "straight-length", takes: "from and to", form: mappingOf(spanFields), read: func(r *reader, v at, p *design.Part) {
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
	{key: "end-inertias", takes: "a list of two inertias, such as [0.02 kg·m², 0.5 kg·m²]", form: listOf(quantityOf(quantity.Inertia, positive), 2), read: func(r *reader, v at, p *design.Part) {
		if n, ok := r.numbers(v, quantity.Inertia, false, []int{2}, "a list of two inertias, such as [0.02 kg·m², 0.5 kg·m²]", positive); ok {
			p.EndInertias, p.HasEndInertias = [2]design.Number{n[0], n[1]}, true
		}
	}},
	{key: "features", takes: "a list of steps, holes and the like", form: listOf(mappingOf(featureFields)), read: func(r *reader, v at, p *design.Part) {
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
	{key: "factor", takes: "stress concentration factors for torque, bending, axial", form: mappingOf(factorFields), read: func(r *reader, v at, f *design.Feature) {
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

func materialNames(string) Form { return Words{List: material.IDs(), AnyCase: true} }

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

func has[T any](fields []field[T], key string) bool {
	_, ok := find(fields, key)
	return ok
}

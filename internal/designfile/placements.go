package designfile

import (
	"gridwright/internal/design"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// placementText is a placement while it is read.
type placementText struct {
	design.Placement
	gauge, resistance, face, across at
}

var measuredFields = []field[placementText]{
	number("station", quantity.Length, func(p *placementText) *design.Number { return &p.Measured.Station }),
	number("around", quantity.Angle, func(p *placementText) *design.Number { return &p.Measured.Around }),
	number("across", quantity.Length, func(p *placementText) *design.Number { return &p.Measured.Across }),
	number("direction", quantity.Angle, func(p *placementText) *design.Number { return &p.Measured.Direction }),
	{key: "resistance", takes: "a list of the resistance of each grid", form: listOf(quantityOf(quantity.Resistance, positive)), read: func(_ *reader, v at, p *placementText) { p.resistance = v }},
}

var placementFields = []field[placementText]{
	{key: "gauge", required: true, takes: "the name of a gauge", form: is(Name{Of: "gauge"}), read: func(_ *reader, v at, p *placementText) { p.gauge = v }},
	number("station", quantity.Length, func(p *placementText) *design.Number { return &p.Station }),
	number("around", quantity.Angle, func(p *placementText) *design.Number { return &p.Around }),
	{key: "face", takes: "the face of a flat-sided part", form: oneOf(is(Words{List: []string{"+y", "-y", "+z", "-z"}}), is(Whole{Low: 1, High: 1000})), read: func(_ *reader, v at, p *placementText) { p.face = v }},
	{key: "across", takes: "the distance from the middle of the face", form: quantityOf(quantity.Length), read: func(_ *reader, v at, p *placementText) { p.across = v }},
	number("direction", quantity.Angle, func(p *placementText) *design.Number { return &p.Direction }),
	{key: "measured", takes: "station, around, direction, resistance as bonded", form: mappingOf(measuredFields), read: func(r *reader, v at, p *placementText) { mapping(r, v, measuredFields, p) }},
}

func (f *file) gaugeNames() []string {
	names := make([]string, len(f.Gauges))
	for i, g := range f.Gauges {
		names[i] = g.Name
	}
	return names
}

// gaugeIndex resolves the name of a gauge.
func (f *file) gaugeIndex(v at) (int, bool) {
	name, ok := f.r.scalar(v, "the name of a gauge")
	if !ok {
		return 0, false
	}
	for i, g := range f.Gauges {
		if g.Name == name {
			return i, true
		}
	}
	if near := quantity.Nearest(name, f.gaugeNames()); near != "" {
		f.r.fail(v, "no gauge `%s`; did you mean `%s`?", clip(name), near)
	} else {
		f.r.fail(v, "no gauge `%s`; define it under `gauges`", clip(name))
	}
	return 0, false
}

func (f *file) readPlacements() {
	r := f.r
	grids := map[string]string{}
	r.named(f.placements, "gauge and place", func(name string, v at) {
		p := placementText{}
		p.Name, p.Place = name, v.place()
		before := len(r.problems)
		mapping(r, v, placementFields, &p)
		f.place(v, &p, before)
		if p.gauge.node != nil {
			if i, ok := f.gaugeIndex(p.gauge); ok {
				p.Gauge = i
			}
		}
		if len(r.problems) > before || p.Gauge < len(f.Gauges) && len(f.Gauges[p.Gauge].Directions) == 0 {
			f.doubtful = append(f.doubtful, name)
		}
		if len(r.problems) == before {
			f.settlePlacement(v, &p)
			for k := range f.Gauges[p.Gauge].Directions {
				grid := gridName(name, k)
				if other, ok := grids[grid]; ok {
					r.fail(v, "grid %s of this placement has the same name as one of %s; rename a placement", grid, other)
				}
				grids[grid] = name
			}
		}
		f.Placements = append(f.Placements, p.Placement)
	})
}

// settlePlacement reads what needs the gauge, and checks that the grids wrap.
func (f *file) settlePlacement(v at, p *placementText) {
	r, g := f.r, &f.Gauges[p.Gauge]
	if p.resistance.node != nil {
		n, ok := r.numbers(p.resistance, quantity.Resistance, false, []int{len(g.Directions)}, "a list of one resistance for each grid", positive)
		if ok {
			p.Measured.Resistance = n
		}
	}
	if len(f.Part.Section.Dimensions) == 0 || len(g.Directions) == 0 {
		return // said already
	}
	s, err := section.Of(f.Part)
	if err != nil {
		return // said already
	}
	f.checkReach(v, p, s)
}

// place reads where on the girth a placement sits: by its angle, or on a flat-sided
// part by the face.
func (f *file) place(v at, p *placementText, before int) {
	r := f.r
	if p.face.node == nil && p.Measured.Across.Set {
		r.failAt(p.Measured.Across.Place, "`across` counts from the middle of a face, and the placement gives none; write `around:`")
	}
	if p.face.node != nil && p.Measured.Around.Set {
		r.failAt(p.Measured.Around.Place, "the placement lies on a face; write `across:` with the distance measured from the middle of the face")
	}
	if p.face.node == nil && p.across.node == nil {
		if !p.Around.Set && len(r.problems) == before {
			r.problems = append(r.problems, Problem{r.file, v.line, v.column, join(v.path, "around"), "the key is missing; write `around:` with the angle on the part, such as 90°" + f.orFace()})
		}
		return
	}
	if len(f.Part.Section.Dimensions) == 0 {
		return // the section is wrong, which is said
	}
	s, err := section.Of(f.Part)
	if err != nil {
		return
	}
	if !flatSided(s) {
		what := "a round part has no faces"
		if section.Joints(s, 0) != nil {
			what = "the section has no flat faces"
		}
		for _, flat := range []at{p.face, p.across} {
			if flat.node != nil {
				r.fail(flat, "%s; write `around:` with an angle", what)
			}
		}
		return
	}
	f.onFace(v, p, s)
}

func flatSided(s section.Section) bool {
	for _, face := range s.Faces() {
		if face.Straight {
			return true
		}
	}
	return false
}

// orFace is the other way of saying where, on parts that have faces.
func (f *file) orFace() string {
	if len(f.Part.Section.Dimensions) == 0 {
		return ""
	}
	if s, err := section.Of(f.Part); err == nil && flatSided(s) {
		return ", or `face:` with the face, such as +y"
	}
	return ""
}

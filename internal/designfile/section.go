package designfile

import (
	"math"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// sectionText is a section while it is read: the dimensions in their order, and
// for each list of the shape the numbers of its entries, list by list.
type sectionText struct {
	dimensions []design.Number
	lists      [][][]design.Number
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
	text := sectionText{dimensions: make([]design.Number, len(shape.Dimensions)), lists: make([][][]design.Number, len(shape.Lists))}
	for i, d := range shape.Dimensions {
		text.dimensions[i].SI = d.Default
	}
	fields := sectionFields(shape, shapeKey.takes)
	before := len(r.problems)
	for i, k := range v.keys {
		if other := shapeWith(k.text); other != "" && !has(fields, k.text) {
			r.fail(at{v.keys[i], join(v.path, k.text)}, "shape %s has no %s; leave it out, or write `shape: %s`", shape.Name, k.text, other)
			return
		}
	}
	mapping(r, v, fields, &text)
	if len(r.problems) > before {
		return
	}
	p.Section.Dimensions = text.dimensions
	for i, lists := range text.lists {
		for _, l := range lists {
			p.Section.Counts = append(p.Section.Counts, len(l)/len(shape.Lists[i].Fields))
			p.Section.Dimensions = append(p.Section.Dimensions, l...)
		}
	}
	if _, err := section.Of(*p); err != nil {
		r.fail(v, "%v; write dimensions that do, such as %s", err, shape.Example)
		p.Section.Dimensions = nil
	}
}

// sectionFields are the keys of a section of one shape; the shape itself is read
// before them.
func sectionFields(shape section.Shape, takes string) []field[sectionText] {
	fields := []field[sectionText]{{key: "shape", required: true, takes: takes, form: is(Words{List: []string{shape.Name}}), read: func(*reader, at, *sectionText) {}}}
	for i, d := range shape.Dimensions {
		f := dimension(d, func(s *sectionText) *design.Number { return &s.dimensions[i] })
		if !d.Optional {
			f = f.must()
		}
		fields = append(fields, f)
	}
	for i := range shape.Lists {
		fields = append(fields, sectionList(&shape.Lists[i], i))
	}
	return fields
}

// dimension is the field of one number of a section.
func dimension[T any](d section.Dimension, to func(*T) *design.Number) field[T] {
	if d.Whole {
		return wholeDimension(d, to)
	}
	return number(d.Key, d.Kind, to, dimensionRules(d)...)
}

// dimensionRules are those of a number that is no count.
func dimensionRules(d section.Dimension) []rule {
	switch {
	case d.Kind != quantity.Length:
		return nil
	case d.Optional:
		return []rule{notNegative, reachable}
	}
	return []rule{partSize}
}

// reachable wants a distance within what a part can have.
func reachable(n design.Number) string {
	if abs(n.SI) > 100 {
		return "no part has this; write a value of 100 m at most"
	}
	return ""
}

// mostSides bounds a count of sides: beyond it a round section is meant.
const mostSides = 1000

func wholeDimension[T any](d section.Dimension, to func(*T) *design.Number) field[T] {
	takes := "a whole number of " + d.Key + " from 3"
	return field[T]{key: d.Key, takes: takes, form: is(Whole{Low: 3, High: mostSides}), read: func(r *reader, v at, dst *T) {
		text, ok := r.scalar(v, takes)
		if !ok {
			return
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 3 || n > mostSides {
			r.fail(v, "`%s` is no number of %s; write a whole number from 3 to %d", clip(text), d.Key, mostSides)
			return
		}
		*to(dst) = design.Number{Value: quantity.Exact(float64(n)), Set: true, Place: v.place()}
	}}
}

// mostEntries bounds the entries of all lists of a section.
const mostEntries = 2000

// sectionList is the field of a list of a shape.
func sectionList(l *section.List, index int) field[sectionText] {
	what := "a list of " + entryInWords(l)
	if l.Nested {
		what = "a list of such lists of " + entryInWords(l)
	}
	form := listOfUpTo(l.AtLeast, mostEntries, entryForm(l))
	if l.Nested {
		form = listOfUpTo(0, mostEntries, form)
	}
	return field[sectionText]{key: l.Key, required: !l.Optional, takes: what, form: form, read: func(r *reader, v at, dst *sectionText) {
		items := []at{v}
		if l.Nested {
			var ok bool
			if items, ok = r.list(v, what); !ok {
				return
			}
		}
		for _, item := range items {
			if n, ok := sectionEntries(r, item, l); ok {
				dst.lists[index] = append(dst.lists[index], n)
			}
		}
	}}
}

func entryInWords(l *section.List) string {
	var keys []string
	for _, f := range l.Fields {
		keys = append(keys, f.Key)
	}
	if l.Pairs {
		return "[" + strings.Join(keys, ", ") + "]"
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

func entryForm(l *section.List) formOf {
	if l.Pairs {
		return listOf(quantityOf(quantity.Length, reachable), len(l.Fields))
	}
	return func(path string) Form { return Mapping{Keys: keys(path, entryFields(l))} }
}

func entryFields(l *section.List) []field[[]design.Number] {
	var fields []field[[]design.Number]
	for i, f := range l.Fields {
		fields = append(fields, dimension(f, func(n *[]design.Number) *design.Number { return &(*n)[i] }).must())
	}
	return fields
}

// sectionEntries reads one list of entries into their numbers, one after the other.
func sectionEntries(r *reader, v at, l *section.List) ([]design.Number, bool) {
	what := "a list of " + entryInWords(l)
	items, ok := r.list(v, what)
	if !ok {
		return nil, false
	}
	if len(items) < l.AtLeast || len(items) > mostEntries {
		r.fail(v, "the list has %d entries; write from %d to %d", len(items), l.AtLeast, mostEntries)
		return nil, false
	}
	var out []design.Number
	good := true
	for _, item := range items {
		if l.Pairs {
			n, ok := r.numbers(item, quantity.Length, false, []int{len(l.Fields)}, entryInWords(l)+" with units", reachable)
			good = good && ok
			out = append(out, n...)
			continue
		}
		entry := make([]design.Number, len(l.Fields))
		before := len(r.problems)
		mapping(r, item, entryFields(l), &entry)
		good = good && len(r.problems) == before
		out = append(out, entry...)
	}
	return out, good
}

// sectionForm is a mapping for each shape of the table.
func sectionForm(path string) Form {
	var out OneOf
	for _, s := range section.Shapes {
		out = append(out, Mapping{Keys: keys(path, sectionFields(s, "the shape of the section"))})
	}
	return out
}

// shapeWith names a shape that has a dimension or a list of that key, "" when none
// has.
func shapeWith(key string) string {
	for _, s := range section.Shapes {
		for _, d := range s.Dimensions {
			if d.Key == key {
				return s.Name
			}
		}
		for _, l := range s.Lists {
			if l.Key == key {
				return s.Name
			}
		}
	}
	return ""
}

// onFace reads where a placement of a flat-sided part sits: the face, and how far
// from its middle. It returns false when something is wrong with it.
func (f *file) onFace(v at, p *placementText, s section.Section) bool {
	r := f.r
	if p.face.node == nil {
		if p.across.node != nil {
			r.fail(p.across, "`across` counts from the middle of a face; write `face:` too, or `around:` alone")
			return false
		}
		return true
	}
	if p.Around.Set {
		r.fail(p.face, "a placement has either `face` and `across`, or `around`; leave one out")
		return false
	}
	name, ok := r.scalar(p.face, "the face, such as +y, or the number of an edge")
	if !ok {
		return false
	}
	i, err := section.FaceNamed(s, name)
	if err != nil {
		r.fail(p.face, "%v", err)
		return false
	}
	p.Placement.Face, p.Placement.FaceIndex = name, i
	if p.across.node != nil {
		n, ok := r.quantity(p.across, quantity.Length)
		if !ok {
			return false
		}
		p.Placement.Across = n
	} else {
		p.Placement.Across.Place = design.Place{Path: join(v.path, "across")}
	}
	return true
}

// checkReach refuses grids that lie over the end of a face, or wrap more than half
// of the part.
func (f *file) checkReach(v at, p *placementText, s section.Section) {
	r, g := f.r, &f.Gauges[p.Gauge]
	station, around, turned := p.AsBonded(f.Tolerance)
	across := p.AcrossAsBonded(f.Tolerance)
	base := s.Around(around.SI)
	if p.Face != "" {
		base = s.OnFace(p.FaceIndex, across.SI)
	} else if err := s.Meets(around.SI); err != nil {
		r.fail(v, "%v", err)
		return
	}
	sinP, cosP := math.Sincos(turned.SI)
	for k, dir := range g.Directions {
		patch := gridPatch(g, k, station.SI, base, sinP, cosP, dir)
		if err := s.Within(&patch); err != nil {
			r.fail(v, "grid %s %v; choose a smaller gauge or another place", gridName(p.Name, k), err)
		}
	}
}

// gridPatch is the rectangle of grid k of a gauge at a place.
func gridPatch(g *design.Gauge, k int, station float64, base section.Coordinate, sinP, cosP, dir float64) section.Patch {
	sin, cos := math.Sincos(dir)
	dx, ds := gauge.Offset(g.Centres[k][0].SI, g.Centres[k][1].SI, sinP, cosP)
	return section.Patch{
		Centre:  section.Coordinate{Loop: base.Loop, S: base.S + ds},
		Station: station + dx,
		Sin:     sinP*cos + cosP*sin, Cos: cosP*cos - sinP*sin,
		Length: g.GridLength.SI, Width: g.GridWidth.SI,
	}
}

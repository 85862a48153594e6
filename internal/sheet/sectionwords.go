package sheet

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// mostPoints of an outline are listed one by one.
const mostPoints = 12

// sectionWords is the section in words, such as "round tube, D 60 mm ± 0.05 mm, d 44 mm
// ± 0.1 mm" or "flatted round, D 40 mm, 2 flats: φ 0°, a 17 mm; φ 180°, a 17 mm". What
// the design leaves at its default is left out; briefly, of points no more than how many
// there are and how far they reach.
func sectionWords(w layout.Words, d *design.Design, brief bool) string {
	part := &d.Part.Section
	shape, ok := section.Find(part.Shape)
	if !ok {
		return part.Shape
	}
	s := strings.ReplaceAll(shape.Name, "-", " ")
	stated := func(f section.Dimension, n design.Number) string {
		return f.Symbol + "\u00A0" + layout.Nonbreaking(w.Stated(n, f.Kind))
	}
	rest := part.Dimensions
	for _, f := range shape.Dimensions {
		n := rest[0]
		rest = rest[1:]
		if f.Optional && !n.Set && n.SI == f.Default {
			continue
		}
		s += ", " + stated(f, n)
	}
	counts := part.Counts
	for i := range shape.Lists {
		l := &shape.Lists[i]
		lists := counts
		if !l.Nested {
			lists = counts[:1]
		}
		for k, n := range lists {
			size := n * len(l.Fields)
			name := l.Key
			if l.Nested {
				name = fmt.Sprintf("%s %d", strings.TrimSuffix(l.Key, "s"), k+1)
			}
			if l.Pairs {
				s += ", " + name + " " + pointWords(w, l, rest[:size], brief)
			} else {
				s += fmt.Sprintf(", %d %s: ", n, name) + entryWords(l, rest[:size], stated)
			}
			rest = rest[size:]
		}
		counts = counts[len(lists):]
	}
	return s
}

// entryWords are the entries of a list, each with its fields.
func entryWords(l *section.List, all []design.Number, stated func(section.Dimension, design.Number) string) string {
	var entries []string
	for ; len(all) > 0; all = all[len(l.Fields):] {
		var fields []string
		for k, f := range l.Fields {
			fields = append(fields, stated(f, all[k]))
		}
		entries = append(entries, strings.Join(fields, ", "))
	}
	return strings.Join(entries, "; ")
}

// pointWords are the points of an outline, or how many there are and how large it is.
func pointWords(w layout.Words, l *section.List, all []design.Number, brief bool) string {
	n := len(all) / 2
	if brief && l.Nested {
		return fmt.Sprintf("of %d points", n)
	}
	if brief || n > mostPoints {
		var lo, hi [2]float64
		for k := range 2 {
			lo[k], hi[k] = math.Inf(1), math.Inf(-1)
			for i := k; i < len(all); i += 2 {
				lo[k], hi[k] = min(lo[k], all[i].SI), max(hi[k], all[i].SI)
			}
		}
		return fmt.Sprintf("of %d points, y\u00A0%s to %s, z\u00A0%s to %s", n, layout.Nonbreaking(w.Plain(lo[0], quantity.Length)), layout.Nonbreaking(w.Plain(hi[0], quantity.Length)),
			layout.Nonbreaking(w.Plain(lo[1], quantity.Length)), layout.Nonbreaking(w.Plain(hi[1], quantity.Length)))
	}
	var points []string
	for i := range n {
		points = append(points, "("+layout.Nonbreaking(w.Stated(all[2*i], l.Fields[0].Kind))+", "+layout.Nonbreaking(w.Stated(all[2*i+1], l.Fields[1].Kind))+")")
	}
	return strings.Join(points, " ")
}

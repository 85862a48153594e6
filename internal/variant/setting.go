package variant

import (
	"fmt"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

// Setting is one value of a variant, in the unit of its axis.
type Setting struct {
	Axis *Axis
	X    float64
}

// Write returns the text of the file with values replaced; all other bytes stay.
func (b *Base) Write(settings ...Setting) ([]byte, error) {
	order := slices.Clone(settings)
	slices.SortFunc(order, func(p, q Setting) int { return p.Axis.Value.start - q.Axis.Value.start })
	var out []byte
	last := 0
	for _, s := range order {
		text, err := s.Axis.Text(s.X)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Axis.Value.Path, err)
		}
		v := s.Axis.Value
		if v.start < last {
			return nil, fmt.Errorf("%s is set twice", v.Path)
		}
		out = append(append(out, b.Text[last:v.start]...), text...)
		last = v.end
	}
	return append(out, b.Text[last:]...), nil
}

// Read is the variant that the changed text describes. The error of what is no design
// is the reader's.
func (b *Base) Read(settings ...Setting) (*design.Design, error) {
	text, err := b.Write(settings...)
	if err != nil {
		return nil, err
	}
	return designfile.Read(b.File, text)
}

// Maker makes variants of a base within a box of ranges.
type Maker struct {
	base *Base
	copy bool // a copy with the values set is what the reader would give
}

// Maker looks whether variants between the ends of the axes may be made without
// reading the text anew. What the reader asks of one number is a half-line, or that it
// is not zero, and what it asks of several together (a bore inside its outside, a
// range that ascends, a grid that wraps) is convex in all of them but the directions:
// so where it accepts every corner of the box, and no side runs through zero, it
// accepts what lies between. That holds of round sections, for others ask more of a grid
// than that it wraps. Outlines that follow from grids and centres are worked out by the
// reader; those, and directions, always go through it.
func (b *Base) Maker(axes []*Axis) *Maker {
	round := b.Design.Part.Section.Shape == "round" || b.Design.Part.Section.Shape == "round-tube"
	m := &Maker{base: b, copy: round && len(axes) <= 4}
	for _, a := range axes {
		path := a.Value.Path
		if !(a.From > 0 && a.To > 0 || a.From < 0 && a.To < 0) || strings.HasSuffix(path, ".direction") ||
			strings.Contains(path, ".grid.") || strings.Contains(path, ".centres[") {
			m.copy = false
		}
	}
	for corner := 0; m.copy && corner < 1<<len(axes); corner++ {
		var at []Setting
		for i, a := range axes {
			x := a.From
			if corner>>i&1 == 1 {
				x = a.To
			}
			at = append(at, a.Put(x))
		}
		if _, err := b.Read(at...); err != nil {
			m.copy = false
		}
	}
	return m
}

// Make is the variant with these values.
func (m *Maker) Make(settings ...Setting) (*design.Design, error) {
	if !m.copy {
		return m.base.Read(settings...)
	}
	d := m.base.Design.Clone()
	values := make([]quantity.Value, len(settings))
	for i, s := range settings {
		text, err := s.Axis.Text(s.X)
		if err == nil {
			values[i], err = quantity.Parse(text, s.Axis.Kind)
		}
		if err != nil {
			return m.base.Read(settings...)
		}
	}
	numbers(d, func(n *design.Number) {
		for i, s := range settings {
			if n.Place.Path == s.Axis.Value.Path && n.Set {
				n.Value = values[i]
			}
		}
	})
	return d, nil
}

package section

import (
	"fmt"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// Shape is one entry of the table of shapes: what the design file may say of it,
// and how the section is made.
//
// A section's numbers are one flat vector: the dimensions in their order, those
// left out at their defaults, then the entries of each list, and of an entry its
// fields in their order. Counts says how many entries each list has; a nested
// list, which holds lists, gives one count for each of them.
type Shape struct {
	Name       string
	Dimensions []Dimension
	Lists      []List
	Example    string
	// New makes a Section with dimensions still to be Set, of a shape without lists.
	New func(openEnds bool) Section
	// NewOf makes one of a shape with lists; nil for a shape without.
	NewOf func(openEnds bool, counts []int) Section
}

// Dimension is one dimension of a shape as the design file names it.
type Dimension struct {
	Key      string
	Symbol   string // as drawings call it
	Kind     quantity.Kind
	Optional bool    // Default holds when the file leaves it out
	Default  float64 // SI
	Whole    bool    // a count: a whole number without unit and tolerance
}

// List is a list of entries, each of the same fields.
type List struct {
	Key      string
	Fields   []Dimension
	Pairs    bool // an entry is written [a, b] and not as a mapping
	Nested   bool // the key holds a list of such lists
	Optional bool
	AtLeast  int // entries of a list
}

// Make makes a Section of the shape with dimensions still to be Set.
func (s *Shape) Make(openEnds bool, counts []int) (Section, error) {
	if len(s.Lists) == 0 {
		if len(counts) != 0 {
			return nil, fmt.Errorf("shape %s has no lists", s.Name)
		}
		return s.New(openEnds), nil
	}
	flat := 0 // lists that are not nested come first
	for _, l := range s.Lists {
		if !l.Nested {
			if flat >= len(counts) || counts[flat] < l.AtLeast {
				return nil, fmt.Errorf("shape %s needs at least %d in %s", s.Name, l.AtLeast, l.Key)
			}
			flat++
			continue
		}
		for _, n := range counts[flat:] {
			if n < l.AtLeast {
				return nil, fmt.Errorf("shape %s needs at least %d in each of %s", s.Name, l.AtLeast, l.Key)
			}
		}
		return s.NewOf(openEnds, counts), nil
	}
	if len(counts) != flat {
		return nil, fmt.Errorf("shape %s has %d lists, not %d", s.Name, flat, len(counts))
	}
	return s.NewOf(openEnds, counts), nil
}

// Keys are the places in the design file, below part.section, of the numbers of
// the flat vector: "flats[1].across", "outline[0][1]", "holes[0][2][1]".
func (s *Shape) Keys(counts []int) []string {
	var keys []string
	for _, d := range s.Dimensions {
		keys = append(keys, d.Key)
	}
	entry := func(at string, l *List) {
		for k, f := range l.Fields {
			if l.Pairs {
				keys = append(keys, fmt.Sprintf("%s[%d]", at, k))
			} else {
				keys = append(keys, at+"."+f.Key)
			}
		}
	}
	for i := range s.Lists {
		l := &s.Lists[i]
		if !l.Nested {
			for k := range counts[0] {
				entry(fmt.Sprintf("%s[%d]", l.Key, k), l)
			}
			counts = counts[1:]
			continue
		}
		for h, n := range counts {
			for k := range n {
				entry(fmt.Sprintf("%s[%d][%d]", l.Key, h, k), l)
			}
		}
	}
	return keys
}

// Defaults is the flat vector with the defaults of the dimensions, the rest 0.
func (s *Shape) Defaults(counts []int) []float64 {
	out := make([]float64, len(s.Keys(counts)))
	for i, d := range s.Dimensions {
		out[i] = d.Default
	}
	return out
}

// Shapes is the table of the shapes: round ones by closed forms, then those that
// the boundary equations serve.
var Shapes = []Shape{
	roundShape, roundTubeShape,
	rectangleShape, boxShape, flattedRoundShape, regularPolygonShape, ellipseShape,
	keyedRoundShape, groovedRoundShape, polygonShape,
}

// IsRound tells whether a shape is one of those with closed forms.
func IsRound(name string) bool { return name == roundShape.Name || name == roundTubeShape.Name }

// Find returns the shape of that name.
func Find(name string) (Shape, bool) { return find(Shapes, name) }

// GeneralShapes are those of Shapes that the boundary equations serve.
var GeneralShapes = Shapes[2:]

// FindAny is Find.
func FindAny(name string) (Shape, bool) { return Find(name) }

func find(table []Shape, name string) (Shape, bool) {
	for _, s := range table {
		if s.Name == name {
			return s, true
		}
	}
	return Shape{}, false
}

// Of returns the section of a part at its nominal dimensions.
func Of(p design.Part) (Section, error) {
	shape, ok := Find(p.Section.Shape)
	if !ok {
		return nil, fmt.Errorf("no section shape %q", p.Section.Shape)
	}
	dims := make([]float64, len(p.Section.Dimensions))
	for i, d := range p.Section.Dimensions {
		dims[i] = d.SI
	}
	s, err := shape.Make(p.OpenEnds, p.Section.Counts)
	if err != nil {
		return nil, err
	}
	return s, s.Set(dims, p.Material.Poisson.SI)
}

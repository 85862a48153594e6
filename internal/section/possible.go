package section

import (
	"fmt"

	"gridwright/internal/boundary"
	"gridwright/internal/design"
)

// Possible tells whether the dimensions of a part make a section, without solving it:
// nil, or why not.
func Possible(p design.Part) error {
	shape, ok := Find(p.Section.Shape)
	if !ok {
		return fmt.Errorf("no section shape %q", p.Section.Shape)
	}
	s, err := shape.Make(p.OpenEnds, p.Section.Counts)
	if err != nil {
		return err
	}
	dims := make([]float64, len(p.Section.Dimensions))
	for i, d := range p.Section.Dimensions {
		dims[i] = d.SI
	}
	g, ok := s.(*General)
	if !ok {
		return s.Set(dims, p.Material.Poisson.SI)
	}
	var o boundary.Outline
	if err := g.build(dims, g.counts, &o); err != nil {
		return err
	}
	return o.Check()
}

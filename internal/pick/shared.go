package pick

import (
	"fmt"
	"sync"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

// shared are the tolerances of every placement of all placement sets at once, on a
// part that is not round. What tolerances do to a grid does not depend on the other
// placements, and how the section answers to its dimensions, which takes solving it
// anew for each, is found once only.
type shared struct {
	problem *problem
	layouts []layout

	once  sync.Once
	all   *tolerances
	first map[string]int // first grid of a placement
	grids int
	err   error
}

// key tells placements apart.
func (s *shared) key(l *layout, i int) string {
	p := &l.placements[i]
	if l.given {
		return p.Name
	}
	return fmt.Sprint(p.Gauge, p.Station.SI, p.Face, p.FaceIndex, p.Across.SI, p.Around.SI, p.Direction.SI)
}

// survey differentiates all placements.
func (s *shared) survey() {
	d := *s.problem.design
	d.Placements, s.first = nil, map[string]int{}
	for i := range s.layouts {
		l := &s.layouts[i]
		for k, p := range l.placements {
			key := s.key(l, k)
			if _, known := s.first[key]; known {
				continue
			}
			s.first[key] = s.grids
			s.grids += len(d.Gauges[p.Gauge].Directions)
			if !l.given {
				p.Name = letters(len(d.Placements))
				path := "placements." + p.Name
				p.Place = design.Place{Path: path}
				for _, n := range []struct {
					number *design.Number
					key    string
				}{{&p.Station, "station"}, {&p.Around, "around"}, {&p.Across, "across"}, {&p.Direction, "direction"}} {
					n.number.Place = design.Place{Path: path + "." + n.key}
				}
			}
			d.Placements = append(d.Placements, p)
		}
	}
	m, err := model.Compile(&d)
	if err != nil {
		s.err = err
		return
	}
	state := m.NewExact()
	if s.err = m.Set(m.Nominal, state); s.err != nil {
		return
	}
	s.all, s.err = newTolerances(m, state)
}

// of are the tolerances of one placement set, its grids in the order of its model.
func (s *shared) of(l *layout) (*tolerances, error) {
	s.once.Do(s.survey)
	if s.err != nil {
		return nil, s.err
	}
	all := s.all
	local := make([]int32, s.grids)
	for i := range local {
		local[i] = -1
	}
	t := &tolerances{loads: all.loads, stated: all.stated}
	n := all.loads
	grids := int32(0)
	for i, p := range l.placements {
		first := s.first[s.key(l, i)]
		for g := first; g < first+len(s.problem.design.Gauges[p.Gauge].Directions); g++ {
			local[g] = grids
			grids++
			t.change = append(t.change, all.change[g*n:g*n+n]...)
			t.along = append(t.along, all.along[g])
			if all.cosine != nil {
				t.cosine, t.sin = append(t.cosine, all.cosine[g]), append(t.sin, all.sin[g])
			}
		}
	}
	for _, in := range all.inputs {
		d := deviation{from: len(t.of), limit: in.limit}
		for k := in.from; k < in.to; k++ {
			if g := local[all.of[k]]; g >= 0 {
				t.of = append(t.of, g)
				t.effect = append(t.effect, all.effect[k*n:k*n+n]...)
			}
		}
		if d.to = len(t.of); d.to > d.from {
			t.inputs = append(t.inputs, d)
		}
	}
	return t, nil
}

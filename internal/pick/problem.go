package pick

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// crosstalkDefault is the nominal crosstalk that is worked to when the file
// states no limit: a bridge that is blind by its symmetry stays far below it.
const crosstalkDefault = 0.0005

// blindShare is the share of the grids' joint response below which a bridge
// counts as blind: its grids oppose each other.
const blindShare = 0.02

// blindOutput is the output at rated load, V/V, that is but rounding: a millionth
// of the microvolt per volt that an indicator shows.
const blindOutput = 1e-12

// tie is the relative difference below which figures count as equal.
const tie = 1e-6

// problem is what is asked for.
type problem struct {
	limits    design.Require // that wirings have to keep besides those of crosstalk
	design    *design.Design // without placements when it is for the search to place, without bridges
	section   section.Section
	round     bool
	radius    float64   // of the outer surface, m
	rated     []float64 // |rated| of each load of the file
	measured  []int     // indexes of the loads to be measured
	crosstalk float64   // limit, ratio of rated output
	stated    bool      // the file states it
	// bends: bending is among the loads and torque or axial force is measured, so
	// that opposite positions are worth their gauges.
	bends bool
	left  string  // what the search leaves out, in words
	tie   float64 // as the constant, or what the stress of the section is known to

	// Of a part that is not round, where gauges are to be placed:
	stretches  []run
	symmetries []symmetryOf
	peaks      []float64 // places of greatest torsion shear, arc length, m
	places     int       // spots for one gauge at most
	folded     int       // placement sets that a symmetry brings onto others

	shared *shared // tolerances of all placements; nil on a round part
}

func newProblem(d *design.Design) (*problem, error) {
	c := *d
	c.Bridges = nil
	p := &problem{design: &c, limits: d.Require, crosstalk: crosstalkDefault}
	if d.Require.Crosstalk.Set {
		p.crosstalk, p.stated = d.Require.Crosstalk.SI, true
	}
	bends, along := false, false
	for i, l := range d.Loads {
		p.rated = append(p.rated, math.Abs(l.Rated.SI))
		bends = bends || bending(l.Component)
		if l.Measure {
			p.measured = append(p.measured, i)
			along = along || oneSided(l.Component)
			if l.Rated.SI == 0 {
				return nil, fmt.Errorf("loads.%v: the load to be measured is rated zero; write its rated value", l.Component)
			}
		}
	}
	p.bends = bends && along
	if len(p.measured) == 0 {
		return nil, errors.New("loads: no load is to be measured; give one `use: measure`")
	}
	if len(d.Gauges) == 0 {
		return nil, errors.New("gauges: there is no gauge to place; define one with pattern, grid, resistance and gauge-factor")
	}
	var err error
	if p.section, err = section.Of(d.Part); err != nil {
		return nil, fmt.Errorf("part.section: %w", err)
	}
	_, p.round = p.section.(*section.Round)
	p.tie = math.Max(tie, p.section.Properties().StressError)
	p.radius = p.section.Perimeter(0) / (2 * math.Pi)
	return p, nil
}

// oneSided tells a component that grids on one side of the part can measure, but
// not apart from bending when one gauge slips: torque and axial force.
func oneSided(c design.Component) bool { return c == design.Torque || c == design.Axial }

func bending(c design.Component) bool { return c == design.BendingY || c == design.BendingZ }

// component of load i of the file.
func (p *problem) component(i int) design.Component { return p.design.Loads[i].Component }

// gauges lists the gauge types that may be placed, each once.
func (p *problem) gauges() []int {
	d := p.design
	allowed := slices.Clone(d.Pick.Gauges)
	if len(allowed) == 0 {
		for i := range d.Gauges {
			allowed = append(allowed, i)
		}
	}
	slices.Sort(allowed)
	return slices.Compact(allowed)
}

// stationsAscending lists the stations that rings may stand at.
func (p *problem) stationsAscending() []design.Number {
	stations := slices.Clone(p.design.Pick.Stations)
	if len(stations) == 0 {
		return []design.Number{{Value: quantity.Exact(0)}}
	}
	slices.SortStableFunc(stations, func(a, b design.Number) int { return cmp.Compare(a.SI, b.SI) })
	return slices.CompactFunc(stations, func(a, b design.Number) bool { return a.SI == b.SI })
}

// atMost is the greatest number of gauges.
func (p *problem) atMost() int {
	if p.design.Pick.AtMost < 1 {
		return 4
	}
	return p.design.Pick.AtMost
}

// variesAround reports whether any load of the file strains the surface
// differently round the part.
func (p *problem) variesAround() bool {
	for _, l := range p.design.Loads {
		switch l.Component {
		case design.BendingY, design.BendingZ, design.ShearY, design.ShearZ:
			return true
		}
	}
	return false
}

// variesAlong reports whether any load of the file, or the temperature, varies
// along the part.
func (p *problem) variesAlong() bool {
	for _, l := range p.design.Loads {
		switch l.Component {
		case design.ShearY, design.ShearZ:
			return true
		}
	}
	return p.design.Temperature.Along.SI != 0
}

func si(x float64, path string) design.Number {
	return design.Number{Value: quantity.Exact(x), Set: true, Place: design.Place{Path: path}}
}

package design

import "slices"

// Clone returns a copy of d that shares no memory with it: either may be changed
// without the other.
func (d *Design) Clone() *Design {
	c := *d
	c.Loads = slices.Clone(d.Loads)
	c.Shunts = slices.Clone(d.Shunts)
	c.Part.Section.Dimensions = slices.Clone(d.Part.Section.Dimensions)
	c.Part.Features = slices.Clone(d.Part.Features)
	c.Pick.Gauges = slices.Clone(d.Pick.Gauges)
	c.Pick.KeepOut = slices.Clone(d.Pick.KeepOut)
	c.Pick.Stations = slices.Clone(d.Pick.Stations)

	c.Gauges = slices.Clone(d.Gauges)
	for i := range c.Gauges {
		g := &c.Gauges[i]
		g.Directions = slices.Clone(g.Directions)
		g.Centres = slices.Clone(g.Centres)
		g.Resistance = slices.Clone(g.Resistance)
		g.GaugeFactor = slices.Clone(g.GaugeFactor)
		g.Transverse = slices.Clone(g.Transverse)
		g.Thermal.Coefficients = slices.Clone(g.Thermal.Coefficients)
	}
	c.Placements = slices.Clone(d.Placements)
	for i := range c.Placements {
		m := &c.Placements[i].Measured
		m.Resistance = slices.Clone(m.Resistance)
	}
	c.Bridges = slices.Clone(d.Bridges)
	for i := range c.Bridges {
		for k := range c.Bridges[i].Arms {
			a := &c.Bridges[i].Arms[k]
			a.Grids = slices.Clone(a.Grids)
		}
	}
	return &c
}

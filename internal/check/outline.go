package check

import (
	"math"

	"gridwright/internal/gauge"
)

// outline is a rectangle on the developed surface: x along the part, s around
// it, m.
type outline struct {
	x, s     float64
	run      int     // face that it lies on, by its place in Section.Faces
	sin, cos float64 // of the direction of its length, from x toward s
	l, w     float64
}

// reach is half of what the outline spans along the part and around it, m.
func (o outline) reach() (axial, around float64) {
	a, r := reach(o.l, o.w, o.sin, o.cos)
	return a / 2, r / 2
}

// reach is what a rectangle of that length and width, turned, spans along the
// part and around it, m.
func reach(length, width, sin, cos float64) (axial, around float64) {
	return gauge.Extent(length, width, cos, sin), gauge.Extent(length, width, sin, cos)
}

// backing of a placement.
func (j *judge) backing(p int) outline {
	at := &j.r.State.Placements[p]
	g := &j.d.Gauges[j.d.Placements[p].Gauge]
	return outline{x: at.Station, s: at.Coordinate.S, run: j.face(at.Coordinate), sin: at.Sin, cos: at.Cos, l: g.Backing.Length.SI, w: g.Backing.Width.SI}
}

// foil is the outline of a grid.
func (j *judge) foil(grid int) outline {
	g := &j.r.State.Grids[grid]
	return outline{x: g.Station, s: g.Coordinate.S, run: j.face(g.Coordinate), sin: g.Sin, cos: g.Cos, l: g.Length, w: g.Width}
}

// over is how deep two outlines lie in one another on the part's surface, m: 0 or
// less when they are apart, as they always are on two faces that an edge parts.
func (j *judge) over(o, p outline) float64 {
	if !j.joined(o, p) {
		return math.Inf(-1)
	}
	return o.over(p, j.r.State.Section.Perimeter(0))
}

// over is how deep two outlines lie in one another on a surface of that girth:
// the least way to push them apart, m; 0 or less when they are apart.
//
// Two rectangles are apart when their shadows on one of the four directions of
// their sides are (separating axes).
func (o outline) over(p outline, girth float64) float64 {
	deepest := math.Inf(-1)
	ds := math.Mod(p.s-o.s, girth)
	for turn := -2.0; turn <= 2; turn++ {
		deepest = math.Max(deepest, o.depth(p, ds+turn*girth))
	}
	return deepest
}

// depth is over for p lying ds further around.
func (o outline) depth(p outline, ds float64) float64 {
	dx := p.x - o.x
	least := math.Inf(1)
	for _, axis := range [][2]float64{{o.cos, o.sin}, {-o.sin, o.cos}, {p.cos, p.sin}, {-p.sin, p.cos}} {
		gap := math.Abs(dx*axis[0] + ds*axis[1])
		least = math.Min(least, o.shadow(axis)+p.shadow(axis)-gap)
	}
	return least
}

// shadow is half the outline's extent along a unit vector.
func (o outline) shadow(axis [2]float64) float64 {
	return (o.l*math.Abs(o.cos*axis[0]+o.sin*axis[1]) + o.w*math.Abs(o.cos*axis[1]-o.sin*axis[0])) / 2
}

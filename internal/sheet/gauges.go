package sheet

import (
	"math"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/gauge"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// spot is a rectangle on the developed surface: a grid, or the backing of a
// gauge.
type spot struct {
	name      string
	placement int
	number    int     // of the grid in its gauge, from 1
	x, s      float64 // centre: station, and arc length from the reference line φ = 0, m
	around    float64 // φ, rad
	face      string  // on which the design places it, in words; "" where it is placed by φ
	across    float64 // from the middle of that face, m
	direction float64 // of the length, from +x toward +φ, rad
	stated    float64 // the direction as it is printed: of a gauge as in the design, of a grid in (−90°, 90°]
	length    float64 // m
	width     float64 // m
	measured  bool    // where it was found after bonding, not where it was planned
}

// axial and girth are how far the rectangle reaches along the part and around it.
func (p spot) axial() float64 {
	sin, cos := math.Sincos(p.direction)
	return gauge.Extent(p.length, p.width, cos, sin)
}

func (p spot) girth() float64 {
	sin, cos := math.Sincos(p.direction)
	return gauge.Extent(p.length, p.width, sin, cos)
}

// corner is a point of the rectangle: u, v from −1 to 1 along its length and,
// clockwise from that, across.
func (p spot) corner(u, v float64) (x, s float64) {
	dx, ds := gauge.Offset(u*p.length/2, v*p.width/2, math.Sin(p.direction), math.Cos(p.direction))
	return p.x + dx, p.s + ds
}

// gridSpots are all grids as the prediction has them.
func gridSpots(d *dossier.Dossier) []spot {
	r := d.Result
	var all []spot
	for i, g := range r.Grids {
		gs := &r.State.Grids[i]
		ref := r.Model.Grids[i].Ref
		p := spot{name: g.Name, placement: ref.Placement, number: ref.Grid + 1, x: gs.Station, s: gs.Coordinate.S,
			around: g.Around, direction: math.Atan2(gs.Sin, gs.Cos), stated: g.Direction, length: gs.Length, width: gs.Width, measured: isMeasured(d, ref.Placement)}
		p.on(d)
		all = append(all, p)
	}
	return all
}

// backingSpots are the outlines of all gauges.
func backingSpots(d *dossier.Dossier) []spot {
	var all []spot
	for i, p := range d.Design.Placements {
		station, phi, direction := p.AsBonded(d.Design.Tolerance)
		b, at := d.Design.Gauges[p.Gauge].Backing, &d.Result.State.Placements[i]
		around := phi.SI
		if p.Face != "" {
			around = at.Around
		}
		g := spot{name: p.Name, placement: i, x: station.SI, s: at.Coordinate.S, around: turn(around),
			direction: direction.SI, stated: direction.SI, length: b.Length.SI, width: b.Width.SI, measured: isMeasured(d, i)}
		g.on(d)
		all = append(all, g)
	}
	return all
}

// on sets face and across of what the design places by face.
func (p *spot) on(d *dossier.Dossier) {
	pl := &d.Design.Placements[p.placement]
	if pl.Face == "" {
		return
	}
	s := d.Result.State.Section
	p.face = section.FaceTitle(s, pl.FaceIndex)
	p.across = math.Remainder(p.s-s.OnFace(pl.FaceIndex, 0).S, s.Perimeter(0))
}

// placeWords are a place around the part, in words: the angle, or the face and how
// far from its middle.
func placeWords(w layout.Words, p spot) string {
	switch {
	case p.face == "":
		return layout.Angle(p.around)
	case math.Abs(p.across) < 5e-7:
		return p.face + " middle"
	}
	return p.face + " " + signed(w, p.across) + "\u00A0" + w.LengthUnit()
}

// signed is a place with its sign, also where that is plus.
func signed(w layout.Words, si float64) string {
	s := w.Place(si)
	if si > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

func isMeasured(d *dossier.Dossier, placement int) bool {
	m := d.Design.Placements[placement].Measured
	return m.Station.Set || m.Around.Set || m.Direction.Set || m.Across.Set
}

// turn brings an angle into [0, 2π).
func turn(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a < 0 {
		a += 2 * math.Pi
	}
	if 2*math.Pi-a < 1e-9 {
		return 0
	}
	return a
}

// reach is the range of stations that the rectangles take.
func reach(spots []spot) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range spots {
		lo, hi = min(lo, p.x-p.axial()/2), max(hi, p.x+p.axial()/2)
	}
	return lo, hi
}

// outside is the greatest outer dimension of the part, m.
func outside(d *dossier.Dossier) float64 { return d.Result.Section.Depth }

// station is a place along the part in words.
func station(w layout.Words, si float64) string {
	return w.Place(si) + " " + quantity.Length.Unit(w.Sys)
}

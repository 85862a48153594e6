package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/boundary"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/section"
)

const (
	viewHeight   = 60.0 // mm of side view and section
	sectionWidth = 84.0
	viewTop      = 10.0 // for the name of the view
	viewFoot     = 22.0 // for running dimensions
)

// side is the side view: +x to the right, +z up, seen from −y toward +y.
type side struct {
	d      *dossier.Dossier
	w      layout.Words
	scene  *drawing.Scene
	scale  scale
	left   float64 // of the lowest station shown
	low    float64
	high   float64
	middle float64 // of the centroid's axis on the paper

	section section.Section
	foot    float64 // of the outline about the centroid, m
	top     float64
}

func (v *side) at(x, z float64) drawing.Point {
	return drawing.At(v.left+v.scale.mm(x-v.low), v.middle-v.scale.mm(z))
}

// sideView draws the part in true proportion with its straight length, features
// and grids.
func sideView(d *dossier.Dossier, w layout.Words, width float64) *drawing.Scene {
	v := &side{d: d, w: w, scene: drawing.NewScene(width, viewHeight), section: outlineOf(d)}
	b := spanOf(v.section.Loops()[0])
	v.foot, v.top = b.z0, b.z1
	v.low, v.high = extent(d)
	roomX, roomY := width-16, viewHeight-viewTop-viewFoot-6
	v.scale = round(min(roomX/1e3/(v.high-v.low), roomY/1e3/(v.top-v.foot)))
	v.left = (width - v.scale.mm(v.high-v.low)) / 2
	v.middle = viewTop + 4 + roomY/2 + v.scale.mm((v.top+v.foot)/2)
	v.scene.Title = "Side view, scale " + v.scale.String()
	v.body()
	v.features()
	v.grids()
	v.stations()
	v.scene.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Level: drawing.Top}, drawing.At(0, 0), "Side view, scale "+v.scale.String())
	v.scene.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 3.6), "seen toward +y (φ = 180° in front, grids behind dashed)")
	tip := drawing.At(width-9, 5)
	v.scene.Arrow(drawing.Outline, drawing.At(tip.X-9, tip.Y), tip)
	v.scene.Text(drawing.TextStyle{Font: drawing.Bold, Size: 7.5, Level: drawing.Middle}, drawing.At(tip.X+1, tip.Y), "+x")
	return v.scene
}

// extent is the range of stations that the side view shows.
func extent(d *dossier.Dossier) (low, high float64) {
	span := d.Design.Part.StraightLength
	low, high = reach(append(gridSpots(d), backingSpots(d)...))
	if len(d.Design.Placements) == 0 {
		low, high = 0, 0
	}
	if span.Set {
		low, high = min(low, span.From.SI), max(high, span.To.SI)
	} else {
		low, high = low-outside(d), high+outside(d)
	}
	for _, f := range d.Design.Part.Features {
		low, high = min(low, f.Station.SI), max(high, f.Station.SI)
	}
	if high-low < 1e-4 {
		low, high = low-outside(d), high+outside(d)
	}
	return low, high
}

// body draws the straight length in full lines and what lies beyond it dashed,
// open at its ends.
func (v *side) body() {
	s := v.scene
	low, high := v.low, v.high
	if span := v.d.Design.Part.StraightLength; span.Set {
		low, high = span.From.SI, span.To.SI
		for _, end := range []float64{low, high} {
			s.Line(drawing.Thin, v.at(end, v.top), v.at(end, v.foot))
		}
	}
	past := 3e-3 / float64(v.scale) // 3 mm of paper
	bores := v.section.Loops()[1:]
	for k, z := range []float64{v.top, v.foot} {
		s.Line(drawing.Outline, v.at(low, z), v.at(high, z))
		s.Line(drawing.Hidden, v.at(high, z), v.at(v.high+past, z))
		s.Line(drawing.Hidden, v.at(v.low-past, z), v.at(low, z))
		for _, hole := range bores {
			b := spanOf(hole)
			z := [2]float64{b.z1, b.z0}[k]
			s.Line(drawing.Hidden.With(drawing.Grey), v.at(v.low, z), v.at(v.high, z))
		}
	}
	for _, z := range v.edges() {
		s.Line(drawing.Thin, v.at(low, z), v.at(high, z))
	}
	s.Line(drawing.CentreLine, v.at(v.low-1.7*past, 0), v.at(v.high+1.7*past, 0))
}

// edges are where two sides meet in a corner that is seen, the silhouette's apart.
func (v *side) edges() (all []float64) {
	outer := v.section.Loops()[0]
	if len(outer) < 2 {
		return nil
	}
	size := v.top - v.foot
	for i := range outer {
		if math.Abs(outer.Turn(i)) < boundary.SharpTurn {
			continue
		}
		p := outer[i].To
		front := real(p)
		cut(outer, imag(p), func(y float64) { front = min(front, y) })
		if z := imag(p); front >= real(p)-1e-6*size && z < v.top-1e-3*size && z > v.foot+1e-3*size {
			all = append(all, z)
		}
	}
	return all
}

// features marks each with its number above the part.
func (v *side) features() {
	top, foot := v.at(0, v.top).Y-2, v.at(0, v.foot).Y+2
	var marks []mark
	for i, f := range v.d.Design.Part.Features {
		x := v.at(f.Station.SI, 0).X
		v.scene.Line(drawing.Hidden, drawing.At(x, top), drawing.At(x, foot))
		marks = append(marks, mark{x, fmt.Sprintf("F%d", i+1)})
	}
	kept, at, _ := thin(merged(marks), 5.5, 4, v.scene.Width-4)
	for i, m := range kept {
		v.scene.Line(drawing.Hair, drawing.At(m.at, top), drawing.At(at[i], top-0.8))
		v.scene.Text(drawing.TextStyle{Size: markSize, Align: drawing.Centre}, drawing.At(at[i], top-1.6), m.text)
	}
}

// grids draws every grid as it is seen: foreshortened around the part, dashed
// behind it.
func (v *side) grids() {
	for _, p := range gridSpots(v.d) {
		pen := drawing.Pen{Width: 0.25, Colour: drawing.Accent}
		normal := normalAt(v.section, p)
		if !seen(v.section, p.s) {
			pen.Dash = []float64{0.9, 0.6}
		}
		if flat := v.scale.mm(p.girth() * math.Abs(math.Cos(normal))); flat < edgeOn {
			v.edge(p, math.Copysign(1, math.Sin(normal)))
		}
		var outline []drawing.Point
		const n = 6 // points to each edge
		edges := [4][4]float64{{-1, -1, 1, -1}, {1, -1, 1, 1}, {1, 1, -1, 1}, {-1, 1, -1, -1}}
		for _, e := range edges {
			for i := range n {
				t := float64(i) / n
				x, arc := p.corner(e[0]+t*(e[2]-e[0]), e[1]+t*(e[3]-e[1]))
				outline = append(outline, v.at(x, imag(point(v.section, arc))))
			}
		}
		v.scene.Polygon(pen, drawing.None, outline...)
	}
}

// edgeOn is how thin a grid may look, mm of paper, before a bar outside the
// outline shows where it is.
const edgeOn = 0.8

// edge marks a grid that is seen on its edge, beside the face that bears it.
func (v *side) edge(p spot, up float64) {
	const off, bar = 0.7, 0.9
	z := imag(point(v.section, p.s))
	if isRound(v.section) {
		z = math.Copysign(v.top, up)
	}
	from, to := v.at(p.x-p.axial()/2, z), v.at(p.x+p.axial()/2, z)
	from.Y -= up * off
	to.Y -= up * off
	v.scene.Line(drawing.Pen{Width: bar, Colour: drawing.Accent}, from, to)
}

// stations draws the running dimension of ends, features and gauges from
// station 0.
func (v *side) stations() {
	stations := []float64{}
	if span := v.d.Design.Part.StraightLength; span.Set {
		stations = append(stations, span.From.SI, span.To.SI)
	}
	for _, f := range v.d.Design.Part.Features {
		stations = append(stations, f.Station.SI)
	}
	for _, b := range backingSpots(v.d) {
		stations = append(stations, b.x)
	}
	origin := min(max(0, v.low), v.high)
	if origin == 0 {
		stations = append(stations, 0)
	}
	var marks []mark
	for _, x := range stations {
		marks = append(marks, mark{v.at(x, 0).X, station(v.w, x)})
	}
	foot := v.at(0, v.foot).Y
	runningAcross(v.scene, []chain{{v.at(origin, 0).X, foot + 4, marks}}, foot+1, 3, v.scene.Width-3)
}

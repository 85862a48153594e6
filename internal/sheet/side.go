package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
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
	middle float64 // of the part's axis on the paper
}

func (v *side) at(x, z float64) drawing.Point {
	return drawing.At(v.left+v.scale.mm(x-v.low), v.middle-v.scale.mm(z))
}

// sideView draws the part in true proportion with its straight length, features
// and grids.
func sideView(d *dossier.Dossier, w layout.Words, width float64) *drawing.Scene {
	v := &side{d: d, w: w, scene: drawing.NewScene(width, viewHeight)}
	v.low, v.high = extent(d)
	roomX, roomY := width-16, viewHeight-viewTop-viewFoot-6
	v.scale = round(min(roomX/1e3/(v.high-v.low), roomY/1e3/outside(d)))
	v.left = (width - v.scale.mm(v.high-v.low)) / 2
	v.middle = viewTop + 4 + roomY/2
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
	r, s := outside(v.d)/2, v.scene
	low, high := v.low, v.high
	if span := v.d.Design.Part.StraightLength; span.Set {
		low, high = span.From.SI, span.To.SI
		for _, end := range []float64{low, high} {
			s.Line(drawing.Thin, v.at(end, r), v.at(end, -r))
		}
	}
	past := 3e-3 / float64(v.scale) // 3 mm of paper
	for _, z := range []float64{r, -r} {
		s.Line(drawing.Outline, v.at(low, z), v.at(high, z))
		s.Line(drawing.Hidden, v.at(high, z), v.at(v.high+past, z))
		s.Line(drawing.Hidden, v.at(v.low-past, z), v.at(low, z))
		if b := bore(v.d) / 2; b > 0 {
			s.Line(drawing.Hidden.With(drawing.Grey), v.at(v.low, math.Copysign(b, z)), v.at(v.high, math.Copysign(b, z)))
		}
	}
	s.Line(drawing.CentreLine, v.at(v.low-1.7*past, 0), v.at(v.high+1.7*past, 0))
}

// features marks each with its number above the part.
func (v *side) features() {
	r := outside(v.d) / 2
	top, foot := v.at(0, r).Y-2, v.at(0, -r).Y+2
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
	r := outside(v.d) / 2
	for _, p := range gridSpots(v.d) {
		pen := drawing.Pen{Width: 0.25, Colour: drawing.Accent}
		if math.Cos(p.around) > 1e-9 { // y > 0: on the far side
			pen.Dash = []float64{0.9, 0.6}
		}
		if flat := v.scale.mm(p.girth() * math.Abs(math.Cos(p.around))); flat < edgeOn {
			v.edge(p, math.Copysign(1, math.Sin(p.around)))
		}
		var outline []drawing.Point
		const n = 6 // points to each edge
		edges := [4][4]float64{{-1, -1, 1, -1}, {1, -1, 1, 1}, {1, 1, -1, 1}, {-1, 1, -1, -1}}
		for _, e := range edges {
			for i := range n {
				t := float64(i) / n
				x, arc := p.corner(e[0]+t*(e[2]-e[0]), e[1]+t*(e[3]-e[1]))
				outline = append(outline, v.at(x, r*math.Sin(p.around+(arc-p.s)/r)))
			}
		}
		v.scene.Polygon(pen, drawing.None, outline...)
	}
}

// edgeOn is how thin a grid may look, mm of paper, before a bar outside the
// outline shows where it is.
const edgeOn = 0.8

// edge marks a grid that is seen on its edge at the top or the foot of the part.
func (v *side) edge(p spot, up float64) {
	const off, bar = 0.7, 0.9
	r := up * outside(v.d) / 2
	from, to := v.at(p.x-p.axial()/2, r), v.at(p.x+p.axial()/2, r)
	from.Y -= up * off
	to.Y -= up * off
	v.scene.Line(drawing.Pen{Width: bar, Colour: drawing.Accent}, from, to)
}

// stations draws the running dimension of ends, features and gauges from
// station 0.
func (v *side) stations() {
	r := outside(v.d) / 2
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
	foot := v.at(0, -r).Y
	runningAcross(v.scene, marks, v.at(origin, 0).X, foot+1, foot+4, 3, v.scene.Width-3)
}

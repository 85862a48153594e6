package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
)

const (
	detailWidth  = 45.0
	detailHeight = 38.0
)

// gaugeDetail draws a gauge by itself with its axis up, as it lies on the
// developed surface at direction 0: grids in place and numbered.
func gaugeDetail(d *dossier.Dossier, gauge int) *drawing.Scene {
	g := &d.Design.Gauges[gauge]
	s := drawing.NewScene(detailWidth, detailHeight)
	const top = 7.5
	c := drawing.At(detailWidth/2, top+(detailHeight-top)/2)
	length, width := g.Backing.Length.SI, g.Backing.Width.SI
	for i := range g.Directions {
		// A grid that reaches over the stated backing is shown all the same.
		p := spot{length: g.GridLength.SI, width: g.GridWidth.SI, direction: g.Directions[i]}
		length = max(length, 2*math.Abs(g.Centres[i][0].SI)+p.axial())
		width = max(width, 2*math.Abs(g.Centres[i][1].SI)+p.girth())
	}
	k := round(min((detailWidth-18)/1e3/width, (detailHeight-top-9)/1e3/length))
	s.Title = "Gauge " + g.Name + ", scale " + k.String()
	title, size := drawing.Fit(s.Title, drawing.Bold, 8, 6, detailWidth-2)
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: size, Level: drawing.Top}, drawing.At(0, 0), title)
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 3.6), "axis up, seen from outside")

	reach := k.mm(length)/2 + 3
	s.Line(drawing.CentreLine, drawing.At(c.X, c.Y+reach), drawing.At(c.X, c.Y-reach))
	s.TurnedRectangle(drawing.Thin, drawing.None, c, k.mm(g.Backing.Length.SI), k.mm(g.Backing.Width.SI), pageAngle(0))
	n := newNamer(s, drawing.At(0, top), drawing.At(detailWidth, detailHeight))
	bl, bw := k.mm(g.Backing.Length.SI), k.mm(g.Backing.Width.SI)
	for _, side := range []float64{-1, 1} { // no number on a line of the outline
		n.keepClear(drawing.At(c.X, c.Y+side*bl/2), bw, 0.3, 0)
		n.keepClear(drawing.At(c.X+side*bw/2, c.Y), 0.3, bl, 0)
	}
	var centres []drawing.Point
	for i, direction := range g.Directions {
		at := drawing.At(c.X+k.mm(g.Centres[i][1].SI), c.Y-k.mm(g.Centres[i][0].SI))
		centres = append(centres, at)
		drawGrid(s, at, k.mm(g.GridLength.SI), k.mm(g.GridWidth.SI), pageAngle(direction))
		n.keepClear(at, k.mm(g.GridLength.SI), k.mm(g.GridWidth.SI), pageAngle(direction))
	}
	cross(s, c, math.Pi/2)
	for i, direction := range g.Directions {
		n.name(fmt.Sprint(i+1), drawing.TextStyle{Font: drawing.Bold, Size: 7.5, Colour: drawing.Accent, Background: drawing.Paper}, centres[i], k.mm(g.GridLength.SI)/2, pageAngle(direction))
	}
	return s
}

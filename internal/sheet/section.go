package sheet

import (
	"math"
	"slices"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/gauge"
	"gridwright/internal/layout"
)

// sectionView draws the section seen from the +x end: y to the right, z up, φ
// counterclockwise, as drawing counts angles.
func sectionView(d *dossier.Dossier, w layout.Words) *drawing.Scene {
	s := drawing.NewScene(sectionWidth, viewHeight)
	r := outside(d) / 2
	k := round(31.0 / 1e3 / (2 * r))
	c, radius := drawing.At(sectionWidth/2, viewTop+(viewHeight-viewTop)/2), k.mm(r)
	s.Title = "Section, scale " + k.String()

	outline := drawing.CirclePath(c, radius)
	inner := k.mm(bore(d) / 2)
	if inner > 0 {
		outline.And(drawing.CirclePath(c, inner))
	}
	s.Hatch(drawing.Hair, outline, 1.6, math.Pi/4)
	s.Path(drawing.Outline, drawing.None, outline)
	axes(s, c, radius)
	sense(s, c, radius, inner)
	for _, p := range gridSpots(d) {
		sin, cos := math.Sincos(p.direction)
		half := gauge.Extent(p.length, p.width, sin, cos) / 2 / r
		s.Arc(drawing.Pen{Width: 1, Colour: drawing.Accent}, c, radius+0.75, p.around-half, 2*half)
	}
	callouts(s, c, radius, d)
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Level: drawing.Top}, drawing.At(0, 0), "Section, scale "+k.String())
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 3.6), "seen from the +x end toward −x; φ from +y toward +z")
	size, points := drawing.Fit(sectionWords(w, d.Design), drawing.Regular, 7, 5, sectionWidth-1)
	s.Text(drawing.TextStyle{Size: points, Level: drawing.Top}, drawing.At(0, 6.8), size)
	return s
}

// axes of the section, with the mark of the reference line on +y.
func axes(s *drawing.Scene, c drawing.Point, radius float64) {
	arm := radius + 3.5
	for _, a := range []float64{0, math.Pi / 2} {
		s.Line(drawing.CentreLine, c.Polar(arm, a+math.Pi), c.Polar(arm, a))
	}
	s.Polygon(drawing.Thin, drawing.Paper, drawing.At(c.X+radius+0.3, c.Y), drawing.At(c.X+radius+2.5, c.Y-1.2), drawing.At(c.X+radius+2.5, c.Y+1.2))
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 7, Level: drawing.Middle}, drawing.At(c.X+arm+0.6, c.Y), "+y")
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 7, Align: drawing.Centre}, drawing.At(c.X, c.Y-arm-0.9), "+z")
}

// sense draws the arrow of φ where it is easiest to see: in the bore, or in the
// middle of a solid section on a paper-white field.
func sense(s *drawing.Scene, c drawing.Point, radius, inner float64) {
	at := 0.6 * inner
	if at < 4 {
		at = min(0.5*radius, 7)
		s.Circle(drawing.Pen{}, drawing.Paper, c, at+2.5)
		for _, a := range []float64{0, math.Pi / 2} {
			s.Line(drawing.CentreLine, c.Polar(at+2.5, a+math.Pi), c.Polar(at+2.5, a))
		}
	}
	s.ArcArrow(drawing.Thin, c, at, 0, math.Pi/3)
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 7, Align: drawing.Centre, Level: drawing.Middle, Background: drawing.Paper}, c.Polar(at*0.55, math.Pi/6), "φ")
}

// callout is a name beside the section with a line to its angle.
type callout struct {
	angle float64
	text  string
}

// callouts names what lies around the section in two columns: grid by grid, or
// gauge by gauge where the grids are too many.
func callouts(s *drawing.Scene, c drawing.Point, radius float64, d *dossier.Dossier) {
	room := int(math.Floor((viewHeight - viewTop - 4) / rowPitch))
	all := gridCallouts(d)
	if crowded(all, room) {
		all = nil
		for _, p := range backingSpots(d) {
			all = append(all, callout{p.around, p.name + "  " + layout.Angle(p.around)})
		}
	}
	lo, hi := viewTop+2.0, viewHeight-2.0
	for _, right := range []bool{false, true} {
		var marks []mark
		angles := map[float64]float64{}
		for _, o := range all {
			if (math.Cos(o.angle) >= -1e-9) == right {
				y := c.Polar(radius+7, o.angle).Y
				marks = append(marks, mark{y, o.text})
				angles[y] = o.angle
			}
		}
		side, align, edge := -1.0, drawing.Left, 0.5
		if right {
			side, align, edge = 1, drawing.Right, s.Width-0.5
		}
		kept, at, _ := thin(merged(marks), rowPitch, lo, hi)
		for i, m := range kept {
			a := angles[m.at]
			text, size := drawing.Fit(m.text, drawing.Regular, markSize, 5, sectionWidth/2-radius-9.5)
			width, _, _ := drawing.Measure(text, drawing.Regular, size)
			s.Text(drawing.TextStyle{Size: size, Align: align, Level: drawing.Middle}, drawing.At(edge, at[i]), text)
			end := edge - side*(width+0.8)
			s.Polyline(drawing.Hair, c.Polar(radius+1.4, a), c.Polar(radius+3, a), drawing.At(end-side*1.5, at[i]), drawing.At(end, at[i]))
		}
	}
}

// gridCallouts joins the grids of one gauge that lie at one angle.
func gridCallouts(d *dossier.Dossier) []callout {
	var all []callout
	var names []string
	grids := gridSpots(d)
	for i, p := range grids {
		names = append(names, p.name)
		if i+1 < len(grids) && grids[i+1].placement == p.placement && math.Abs(grids[i+1].around-p.around) < 1e-9 {
			continue
		}
		all = append(all, callout{p.around, strings.Join(names, " ") + "  " + layout.Angle(p.around)})
		names = nil
	}
	return all
}

func crowded(all []callout, room int) bool {
	right := len(slices.DeleteFunc(slices.Clone(all), func(o callout) bool { return math.Cos(o.angle) < -1e-9 }))
	return right > room || len(all)-right > room
}

package profile

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// Sizes of the picture, mm.
const (
	viewWidth  = 89.0
	viewHeight = 96.0
	viewTop    = 14.0 // of the words above a view
	ordinate   = 13.0 // of the greatest stress
	strokes    = 240  // ordinates around the girth
)

// view is one load's picture.
type view struct {
	title  string
	load   design.Component
	unit   quantity.Kind // of the load
	stress func(Point) float64
}

var views = []view{
	{"Torque", design.Torque, quantity.Moment, func(p Point) float64 { return p.Torque }},
	{"Shear force Vy", design.ShearY, quantity.Force, func(p Point) float64 { return p.ShearY }},
	{"Shear force Vz", design.ShearZ, quantity.Force, func(p Point) float64 { return p.ShearZ }},
}

// Scene draws the section once for each load, with the surface shear as ordinates on
// the outline, outward where it is positive, and the best places marked; and once for
// bending. Title is the part's.
func (p *Profile) Scene(title string, w layout.Words) *drawing.Scene {
	s := drawing.NewScene(2*viewWidth+4, 2*viewHeight+22)
	s.Title = "Section: surface shear"
	text, size := drawing.Fit(title, drawing.Bold, 11, 7, 2*viewWidth)
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: size, Level: drawing.Top}, drawing.At(0, 0), text)
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 6), p.words(w))
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 9.6),
		"Seen from the +x end toward −x. Shear outside the outline acts along growing φ, inside against it; forces through the shear centre.")
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 13.2), "Marked: where a grid sees most of the load.")
	for i, v := range views {
		at := drawing.At(float64(i%2)*(viewWidth+4), 20+float64(i/2)*viewHeight)
		s.Place(p.shearView(v, w), at)
	}
	s.Place(p.bendingView(w), drawing.At(viewWidth+4, 20+viewHeight))
	return s
}

func (p *Profile) words(w layout.Words) string {
	q := &p.Properties
	return fmt.Sprintf("A %s, Iy %s, Iz %s, Iyz %s, J %s", w.Show(q.Area, quantity.Area), w.Show(q.Iy, quantity.SecondMoment), w.Show(q.Iz, quantity.SecondMoment),
		w.Show(small(q.Iyz, q.Iy+q.Iz), quantity.SecondMoment), w.Show(q.J, quantity.SecondMoment))
}

// small takes what is rounding beside scale for zero.
func small(v, scale float64) float64 {
	if math.Abs(v) < 1e-9*scale {
		return 0
	}
	return v
}

// Document is the picture on a page.
func (p *Profile) Document(title string, w layout.Words, paper drawing.PaperSize) *drawing.Document {
	doc := &drawing.Document{Title: title, Subject: "section properties and surface shear", Creator: "gridwright"}
	scene := p.Scene(title, w)
	page := doc.Page(paper)
	page.Place(scene, drawing.At((paper.Width-scene.Width)/2, 15))
	return doc
}

// frame maps the section onto a view.
type frame struct {
	k    float64 // mm of paper for a metre
	y, z float64 // m, middle of the outline
	c    drawing.Point
}

func (f *frame) at(y, z float64) drawing.Point {
	return drawing.At(f.c.X+(y-f.y)*f.k, f.c.Y-(z-f.z)*f.k)
}

// outlineOf samples a loop: densely on curves, its joints included.
func (p *Profile) outlineOf(loop int) []section.Coordinate {
	girth := p.Section.Perimeter(loop)
	joints := section.Joints(p.Section, loop)
	var at []section.Coordinate
	if len(joints) == 0 {
		joints = []section.Joint{{At: section.Coordinate{Loop: loop}}}
	}
	for i, j := range joints {
		end := joints[(i+1)%len(joints)].At.S
		if i == len(joints)-1 {
			end += girth
		}
		n := max(1, int(360*(end-j.At.S)/girth))
		for k := range n {
			at = append(at, section.Coordinate{Loop: loop, S: j.At.S + (end-j.At.S)*float64(k)/float64(n)})
		}
	}
	return at
}

func (p *Profile) frame() frame {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, c := range p.outlineOf(0) {
		y, z := p.Section.Point(c)
		low[0], low[1] = math.Min(low[0], y), math.Min(low[1], z)
		high[0], high[1] = math.Max(high[0], y), math.Max(high[1], z)
	}
	room := math.Min(viewWidth, viewHeight-viewTop) - 2*ordinate - 8
	f := frame{k: room / math.Max(high[0]-low[0], high[1]-low[1]), y: (low[0] + high[0]) / 2, z: (low[1] + high[1]) / 2}
	f.c = drawing.At(viewWidth/2, viewTop+(viewHeight-viewTop)/2)
	return f
}

// body draws the section itself.
func (p *Profile) body(s *drawing.Scene, f frame) {
	area := new(drawing.Path)
	for loop := range section.Loops(p.Section) {
		var points []drawing.Point
		for _, c := range p.outlineOf(loop) {
			y, z := p.Section.Point(c)
			points = append(points, f.at(y, z))
		}
		area.And(drawing.PolygonPath(points...))
	}
	if b, ok := p.Section.(interface {
		Bore() (section.Stress, bool)
	}); ok {
		if _, hollow := b.Bore(); hollow {
			q := &p.Properties
			outer := q.Depth / 2
			bore := math.Sqrt(math.Max(0, outer*outer-q.Area/math.Pi))
			area.And(drawing.CirclePath(f.at(0, 0), bore*f.k))
		}
	}
	s.Hatch(drawing.Hair, area, 2, math.Pi/4)
	s.Path(drawing.Outline, drawing.None, area)
	q := &p.Properties
	s.Circle(drawing.Thin, drawing.Ink, f.at(q.CentroidY, q.CentroidZ), 0.5)
	corner := drawing.At(4, viewHeight-6)
	s.Arrow(drawing.Thin, corner, drawing.At(corner.X+6, corner.Y))
	s.Arrow(drawing.Thin, corner, drawing.At(corner.X, corner.Y-6))
	s.Text(drawing.TextStyle{Font: drawing.Italic, Size: 7, Level: drawing.Middle}, drawing.At(corner.X+7, corner.Y), "y")
	s.Text(drawing.TextStyle{Font: drawing.Italic, Size: 7, Align: drawing.Centre}, drawing.At(corner.X, corner.Y-7), "z")
	centre := f.at(q.ShearCentreY, q.ShearCentreZ)
	if math.Hypot(q.ShearCentreY-q.CentroidY, q.ShearCentreZ-q.CentroidZ) > 1e-3*q.Depth {
		const r = 1.2
		s.Line(drawing.Thin, drawing.At(centre.X-r, centre.Y), drawing.At(centre.X+r, centre.Y))
		s.Line(drawing.Thin, drawing.At(centre.X, centre.Y-r), drawing.At(centre.X, centre.Y+r))
	}
}

// normal is the outward normal on paper at a coordinate.
func (p *Profile) normal(c section.Coordinate) drawing.Point {
	d := 1e-6 * p.Section.Perimeter(0)
	y0, z0 := p.Section.Point(section.Coordinate{S: c.S - d})
	y1, z1 := p.Section.Point(section.Coordinate{S: c.S + d})
	r := math.Hypot(y1-y0, z1-z0)
	return drawing.At((z1-z0)/r, (y1-y0)/r) // out is (dz, −dy); paper counts z down
}

func (p *Profile) shearView(v view, w layout.Words) *drawing.Scene {
	s := drawing.NewScene(viewWidth, viewHeight)
	f := p.frame()
	joints := section.Joints(p.Section, 0)
	girth := p.Section.Perimeter(0)
	margin := 0.02 * p.Properties.Depth
	var points []Point
	top := 0.0
	for k := range strokes {
		x := girth * (float64(k) + 0.5) / strokes
		hidden := false
		for _, j := range joints {
			hidden = hidden || j.Reentrant() && math.Abs(math.Remainder(x-j.At.S, girth)) < margin
		}
		if !hidden {
			q := p.Shear(section.Coordinate{S: x})
			points = append(points, q)
			top = math.Max(top, math.Abs(v.stress(q)))
		}
	}
	p.body(s, f)
	if top > 0 {
		for _, q := range points {
			foot, n := f.at(q.Y, q.Z), p.normal(q.At)
			h := v.stress(q) / top * ordinate
			pen := drawing.Hair.With(drawing.Accent)
			s.Line(pen, foot, drawing.At(foot.X+n.X*h, foot.Y+n.Y*h))
		}
	}
	p.mark(s, f, v.load)
	p.caption(s, v.title, p.bestOf(v.load), w, v.unit)
	return s
}

func (p *Profile) bendingView(w layout.Words) *drawing.Scene {
	s := drawing.NewScene(viewWidth, viewHeight)
	f := p.frame()
	p.body(s, f)
	p.mark(s, f, design.BendingY)
	p.mark(s, f, design.BendingZ)
	q := &p.Properties
	o := f.at(q.CentroidY, q.CentroidZ)
	reach := q.Depth * f.k * 0.6
	angles := []float64{0, math.Pi / 2}
	if p.Larger-p.Smaller > 1e-9*p.Larger {
		angles = []float64{p.Axis, p.Axis + math.Pi/2}
	}
	for _, a := range angles {
		sin, cos := math.Sincos(a)
		s.Line(drawing.CentreLine, drawing.At(o.X-reach*cos, o.Y+reach*sin), drawing.At(o.X+reach*cos, o.Y-reach*sin))
	}
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Level: drawing.Top}, drawing.At(0, 0), "Bending, principal axes")
	line := fmt.Sprintf("I₁ %s, I₂ %s", w.Show(p.Larger, quantity.SecondMoment), w.Show(p.Smaller, quantity.SecondMoment))
	if len(p.Faces) > 0 && p.Larger-p.Smaller > 1e-9*p.Larger {
		line = fmt.Sprintf("I₁ %s at %s from y, I₂ %s", w.Show(p.Larger, quantity.SecondMoment), w.Show(p.Axis, quantity.Angle), w.Show(p.Smaller, quantity.SecondMoment))
	}
	fitted(s, 3.6, line)
	for i, c := range []design.Component{design.BendingY, design.BendingZ} {
		fitted(s, 6.9+3.3*float64(i), fmt.Sprintf("%v: %s", c, p.greatest(p.bestOf(c), w, quantity.Moment)))
	}
	return s
}

func (p *Profile) bestOf(c design.Component) *Best {
	for i := range p.Best {
		if p.Best[i].Load == c {
			return &p.Best[i]
		}
	}
	return &Best{Load: c}
}

// mark draws a short thick line on the surface at each best place.
func (p *Profile) mark(s *drawing.Scene, f frame, c design.Component) {
	for _, b := range p.bestOf(c).Places {
		foot, n := f.at(b.Y, b.Z), p.normal(b.At)
		const half = 2
		pen := drawing.Pen{Width: 1, Colour: drawing.Ink}
		s.Line(pen, drawing.At(foot.X-n.Y*half, foot.Y+n.X*half), drawing.At(foot.X+n.Y*half, foot.Y-n.X*half))
	}
}

func (p *Profile) caption(s *drawing.Scene, title string, b *Best, w layout.Words, load quantity.Kind) {
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Level: drawing.Top}, drawing.At(0, 0), title)
	fitted(s, 3.6, p.greatest(b, w, load))
}

// fitted is a line of text within a view.
func fitted(s *drawing.Scene, y float64, line string) {
	text, size := drawing.Fit(line, drawing.Regular, 7, 5, viewWidth)
	s.Text(drawing.TextStyle{Size: size, Level: drawing.Top}, drawing.At(0, y), text)
}

// greatest says the greatest stress and where it is.
func (p *Profile) greatest(b *Best, w layout.Words, load quantity.Kind) string {
	text := fmt.Sprintf("greatest %s per %s", w.Show(b.Stress/perUnit(load, w.Sys), quantity.Stress), load.Unit(w.Sys))
	if b.Even {
		return text + ", all round alike"
	}
	for i, at := range b.Places {
		if i == 3 && len(b.Places) > 4 {
			return fmt.Sprintf("%s and %d more", text, len(b.Places)-3+b.More)
		}
		text += map[bool]string{true: " at ", false: ", "}[i == 0] + at.Words(w)
	}
	return text
}

// perUnit is how many units of the load's kind one SI unit is.
func perUnit(k quantity.Kind, sys quantity.System) float64 {
	v, err := quantity.Convert(1, k, k.Unit(sys))
	if err != nil {
		return 1
	}
	return v
}

// Words are where a place lies as the file writes it.
func (at Place) Words(w layout.Words) string {
	if at.Name != "" {
		name := "face " + at.Name
		if at.Across == 0 {
			return name
		}
		return name + " across " + w.Show(at.Across, quantity.Length)
	}
	return "around " + w.Show(at.Around, quantity.Angle)
}

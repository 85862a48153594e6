package sheet

import (
	"math"
	"slices"
	"strings"

	"gridwright/internal/boundary"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/section"
)

// sectionView draws the section seen from the +x end: y to the right, z up, φ
// counterclockwise, as drawing counts angles.
func sectionView(d *dossier.Dossier, w layout.Words) *drawing.Scene {
	s := drawing.NewScene(sectionWidth, viewHeight)
	v := newSectionLayout(d, w, s)
	s.Title = "Section, scale " + v.k.String()

	outline := new(drawing.Path)
	for _, l := range v.loops {
		outline.And(loopPath(l, v.c, v.k))
	}
	s.Hatch(drawing.Hair, outline, v.spacing(), math.Pi/4)
	s.Path(drawing.Outline, drawing.None, outline)
	v.axes()
	v.sense()
	for _, p := range gridSpots(d) {
		v.grid(p)
	}
	v.callouts(d)
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Level: drawing.Top}, drawing.At(0, 0), "Section, scale "+v.k.String())
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 3.6), "seen from the +x end toward −x; φ from +y toward +z")
	size, points := drawing.Fit(sectionWords(w, d.Design, true), drawing.Regular, 7, 5, sectionWidth-1)
	s.Text(drawing.TextStyle{Size: points, Level: drawing.Top}, drawing.At(0, 6.8), size)
	if v.note != "" {
		s.Text(drawing.TextStyle{Size: v.noteSize, Level: drawing.Top}, drawing.At(0, 10), v.note)
	}
	v.centres()
	return s
}

// sectionLayout is the section view while it is drawn.
type sectionLayout struct {
	scene    *drawing.Scene
	section  section.Section
	loops    []boundary.Loop
	k        scale
	w        layout.Words
	c        drawing.Point // of the centroid
	middle   drawing.Point // of the outline's rectangle
	half     drawing.Point // half its sides, mm
	top      float64       // below the words
	note     string        // where centroid and shear centre are
	noteSize float64
}

func newSectionLayout(d *dossier.Dossier, w layout.Words, s *drawing.Scene) *sectionLayout {
	v := &sectionLayout{scene: s, section: outlineOf(d), w: w, top: viewTop}
	v.loops = v.section.Loops()
	b := spanOf(v.loops[0])
	v.k = round(31.0 / 1e3 / max(b.y1-b.y0, b.z1-b.z0))
	if v.note = centreWords(w, v.section.Properties()); v.note != "" {
		v.note, v.noteSize = drawing.Fit(v.note, drawing.Regular, 7, 5, sectionWidth-1)
		v.top += 3.2
	}
	v.middle = drawing.At(sectionWidth/2, v.top+(viewHeight-v.top)/2)
	v.half = drawing.At(v.k.mm((b.y1-b.y0)/2), v.k.mm((b.z1-b.z0)/2))
	v.c = drawing.At(v.middle.X-v.k.mm((b.y0+b.y1)/2), v.middle.Y+v.k.mm((b.z0+b.z1)/2))
	return v
}

// spacing of the hatch: closer in a thin wall.
func (v *sectionLayout) spacing() float64 {
	if isRound(v.section) {
		return 1.6
	}
	return min(max(v.k.mm(v.section.Walls().Thinnest)*0.7, 0.8), 1.6)
}

// apartFrom tells whether two points of the section are two at all.
func apartFrom(p section.Properties, y, z float64) bool { return math.Hypot(y, z) > 1e-6*p.Depth }

// centreWords say where the centroid lies in the axes of the design's dimensions, and
// where the shear centre, if they are not at the origin.
func centreWords(w layout.Words, p section.Properties) string {
	at := func(y, z float64) string {
		return "y\u00A0" + w.Place(y) + ", z\u00A0" + w.Place(z)
	}
	centroid := apartFrom(p, p.CentroidY, p.CentroidZ)
	shear := apartFrom(p, p.ShearCentreY-p.CentroidY, p.ShearCentreZ-p.CentroidZ)
	unit := "\u00A0" + w.LengthUnit()
	switch {
	case centroid && shear:
		return "centroid C at " + at(p.CentroidY, p.CentroidZ) + "; shear centre S at " + at(p.ShearCentreY, p.ShearCentreZ) + unit + ", in the design's axes"
	case centroid:
		return "centroid C at " + at(p.CentroidY, p.CentroidZ) + unit + " in the design's axes; shear centre there"
	case shear:
		return "shear centre S at " + at(p.ShearCentreY, p.ShearCentreZ) + unit + "; centroid C at the origin"
	}
	return ""
}

// surface is the place of an arc length on the paper, and its outward normal.
func (v *sectionLayout) surface(at float64) (drawing.Point, float64) {
	p := point(v.section, at)
	return drawing.At(v.c.X+v.k.mm(real(p)), v.c.Y-v.k.mm(imag(p))), v.section.Normal(section.Coordinate{S: at})
}

// grid draws a grid as a short thick line along the surface.
func (v *sectionLayout) grid(p spot) {
	const off = 0.75 // mm from the outline
	pen := drawing.Pen{Width: 1, Colour: drawing.Accent}
	half := p.girth() / 2
	if isRound(v.section) {
		r := v.section.Perimeter(0) / (2 * math.Pi)
		v.scene.Arc(pen, v.c, v.k.mm(r)+off, p.around-half/r, 2*half/r)
		return
	}
	n := 1
	for _, s := range []float64{p.s - half*0.99, p.s, p.s + half*0.99} {
		if v.section.Curvature(section.Coordinate{S: s}) != 0 {
			n = 24
		}
	}
	var line []drawing.Point
	for i := range n + 1 {
		// within the ends, where the next side may begin
		q, normal := v.surface(p.s + half*(1-1e-6)*(2*float64(i)/float64(n)-1))
		line = append(line, q.Polar(off, normal))
	}
	v.scene.Polyline(pen, line...)
}

// axes of the section through the centroid, with the mark of the reference line.
func (v *sectionLayout) axes() {
	const past = 3.5
	s, c, m := v.scene, v.c, v.middle
	reach := drawing.At(v.half.X+past, v.half.Y+past)
	right, up := m.X+reach.X, m.Y-reach.Y
	s.Line(drawing.CentreLine, drawing.At(m.X-reach.X, c.Y), drawing.At(right, c.Y))
	s.Line(drawing.CentreLine, drawing.At(c.X, m.Y+reach.Y), drawing.At(c.X, up))
	mark, _ := v.surface(0)
	s.Polygon(drawing.Thin, drawing.Paper, drawing.At(mark.X+0.3, mark.Y), drawing.At(mark.X+2.5, mark.Y-1.2), drawing.At(mark.X+2.5, mark.Y+1.2))
	y, level := drawing.At(right+0.6, c.Y), drawing.Middle
	if !isRound(v.section) { // above the line to a gauge's name
		y, level = drawing.At(right+0.2, c.Y-0.4), drawing.Baseline
	}
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 7, Level: level}, y, "+y")
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 7, Align: drawing.Centre}, drawing.At(c.X, up-0.9), "+z")
}

// sense draws the arrow of φ where it is easiest to see: in the bore, in the middle
// of a solid section on a paper-white field, or beside the outline where the centroid
// has no room about it.
func (v *sectionLayout) sense() {
	s, c := v.scene, v.c
	phi := drawing.TextStyle{Font: drawing.Bold, Size: 7, Align: drawing.Centre, Level: drawing.Middle, Background: drawing.Paper}
	room, inside := nearest(v.loops)
	clear := v.k.mm(room)
	at := 0.6 * clear
	if isRound(v.section) && len(v.loops) == 1 {
		at = 0
	}
	const field = 2.5
	switch {
	case !inside && at >= 4:
	case isRound(v.section) || inside && clear >= 2*field+1:
		if isRound(v.section) {
			clear = v.half.X
		}
		at = min(0.5*clear, 7)
		s.Circle(drawing.Pen{}, drawing.Paper, c, at+field)
		for _, a := range []float64{0, math.Pi / 2} {
			s.Line(drawing.CentreLine, c.Polar(at+field, a+math.Pi), c.Polar(at+field, a))
		}
	default:
		r := v.middle.X + v.half.X + 2.6 - c.X
		sweep := 5.5 / r
		s.ArcArrow(drawing.Thin, c, r, 0.5/r, sweep)
		s.Text(phi, c.Polar(r, sweep+2.3/r), "φ")
		return
	}
	s.ArcArrow(drawing.Thin, c, at, 0, math.Pi/3)
	s.Text(phi, c.Polar(at*0.55, math.Pi/6), "φ")
}

// centres marks centroid and shear centre where they differ, the centroid by a
// quartered circle and the shear centre by a crossed one.
func (v *sectionLayout) centres() {
	p := v.section.Properties()
	y, z := p.ShearCentreY-p.CentroidY, p.ShearCentreZ-p.CentroidZ
	if !apartFrom(p, y, z) {
		return
	}
	const ring = 1.1
	s := v.scene
	lo, hi := drawing.At(v.middle.X-v.half.X-9, v.top), drawing.At(v.middle.X+v.half.X+9, viewHeight)
	n := newNamer(s, lo, hi)
	style := drawing.TextStyle{Font: drawing.Bold, Size: markSize, Background: drawing.Paper}
	mark := func(c drawing.Point, name string, first float64, turned float64) {
		if c.X < lo.X+ring || c.X > hi.X-ring || c.Y < lo.Y+ring || c.Y > hi.Y-ring {
			return // the words say where it is
		}
		s.Circle(drawing.Thin, drawing.Paper, c, ring)
		for k := range 4 {
			s.Line(drawing.Thin, c, c.Polar(ring, turned+float64(k)*math.Pi/2))
		}
		n.keepClear(c, 2*ring, 2*ring, 0)
		n.name(name, style, c, ring, first)
	}
	shear := drawing.At(v.c.X+v.k.mm(y), v.c.Y-v.k.mm(z))
	away := math.Atan2(z, y)
	if math.Hypot(shear.X-v.c.X, shear.Y-v.c.Y) > 2*ring {
		mark(v.c, "C", away+math.Pi, 0)
	}
	mark(shear, "S", away, math.Pi/4)
}

// callout is a name beside the section with a line to its place.
type callout struct {
	at     drawing.Point // on the outline
	normal float64
	right  bool // it stands right of the section
	text   string
}

func (v *sectionLayout) callout(p spot, names string) callout {
	at, _ := v.surface(p.s)
	normal := normalAt(v.section, p)
	o := callout{at: at, normal: normal, text: names + "  " + placeWords(v.w, p)}
	if o.right = math.Cos(normal) > 0; math.Abs(math.Cos(normal)) < 0.3 {
		o.right = at.X >= v.middle.X-1e-6
	}
	return o
}

// beyond is a point off the outline before a callout's place, mm.
func (v *sectionLayout) beyond(o callout, off float64) drawing.Point {
	if isRound(v.section) {
		return v.c.Polar(v.half.X+off, o.normal)
	}
	return o.at.Polar(off, o.normal)
}

// callouts names what lies around the section in two columns: grid by grid, or
// gauge by gauge where the grids are too many.
func (v *sectionLayout) callouts(d *dossier.Dossier) {
	s := v.scene
	room := int(math.Floor((viewHeight - v.top - 4) / rowPitch))
	all := v.gridCallouts(d)
	if crowded(all, room) {
		all = nil
		for _, p := range backingSpots(d) {
			all = append(all, v.callout(p, p.name))
		}
	}
	lo, hi := v.top+2.0, viewHeight-2.0
	for _, right := range []bool{false, true} {
		var marks []mark
		from := map[mark]callout{}
		for _, o := range all {
			if o.right == right {
				m := mark{v.beyond(o, 7).Y, o.text}
				marks = append(marks, m)
				from[m] = o
			}
		}
		side, align, edge := -1.0, drawing.Left, 0.5
		if right {
			side, align, edge = 1, drawing.Right, s.Width-0.5
		}
		kept, at, _ := thin(merged(marks), rowPitch, lo, hi)
		for i, m := range kept {
			o := from[m]
			text, size := drawing.Fit(m.text, drawing.Regular, markSize, 5, sectionWidth/2-v.half.X-9.5)
			width, _, _ := drawing.Measure(text, drawing.Regular, size)
			s.Text(drawing.TextStyle{Size: size, Align: align, Level: drawing.Middle}, drawing.At(edge, at[i]), text)
			end := edge - side*(width+0.8)
			s.Polyline(drawing.Hair, v.beyond(o, 1.4), v.beyond(o, 3), drawing.At(end-side*1.5, at[i]), drawing.At(end, at[i]))
		}
	}
}

// gridCallouts joins the grids of one gauge that lie at one place around the part.
func (v *sectionLayout) gridCallouts(d *dossier.Dossier) []callout {
	var all []callout
	var names []string
	grids := gridSpots(d)
	for i, p := range grids {
		names = append(names, p.name)
		if i+1 < len(grids) && grids[i+1].placement == p.placement && math.Abs(grids[i+1].around-p.around) < 1e-9 {
			continue
		}
		all = append(all, v.callout(p, strings.Join(names, " ")))
		names = nil
	}
	return all
}

func crowded(all []callout, room int) bool {
	right := len(slices.DeleteFunc(slices.Clone(all), func(o callout) bool { return !o.right }))
	return right > room || len(all)-right > room
}

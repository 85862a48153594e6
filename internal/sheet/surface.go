package sheet

import (
	"cmp"
	"math"
	"slices"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/section"
)

const (
	surfaceHeight = 112.0 // mm at most
	surfaceLeft   = 9.0   // for the running dimension of stations, and its texts
	surfaceRight  = 9.0
	surfaceTop    = 19.0 // for scale, view and compass
	surfaceFoot   = 9.0  // for the running dimension around the part, and its texts
	secondAxis    = 2.5  // from the running dimensions of faces to that from the reference line
	facesRow      = 7.0  // for a third line of words and the names of faces
)

// surfaceLayout is the developed surface: seen from outside, +x up the page, φ
// to the right.
type surfaceLayout struct {
	scene     *drawing.Scene
	scale     scale
	origin    drawing.Point // of station 0 on the reference line
	from      float64       // arc length at the left edge, m; one girth on the right edge is the same line
	girth     float64       // m
	low       float64       // stations shown, m
	high      float64
	grids     []spot // with s within the edges
	backings  []spot
	runs      []section.Run // faces and curves; nil on a round part
	reference string        // what the reference line is
	top       float64       // of the drawing above the surface
}

// at is where a point of the surface lies on the paper.
func (l *surfaceLayout) at(x, s float64) drawing.Point {
	return drawing.At(l.origin.X+l.scale.mm(s), l.origin.Y-l.scale.mm(x))
}

// pageAngle is a direction of the surface as drawing counts angles: from +x, up
// the page, clockwise.
func pageAngle(direction float64) float64 { return math.Pi/2 - direction }

// developedSurfaces draws the surface once, or once for each group of gauges
// where they lie so far apart along the part that one drawing of all would be
// small.
func developedSurfaces(d *dossier.Dossier, w layout.Words, width, height float64) []*surfaceLayout {
	one := developedSurface(d, w, nil, width, height)
	groups := stationGroups(backingSpots(d), one.girth)
	if len(groups) < 2 {
		return []*surfaceLayout{one}
	}
	var all []*surfaceLayout
	least := math.Inf(1)
	for _, g := range groups {
		l := developedSurface(d, w, g, width, height)
		all, least = append(all, l), min(least, float64(l.scale))
	}
	if least <= float64(one.scale) {
		return []*surfaceLayout{one}
	}
	return all
}

// stationGroups are the placements between which the part is bare for more than
// half its girth.
func stationGroups(backings []spot, girth float64) (groups [][]int) {
	sorted := slices.Clone(backings)
	slices.SortStableFunc(sorted, func(a, b spot) int { return cmp.Compare(a.x-a.axial()/2, b.x-b.axial()/2) })
	end := math.Inf(-1)
	for _, p := range sorted {
		if p.x-p.axial()/2 > end+girth/2 {
			groups = append(groups, nil)
		}
		last := len(groups) - 1
		groups[last] = append(groups[last], p.placement)
		end = max(end, p.x+p.axial()/2)
	}
	return groups
}

// developedSurface draws the surface with some placements, nil for all, to the
// largest scale that fits.
func developedSurface(d *dossier.Dossier, w layout.Words, only []int, width, height float64) *surfaceLayout {
	l := &surfaceLayout{girth: d.Result.State.Section.Perimeter(0), grids: gridSpots(d), backings: backingSpots(d)}
	if only != nil {
		other := func(p spot) bool { return !slices.Contains(only, p.placement) }
		l.grids, l.backings = slices.DeleteFunc(l.grids, other), slices.DeleteFunc(l.backings, other)
	}
	all := append(slices.Clone(l.grids), l.backings...)
	l.top, l.reference = surfaceTop, "φ = 0"
	if outlineOf(d).Meets(0) != nil {
		l.reference = "reference"
	}
	if part := outlineOf(d); !isRound(part) {
		l.runs = section.Runs(part)
		l.top += facesRow
	}
	l.from = seam(all, l.edges(), l.girth)
	for i := range l.grids {
		l.grids[i].s = within(l.grids[i].s, l.from, l.girth)
	}
	for i := range l.backings {
		l.backings[i].s = within(l.backings[i].s, l.from, l.girth)
	}
	low, high := reach(all)
	if len(all) == 0 {
		low, high = 0, 0
	}
	edge := 0.06 * l.girth
	low, high = low-edge, high+edge
	left, foot := surfaceLeft, surfaceFoot
	faced, angled := false, false
	for _, p := range l.backings {
		faced, angled = faced || p.face != "", angled || p.face == ""
		left = max(left, surfaceLeft+layout.TextWidth(station(w, p.x), drawing.Regular, markSize))
		foot = max(foot, surfaceFoot+layout.TextWidth(aroundPart(w, p), drawing.Regular, markSize))
	}
	if faced && angled { // two lines of dimensions
		foot += secondAxis
	}
	roomX, roomY := width-left-surfaceRight, height-l.top-foot
	l.scale = round(min(roomX/1e3/l.girth, roomY/1e3/(high-low)))
	l.low, l.high = widen(low, high, roomY/1e3/float64(l.scale), d)

	l.scene = drawing.NewScene(width, l.top+l.scale.mm(l.high-l.low)+foot)
	l.scene.Title = "Developed surface of " + layout.OneLine(d.Design.Title) + ", scale " + l.scale.String()
	left += (roomX - l.scale.mm(l.girth)) / 2
	l.origin = drawing.At(left-l.scale.mm(l.from), l.top+l.scale.mm(l.high))
	l.drawFaces()
	l.drawSurface(d)
	l.drawGauges()
	l.dimension(w)
	l.heading(w)
	l.faceNames()
	l.names()
	return l
}

// widen takes in as much of the straight length as there is room for, but no
// more than one girth.
func widen(low, high, room float64, d *dossier.Dossier) (float64, float64) {
	span := d.Design.Part.StraightLength
	if !span.Set {
		return low, high
	}
	room = min(room, max(high-low, 0.33*d.Result.State.Section.Perimeter(0)))
	more := max(room-(high-low), 0)
	const beyond = 0.002 // m past an end, so that the end shows
	down := min(more/2, max(low-span.From.SI+beyond, 0))
	up := min(more-down, max(span.To.SI-high+beyond, 0))
	return low - down, high + up
}

// seam is where the surface is cut open: at the reference line φ = 0 unless a
// rectangle lies over it, then in the middle of the widest gap, or at the edge of a
// face that lies in the gap nearest to its middle. Arc length, m, in (−girth, 0].
func seam(spots []spot, edges []float64, girth float64) float64 {
	type arc struct{ from, to float64 }
	var arcs []arc
	free := true
	for _, p := range spots {
		s, half := within(p.s, 0, girth), p.girth()/2
		arcs = append(arcs, arc{s - half, s + half})
		free = free && s-half >= 0 && s+half <= girth
	}
	if free {
		return 0
	}
	slices.SortFunc(arcs, func(a, b arc) int { return cmp.Compare(a.from, b.from) })
	widest, at := math.Inf(-1), 0.0
	end := math.Inf(-1)
	for _, a := range arcs {
		end = max(end, a.to-girth) // of the arcs before the first, one turn back
	}
	for _, a := range arcs {
		if gap := a.from - end; gap > widest {
			widest, at = gap, (a.from+end)/2
		}
		end = max(end, a.to)
	}
	near := widest / 2 * (1 - 1e-6)
	middle := at
	for _, e := range edges {
		if d := math.Remainder(e-middle, girth); math.Abs(d) < near {
			near, at = math.Abs(d), middle+d
		}
	}
	return within(at, 0, girth) - girth
}

// within brings an arc length into [from, from + girth).
func within(s, from, girth float64) float64 {
	s = math.Mod(s-from, girth)
	if s < 0 {
		s += girth
	}
	if girth-s < 1e-9*girth {
		s = 0
	}
	return from + s
}

// drawSurface draws the edges, the reference line, the station line, ends and
// features.
func (l *surfaceLayout) drawSurface(d *dossier.Dossier) {
	s := l.scene
	a, b := l.at(l.high, l.from), l.at(l.low, l.from+l.girth)
	s.Line(drawing.Thin, a, drawing.At(a.X, b.Y))
	s.Line(drawing.Thin, drawing.At(b.X, a.Y), b)
	// The surface goes on above and below.
	s.Line(drawing.Hair, a, drawing.At(b.X, a.Y))
	s.Line(drawing.Hair, drawing.At(a.X, b.Y), b)
	l.scribe(within(0, l.from, l.girth))
	if l.from == 0 {
		l.scribe(l.girth)
	}
	level := func(pen drawing.Pen, x float64) {
		if l.shows(x) {
			p := l.at(x, l.from)
			s.Line(pen, drawing.At(p.X-2, p.Y), drawing.At(b.X+2, p.Y))
		}
	}
	level(drawing.CentreLine, 0)
	if span := d.Design.Part.StraightLength; span.Set {
		level(drawing.Outline, span.From.SI)
		level(drawing.Outline, span.To.SI)
	}
	for _, f := range d.Design.Part.Features {
		level(drawing.Hidden, f.Station.SI)
	}
}

// scribe draws the reference line at an arc length, with its mark above.
func (l *surfaceLayout) scribe(arc float64) {
	top, foot := l.at(l.high, arc), l.at(l.low, arc)
	l.scene.Line(drawing.Marked, drawing.At(top.X, top.Y-2), drawing.At(foot.X, foot.Y+2))
	l.scene.Polygon(drawing.Thin, drawing.Paper, drawing.At(top.X, top.Y-0.4), drawing.At(top.X-1.2, top.Y-2.6), drawing.At(top.X+1.2, top.Y-2.6))
}

func (l *surfaceLayout) drawGauges() {
	for _, p := range l.backings {
		c := l.at(p.x, p.s)
		l.scene.TurnedRectangle(drawing.Thin, drawing.None, c, l.scale.mm(p.length), l.scale.mm(p.width), pageAngle(p.direction))
	}
	for _, p := range l.grids {
		drawGrid(l.scene, l.at(p.x, p.s), l.scale.mm(p.length), l.scale.mm(p.width), pageAngle(p.direction))
	}
	for _, p := range l.backings {
		c := l.at(p.x, p.s)
		cross(l.scene, c, pageAngle(p.direction))
	}
}

// cross marks the centre of a gauge.
func cross(s *drawing.Scene, c drawing.Point, angle float64) {
	const arm = 0.9
	pen := drawing.Pen{Width: 0.13, Colour: drawing.Ink}
	s.Line(pen, c.Polar(arm, angle), c.Polar(arm, angle+math.Pi))
	s.Line(pen, c.Polar(arm, angle+math.Pi/2), c.Polar(arm, angle-math.Pi/2))
}

// drawGrid draws a grid as its outline with lines in the direction of its
// length.
func drawGrid(s *drawing.Scene, c drawing.Point, length, width, angle float64) {
	pen := drawing.Marked
	pen.Width = min(max(0.08*min(length, width), 0.15), 0.35) // a small grid is not blotted out
	s.TurnedRectangle(pen, drawing.None, c, length, width, angle)
	lines := min(int(width/0.7), 5)
	for i := 1; i <= lines; i++ {
		m := c.Polar(width*(float64(i)/float64(lines+1)-0.5), angle+math.Pi/2)
		s.Line(drawing.Hair.With(drawing.Accent), m.Polar(length*0.42, angle), m.Polar(length*0.42, angle+math.Pi))
	}
}

// shows tells whether a station lies within the drawing.
func (l *surfaceLayout) shows(x float64) bool { return x > l.low && x < l.high }

// heading states view and scale and draws the compass.
func (l *surfaceLayout) heading(w layout.Words) {
	s := l.scene
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Level: drawing.Top}, drawing.At(0, 1), "Developed surface, scale "+l.scale.String())
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 5), "seen from outside; +x up, φ to the right; scribed reference line (triangle) at "+l.referenceWords()+";")
	s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 8.4), l.stationLine(w)+"; dimensions to the centre cross of each gauge, "+w.LengthUnit()+" along the surface and degrees")
	if l.runs != nil {
		s.Text(drawing.TextStyle{Size: 7, Level: drawing.Top}, drawing.At(0, 11.8), "faces by name, curves shaded; gauges placed on a face are dimensioned from its middle, others from the reference line")
	}
	compass(s, drawing.At(s.Width-19, 14))
}

// referenceWords say where the reference line is: where no surface lies at φ = 0, at
// the edge that arc length is counted from.
func (l *surfaceLayout) referenceWords() string {
	if l.reference == "φ = 0" {
		return l.reference
	}
	return "the edge nearest to φ = 0"
}

// stationLine says where station 0 is.
func (l *surfaceLayout) stationLine(w layout.Words) string {
	switch {
	case l.shows(0):
		return "chain line: station 0"
	case l.low >= 0:
		return "station 0 lies " + station(w, l.low) + " below the lower edge"
	}
	return "station 0 lies " + station(w, -l.high) + " above the upper edge"
}

// compass shows +x, the sense of φ and that of a grid's direction α.
func compass(s *drawing.Scene, c drawing.Point) {
	style := drawing.TextStyle{Font: drawing.Bold, Size: 7.5, Level: drawing.Middle}
	s.Arrow(drawing.Outline, c, drawing.At(c.X, c.Y-10))
	s.Arrow(drawing.Outline, c, drawing.At(c.X+12, c.Y))
	style.Align = drawing.Right
	s.Text(style, drawing.At(c.X-1.2, c.Y-9), "+x")
	style.Align = drawing.Left
	s.Text(style, drawing.At(c.X+13, c.Y), "+φ")
	s.ArcArrow(drawing.Thin, c, 7, math.Pi/2, -math.Pi/4)
	s.Line(drawing.Hair, c, c.Polar(8, math.Pi/4))
	style.Font = drawing.Regular
	s.Text(style, c.Polar(9, math.Pi/3.2), "α")
}

// names writes the name of each grid and each gauge beside it.
func (l *surfaceLayout) names() {
	s := l.scene
	n := newNamer(s, drawing.At(0, l.top-6), drawing.At(s.Width, l.at(l.low, 0).Y+4))
	for _, p := range l.grids {
		n.keepClear(l.at(p.x, p.s), l.scale.mm(p.length), l.scale.mm(p.width), pageAngle(p.direction))
	}
	for _, p := range l.backings {
		n.keepClear(l.at(p.x, p.s), l.scale.mm(p.length), l.scale.mm(p.width), pageAngle(p.direction))
	}
	missed := 0
	for _, p := range l.grids {
		style := drawing.TextStyle{Size: markSize, Colour: drawing.Accent}
		short, size := drawing.Fit(p.name, style.Font, style.Size, 5, 16)
		style.Size = size
		// The end of the grid that lies farther out is named.
		first := pageAngle(p.direction)
		b := l.backings[slices.IndexFunc(l.backings, func(b spot) bool { return b.placement == p.placement })]
		if dx, ds := p.x-b.x, p.s-b.s; dx*math.Cos(p.direction)+ds*math.Sin(p.direction) < 0 {
			first += math.Pi
		}
		if !n.name(short, style, l.at(p.x, p.s), l.scale.mm(p.length)/2, first) {
			missed++
		}
	}
	if missed > 0 {
		s.Text(drawing.TextStyle{Font: drawing.Italic, Size: markSize}, drawing.At(0, s.Height-1.5), layout.Plural(missed, "name")+" had no room here: see the table")
	}
}

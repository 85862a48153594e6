package drawing

import "math"

// Along is the direction of a dimension line.
type Along uint8

const (
	Aligned    Along = iota // parallel to the line from From to To
	Horizontal              // the distance in x
	Vertical                // the distance in y
)

// Dimension states the distance of two points: extension lines from the
// points, a dimension line between arrows, and a text above it that reads
// from the bottom or from the right of the sheet (as ISO 129-1 has it, from
// memory). The text is the caller's; nothing is measured here.
//
// Where the arrows have no room between the extension lines they stand
// outside and point inward; where the text has none it goes outside, beyond
// To, over the dimension line drawn out to its length.
type Dimension struct {
	From, To Point
	Along    Along
	Through  Point // any point of the dimension line
	Text     string
	Size     float64 // points; 0 is 7
	Before   bool    // a text outside goes beyond From instead
}

const (
	extensionGap  = 0.8 // mm between a point and its extension line
	extensionOver = 1.5 // mm of it beyond the dimension line
	arrowTail     = 2.0 // mm of line behind an arrow that stands outside
)

// dimensionPlan is where the parts of a dimension go.
type dimensionPlan struct {
	start, end    Point // of the arrows: on the dimension line, at From and To
	u             Point // unit vector from start to end
	arrowsOutside bool
	textOutside   bool
	lineFrom      Point // of the dimension line as drawn, tails and underline included
	lineTo        Point
	textAt        Point
	angle         float64
}

// plan places the parts; ok is false when the points do not differ along the
// dimension line.
func (d Dimension) plan() (p dimensionPlan, ok bool) {
	switch d.Along {
	case Horizontal:
		p.u = At(1, 0)
	case Vertical:
		p.u = At(0, 1)
	default:
		p.u = d.From.toward(d.To)
	}
	project := func(q Point) Point { return d.Through.plus(p.u.times(q.minus(d.Through).dot(p.u))) }
	p.start, p.end = project(d.From), project(d.To)
	span := p.end.minus(p.start).dot(p.u)
	if span < 0 {
		span, p.u = -span, p.u.times(-1)
	}
	if !(span > 1e-6) || !finite(span) {
		return p, false
	}
	size := sizeOr(d.Size)
	width, _, descent := Measure(d.Text, Regular, size)
	p.arrowsOutside = span < 2*arrowLength+1
	p.textOutside = span < width+2*textClearance

	p.lineFrom, p.lineTo = p.start, p.end
	tail := 0.0
	if p.arrowsOutside {
		tail = arrowLength + arrowTail
		p.lineFrom, p.lineTo = p.start.minus(p.u.times(tail)), p.end.plus(p.u.times(tail))
	}
	mid := p.start.plus(p.end).times(0.5)
	if p.textOutside {
		lead := math.Max(tail, extensionOver)
		if d.Before {
			mid = p.start.minus(p.u.times(lead + width/2))
			p.lineFrom = p.start.minus(p.u.times(lead + width))
		} else {
			mid = p.end.plus(p.u.times(lead + width/2))
			p.lineTo = p.end.plus(p.u.times(lead + width))
		}
	}
	p.angle = readable(math.Atan2(-p.u.Y, p.u.X))
	p.textAt = mid.Polar(descent+0.4, p.angle+math.Pi/2)
	return p, true
}

// Dimension draws a dimension and returns the box of its text.
func (s *Scene) Dimension(d Dimension) TextBox {
	p, ok := d.plan()
	if !ok {
		s.fail("dimension %q between points that coincide", d.Text)
		return TextBox{Text: d.Text}
	}
	for _, e := range [2][2]Point{{d.From, p.start}, {d.To, p.end}} {
		if e[0].distance(e[1]) > extensionGap {
			out := e[0].toward(e[1])
			s.Line(Thin, e[0].plus(out.times(extensionGap)), e[1].plus(out.times(extensionOver)))
		}
	}
	inward := 1.0
	if p.arrowsOutside {
		inward = -1
		s.Line(Thin, p.lineFrom, p.lineTo)
	} else {
		// Under the heads the line would blunt the tips.
		cut := p.u.times(0.8 * arrowLength)
		s.Line(Thin, p.start.plus(cut), p.end.minus(cut))
		if p.lineFrom != p.start {
			s.Line(Thin, p.lineFrom, p.start)
		}
		if p.lineTo != p.end {
			s.Line(Thin, p.end, p.lineTo)
		}
	}
	s.arrowHead(Ink, p.start, p.u.times(-inward))
	s.arrowHead(Ink, p.end, p.u.times(inward))
	return s.Text(TextStyle{Size: sizeOr(d.Size), Align: Centre, Angle: p.angle}, p.textAt, d.Text)
}

// readable turns a direction round where a text along it would stand on its
// head: the result is in (-90°, 90°], so that a vertical text reads from the
// right of the sheet.
func readable(angle float64) float64 {
	const hair = 1e-9
	angle = math.Remainder(angle, 2*math.Pi)
	switch {
	case angle > math.Pi/2+hair:
		return angle - math.Pi
	case angle <= -math.Pi/2+hair:
		return angle + math.Pi
	}
	return angle
}

// AngleDimension states the angle between two directions from a centre: an
// arc with arrows, and a level text outside it.
type AngleDimension struct {
	Centre   Point
	Radius   float64 // of the arc
	From, To float64 // directions, counterclockwise as seen; To - From is the angle shown
	// Inner is the distance from the centre at which what is dimensioned ends;
	// extension lines go on from there. 0 draws none. Beyond Radius they come
	// inward, and a text that has no room between them crosses them.
	Inner float64
	Text  string
	Size  float64 // points; 0 is 7
}

// AngleDimension draws an angle and returns the box of its text.
func (s *Scene) AngleDimension(d AngleDimension) TextBox {
	sweep := d.To - d.From
	if !(d.Radius > 0) || !(math.Abs(sweep) > 1e-9) || !(math.Abs(sweep) <= 2*math.Pi+1e-9) || !(d.Inner >= 0) || !finite(d.Inner) {
		s.fail("angle %q of %v rad at radius %v mm", d.Text, sweep, d.Radius)
		return TextBox{Text: d.Text}
	}
	outward := 1.0
	if d.Inner > d.Radius {
		outward = -1
	}
	extended := d.Inner > 0 && math.Abs(d.Radius-d.Inner) > extensionGap
	if extended {
		for _, a := range [2]float64{d.From, d.To} {
			s.Line(Thin, d.Centre.Polar(d.Inner+outward*extensionGap, a), d.Centre.Polar(d.Radius+outward*extensionOver, a))
		}
	}
	head := math.Copysign(headAngle(d.Radius), sweep)
	if d.Radius*math.Abs(sweep) >= 2*arrowLength+1 {
		s.Arc(Thin, d.Centre, d.Radius, d.From+0.8*head, sweep-1.6*head)
		s.arcHead(Ink, d.Centre, d.Radius, d.From, -sweep)
		s.arcHead(Ink, d.Centre, d.Radius, d.To, sweep)
	} else {
		tail := head + math.Copysign(arrowTail/d.Radius, sweep)
		s.Arc(Thin, d.Centre, d.Radius, d.From-tail, sweep+2*tail)
		s.arcHead(Ink, d.Centre, d.Radius, d.From, sweep)
		s.arcHead(Ink, d.Centre, d.Radius, d.To, -sweep)
	}
	return s.Text(TextStyle{Size: sizeOr(d.Size), Align: Centre, Level: Middle}, d.textAt(extended && outward > 0), d.Text)
}

// textAt is the middle of the text: on the bisector, so far out that the box
// lies beyond the tangent of the arc, and beyond the ends of the extension
// lines where it would not fit between them.
func (d AngleDimension) textAt(between bool) Point {
	size := sizeOr(d.Size)
	width, ascent, descent := Measure(d.Text, Regular, size)
	mid := (d.From + d.To) / 2
	sin, cos := math.Sincos(mid)
	// The box is not symmetric about half the height of the capitals; take
	// the larger side for both.
	half := CapHeight(Regular, size) / 2
	tall := math.Max(ascent-half, descent+half)
	reach := width/2*math.Abs(cos) + tall*math.Abs(sin)
	off := textClearance
	wide := width*math.Abs(sin) + 2*tall*math.Abs(cos)
	if chord := 2 * d.Radius * math.Sin(math.Min(math.Abs(d.To-d.From), math.Pi)/2); between && wide+2*textClearance > chord {
		off += extensionOver
	}
	return d.Centre.Polar(d.Radius+off+reach, mid)
}

package drawing

import "math"

const (
	arrowLength = 2.5 // mm
	arrowWidth  = 0.84
)

// arrowHead fills an arrow head with its tip at a point.
func (s *Scene) arrowHead(colour Colour, tip, direction Point) {
	base := tip.minus(direction.times(arrowLength))
	side := Point{-direction.Y, direction.X}.times(arrowWidth / 2)
	s.Polygon(Pen{}, colour, tip, base.plus(side), base.minus(side))
}

// Arrow draws a line that ends in an arrow head.
func (s *Scene) Arrow(pen Pen, from, to Point) {
	direction := from.toward(to)
	if direction == (Point{}) {
		s.fail("arrow between coincident points")
		return
	}
	// The line stops under the head, whose tip would else be blunt.
	if length := from.distance(to); length > arrowLength {
		s.Line(pen, from, to.minus(direction.times(arrowLength*0.8)))
	}
	s.arrowHead(pen.Colour, to, direction)
}

// ArcArrow draws a circular arc that ends in an arrow head.
func (s *Scene) ArcArrow(pen Pen, centre Point, r, start, sweep float64) {
	if !(r > 0) || !(math.Abs(sweep) > 0) {
		s.fail("arrow along an arc of radius %v mm over %v rad", r, sweep)
		return
	}
	back := math.Copysign(headAngle(r), sweep)
	if math.Abs(sweep) > math.Abs(back) {
		s.Arc(pen, centre, r, start, sweep-0.8*back)
	}
	s.arcHead(pen.Colour, centre, r, start+sweep, sweep)
}

// arcHead fills an arrow head that ends on a circle at an angle, in the sense
// of turn (positive counterclockwise). It lies on the chord of its length, so
// that it follows the arc.
func (s *Scene) arcHead(colour Colour, centre Point, r, angle, turn float64) {
	tip := centre.Polar(r, angle)
	base := centre.Polar(r, angle-math.Copysign(headAngle(r), turn))
	s.arrowHead(colour, tip, base.toward(tip))
}

// headAngle is the angle of an arc whose chord is the length of an arrow head.
func headAngle(r float64) float64 {
	return 2 * math.Asin(math.Min(arrowLength/2/r, 1))
}

// Leader points from a text at a place of the drawing.
type Leader struct {
	Tip  Point // where it points
	Knee Point // where the line turns to the horizontal
	Text string
	Size float64 // points; 0 is the size of dimensions
	Dot  bool    // a dot instead of an arrow: for a tip inside an area
}

const (
	shoulder      = 2.5 // mm of horizontal line before the text
	dimensionSize = 7.0 // points
	textClearance = 0.8 // mm
)

// Leader draws a leader; the text stands on the side of the knee away from
// the tip.
func (s *Scene) Leader(l Leader) TextBox {
	direction := l.Knee.toward(l.Tip)
	if direction == (Point{}) {
		s.fail("leader %q from tip to tip", l.Text)
		return TextBox{Text: l.Text}
	}
	style := TextStyle{Size: sizeOr(l.Size), Level: Middle}
	side := 1.0
	if l.Knee.X < l.Tip.X {
		side = -1
		style.Align = Right
	}
	if l.Dot {
		s.Line(Thin, l.Tip, l.Knee)
		s.Circle(Pen{}, Ink, l.Tip, 0.5)
	} else {
		s.Arrow(Thin, l.Knee, l.Tip)
	}
	end := l.Knee.plus(At(side*shoulder, 0))
	s.Line(Thin, l.Knee, end)
	return s.Text(style, end.plus(At(side*textClearance, 0)), l.Text)
}

func sizeOr(size float64) float64 {
	if size == 0 {
		return dimensionSize
	}
	return size
}

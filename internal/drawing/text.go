package drawing

import (
	"math"
	"slices"
)

// Align says which part of a line of text stands at its point.
type Align uint8

const (
	Left Align = iota
	Centre
	Right
)

// Level says which height of a line of text stands at its point.
type Level uint8

const (
	Baseline Level = iota
	Middle         // half the height of the capitals
	Top            // the font's ascent
)

// TextStyle says how a line of text is set. The zero style lacks only Size.
type TextStyle struct {
	Font       Font
	Size       float64 // points
	Colour     Colour  // None is Ink
	Align      Align
	Level      Level
	Angle      float64 // of the reading direction
	Background Colour  // of the text's box; None is none
}

// lettering is a line of text, ready to print: the baseline starts at origin.
type lettering struct {
	shown  string
	font   Font
	size   float64
	colour Colour
	origin Point
	angle  float64
	width  float64
}

func (t lettering) draw(b backend) { b.text(t) }

func (t lettering) moved(by Point) item {
	t.origin = t.origin.plus(by)
	return t
}

// Text draws one line of text at a point and returns its box.
func (s *Scene) Text(style TextStyle, at Point, text string) TextBox {
	switch {
	case !(style.Size > 0) || !finite(style.Size):
		s.fail("text %q of %v points", text, style.Size)
		return TextBox{Text: text}
	case !style.Font.valid():
		s.fail("text %q in font number %d", text, style.Font)
		return TextBox{Text: text}
	case !at.finite() || !finite(style.Angle):
		s.fail("text %q at a place that is not finite", text)
		return TextBox{Text: text}
	}
	shown, missing := printable(text, style.Font)
	s.lacks(missing)
	width, ascent, descent := measure(shown, style.Font, style.Size)

	left, base := 0.0, 0.0 // of the box's start and baseline from the point, along and upward
	switch style.Align {
	case Centre:
		left = -width / 2
	case Right:
		left = -width
	}
	switch style.Level {
	case Middle:
		base = -CapHeight(style.Font, style.Size) / 2
	case Top:
		base = -ascent
	}
	sin, cos := math.Sincos(style.Angle)
	origin := Point{at.X + left*cos - base*sin, at.Y - left*sin - base*cos}
	box := TextBox{Text: shown, Corners: corners(origin, 0, width, ascent, -descent, style.Angle)}
	if shown == "" {
		return box
	}
	if style.Background != None {
		s.Polygon(Pen{}, style.Background, box.Corners[:]...)
	}
	colour := style.Colour
	if colour == None {
		colour = Ink
	}
	s.items = append(s.items, lettering{shown: shown, font: style.Font, size: style.Size, colour: colour, origin: origin, angle: style.Angle, width: width})
	s.boxes = append(s.boxes, box)
	return box
}

// TextBox is the place that a line of text takes: its width by the ascent and
// descent of its font, turned as the text is. Italic letters may lean out at
// its end by a twentieth of the type size.
type TextBox struct {
	Text    string   // as printed
	Corners [4]Point // start and end of the descent line, end and start of the ascent line
}

// TextBoxes lists every line of text of the scene, those of dimensions and
// plots included, in drawing order.
func (s *Scene) TextBoxes() []TextBox { return slices.Clone(s.boxes) }

// Bounds are the top left and the bottom right corner of the upright
// rectangle round the box.
func (b TextBox) Bounds() (topLeft, bottomRight Point) {
	topLeft, bottomRight = b.Corners[0], b.Corners[0]
	for _, c := range b.Corners[1:] {
		topLeft = Point{math.Min(topLeft.X, c.X), math.Min(topLeft.Y, c.Y)}
		bottomRight = Point{math.Max(bottomRight.X, c.X), math.Max(bottomRight.Y, c.Y)}
	}
	return topLeft, bottomRight
}

// Within tells whether the box lies inside an upright rectangle.
func (b TextBox) Within(corner Point, width, height float64) bool {
	lo, hi := b.Bounds()
	return lo.X >= corner.X && lo.Y >= corner.Y && hi.X <= corner.X+width && hi.Y <= corner.Y+height
}

// Overlaps tells whether two boxes share an area. Boxes that touch along an
// edge, or reach into each other by less than a micrometre, do not.
//
// Two convex shapes are apart exactly when they are apart in the direction
// across one of their edges (separating axis).
func (b TextBox) Overlaps(o TextBox) bool {
	const grip = 1e-3 // mm
	for _, box := range [2]TextBox{b, o} {
		for i := range 2 {
			axis := box.Corners[i].toward(box.Corners[i+1])
			if axis == (Point{}) { // an empty text takes no area
				return false
			}
			lo1, hi1 := b.extent(axis)
			lo2, hi2 := o.extent(axis)
			if hi1-lo2 < grip || hi2-lo1 < grip {
				return false
			}
		}
	}
	return true
}

// extent is the range of the box along a direction.
func (b TextBox) extent(axis Point) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range b.Corners {
		d := c.dot(axis)
		lo, hi = math.Min(lo, d), math.Max(hi, d)
	}
	return lo, hi
}

func (b TextBox) moved(by Point) TextBox {
	for i := range b.Corners {
		b.Corners[i] = b.Corners[i].plus(by)
	}
	return b
}

package wrap

import (
	"math"

	"gridwright/internal/drawing"
)

// box is an upright rectangle of a page, mm, y down.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) meets(o box) bool {
	const grip = 1e-3
	return b.x1-o.x0 > grip && o.x1-b.x0 > grip && b.y1-o.y0 > grip && o.y1-b.y0 > grip
}

func (b box) inside(o box) bool {
	return b.x0 >= o.x0 && b.x1 <= o.x1 && b.y0 >= o.y0 && b.y1 <= o.y1
}

func (b box) corners() drawing.TextBox {
	return drawing.TextBox{Corners: [4]drawing.Point{{X: b.x0, Y: b.y1}, {X: b.x1, Y: b.y1}, {X: b.x1, Y: b.y0}, {X: b.x0, Y: b.y0}}}
}

// labels writes texts on a page where nothing else stands.
type labels struct {
	page  *drawing.Scene
	taken []obstacle // texts, outlines of gauges, marks
	lines []obstacle // lines, which a text keeps off while it can
}

type obstacle struct {
	bounds box
	shape  drawing.TextBox
}

func obstacleOf(shape drawing.TextBox) obstacle {
	lo, hi := shape.Bounds()
	return obstacle{box{lo.X, lo.Y, hi.X, hi.Y}, shape}
}

// keepOff keeps later texts off a rectangle.
func (l *labels) keepOff(b box) { l.taken = append(l.taken, obstacle{b, b.corners()}) }

// avoid keeps later texts off a line while there is other room.
func (l *labels) avoid(a, b drawing.Point) {
	const half = 0.25
	l.lines = append(l.lines, obstacleOf(box{min(a.X, b.X) - half, min(a.Y, b.Y) - half, max(a.X, b.X) + half, max(a.Y, b.Y) + half}.corners()))
}

// free tells whether nothing stands in a rectangle.
func (l *labels) free(b box, offLines bool) bool {
	for _, o := range l.taken {
		if b.meets(o.bounds) && b.corners().Overlaps(o.shape) {
			return false
		}
	}
	if offLines {
		for _, o := range l.lines {
			if b.meets(o.bounds) {
				return false
			}
		}
	}
	return true
}

// sizeOf is the room that a line of text takes.
func sizeOf(style drawing.TextStyle, text string) (width, height float64) {
	width, ascent, descent := drawing.Measure(text, style.Font, style.Size)
	return width, ascent + descent
}

// write puts a level text with the top left corner of its box at a point if
// nothing stands there and it lies within a rectangle.
func (l *labels) write(style drawing.TextStyle, text string, corner drawing.Point, within box, offLines bool) bool {
	w, h := sizeOf(style, text)
	b := box{corner.X, corner.Y, corner.X + w, corner.Y + h}
	const pad = 0.5 // between words
	if !b.inside(within) || !l.free(box{b.x0 - pad, b.y0, b.x1 + pad, b.y1}, offLines) {
		return false
	}
	style.Align, style.Level = drawing.Left, drawing.Top
	l.taken = append(l.taken, obstacleOf(l.page.Text(style, corner, text)))
	return true
}

// inRoom finds the highest, then the leftmost place for a rectangle.
func (l *labels) inRoom(width, height float64, within box, offLines bool) (corner drawing.Point, ok bool) {
	const step, pad = 1.5, 0.7
	for y := within.y0 + pad; y+height <= within.y1-pad; y += step {
		for x := within.x0 + pad; x+width <= within.x1-pad; x += step {
			if l.free(box{x - pad, y - pad, x + width + pad, y + height + pad}, offLines) {
				return drawing.At(x, y), true
			}
		}
	}
	return drawing.Point{}, false
}

// beside writes a name near a point: in the given direction or against it where
// there is room, else in the nearest free place round it, with a line to it where
// it stands apart.
func (l *labels) beside(style drawing.TextStyle, text string, at drawing.Point, reach, first float64, within box, offLines bool) bool {
	w, h := sizeOf(style, text)
	for step := range 14 {
		for i := range 16 { // first, then by turns to both sides of it
			turn := float64((i+1)/2) * math.Pi / 8
			if i%2 == 1 {
				turn = -turn
			}
			a := first + turn
			sin, cos := math.Sincos(a)
			half := min(w/2/max(math.Abs(cos), 1e-9), h/2/max(math.Abs(sin), 1e-9))
			out := 1.6 * float64(step)
			c := at.Polar(reach+0.5+half+out, a)
			if l.write(style, text, drawing.At(c.X-w/2, c.Y-h/2), within, offLines) {
				if step > 0 {
					l.page.Line(drawing.Hair, at.Polar(reach, a), at.Polar(reach+0.4+out, a))
				}
				return true
			}
		}
	}
	return false
}

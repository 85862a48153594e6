package sheet

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
)

const (
	diagramWidth  = 104.0
	diagramHeight = 84.0
	halfDiagonal  = 21.0
)

// bridgeDiagram draws a bridge as a diamond: +E above, −E below, −S left, +S
// right, arm 1 upper left and on counterclockwise.
func bridgeDiagram(d *dossier.Dossier, w layout.Words, b int) *drawing.Scene {
	s := drawing.NewScene(diagramWidth, diagramHeight)
	db := &d.Design.Bridges[b]
	s.Title = "Bridge " + db.Name
	c := drawing.At(diagramWidth/2, diagramHeight/2)
	var at [4]drawing.Point
	for k := range at {
		at[k] = c.Polar(halfDiagonal, math.Pi/2*float64(k+1))
	}
	list := wire(d, w, b)
	for k := range at {
		drawArm(s, at[k], at[(k+1)&3], list.arms[k])
		armLabel(s, c, k, list.arms[k], rises(d, b, list.arms[k]))
	}
	remote := db.Remote()
	for k := range at {
		// Where both arms of a corner are completed at the instrument there is
		// no corner at the part and no lead.
		drawTerminal(s, at[k], k, remote[k] || remote[(k+3)&3], db.Leads.Wires == 6 && k%2 == 0)
	}
	s.Text(drawing.TextStyle{Size: 7, Align: drawing.Centre, Level: drawing.Middle}, drawing.At(c.X, c.Y-2), "signal")
	s.Text(drawing.TextStyle{Size: 7, Align: drawing.Centre, Level: drawing.Middle}, drawing.At(c.X, c.Y+2), "+S less −S")
	return s
}

// drawArm draws the elements of an arm as resistors in a row, one box for all
// when they are more than four.
func drawArm(s *drawing.Scene, from, to drawing.Point, arm []element) {
	n := len(arm)
	if n > 4 {
		n = 1
	}
	angle := math.Atan2(from.Y-to.Y, to.X-from.X)
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	s.Line(drawing.Thin, from, to)
	usable := length - 9
	each := min(usable/float64(n)-1, 12)
	pen := drawing.Outline
	for i := range n {
		mid := from.Polar(length/2+(float64(i)-float64(n-1)/2)*(each+1.6), angle)
		s.TurnedRectangle(pen, drawing.Paper, mid, each, 3.6, angle)
		if arm[i].grid >= 0 {
			// A grid: lines along the box; a fixed resistor stays empty.
			for _, off := range []float64{-0.7, 0.7} {
				m := mid.Polar(off, angle+math.Pi/2)
				s.Line(drawing.Hair.With(drawing.Ink), m.Polar(each*0.4, angle), m.Polar(each*0.4, angle+math.Pi))
			}
		}
	}
}

// armLabel writes the arm's number, its sense and its elements outside it.
func armLabel(s *drawing.Scene, c drawing.Point, k int, arm []element, sense int) {
	left, upper := k < 2, k == 0 || k == 3
	const width = 34.0
	align, edge := drawing.Right, c.X-halfDiagonal/2-5
	if !left {
		align, edge = drawing.Left, c.X+halfDiagonal/2+5
	}
	head := fmt.Sprintf("arm %d", k+1)
	switch {
	case sense > 0:
		head += ", rises (+)"
	case sense < 0:
		head += ", falls (−)"
	case arm[0].grid < 0:
		head += ", fixed"
	default:
		head += ", no change"
	}
	text := ""
	for i, e := range arm {
		if i > 0 {
			text += " + "
		}
		text += layout.Nonbreaking(e.name)
	}
	if len(arm) == 1 && arm[0].grid < 0 {
		text = arm[0].value
	}
	lines := clipped(text, drawing.Bold, 8, width, 4)
	pitch := drawing.LineHeight(drawing.Bold, 8)
	y := c.Y - halfDiagonal/2 - 4 - pitch*float64(len(lines))
	if !upper {
		y = c.Y + halfDiagonal/2 + 1.5
	}
	s.Text(drawing.TextStyle{Size: 7, Align: align, Level: drawing.Top}, drawing.At(edge, y), head)
	y += drawing.LineHeight(drawing.Regular, 7)
	for _, line := range lines {
		s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 8, Align: align, Level: drawing.Top}, drawing.At(edge, y), line)
		y += pitch
	}
}

// drawTerminal draws a corner, its lead outward and the open circle of the
// terminal.
func drawTerminal(s *drawing.Scene, at drawing.Point, k int, lead, sensed bool) {
	const reach = 11.0
	direction := math.Pi / 2 * float64(k+1)
	end := at.Polar(reach, direction)
	pen := drawing.Thin
	if !lead {
		pen = drawing.Hidden
	}
	s.Line(pen, at, end)
	s.Circle(drawing.Thin, drawing.Ink, at, 0.7)
	s.Circle(drawing.Thin, drawing.Paper, end, 1)
	style := drawing.TextStyle{Font: drawing.Bold, Size: 9, Level: drawing.Middle, Align: drawing.Centre}
	spot := end.Polar(4.6, direction)
	s.Text(style, spot, corners[k])
	if sensed {
		out := drawing.At(at.X+4, end.Y)
		s.Polyline(drawing.Thin, at, drawing.At(out.X, at.Polar(2.5, direction).Y), out)
		s.Circle(drawing.Thin, drawing.Paper, out, 1)
		s.Text(drawing.TextStyle{Size: 7, Level: drawing.Middle}, drawing.At(out.X+2, out.Y), "sense")
	}
}

// clipped wraps a text to at most so many lines; the last ends in an ellipsis
// where there would be more.
func clipped(text string, font drawing.Font, size, width float64, most int) []string {
	lines := drawing.Wrap(text, font, size, width)
	if len(lines) <= most {
		return lines
	}
	rest := strings.Join(lines[most-1:], " ")
	lines = lines[:most]
	lines[most-1], _ = drawing.Fit(rest, font, size, size, width)
	return lines
}

package drawing

import (
	"fmt"
	"math"
)

// Pen draws the line of a path. The zero Pen draws none.
type Pen struct {
	Width  float64   // mm
	Dash   []float64 // mm, alternately drawn and left out; empty is a solid line
	Phase  float64   // mm into the dash at the start of the line
	Colour Colour
}

// The pens of the office. Wide and thin lines are 2 : 1 and dashes are
// multiples of the width (dash 12 d, gap 3 d; chain line 24 d, 3 d, 1 d, 3 d)
// as ISO 128-2 has them (from memory; the dot is 1 d long there rather than
// ½ d, which vanishes on office printers).
var (
	Outline    = Pen{Width: 0.5, Colour: Ink}
	Thin       = Pen{Width: 0.25, Colour: Ink}
	Hair       = Pen{Width: 0.13, Colour: Grey}
	CentreLine = Pen{Width: 0.18, Colour: Ink, Dash: []float64{4.32, 0.54, 0.18, 0.54}}
	Hidden     = Pen{Width: 0.25, Colour: Ink, Dash: []float64{3, 0.75}}
	Marked     = Pen{Width: 0.35, Colour: Accent}
)

// With is the same pen in another colour.
func (p Pen) With(c Colour) Pen {
	p.Colour = c
	return p
}

// draws tells whether the pen leaves a line.
func (p Pen) draws() bool { return p.Width > 0 && p.Colour != None }

func (p Pen) check() error {
	if !(p.Width >= 0) || math.IsInf(p.Width, 0) || !finite(p.Phase) {
		return fmt.Errorf("pen of width %v mm", p.Width)
	}
	sum := 0.0
	for _, d := range p.Dash {
		if !(d >= 0) {
			return fmt.Errorf("pen with a dash of %v mm", d)
		}
		sum += d
	}
	if len(p.Dash) > 0 && !(sum > 0 && finite(sum)) {
		return fmt.Errorf("pen with dashes %v mm", p.Dash)
	}
	return nil
}

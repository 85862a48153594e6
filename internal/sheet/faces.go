package sheet

import (
	"math"

	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/section"
)

// edges are where faces and curves begin, m from the reference line.
func (l *surfaceLayout) edges() (all []float64) {
	if len(l.runs) < 2 {
		return nil
	}
	for _, r := range l.runs {
		all = append(all, r.From)
	}
	return all
}

// piece is what the drawing shows of a run in one: a run that lies over the seam
// shows at both ends.
type piece struct {
	run      section.Run
	from, to float64 // m
}

func (l *surfaceLayout) pieces() (all []piece) {
	for _, r := range l.runs {
		if len(l.runs) == 1 {
			return []piece{{r, l.from, l.from + l.girth}}
		}
		from := within(r.From, l.from, l.girth)
		to, end := from+r.Length, l.from+l.girth
		all = append(all, piece{r, from, min(to, end)})
		if to > end+1e-9*l.girth {
			all = append(all, piece{r, l.from, to - l.girth})
		}
	}
	return all
}

// drawFaces shades the curves and draws the edges between faces.
func (l *surfaceLayout) drawFaces() {
	for _, p := range l.pieces() {
		if !p.run.Straight {
			a, b := l.at(l.high, p.from), l.at(l.low, p.to)
			l.scene.Rectangle(drawing.Pen{}, drawing.Mist, a, b.X-a.X, b.Y-a.Y)
		}
	}
	for _, e := range l.edges() {
		s := within(e, l.from, l.girth)
		l.scene.Line(drawing.Thin, l.at(l.high, s), l.at(l.low, s))
	}
}

// faceNames stand above the surface, each in the middle of its face; a narrow one
// beside another goes without.
func (l *surfaceLayout) faceNames() {
	ends := math.Inf(-1)
	for _, p := range l.ordered() {
		a, b := l.at(l.high, p.from), l.at(l.high, p.to)
		name := p.run.Title()
		style := drawing.TextStyle{Font: drawing.Bold, Size: 7, Align: drawing.Centre}
		if !p.run.Straight {
			style.Font = drawing.Italic
		}
		width := layout.TextWidth(name, style.Font, style.Size)
		if b.X-a.X < 5 && width > b.X-a.X-0.6 {
			style.Size = 5.5
			width = layout.TextWidth(name, style.Font, style.Size)
		}
		x := (a.X + b.X) / 2
		// a name may stand over the edges of its face, but not on another name
		if x-width/2 < ends+0.8 || width > b.X-a.X+3 {
			continue
		}
		l.scene.Text(style, drawing.At(x, a.Y-3.1), name)
		ends = x + width/2
	}
}

// ordered are the pieces from left to right.
func (l *surfaceLayout) ordered() []piece {
	all := l.pieces()
	for i := 1; i < len(all); i++ {
		for k := i; k > 0 && all[k].from < all[k-1].from; k-- {
			all[k], all[k-1] = all[k-1], all[k]
		}
	}
	return all
}

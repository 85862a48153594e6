package sheet

import (
	"math"
	"slices"

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

// dimension draws the running dimensions of every gauge's centre: around the part
// from the middle of the face that the design places it on, or else from the
// reference line; along it from station 0.
func (l *surfaceLayout) dimension(w layout.Words) {
	foot, origin := l.at(l.low, l.from), l.at(0, within(0, l.from, l.girth))
	if l.runs == nil {
		origin = l.at(0, 0)
	}
	byAngle := chain{origin: origin.X, axis: foot.Y + 5}
	var chains []chain
	var up []mark
	for _, p := range l.backings {
		c := l.at(p.x, p.s)
		m := mark{c.X, aroundPart(w, p)}
		up = append(up, mark{c.Y, station(w, p.x)})
		if p.face == "" {
			byAngle.marks = append(byAngle.marks, m)
			continue
		}
		middle := l.at(p.x, p.s-p.across).X
		k := slices.IndexFunc(chains, func(c chain) bool { return math.Abs(c.origin-middle) < 1e-6 })
		if k < 0 {
			k = len(chains)
			chains = append(chains, chain{origin: middle, axis: foot.Y + 5})
		}
		chains[k].marks = append(chains[k].marks, m)
	}
	if len(chains) > 0 && len(byAngle.marks) > 0 {
		byAngle.axis += secondAxis // a line of its own
	}
	byAngle.marks = append(byAngle.marks, mark{origin.X, l.reference})
	left := runningAcross(l.scene, append(chains, byAngle), foot.Y, 3, l.scene.Width-3)
	top := l.at(l.high, l.from)
	start := l.at(0, 0).Y
	if l.shows(0) {
		up = append(up, mark{start, station(w, 0)})
	} else {
		start = math.NaN()
	}
	left += runningUp(l.scene, up, start, top.X, top.X-4, top.Y-1, foot.Y+1)
	if left > 0 {
		l.scene.Text(drawing.TextStyle{Font: drawing.Italic, Size: markSize, Align: drawing.Right}, drawing.At(l.scene.Width-2, l.scene.Height-1.5),
			layout.Plural(left, "dimension")+" had no room here: see the table")
	}
}

// aroundPart is a place around the part in words.
func aroundPart(w layout.Words, p spot) string {
	if p.face != "" {
		return placeWords(w, p)
	}
	return w.Place(p.s) + " " + w.LengthUnit() + ", " + layout.Angle(p.around)
}

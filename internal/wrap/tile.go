package wrap

import (
	"fmt"
	"math"

	"gridwright/internal/drawing"
)

// The pens of the template. A line that is cut along or measured from is narrow.
var (
	cutPen        = drawing.Pen{Width: 0.2, Colour: drawing.Ink}
	referencePen  = drawing.Marked
	stationPen    = drawing.CentreLine
	featurePen    = drawing.Hidden
	backingPen    = drawing.Thin
	gridCentrePen = drawing.Pen{Width: 0.13, Colour: drawing.Ink}
	joinPen       = drawing.Pen{Width: 0.25, Colour: drawing.Second, Dash: []float64{1, 1}}
	foldPen       = drawing.Pen{Width: 0.2, Colour: drawing.Second, Dash: []float64{4, 1}}
	registerPen   = drawing.Pen{Width: 0.25, Colour: drawing.Second}
)

const (
	labelSize = 6.5 // points
	nameSize  = 7.0
	gridSize  = 5.5
	crop      = 4.0 // mm that cut lines go on past the corners of a piece
)

// tile draws one window of a piece on a page.
type tile struct {
	slot
	b      *book
	page   *drawing.Scene
	in     window        // of the piece that is drawn
	out    window        // the same with the borders at outer edges
	origin drawing.Point // of u = 0, v = 0 on the page
	labels labels
}

func (b *book) tile(s slot, page *drawing.Scene) *tile {
	t := &tile{slot: s, b: b, page: page, labels: labels{page: page}}
	p := s.piece
	t.in.u0, t.in.u1 = p.across.window(s.col)
	t.in.v0, t.in.v1 = p.up.window(s.row)
	t.out = t.in
	if s.col == 0 {
		t.out.u0 -= sideBorder
	}
	if s.col == p.across.n-1 {
		t.out.u1 += sideBorder
	}
	if s.row == 0 {
		t.out.v0 -= footBorder
	}
	if s.row == p.up.n-1 {
		t.out.v1 += topBorder
	}
	// In the middle of its block, at the top.
	left := s.block.x + (s.block.width-(t.in.u1-t.in.u0))/2
	t.origin = drawing.At(left-t.in.u0, s.block.y+topBorder+t.in.v1)
	return t
}

// at is where a point of the piece lies on the page.
func (t *tile) at(u, v float64) drawing.Point { return drawing.At(t.origin.X+u, t.origin.Y-v) }

// room is a window on the page.
func (t *tile) room(w window) box {
	a, b := t.at(w.u0, w.v1), t.at(w.u1, w.v0)
	return box{a.X, a.Y, b.X, b.Y}
}

// line draws what lies in a window of a straight line of the piece, its dashes
// as if the whole were drawn.
func (t *tile) line(pen drawing.Pen, within window, a, b drawing.Point) {
	from, to, before, ok := within.segment(a, b)
	if !ok {
		return
	}
	pen.Phase = 0
	if len(pen.Dash) > 0 {
		pen.Phase = before
	}
	p, q := t.at(from.X, from.Y), t.at(to.X, to.Y)
	t.page.Line(pen, p, q)
	if a.X == b.X || a.Y == b.Y {
		t.labels.avoid(p, q)
	}
}

// surface is the part of the tile that shows the panel: what is on the flap lies
// under the other end.
func (t *tile) surface() window {
	w := t.in
	w.u1 = min(w.u1, t.piece.width)
	w.u0 = max(w.u0, 0)
	return w
}

func (t *tile) draw() {
	t.hatches()
	t.frame()
	t.stations()
	t.gauges()
	t.joins()
	t.number()
	t.faceWords()
	t.edgeWords()
	t.compass()
	t.stationWords()
	t.names()
	t.identity()
}

// hatches fill the sectors to be kept free and the flap.
func (t *tile) hatches() {
	p := t.piece
	area := func(w window, spacing, angle float64) {
		if w = w.and(t.in); w.empty() {
			return
		}
		path := drawing.PolygonPath(t.at(w.u0, w.v0), t.at(w.u1, w.v0), t.at(w.u1, w.v1), t.at(w.u0, w.v1))
		t.page.Hatch(drawing.Hair, path, spacing, angle)
	}
	for _, k := range p.panel.keepOut {
		w := window{p.u(k.from), p.u(k.to), 0, p.height()}
		area(w, 2.5, math.Pi/4)
		if w = w.and(t.in); !w.empty() {
			t.labels.lines = append(t.labels.lines, obstacleOf(t.room(w).corners()))
		}
	}
	if flap := (window{p.width, p.length(), 0, p.height()}); p.flap > 0 {
		area(flap, 1.5, -math.Pi/4)
		t.flapWords()
		if flap = flap.and(t.in); !flap.empty() {
			t.labels.keepOff(t.room(flap)) // what stands there is hidden once glued
		}
	}
}

// frame draws the cut lines, and the reference line where the ends meet or in the
// middle of a face.
func (t *tile) frame() {
	p := t.piece
	l, h := p.length(), p.height()
	t.line(cutPen, t.out, drawing.At(-crop, 0), drawing.At(l+crop, 0))
	t.line(cutPen, t.out, drawing.At(-crop, h), drawing.At(l+crop, h))
	t.line(cutPen, t.out, drawing.At(0, -crop), drawing.At(0, h+crop))
	t.line(cutPen, t.out, drawing.At(l, -crop), drawing.At(l, h+crop))
	for _, f := range p.folds() {
		t.line(foldPen, t.surface(), drawing.At(f, 0), drawing.At(f, h))
	}
	for _, u := range p.references() {
		t.line(referencePen, t.out, drawing.At(u, -2), drawing.At(u, h+2))
		if t.out.has(drawing.At(u, h+2)) && t.row == p.up.n-1 {
			c := t.at(u, h)
			t.page.Polygon(drawing.Thin, drawing.Paper, drawing.At(c.X, c.Y-0.4), drawing.At(c.X-1.2, c.Y-2.6), drawing.At(c.X+1.2, c.Y-2.6))
			t.labels.keepOff(box{c.X - 1.2, c.Y - 2.6, c.X + 1.2, c.Y})
		}
	}
}

// references are where the reference line is drawn: φ = 0 at both ends, or the
// middle of a face.
func (p *piece) references() []float64 {
	switch {
	case p.panel.round():
		return []float64{0, p.width}
	case p.panel.closed && !p.panel.phi:
		return nil
	case p.panel.closed && p.panel.datum == 0:
		return []float64{0, p.width}
	}
	return []float64{p.u(p.panel.datum)}
}

// folds are where faces meet inside the strip.
func (p *piece) folds() (all []float64) {
	for k := 1; k < len(p.panel.faces); k++ {
		all = append(all, p.u(p.panel.faces[k].from))
	}
	return all
}

// stations draws a line round the part through station 0 and the middle of every
// gauge, at features and at the ends of the straight length, and one along the
// part through the middle of every gauge.
func (t *tile) stations() {
	p := t.piece
	round := func(pen drawing.Pen, x float64) {
		if p.shows(x) {
			t.line(pen, t.surface(), drawing.At(0, p.v(x)), drawing.At(p.width, p.v(x)))
		}
	}
	for _, x := range t.b.stationsOf(p) {
		round(stationPen, x)
	}
	for _, f := range t.b.d.Design.Part.Features {
		round(featurePen, f.Station.SI)
	}
	for _, r := range p.backings {
		for _, i := range p.panel.images(r) {
			t.line(stationPen, t.surface(), drawing.At(p.u(i.s), 0), drawing.At(p.u(i.s), p.height()))
		}
	}
}

// stationsOf a piece: 0 where it shows, and the middle of every gauge.
func (b *book) stationsOf(p *piece) []float64 {
	var all []float64
	add := func(x float64) {
		for _, o := range all {
			if math.Abs(o-x) < 1e-9 {
				return
			}
		}
		all = append(all, x)
	}
	if p.shows(0) {
		add(0)
	}
	for _, r := range p.backings {
		add(r.x)
	}
	return all
}

// gauges draws outlines, grids and the centre lines of grids.
func (t *tile) gauges() {
	p := t.piece
	within := t.surface()
	for _, r := range p.backings {
		for _, i := range p.panel.images(r) {
			t.outline(backingPen, within, i)
			t.keepOff(i)
		}
	}
	for _, r := range p.grids {
		for _, i := range p.panel.images(r) {
			t.grid(within, i)
			t.keepOff(i)
		}
	}
}

func (t *tile) outline(pen drawing.Pen, within window, r rect) {
	c := t.piece.outline(r)
	whole := true
	for _, q := range c {
		whole = whole && within.has(q)
	}
	if whole {
		t.page.Polygon(pen, drawing.None, t.at(c[0].X, c[0].Y), t.at(c[1].X, c[1].Y), t.at(c[2].X, c[2].Y), t.at(c[3].X, c[3].Y))
		return
	}
	for k := range c {
		if from, to, _, ok := within.segment(c[k], c[(k+1)%4]); ok {
			t.page.Line(pen, t.at(from.X, from.Y), t.at(to.X, to.Y))
		}
	}
}

// grid draws a grid as its outline with lines in the direction of its length, and
// its centre lines, which go on past it.
func (t *tile) grid(within window, r rect) {
	p := t.piece
	length, width := r.length*1e3, r.width*1e3
	pen := drawing.Marked
	pen.Width = min(max(0.08*min(length, width), 0.15), 0.3) // a small grid is not blotted out
	t.outline(pen, within, r)
	draw := func(pen drawing.Pen, u0, v0, u1, v1 float64) {
		if from, to, _, ok := within.segment(p.corner(r, u0, v0), p.corner(r, u1, v1)); ok {
			t.page.Line(pen, t.at(from.X, from.Y), t.at(to.X, to.Y))
		}
	}
	for n, i := min(int(width/0.7), 4), 1; i <= n; i++ {
		v := 2*float64(i)/float64(n+1) - 1
		if math.Abs(v) < 0.1 {
			continue // the centre line runs there
		}
		draw(drawing.Hair.With(drawing.Accent), -0.84, v, 0.84, v)
	}
	past := func(half float64) float64 { return (half + min(1.5, half)) / half }
	draw(gridCentrePen, -past(length/2), 0, past(length/2), 0)
	draw(gridCentrePen, 0, -past(width/2), 0, past(width/2))
}

// keepOff keeps names off a rectangle of the panel.
func (t *tile) keepOff(r rect) {
	p := t.piece
	sin, cos := math.Sincos(r.direction)
	c := t.at(p.u(r.s), p.v(r.x))
	l, w := r.length*500*p.panel.stretch, r.width*500*p.panel.stretch
	corner := func(a, b float64) drawing.Point { // a along the length, b clockwise across
		return drawing.At(c.X+a*sin+b*cos, c.Y-a*cos+b*sin)
	}
	t.labels.taken = append(t.labels.taken, obstacleOf(drawing.TextBox{Corners: [4]drawing.Point{corner(l, -w), corner(l, w), corner(-l, w), corner(-l, -w)}}))
}

// register is a mark that shows on all tiles that meet there.
type register struct {
	name string
	u, v float64
}

// number says which tile this is.
func (t *tile) number() {
	p := t.piece
	if p.tiles() == 1 {
		return
	}
	style := drawing.TextStyle{Font: drawing.Bold, Size: labelSize, Colour: drawing.Second}
	text := fmt.Sprintf("tile %d", t.b.tileNumber(p, t.col, t.row))
	room := t.texts()
	_, h := sizeOf(style, text)
	for y := room.y0; y+h < room.y1; y += h {
		for x := (room.x0 + room.x1) / 2; x < room.x1; x++ {
			if t.labels.write(style, text, drawing.At(x, y), room, true) {
				return
			}
		}
	}
}

// registers of a piece: on every seam just beyond the edges of the piece, and
// where seams cross.
func (p *piece) registers() []register {
	us, vs := []float64{-registerAway}, []float64{-registerAway}
	for k := 1; k < p.across.n; k++ {
		us = append(us, p.across.seam(k))
	}
	for k := 1; k < p.up.n; k++ {
		vs = append(vs, p.up.seam(k))
	}
	us, vs = append(us, p.length()+registerAway), append(vs, p.height()+registerAway)
	var all []register
	for j, v := range vs {
		for i, u := range us {
			if (i == 0 || i == len(us)-1) && (j == 0 || j == len(vs)-1) {
				continue
			}
			all = append(all, register{fmt.Sprintf("R%d.%d", p.number, len(all)+1), u, v})
		}
	}
	return all
}

// joins draws the seams to the neighbours and their register marks.
func (t *tile) joins() {
	p := t.piece
	for _, k := range []int{t.col, t.col + 1} {
		if k > 0 && k < p.across.n {
			u := p.across.seam(k)
			t.line(joinPen, t.out, drawing.At(u, -crop), drawing.At(u, p.height()+crop))
			side := 2*float64(k-t.col) - 1
			t.upright(u+side*overlap/4, (t.in.v0+t.in.v1)/2, t.neighbour(k > t.col, t.col+2*(k-t.col)-1, t.row))
		}
	}
	for _, k := range []int{t.row, t.row + 1} {
		if k > 0 && k < p.up.n {
			v := p.up.seam(k)
			t.line(joinPen, t.out, drawing.At(-crop, v), drawing.At(p.length()+crop, v))
			side := 2*float64(k-t.row) - 1
			t.level((t.in.u0+t.in.u1)/2, v+side*overlap/4, t.neighbour(k > t.row, t.col, t.row+2*(k-t.row)-1))
		}
	}
	const arm, ring = 2.5, 1.2
	for _, r := range p.registers() {
		if !t.out.has(drawing.At(r.u, r.v)) {
			continue
		}
		c := t.at(r.u, r.v)
		t.page.Line(registerPen, drawing.At(c.X-arm, c.Y), drawing.At(c.X+arm, c.Y))
		t.page.Line(registerPen, drawing.At(c.X, c.Y-arm), drawing.At(c.X, c.Y+arm))
		t.page.Circle(registerPen, drawing.None, c, ring)
		t.labels.keepOff(box{c.X - arm, c.Y - arm, c.X + arm, c.Y + arm})
		style := drawing.TextStyle{Size: gridSize, Colour: drawing.Second}
		if !t.labels.beside(style, r.name, c, arm, 0, t.texts(), true) && !t.labels.beside(style, r.name, c, arm, 0, t.texts(), false) {
			t.b.unnamed++
		}
	}
}

// texts is the room of the tile's texts: its block, less a hair.
func (t *tile) texts() box {
	const hair = 0.2
	b := t.block
	return box{b.x + hair, b.y + hair, b.x + b.width - hair, b.y + b.height - hair}
}

package wrap

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gridwright/internal/drawing"
)

// edgeWords stand outside the piece: what its edges are, which way it lies on the
// part, and the names of the lines along the part.
func (t *tile) edgeWords() {
	p := t.piece
	room := t.texts()
	style := drawing.TextStyle{Size: labelSize}
	_, tall := sizeOf(style, "0")
	above := func(u float64, text string, style drawing.TextStyle) bool {
		w, _ := sizeOf(style, text)
		foot := t.at(u, p.height())
		// The nearest place first; a row up counts like a shift by two letters.
		type place struct {
			row   int
			shift float64
		}
		var places []place
		for row := range 3 {
			for i := -16; i <= 16; i++ {
				places = append(places, place{row, 1.5 * float64(i)})
			}
		}
		slices.SortStableFunc(places, func(a, b place) int {
			return cmp.Compare(math.Abs(a.shift)+3*float64(a.row), math.Abs(b.shift)+3*float64(b.row))
		})
		for _, at := range places {
			corner := drawing.At(foot.X+at.shift-w/2, foot.Y-crop-0.4-tall-float64(at.row)*(tall+0.05))
			if t.labels.write(style, text, corner, room, false) {
				if at.row > 0 || math.Abs(at.shift) > w/2 {
					t.page.Line(drawing.Hair, drawing.At(foot.X, foot.Y-0.4), drawing.At(foot.X+at.shift, corner.Y+tall))
				}
				return true
			}
		}
		return false
	}
	if t.row == p.up.n-1 {
		for i, u := range p.references() {
			if !t.in.has(drawing.At(u, p.height())) {
				continue
			}
			text := "φ = 0"
			switch {
			case !p.panel.closed:
				text = "middle of " + p.panel.title()
			case i == 1 && u > 0:
				text = "360° = 0"
			}
			bold := style
			bold.Font, bold.Colour = drawing.Bold, drawing.Accent
			above(u, text, bold)
		}
		for _, r := range p.backings {
			for _, i := range p.panel.images(r) {
				if u := p.u(i.s); t.surface().has(drawing.At(u, p.height())) && u > 0.01 && u < p.width-0.01 {
					where := " " + t.b.place(p.panel, r)
					name, size := shorten(r.name, style.Font, labelSize, 5, 20)
					small := style
					small.Size = size
					if !above(u, name+where, small) {
						t.b.unnamed++
					}
				}
			}
		}
	}
	// Which edge lies toward which end, at the first place along it that is free.
	along := func(v float64, text string, upward bool) {
		style := drawing.TextStyle{Font: drawing.Italic, Size: labelSize}
		w, h := sizeOf(style, text)
		for _, offLines := range []bool{true, false} {
			for row := range 3 {
				for x := t.at(max(t.in.u0, 0), v).X + 2; x+w <= room.x1; x += 2 {
					y := t.at(0, v).Y + 0.8 + float64(row)*h
					if upward {
						y = t.at(0, v).Y - 0.8 - h - float64(row)*h
					}
					if t.labels.write(style, text, drawing.At(x, y), room, offLines) {
						return
					}
				}
			}
		}
	}
	cut := "cut; this edge toward "
	if t.row == p.up.n-1 {
		along(p.height(), cut+"+x", true)
	}
	if t.row == 0 {
		along(0, cut+"−x", false)
	}
}

// flapWords stand along the flap where it is wide enough.
func (t *tile) flapWords() {
	p := t.piece
	for _, text := range []string{"glue: under the other end", "glue: goes under", "glue"} {
		if t.upright(p.width+p.flap/2, (t.in.v0+t.in.v1)/2, text) {
			return
		}
	}
}

// faceWords stand along the edges of a face.
func (t *tile) faceWords() {
	p := t.piece
	if p.panel.closed {
		t.faceNames()
		return
	}
	for k, u := range []float64{2.5, p.width - 2.5} {
		t.upright(u, (t.in.v0+t.in.v1)/2, "edge to "+[2]string{p.panel.left, p.panel.right}[k])
	}
}

// faceNames stand on the faces of a joined strip, near its upper edge, and tell at
// its ends which faces meet there.
func (t *tile) faceNames() {
	p := t.piece
	n := len(p.panel.faces)
	if n < 2 {
		return
	}
	for _, f := range p.panel.faces {
		u0, u1 := max(p.u(f.from), t.in.u0), min(p.u(f.to), t.in.u1)
		for _, v := range []float64{t.in.v1 - 2.5, t.in.v0 + 2.5, t.in.v1 - 5.5, t.in.v0 + 5.5} {
			if w, _ := sizeOf(drawing.TextStyle{Font: drawing.Italic, Size: labelSize}, f.title); u1-u0 > w+1.5 {
				if t.level((u0+u1)/2, v, f.title) {
					break
				}
			} else if u1-u0 > 3.5 && t.upright((u0+u1)/2, t.in.v1-2-w/2, f.title) {
				break
			}
		}
	}
}

// neighbour says what is done at the join to a tile: the lower number lies below.
func (t *tile) neighbour(after bool, col, row int) string {
	n := t.b.tileNumber(t.piece, col, row)
	if after {
		return fmt.Sprintf("tile %d is laid on this", n)
	}
	return fmt.Sprintf("cut off; laid on tile %d", n)
}

// upright writes a text that reads upward about a point of the piece, and level
// one that does not, if nothing stands there.
func (t *tile) upright(u, v float64, text string) bool { return t.about(u, v, text, math.Pi/2) }
func (t *tile) level(u, v float64, text string) bool   { return t.about(u, v, text, 0) }

func (t *tile) about(u, v float64, text string, angle float64) bool {
	style := drawing.TextStyle{Font: drawing.Italic, Size: labelSize, Align: drawing.Centre, Level: drawing.Middle, Angle: angle, Background: drawing.Paper}
	w, h := sizeOf(style, text)
	if angle != 0 {
		w, h = h, w
	}
	c := t.at(u, v)
	const pad = 0.3
	b := box{c.X - w/2 - pad, c.Y - h/2 - pad, c.X + w/2 + pad, c.Y + h/2 + pad}
	if !b.inside(t.room(t.in)) || !t.labels.free(b, false) {
		return false
	}
	t.labels.taken = append(t.labels.taken, obstacleOf(t.page.Text(style, c, text)))
	return true
}

// compass shows, inside the piece, where +x is and how φ grows; where there is no
// room for it beside the gauges it stands beside the piece.
func (t *tile) compass() {
	arm := 7.0 // mm, less on a small part
	if t.piece.width < 40 {
		arm = 4.5
	}
	style := drawing.TextStyle{Font: drawing.Bold, Size: 7, Level: drawing.Middle}
	around := "+φ"
	if !t.piece.panel.closed {
		around = "across"
	}
	w, h := sizeOf(style, around)
	width, height := arm+1+w, arm+h/2+0.5
	inside := t.room(t.surface())
	corner, ok := t.labels.inRoom(width, height, inside, true)
	if !ok {
		corner, ok = t.labels.inRoom(width, height, inside, false)
	}
	if !ok {
		t.b.warn("strip %d has no room for the arrow to +x: mark its upper edge before it is cut out", t.piece.number)
		corner, ok = t.labels.inRoom(width, height, t.texts(), true)
	}
	if !ok {
		return // the words on the edges say it
	}
	c := drawing.At(corner.X+0.5, corner.Y+arm)
	t.page.Arrow(drawing.Thin, c, drawing.At(c.X, c.Y-arm))
	t.page.Arrow(drawing.Thin, c, drawing.At(c.X+arm, c.Y))
	t.page.Text(style, drawing.At(c.X+1.2, c.Y-arm+1.6), "+x")
	t.page.Text(style, drawing.At(c.X+arm+0.7, c.Y), around)
	t.labels.keepOff(box{corner.X - 0.3, corner.Y - 0.3, corner.X + width + 0.3, corner.Y + height + 0.3})
}

// stationWords name the lines round the part.
func (t *tile) stationWords() {
	p := t.piece
	type named struct {
		x    float64
		name string // of a feature
	}
	var all []named
	for _, x := range t.b.stationsOf(p) {
		all = append(all, named{x, ""})
	}
	for _, f := range t.b.d.Design.Part.Features {
		if p.shows(f.Station.SI) {
			all = append(all, named{f.Station.SI, oneLine(f.Name)})
		}
	}
	inside := t.room(t.surface())
	for _, n := range all {
		if !(p.v(n.x) >= t.in.v0-1e-9 && p.v(n.x) <= t.in.v1+1e-9) || t.surface().empty() {
			continue
		}
		text, size := t.b.w.station(n.x), labelSize
		if n.name != "" {
			rest, _, _ := drawing.Measure(", "+text, drawing.Regular, size)
			var name string
			name, size = drawing.Fit(n.name, drawing.Regular, size, 5, max(inside.x1-inside.x0-2-rest, 15))
			text = name + ", " + text
		}
		style := drawing.TextStyle{Size: size}
		if !t.onLine(style, text, t.at(0, p.v(n.x)).Y, inside) && !t.onLine(style, text, t.at(0, p.v(n.x)).Y, t.texts()) {
			t.b.unnamed++
		}
	}
}

// onLine writes a text just above or below a level line.
func (t *tile) onLine(style drawing.TextStyle, text string, y float64, within box) bool {
	w, h := sizeOf(style, text)
	// From the left edge of the piece to the right, then away from it to the left.
	var xs []float64
	start := max(t.at(0, 0).X, within.x0) + 1
	for x := start; x < within.x1; x++ {
		xs = append(xs, x)
	}
	for x := start - w - 1.5; x > within.x0; x-- {
		xs = append(xs, x)
	}
	for _, offLines := range []bool{true, false} {
		for _, x := range xs {
			for _, top := range []float64{y - h - 0.3, y + 0.3} {
				if t.labels.write(style, text, drawing.At(x, top), within, offLines) {
					return true
				}
			}
		}
	}
	return false
}

// names writes the name of each gauge and each grid beside it.
func (t *tile) names() {
	p := t.piece
	within := t.surface()
	// Where a rectangle's middle lies beyond the seam the nearest point on the
	// panel stands for it.
	here := func(r rect) (drawing.Point, bool) {
		q := drawing.At(min(max(p.u(r.s), 0), p.width), p.v(r.x))
		return t.at(q.X, q.Y), within.has(q)
	}
	for _, r := range p.backings {
		for _, i := range p.panel.images(r) {
			c, ok := here(i)
			if !ok {
				continue
			}
			text, size := shorten(r.name, drawing.Bold, nameSize, 5, 24)
			axial, _ := r.reach()
			if !t.beside(drawing.TextStyle{Font: drawing.Bold, Size: size}, text, c, axial*1e3, math.Pi/2) {
				t.b.unnamed++
			}
		}
	}
	for _, g := range p.grids {
		for _, i := range p.panel.images(g) {
			c, ok := here(i)
			if !ok {
				continue
			}
			// The end that lies farther out is named. Page angles count from the right.
			first := math.Pi/2 - g.direction
			for _, r := range p.backings {
				if r.placement != g.placement {
					continue
				}
				ds := math.Remainder(g.s-r.s, p.panel.girth)
				if !p.panel.closed {
					ds = g.s - r.s
				}
				if (g.x-r.x)*math.Cos(g.direction)+ds*math.Sin(g.direction) < 0 {
					first += math.Pi
				}
			}
			text, size := shorten(g.name, drawing.Regular, gridSize, 4.5, 16)
			if !t.beside(drawing.TextStyle{Size: size, Colour: drawing.Accent}, text, c, g.length*500, first) {
				t.b.unnamed++
			}
		}
	}
}

// beside writes a name on the strip, and off the lines while it can; where that
// cannot be, on lines of a wide strip, but rather beside a small one.
func (t *tile) beside(style drawing.TextStyle, text string, at drawing.Point, reach, first float64) bool {
	type choice struct {
		room     box
		offLines bool
	}
	inside, outside := t.room(t.surface()), t.texts()
	choices := []choice{{inside, true}, {inside, false}, {outside, true}, {outside, false}}
	if t.piece.width < 60 {
		choices[1], choices[2] = choices[2], choices[1]
	}
	for _, c := range choices {
		if t.labels.beside(style, text, at, reach, first, c.room, c.offLines) {
			return true
		}
	}
	return false
}

// identity stands on the strip itself, where it has room for it: a strip that was
// cut out still tells whose it is.
func (t *tile) identity() {
	if t.surface().empty() {
		return
	}
	d := t.b.d
	digest := short(d.Digest)
	lines := []string{
		fmt.Sprintf("%s · %s · %s", oneLine(d.Design.Title), t.b.sizes(t.piece), digest),
		fmt.Sprintf("%s · %s · %s", orDash(oneLine(d.Design.Part.Number)), t.b.sizes(t.piece), digest),
		fmt.Sprintf("%s · %s", t.b.sizes(t.piece), digest),
		digest,
	}
	style := drawing.TextStyle{Size: 5.5, Colour: drawing.Grey}
	inside := t.room(t.surface())
	for _, l := range lines {
		w, h := sizeOf(style, l)
		if corner, ok := t.labels.inRoom(w, h, inside, l != digest); ok {
			t.labels.write(style, l, corner, inside, false)
			return
		}
	}
}

// sizes are those that the length of a piece hangs on.
func (b *book) sizes(p *piece) string {
	if !p.panel.closed {
		return p.panel.title() + " " + b.w.place(p.panel.girth)
	}
	if !p.panel.round() {
		return "girth " + b.w.place(p.panel.girth) + ", paper " + b.w.size(b.thickness)
	}
	return "D " + b.w.size(p.panel.girth/math.Pi) + ", paper " + b.w.size(b.thickness)
}

func short(digest string) string {
	if len(digest) > 12 {
		return digest[:12]
	}
	return digest
}

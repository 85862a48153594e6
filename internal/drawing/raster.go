package drawing

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/vector"
)

// picturePage is the back end that draws on pixels.
type picturePage struct {
	to     *image.RGBA
	perMM  float64
	raster vector.Rasterizer
	buffer sfnt.Buffer
}

// polygon is a closed outline in pixels.
type polygon []Point

func (p *picturePage) path(s stroke) {
	pieces := s.path.pieces(pixelFlatness / p.perMM)
	if s.fill != None {
		p.fillEvenOdd(pieces, s.fill)
	}
	if s.pen.draws() {
		p.cover(p.penned(s.path, pieces, s.pen), s.pen.Colour)
	}
}

// fillEvenOdd fills the area of a path.
//
// The rasterizer adds up windings, so that a hole drawn in the sense of its
// outline would be filled. So every piece is rastered alone and the pieces are
// combined by exclusive or: of shares a and b of a pixel, a + b − 2ab is left.
// A piece that winds round an area twice by itself is filled there; no outline
// of this office does.
func (p *picturePage) fillEvenOdd(pieces [][]Point, colour Colour) {
	var all []polygon
	for _, piece := range pieces {
		all = append(all, p.scaled(piece))
	}
	box := p.box(all)
	if box.Empty() {
		return
	}
	mask := p.mask(box, all[:1])
	for _, piece := range all[1:] {
		other := p.mask(box, []polygon{piece})
		for i, b := range other.Pix {
			a, b := int(mask.Pix[i]), int(b)
			mask.Pix[i] = uint8(a + b - (2*a*b+127)/255)
		}
	}
	draw.DrawMask(p.to, box, image.NewUniform(colour), image.Point{}, mask, image.Point{}, draw.Over)
}

// cover fills polygons that all turn in the same sense, their overlaps once.
func (p *picturePage) cover(all []polygon, colour Colour) {
	box := p.box(all)
	if box.Empty() {
		return
	}
	draw.DrawMask(p.to, box, image.NewUniform(colour), image.Point{}, p.mask(box, all), image.Point{}, draw.Over)
}

func (p *picturePage) scaled(piece []Point) polygon {
	out := make(polygon, len(piece))
	for i, q := range piece {
		out[i] = q.times(p.perMM)
	}
	return out
}

// box is the part of the picture that polygons reach.
func (p *picturePage) box(all []polygon) image.Rectangle {
	lo, hi := At(math.Inf(1), math.Inf(1)), At(math.Inf(-1), math.Inf(-1))
	for _, polygon := range all {
		for _, q := range polygon {
			lo = At(min(lo.X, q.X), min(lo.Y, q.Y))
			hi = At(max(hi.X, q.X), max(hi.Y, q.Y))
		}
	}
	b := p.to.Bounds()
	within := func(v float64, most int) int { return int(min(max(v, 0), float64(most))) }
	if !(lo.X < hi.X && lo.Y < hi.Y) {
		return image.Rectangle{}
	}
	return image.Rect(within(math.Floor(lo.X), b.Max.X), within(math.Floor(lo.Y), b.Max.Y),
		within(math.Ceil(hi.X), b.Max.X), within(math.Ceil(hi.Y), b.Max.Y))
}

// mask is the share of each pixel of a box that polygons cover.
func (p *picturePage) mask(box image.Rectangle, all []polygon) *image.Alpha {
	p.raster.Reset(box.Dx(), box.Dy())
	p.raster.DrawOp = draw.Src
	for _, polygon := range all {
		for i, q := range polygon {
			x, y := float32(q.X-float64(box.Min.X)), float32(q.Y-float64(box.Min.Y))
			if i == 0 {
				p.raster.MoveTo(x, y)
			} else {
				p.raster.LineTo(x, y)
			}
		}
		p.raster.ClosePath()
	}
	out := image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy()))
	p.raster.Draw(out, out.Bounds(), image.Opaque, image.Point{})
	return out
}

// penned is what a pen leaves of a path: for every side a rectangle as wide as
// the pen, at every corner what rounds it (the joints are round, the ends are cut off
// square, as the other back ends have them).
func (p *picturePage) penned(path *Path, pieces [][]Point, pen Pen) []polygon {
	half := pen.Width / 2 * p.perMM
	var out []polygon
	closed := path.closed()
	for i, piece := range pieces {
		line := p.scaled(piece)
		if i < len(closed) && closed[i] {
			line = append(line, line[0])
		}
		line = distinct(line)
		round := len(line) > 2 && line[0] == line[len(line)-1]
		if len(pen.Dash) == 0 || patternLength(pen)*p.perMM < pixelFlatness { // too fine to show, and to count
			out = append(out, ribbon(line, half, round)...)
			continue
		}
		for _, dash := range dashes(line, pen, p.perMM) {
			out = append(out, ribbon(dash, half, false)...)
		}
	}
	return out
}

// closed tells for every piece of pieces() whether it ends where it began.
func (p *Path) closed() []bool {
	var out []bool
	open := false
	p.each(func(v verb, _ []Point) {
		switch v {
		case shut:
			out, open = append(out, true), false
		case move:
			if open {
				out = append(out, false)
			}
			open = true
		}
	})
	if open {
		out = append(out, false)
	}
	return out
}

// distinct leaves out points that repeat the one before.
func distinct(line polygon) polygon {
	out := line[:0:0]
	for _, q := range line {
		if len(out) == 0 || q.distance(out[len(out)-1]) > 1e-9 {
			out = append(out, q)
		}
	}
	return out
}

// ribbon is a line of the given half width. All its polygons turn clockwise as
// seen, and where the line bends the outer corner is a sector of a circle: what
// overlaps is the inner corner only, so that hardly an edge is counted twice.
func ribbon(line polygon, half float64, round bool) []polygon {
	var out []polygon
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		u := a.toward(b)
		side := u.right().times(half)
		out = append(out, polygon{a.minus(side), b.minus(side), b.plus(side), a.plus(side)})
		switch {
		case i+1 < len(line):
			out = append(out, sector(b, half, u, b.toward(line[i+1])))
		case round:
			out = append(out, sector(b, half, u, b.toward(line[1])))
		}
	}
	return out
}

// right is the direction a quarter turn clockwise as seen.
func (p Point) right() Point { return Point{-p.Y, p.X} }

// sector fills the outer corner between two sides of a line.
func sector(c Point, r float64, u, v Point) polygon {
	turn := math.Atan2(u.right().dot(v), u.dot(v)) // clockwise as seen
	from := u.right().times(-r)                    // the left side is the outer one
	if turn < 0 {
		from, turn = v.right().times(r), -turn
	}
	step := 2 * math.Acos(1-min(pixelFlatness/max(r, pixelFlatness), 1))
	n := max(1, int(math.Ceil(turn/step)))
	out := polygon{c}
	for i := range n + 1 {
		sin, cos := math.Sincos(turn * float64(i) / float64(n))
		out = append(out, c.plus(from.times(cos)).plus(from.right().times(sin)))
	}
	return out
}

// patternLength is the length after which a pen's dashes repeat, mm.
func patternLength(pen Pen) float64 {
	total := 0.0
	for _, d := range pen.Dash {
		total += d
	}
	if len(pen.Dash)%2 == 1 {
		total *= 2
	}
	return total
}

// dashes are the drawn parts of a line.
func dashes(line polygon, pen Pen, perMM float64) []polygon {
	total, n := patternLength(pen), len(pen.Dash)
	// Where in the pattern the line starts.
	left := math.Mod(pen.Phase, total)
	if left < 0 {
		left += total
	}
	k := 0
	for left >= pen.Dash[k%n] {
		left -= pen.Dash[k%n]
		if k++; k > 2*n {
			break // rounding at the end of the pattern
		}
	}
	rest := (pen.Dash[k%n] - left) * perMM
	var out []polygon
	var current polygon
	if k%2 == 0 && len(line) > 0 {
		current = polygon{line[0]}
	}
	for i := 1; i < len(line); i++ {
		at, to := line[i-1], line[i]
		u := at.toward(to)
		for at.distance(to) > rest {
			at = at.plus(u.times(rest))
			if k%2 == 0 {
				out = append(out, append(current, at))
				current = nil
			} else {
				current = polygon{at}
			}
			k++
			rest = pen.Dash[k%n] * perMM
		}
		rest -= at.distance(to)
		if k%2 == 0 {
			current = append(current, to)
		}
	}
	if len(current) > 1 {
		out = append(out, current)
	}
	for i := range out {
		out[i] = distinct(out[i])
	}
	return out
}

// text sets the outlines of the embedded fonts, whose windings are those that
// the rasterizer adds up.
func (p *picturePage) text(t lettering) {
	f := t.font.face()
	scale := t.size * mmPerPoint / f.em * p.perMM
	sin, cos := math.Sincos(t.angle)
	start := t.origin.times(p.perMM)
	along := 0.0
	for _, r := range t.shown {
		// printable has let nothing through that the font lacks.
		glyph, err := f.sfnt.GlyphIndex(&p.buffer, r)
		if err == nil && glyph != 0 {
			outline, err := f.sfnt.LoadGlyph(&p.buffer, glyph, f.unhinted(), nil)
			if err == nil {
				p.cover(outlines(outline, func(x, y float64) Point { // font units, y down
					x += along
					return At(start.X+scale*(x*cos+y*sin), start.Y+scale*(y*cos-x*sin))
				}), t.colour)
			}
		}
		along += float64(max(f.advance(r), 0))
	}
}

// outlines are those of a glyph as polygons.
func outlines(glyph sfnt.Segments, place func(x, y float64) Point) []polygon {
	path := new(Path)
	started := false
	var last Point
	for _, s := range glyph {
		var q [3]Point
		for i := range q {
			q[i] = place(float64(s.Args[i].X), float64(s.Args[i].Y))
		}
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if started {
				path.Close()
			}
			path.Move(q[0])
			started, last = true, q[0]
		case sfnt.SegmentOpLineTo:
			path.Line(q[0])
			last = q[0]
		case sfnt.SegmentOpQuadTo:
			// The same curve as a cubic: control points two thirds of the way.
			c := q[0].times(2.0 / 3)
			path.Curve(last.times(1.0/3).plus(c), q[1].times(1.0/3).plus(c), q[1])
			last = q[1]
		case sfnt.SegmentOpCubeTo:
			path.Curve(q[0], q[1], q[2])
			last = q[2]
		}
	}
	path.Close()
	var out []polygon
	for _, piece := range path.pieces(pixelFlatness) {
		out = append(out, polygon(piece))
	}
	return out
}

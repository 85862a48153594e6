package wrap

import (
	"fmt"
	"math"

	"gridwright/internal/drawing"
)

const (
	bodySize  = 7.5
	tableSize = 7.0
)

// info is what the person with the template has to know, in blocks of one width
// that stand below each other.
func (b *book) info(width float64) (blocks []*drawing.Scene) {
	if s := b.tileMap(width); s != nil {
		blocks = append(blocks, s)
	}
	blocks = append(blocks, b.instructions(width), b.legend(width))
	return append(blocks, b.table(width)...)
}

// instructions in numbered paragraphs.
func (b *book) instructions(width float64) *drawing.Scene {
	var all []string
	all = append(all, "Print at 100 %, and measure both check bars: each must be 100 mm long. If one is not, throw the print away.")
	if b.allTiles() > 0 {
		all = append(all, "Tiles: cut the tile with the higher number along its dotted join line, lay that edge on the same line of its neighbour so that the crosses of one name meet, and glue. Measure the whole strip before it is cut out.")
	}
	all = append(all, "Cut out along the narrow lines that run past the corners.")
	if p := &b.panels[0]; p.round() {
		all = append(all, "Lay the edge φ = 0 (triangle) on the scribed reference line of the part, the arrow +x toward the part's +x end, the line of station 0 (or the other stations) on its mark, and go round in the sense of φ, which is to the right as seen from outside. The flap goes under and is glued; the line 360° = 0 must meet the edge. A gap means that D is larger than the design's, by the gap over π; an overlap that it is smaller: then stop and measure D.",
			fmt.Sprintf("The length is π (D + t) = %s, for D = %s and paper of t = %s. Gauges are placed by their angle φ on the surface; the marks are on the paper, whose middle lies t/2 farther out, so that lengths around the part are longer on the paper by %s %% than on the part. Lengths along the part are true.",
				b.w.place(p.girth*p.stretch), b.w.size(p.girth/math.Pi), b.w.size(b.thickness), fixed((p.stretch-1)*100, 2)))
	} else {
		all = append(all, b.faceInstructions()...)
	}
	if len(b.list) > len(b.panels) {
		all = append(all, "There is a strip for each group of gauges: each is laid at its own stations, measured along the part from station 0.")
	}
	all = append(all, "Carry the centre lines over to the part where they run past the outline of each gauge, with the gauge's name beside them, and take the template off before bonding. Nothing is scratched where a gauge goes.")

	style := drawing.TextStyle{Size: bodySize, Level: drawing.Top}
	h := drawing.LineHeight(style.Font, style.Size)
	type line struct{ number, text string }
	var lines []line
	for i, s := range all {
		for k, l := range drawing.Wrap(s, style.Font, style.Size, width-7) {
			number := ""
			if k == 0 {
				number = fmt.Sprintf("%d", i+1)
			}
			lines = append(lines, line{number, l})
		}
	}
	s := drawing.NewScene(width, float64(len(lines))*h+4)
	for i, l := range lines {
		y := 1 + float64(i)*h
		if l.number != "" {
			bold := style
			bold.Font = drawing.Bold
			s.Text(bold, drawing.At(0.5, y), l.number)
		}
		s.Text(style, drawing.At(5, y), l.text)
	}
	return s
}

// faceInstructions are those for a part with faces.
func (b *book) faceInstructions() (all []string) {
	curved := ""
	for _, p := range b.panels {
		for _, f := range p.faces {
			if f.curved {
				curved = fmt.Sprintf(" Curves are longer than the surface, as the paper's middle runs half its thickness t = %s outside it: one of radius R by (R + t/2)/R.", b.w.size(b.thickness))
			}
		}
	}
	p := &b.panels[0]
	if !p.closed {
		return append(all, "Lay each strip between the edges of its face, which tell what they meet, the arrow +x toward the part's +x end, the station lines on their marks. "+
			"Flat faces have their true size."+curved)
	}
	n := len(p.faces)
	if n == 1 {
		return append(all, "Lay the edge φ = 0 (triangle) on the scribed reference line of the part, the arrow +x toward the part's +x end, the station lines on their marks, and go round in the sense of φ, which is to the right as seen from outside. The flap goes under and is glued; the ends must meet. If they do not, stop and measure the part."+curved)
	}
	return append(all, fmt.Sprintf("Fold along the lines between faces where the part has a corner, away from you, and lay every fold on its own edge of the part, the arrow +x toward the part's +x end, the station lines on their marks; round in the sense of φ, which is to the right as seen from outside. The left edge lies where %s ends and %s begins; there the other end must meet it, its flap below. Folds add nothing to the length: paper of t = %s may leave a gap of about its thickness at each sharp corner, so trust the edges and not the seam.",
		p.faces[n-1].title, p.faces[0].title, b.w.size(b.thickness)),
		fmt.Sprintf("Flat faces have their true size.%s The strip is %s long, the surface %s.", curved, b.w.place(p.paperAt(p.girth)), b.w.place(p.girth)))
}

// folded tells whether a strip has edges inside it.
func (b *book) folded() bool {
	for _, p := range b.panels {
		if len(p.faces) > 1 {
			return true
		}
	}
	return false
}

// legend shows every kind of line.
func (b *book) legend(width float64) *drawing.Scene {
	type sample struct {
		text string
		draw func(s *drawing.Scene, x, y float64)
	}
	pen := func(p drawing.Pen) func(*drawing.Scene, float64, float64) {
		return func(s *drawing.Scene, x, y float64) { s.Line(p, drawing.At(x, y), drawing.At(x+10, y)) }
	}
	box := func(p drawing.Pen) func(*drawing.Scene, float64, float64) {
		return func(s *drawing.Scene, x, y float64) {
			s.Rectangle(p, drawing.None, drawing.At(x+2.5, y-1.2), 5, 2.4)
		}
	}
	all := []sample{
		{"reference line", pen(referencePen)},
		{"stations, and middle of each gauge", pen(stationPen)},
		{"cut line", pen(cutPen)},
		{"outline of a gauge", box(backingPen)},
		{"grid, and its centre lines", func(s *drawing.Scene, x, y float64) {
			box(drawing.Marked)(s, x, y)
			s.Line(gridCentrePen, drawing.At(x+1, y), drawing.At(x+9, y))
			s.Line(gridCentrePen, drawing.At(x+5, y-1.8), drawing.At(x+5, y+1.8))
		}},
	}
	hatched := func(spacing, angle float64) func(*drawing.Scene, float64, float64) {
		return func(s *drawing.Scene, x, y float64) {
			s.Hatch(drawing.Hair, drawing.PolygonPath(drawing.At(x, y-1.4), drawing.At(x+10, y-1.4), drawing.At(x+10, y+1.4), drawing.At(x, y+1.4)), spacing, angle)
		}
	}
	if b.folded() {
		all = append(all, sample{"edge of a face: fold at a corner", pen(foldPen)})
	}
	if b.panels[0].closed {
		all = append(all, sample{"flap, glued under the other end", hatched(1.5, -math.Pi/4)})
	}
	for _, p := range b.panels {
		if len(p.keepOut) > 0 {
			all = append(all, sample{"sector to keep free", hatched(2.5, math.Pi/4)})
			break
		}
	}
	if b.featureShows() {
		all = append(all, sample{"feature of the part", pen(featurePen)})
	}
	if b.allTiles() > 0 {
		all = append(all, sample{"join line of tiles", pen(joinPen)})
	}
	const columns, pitch = 3, 4.2
	rows := (len(all) + columns - 1) / columns
	s := drawing.NewScene(width, float64(rows)*pitch+3)
	style := drawing.TextStyle{Size: tableSize, Level: drawing.Middle}
	for i, l := range all {
		x, y := float64(i%columns)*width/columns+0.5, 2.2+float64(i/columns)*pitch
		l.draw(s, x, y)
		s.Text(style, drawing.At(x+12, y), l.text)
	}
	return s
}

func (b *book) featureShows() bool {
	for _, p := range b.list {
		for _, f := range b.d.Design.Part.Features {
			if p.shows(f.Station.SI) {
				return true
			}
		}
	}
	return false
}

// table lists where every gauge goes, in blocks of one row each below the head.
func (b *book) table(width float64) []*drawing.Scene {
	heads := []string{"gauge", "of type", "strip", "station", "φ", "from φ = 0 on the paper", "direction"}
	shares := []float64{0.2, 0.16, 0.08, 0.14, 0.1, 0.2, 0.12}
	switch p := &b.panels[0]; {
	case !p.closed:
		heads[4], heads[5] = "face", "from its middle"
	case !p.round():
		heads[4], heads[5] = "place", "from the left edge"
		shares = []float64{0.18, 0.12, 0.07, 0.14, 0.21, 0.16, 0.12}
	}
	h := drawing.LineHeight(drawing.Regular, tableSize) + 0.8
	row := func(font drawing.Font, cells []string) *drawing.Scene {
		s := drawing.NewScene(width, h)
		x := 0.0
		for i, c := range cells {
			w := shares[i] * width
			text, size := shorten(c, font, tableSize, 5, w-2)
			style := drawing.TextStyle{Font: font, Size: size, Level: drawing.Top}
			at := drawing.At(x+0.5, 0.4)
			if i >= 2 {
				style.Align = drawing.Right
				at.X = x + w - 1
			}
			if text != "" {
				s.Text(style, at, text)
			}
			x += w
		}
		s.Line(drawing.Hair, drawing.At(0, h), drawing.At(width, h))
		return s
	}
	blocks := []*drawing.Scene{row(drawing.Bold, heads)}
	for _, p := range b.list {
		for _, r := range p.backings {
			station := b.w.place(r.x)
			cells := []string{r.name, r.gauge, fmt.Sprint(p.number), station, degrees(r.around), b.w.place(r.s * p.panel.stretch), degrees(r.direction)}
			switch {
			case p.panel.closed && !p.panel.round():
				cells[4], cells[5] = b.place(p.panel, r), b.w.place(p.panel.paperAt(r.s))
			case !p.panel.closed:
				cells[4], cells[5] = p.panel.name, b.w.place(r.s-p.panel.datum)
			}
			blocks = append(blocks, row(drawing.Regular, cells))
		}
	}
	return blocks
}

// tileMap shows how the tiles of each tiled piece lie; nil where there are none.
func (b *book) tileMap(width float64) *drawing.Scene {
	if b.allTiles() == 0 {
		return nil
	}
	const head, gap, tallest = 5.0, 8.0, 60.0
	style := drawing.TextStyle{Size: tableSize, Level: drawing.Middle, Align: drawing.Centre}
	type sketch struct {
		p     *piece
		scale float64
	}
	var all []sketch
	height := 1.0
	for _, p := range b.list {
		if p.tiles() == 1 {
			continue
		}
		scale := min(1.0/2, (width-10)/p.length(), tallest/p.height())
		// Every tile's number must have room.
		w, h := sizeOf(style, "00")
		scale = max(scale, min((w+1)/p.across.narrowest(), (width-10)/p.length()), min((h+1)/p.up.narrowest(), tallest/p.height()))
		all = append(all, sketch{p, scale})
		height += head + p.height()*scale + gap
	}
	s := drawing.NewScene(width, height)
	y := 1.0
	for _, k := range all {
		p := k.p
		title, size := drawing.Fit(fmt.Sprintf("%s: %d tiles, as they lie, seen from outside with +x up; joined %s × %s", p.title(), p.tiles(),
			b.w.place(p.length()/1e3), b.w.place(p.height()/1e3)), drawing.Bold, bodySize, 5, width-1)
		s.Text(drawing.TextStyle{Font: drawing.Bold, Size: size, Level: drawing.Top}, drawing.At(0.5, y), title)
		y += head
		at := func(u, v float64) drawing.Point { return drawing.At(2+u*k.scale, y+(p.height()-v)*k.scale) }
		cuts := func(t tiling) []float64 {
			all := []float64{0}
			for i := 1; i < t.n; i++ {
				all = append(all, t.seam(i))
			}
			return append(all, t.total)
		}
		us, vs := cuts(p.across), cuts(p.up)
		for _, u := range us {
			s.Line(drawing.Thin, at(u, 0), at(u, p.height()))
		}
		for _, v := range vs {
			s.Line(drawing.Thin, at(0, v), at(p.length(), v))
		}
		whole := window{0, p.width, 0, p.height()}
		for _, r := range p.backings {
			for _, i := range p.panel.images(r) {
				c := p.outline(i)
				for k := range c {
					if from, to, _, ok := whole.segment(c[k], c[(k+1)%4]); ok {
						s.Line(drawing.Hair.With(drawing.Accent), at(from.X, from.Y), at(to.X, to.Y))
					}
				}
			}
		}
		for row := range p.up.n {
			for col := range p.across.n {
				a, c := at(us[col], vs[row]), at(us[col+1], vs[row+1])
				text, size := drawing.Fit(fmt.Sprint(b.tileNumber(p, col, row)), style.Font, style.Size, 3, math.Abs(c.X-a.X)-0.4)
				number := style
				number.Size = size
				number.Background = drawing.Paper
				if text != "" {
					s.Text(number, drawing.At((a.X+c.X)/2, (a.Y+c.Y)/2), text)
				}
			}
		}
		y += p.height()*k.scale + gap
	}
	return s
}

package wrap

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

// book is the template while it is laid out.
type book struct {
	d         *dossier.Dossier
	w         words
	thickness float64 // of the paper, m
	panels    []panel

	paper   drawing.PaperSize // as it lies
	area    area
	list    []*piece
	slots   []slot
	cover   [][]*drawing.Scene // what is to be known, page by page
	shared  bool               // it stands below the pieces of the only page
	coverAt float64            // there, mm from the top of the area

	doc      drawing.Document
	pages    []*drawing.Scene
	warnings []string
	unnamed  int // texts that found no room
}

// draw draws all pages.
func (b *book) draw() {
	turn := func() *drawing.Scene {
		s := b.doc.Page(b.paper)
		b.pages = append(b.pages, s)
		return s
	}
	stack := func(s *drawing.Scene, blocks []*drawing.Scene, y float64) {
		for _, block := range blocks {
			s.Place(block, drawing.At(b.area.x, y))
			y += block.Height
		}
	}
	before := 0
	if !b.shared {
		before = len(b.cover)
		for _, blocks := range b.cover {
			stack(turn(), blocks, b.area.y)
		}
	}
	for _, s := range b.slots {
		for len(b.pages) <= before+s.page {
			turn()
		}
		t := b.tile(s, b.pages[before+s.page])
		t.draw()
	}
	if b.shared {
		stack(b.pages[0], b.cover[0], b.area.y+b.coverAt)
	}
	for i, s := range b.pages {
		b.head(s, i, before)
		b.bars(s)
		b.strip(s, i+1)
	}
	b.bookmarks(before)
	b.remarks()
}

func (b *book) bookmarks(before int) {
	if before > 0 {
		b.pages[0].Bookmark("How to use the template", 0, edge)
	}
	seen := map[*piece]bool{}
	for _, s := range b.slots {
		if !seen[s.piece] {
			seen[s.piece] = true
			b.pages[before+s.page].Bookmark(s.piece.title(), 0, s.block.y)
		}
	}
}

// title of a piece.
func (p *piece) title() string {
	if p.panel.closed {
		return fmt.Sprintf("Strip %d", p.number)
	}
	return fmt.Sprintf("Strip %d, %s", p.number, p.panel.title())
}

// title of a panel that is not a whole girth.
func (p *panel) title() string {
	if p.curved || strings.HasPrefix(p.name, "edge") {
		return p.name
	}
	return "face " + p.name
}

// remarks are warnings that do not stand on the paper, or stand there too small.
func (b *book) remarks() {
	var parted []string
	for _, p := range b.list {
		for _, r := range p.backings {
			if p.panel.closed && len(p.panel.images(r)) > 1 {
				parted = append(parted, r.name)
			}
			if _, half := r.reach(); !p.panel.closed && (r.s-half < -1e-9 || r.s+half > p.panel.girth+1e-9) {
				b.warn("the outline of %s reaches over the edge of %s", r.name, p.panel.title())
			}
		}
		if p.beyond {
			b.warn("strip %d reaches past the straight length of the part, where the paper does not lie on it", p.number)
		}
	}
	if len(parted) > 0 {
		where := "at φ = 0"
		if !b.panels[0].round() {
			where = "where the ends of the strip meet"
		}
		b.warn("the seam "+where+" cuts the outline of %s: it is drawn in two parts, one at each end of the strip", strings.Join(parted, ", "))
	}
	if len(b.list) > 1 && b.panels[0].closed {
		b.warn("the gauges lie too far apart along the part for one strip: there are %d, each to be laid at its own station", len(b.list))
	}
	if b.unnamed > 0 {
		b.warn("words without room on the template: %d; the design sheet has them all", b.unnamed)
	}
}

// head says what the page is, and that it must not be scaled.
func (b *book) head(s *drawing.Scene, page, before int) {
	what := "Layout template 1:1, how to use it"
	if page >= before {
		what = "Layout template 1:1"
		switch first, last := b.tilesOn(page - before); {
		case last == first+1 && first > 0:
			what = fmt.Sprintf("Layout template 1:1, tiles %d and %d of %d", first, last, b.allTiles())
		case last > first:
			what = fmt.Sprintf("Layout template 1:1, tiles %d to %d of %d", first, last, b.allTiles())
		case last > 0:
			what = fmt.Sprintf("Layout template 1:1, tile %d of %d", last, b.allTiles())
		case len(b.list) > 1:
			what = "Layout template 1:1, strips to cut out"
		}
	}
	width := b.paper.Width - 2*edge
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 10, Level: drawing.Top, Colour: drawing.Accent}, drawing.At(edge, edge), what)
	style := drawing.TextStyle{Size: 7, Level: drawing.Top}
	text, size := drawing.Fit("Print at 100 % (true size), with no scaling or fitting to the page; seen from outside the part, +x up, φ to the right", style.Font, style.Size, 5, width)
	style.Size = size
	s.Text(style, drawing.At(edge, edge+4.6), text)
	y := edge + 8.4
	s.Line(drawing.Thin.With(drawing.Accent), drawing.At(edge, y), drawing.At(edge+width, y))
}

// tilesOn are the numbers of the first and the last tile on a page, 0 where there
// is none.
func (b *book) tilesOn(page int) (first, last int) {
	for _, s := range b.slots {
		if s.page == page && s.piece.tiles() > 1 {
			last = b.tileNumber(s.piece, s.col, s.row)
			if first == 0 {
				first = last
			}
		}
	}
	return first, last
}

// tileNumber counts the tiles of all tiled pieces.
func (b *book) tileNumber(p *piece, col, row int) int {
	n := 1
	for _, o := range b.list {
		if o == p {
			break
		}
		if o.tiles() > 1 {
			n += o.tiles()
		}
	}
	return n + row*p.across.n + col
}

func (b *book) allTiles() (n int) {
	for _, p := range b.list {
		if p.tiles() > 1 {
			n += p.tiles()
		}
	}
	return n
}

// bars are two lines of 100 mm to measure what the printer did.
func (b *book) bars(s *drawing.Scene) {
	const length, tick = 100.0, 1.5
	text := "measure: must be 100\u00A0mm"
	if b.w.sys == quantity.US {
		text += " (" + b.w.place(length/1e3) + ")"
	}
	style := drawing.TextStyle{Size: 7, Level: drawing.Middle}
	// Level, above the title strip.
	y := b.paper.Height - edge - stripHeight - barHeight/2
	from, to := drawing.At(b.area.x, y), drawing.At(b.area.x+length, y)
	s.Line(drawing.Outline, from, to)
	for _, p := range []drawing.Point{from, to} {
		s.Line(drawing.Thin, drawing.At(p.X, p.Y-tick), drawing.At(p.X, p.Y+tick))
	}
	fitted, size := drawing.Fit(text, style.Font, style.Size, 5, b.paper.Width-edge-to.X-3)
	level := style
	level.Size = size
	s.Text(level, drawing.At(to.X+3, y), fitted)
	// Upright, at the left.
	x := edge + 2.5
	top := b.area.y + 2
	from, to = drawing.At(x, top+length), drawing.At(x, top)
	s.Line(drawing.Outline, from, to)
	for _, p := range []drawing.Point{from, to} {
		s.Line(drawing.Thin, drawing.At(p.X-tick, p.Y), drawing.At(p.X+tick, p.Y))
	}
	style.Angle, style.Align = math.Pi/2, drawing.Centre
	s.Text(style, drawing.At(x+3.5, top+length/2), text)
}

// strip is the title strip at the foot of a page.
func (b *book) strip(s *drawing.Scene, page int) {
	const row = 8.0
	x, y := edge, b.paper.Height-edge-stripHeight
	width := b.paper.Width - 2*edge
	s.Rectangle(drawing.Thin, drawing.None, drawing.At(x, y), width, stripHeight)
	s.Line(drawing.Thin, drawing.At(x, y+row), drawing.At(x+width, y+row))
	part := &b.d.Design.Part
	outside, girth := "outside diameter D", "length π (D + t)"
	p := &b.panels[0]
	size, long := b.w.size(p.girth/math.Pi), b.w.place(p.girth*p.stretch)
	if !p.round() {
		outside, girth, size, long = "section", "length round the part", strings.ReplaceAll(part.Section.Shape, "-", " "), b.w.place(p.paperAt(p.girth))
	}
	if !p.closed {
		girth, long = "faces with gauges", fmt.Sprint(len(b.panels))
	}
	b.cells(s, x, y, width, row, []cell{
		{"title", b.d.Design.Title, 0.5}, {"part", orDash(part.Number), 0.2}, {"drawing", orDash(part.Drawing), 0.2}, {"revision", orDash(part.Revision), 0.1}})
	b.cells(s, x, y+row, width, row, []cell{
		{outside, size, 0.17}, {"paper thickness t", b.w.size(b.thickness), 0.15}, {girth, long, 0.17}, {"program", "gridwright " + dossier.Version, 0.17},
		{"input sha256", orDash(short(b.d.Digest)), 0.21}, {"page", fmt.Sprintf("%d of %d", page, len(b.pages)), 0.13}})
}

// cell of the title strip, a share of its width.
type cell struct {
	caption, value string
	share          float64
}

func (b *book) cells(s *drawing.Scene, x, y, width, height float64, all []cell) {
	for i, c := range all {
		w := c.share * width
		if i > 0 {
			s.Line(drawing.Thin, drawing.At(x, y), drawing.At(x, y+height))
		}
		s.Text(drawing.TextStyle{Size: 5, Colour: drawing.Grey, Level: drawing.Top}, drawing.At(x+1.2, y+0.5), c.caption)
		value, size := drawing.Fit(oneLine(c.value), drawing.Regular, 8, 6, w-2.4)
		if value != "" {
			s.Text(drawing.TextStyle{Size: size, Level: drawing.Top}, drawing.At(x+1.2, y+0.5+drawing.LineHeight(drawing.Regular, 5)), value)
		}
		x += w
	}
}

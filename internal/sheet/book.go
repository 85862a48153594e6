package sheet

import (
	"fmt"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
)

const (
	margin      = 14.0 // mm, left and right of what a page shows
	topMargin   = 13.0
	stripHeight = 17.0 // of the title strip at the foot
	stripFoot   = 8.0  // below it
)

// book is the sheet while it is laid out: a column of headings, paragraphs,
// tables and figures that flows from page to page.
type book struct {
	d       *dossier.Dossier
	w       words
	doc     drawing.Document
	paper   drawing.PaperSize
	pages   []*drawing.Scene
	page    *drawing.Scene
	y       float64
	running string // title of the part of the sheet, repeated where it goes on
	targets map[string]int
	links   []pending
}

// pending is a link whose page is not known yet.
type pending struct {
	page          *drawing.Scene
	at            drawing.Point
	width, height float64
	target        string
}

func newBook(d *dossier.Dossier, w words, paper drawing.PaperSize) *book {
	return &book{d: d, w: w, paper: paper, targets: map[string]int{}}
}

// drawn are the words of drawings and plots: one system only.
func (b *book) drawn() words { return words{b.w.sys, true} }

func (b *book) width() float64  { return b.paper.Width - 2*margin }
func (b *book) bottom() float64 { return b.paper.Height - stripFoot - stripHeight - 4 }
func (b *book) left() float64   { return b.bottom() - b.y }

// chapter starts a part of the sheet on a new page.
func (b *book) chapter(title string) {
	b.running = title
	b.turn("")
	b.page.Bookmark(title, 0, topMargin)
}

// turn goes on on a new page.
func (b *book) turn(suffix string) {
	b.page = b.doc.Page(b.paper)
	b.pages = append(b.pages, b.page)
	b.y = topMargin
	style := drawing.TextStyle{Font: drawing.Bold, Size: 11, Level: drawing.Top, Colour: drawing.Accent}
	b.page.Text(style, drawing.At(margin, b.y), b.running+suffix)
	b.y += drawing.LineHeight(drawing.Bold, 11) + 0.8
	b.page.Line(drawing.Thin.With(drawing.Accent), drawing.At(margin, b.y), drawing.At(margin+b.width(), b.y))
	b.y += 2.5
}

// need turns the page unless that much is left of it.
func (b *book) need(height float64) {
	if b.left() < height {
		b.turn(", continued")
	}
}

func (b *book) space(mm float64) { b.y += mm }

// mark notes that a target stands on the page of now.
func (b *book) mark(target string) {
	if _, ok := b.targets[target]; !ok {
		b.targets[target] = len(b.pages)
	}
}

// heading of a block that takes at least `with` mm below it.
func (b *book) heading(title string, with float64) {
	h := drawing.LineHeight(drawing.Bold, 9)
	b.need(h + 3 + with)
	b.space(1.5)
	for _, line := range drawing.Wrap(title, drawing.Bold, 9, b.width()) {
		b.page.Text(drawing.TextStyle{Font: drawing.Bold, Size: 9, Level: drawing.Top}, drawing.At(margin, b.y), line)
		b.y += h
	}
	b.space(0.8)
}

// paragraph of running text.
func (b *book) paragraph(s string, size float64, font drawing.Font) {
	h := drawing.LineHeight(font, size)
	for _, line := range drawing.Wrap(s, font, size, b.width()) {
		b.need(h)
		b.page.Text(drawing.TextStyle{Font: font, Size: size, Level: drawing.Top}, drawing.At(margin, b.y), line)
		b.y += h
	}
	b.space(1)
}

// note is a small paragraph below a figure or a table.
func (b *book) note(s string) { b.paragraph(s, 7, drawing.Italic) }

// table flows over pages, its head repeated.
func (b *book) table(t *table) {
	if len(t.rows) == 0 {
		return
	}
	l := t.fit(b.width())
	b.need(l.headHeight() + l.rowHeight(0))
	l.drawHead(b.page, margin, b.y)
	b.y += l.headHeight()
	turn := b.turnBefore(l)
	for i := range l.rows {
		h := l.rowHeight(i)
		if b.left() < h || i == turn {
			b.turn(", continued")
			l.drawHead(b.page, margin, b.y)
			b.y += l.headHeight()
		}
		l.drawRow(b.page, margin, b.y, i)
		if target := l.rows[i].row.target; target != "" {
			b.links = append(b.links, pending{b.page, drawing.At(margin, b.y), l.width(), h, target})
		}
		b.y += h
	}
	b.space(2)
}

// turnBefore is the row before which a table goes on on the next page so that not
// only its last rows do; -1 where there is no need.
func (b *book) turnBefore(l *laid) int {
	const together = 4
	left, n := b.left()-l.headHeight(), len(l.rows)
	for i := range l.rows {
		if left -= l.rowHeight(i); left < 0 {
			if rest := n - i; rest < together && n >= 2*together {
				return n - together
			}
			return -1
		}
	}
	return -1
}

// beside draws tables side by side in equal widths, or one below the other when
// they do not fit the page.
func (b *book) beside(tables ...*table) {
	const gap = 6.0
	each := (b.width() - gap*float64(len(tables)-1)) / float64(len(tables))
	var all []*laid
	tallest := 0.0
	for _, t := range tables {
		l := t.fit(each)
		all = append(all, l)
		tallest = max(tallest, l.height())
	}
	if tallest > b.left() {
		for _, t := range tables {
			b.table(t)
		}
		return
	}
	for i, l := range all {
		x, y := margin+float64(i)*(each+gap), b.y
		l.drawHead(b.page, x, y)
		y += l.headHeight()
		for k := range l.rows {
			l.drawRow(b.page, x, y, k)
			y += l.rowHeight(k)
		}
	}
	b.y += tallest
	b.space(2)
}

// figures draws scenes side by side from the left edge.
func (b *book) scenes(all ...*drawing.Scene) {
	tallest := 0.0
	for _, s := range all {
		tallest = max(tallest, s.Height)
	}
	b.need(tallest)
	x := margin
	for _, s := range all {
		b.page.Place(s, drawing.At(x, b.y))
		x += s.Width
	}
	b.y += tallest
	b.space(2)
}

// finish draws what needs the number of pages: title strips and links.
func (b *book) finish() {
	for i, p := range b.pages {
		b.strip(p, i+1)
	}
	for _, l := range b.links {
		if page, ok := b.targets[l.target]; ok {
			l.page.Link(l.at, l.width, l.height, page)
		}
	}
}

// strip is the frame of a page and the title strip at its foot.
func (b *book) strip(s *drawing.Scene, page int) {
	const edge = 8.0
	x, y := margin-4, b.paper.Height-stripFoot-stripHeight
	width := b.paper.Width - 2*x
	s.Rectangle(drawing.Thin, drawing.None, drawing.At(x, edge), width, b.paper.Height-edge-stripFoot)
	s.Line(drawing.Outline, drawing.At(x, y), drawing.At(x+width, y))
	p := &b.d.Design.Part
	digest := b.d.Digest
	if len(digest) > 12 {
		digest = digest[:12]
	}
	b.stripRow(s, x, y, width, 9, []stripCell{
		{"title", b.d.Design.Title, 0.52}, {"part", orDash(p.Number), 0.2}, {"drawing", orDash(p.Drawing), 0.2}, {"revision", orDash(p.Revision), 0.08}})
	s.Line(drawing.Thin, drawing.At(x, y+9), drawing.At(x+width, y+9))
	b.stripRow(s, x, y+9, width, stripHeight-9, []stripCell{
		{"sheet", "transducer design sheet; nominal prediction, not a calibration", 0.42}, {"date", orDash(p.Date), 0.14},
		{"program", "gridwright " + dossier.Version, 0.16}, {"input sha256", orDash(digest), 0.16}, {"page", fmt.Sprintf("%d of %d", page, len(b.pages)), 0.12}})
}

type stripCell struct {
	caption, value string
	share          float64
}

// stripRow draws a row of captions with values fitted to their cells.
func (b *book) stripRow(s *drawing.Scene, x, y, width, height float64, cells []stripCell) {
	for i, c := range cells {
		w := c.share * width
		if i > 0 {
			s.Line(drawing.Thin, drawing.At(x, y), drawing.At(x, y+height))
		}
		s.Text(drawing.TextStyle{Size: 5, Colour: drawing.Grey, Level: drawing.Top}, drawing.At(x+1.2, y+0.6), c.caption)
		value, size := drawing.Fit(oneLine(c.value), drawing.Regular, 8.5, 6, w-2.4)
		if value != "" {
			top := y + 0.6 + drawing.LineHeight(drawing.Regular, 5)
			s.Text(drawing.TextStyle{Size: size, Level: drawing.Top}, drawing.At(x+1.2, top), value)
		}
		x += w
	}
}

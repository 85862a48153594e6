package layout

import (
	"fmt"

	"gonum.org/v1/plot"

	"gridwright/internal/drawing"
)

// Margins of a page.
const (
	Margin      = 14.0 // mm, left and right of what a page shows
	topMargin   = 13.0
	stripHeight = 17.0 // of the title strip at the foot
	stripFoot   = 8.0  // below it
)

// Book is a document while it is laid out: a column of headings, paragraphs,
// tables and figures that flows from page to page.
type Book struct {
	Doc     drawing.Document
	Paper   drawing.PaperSize
	Pages   []*drawing.Scene
	Page    *drawing.Scene // that of now
	Y       float64        // mm: where on it what comes next begins
	running string         // title of the chapter, repeated where it goes on
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

// PaperSize of a name, a4 where there is none.
func PaperSize(name string) (drawing.PaperSize, error) {
	switch name {
	case "", "a4":
		return drawing.A4, nil
	case "letter":
		return drawing.Letter, nil
	}
	return drawing.PaperSize{}, fmt.Errorf("paper %q is not known; write a4 or letter", name)
}

// New begins a document without a page.
func New(paper drawing.PaperSize) *Book {
	return &Book{Paper: paper, targets: map[string]int{}}
}

// Width of what a page shows, mm.
func (b *Book) Width() float64 { return b.Paper.Width - 2*Margin }

func (b *Book) bottom() float64 { return b.Paper.Height - stripFoot - stripHeight - 4 }

// Left is how much of the page is left, mm.
func (b *Book) Left() float64 { return b.bottom() - b.Y }

// Chapter starts a part of the document on a new page.
func (b *Book) Chapter(title string) {
	b.running = title
	b.turn("")
	b.Page.Bookmark(title, 0, topMargin)
}

// turn goes on on a new page.
func (b *Book) turn(suffix string) {
	b.Page = b.Doc.Page(b.Paper)
	b.Pages = append(b.Pages, b.Page)
	b.Y = topMargin
	style := drawing.TextStyle{Font: drawing.Bold, Size: 11, Level: drawing.Top, Colour: drawing.Accent}
	b.Page.Text(style, drawing.At(Margin, b.Y), b.running+suffix)
	b.Y += drawing.LineHeight(drawing.Bold, 11) + 0.8
	b.Page.Line(drawing.Thin.With(drawing.Accent), drawing.At(Margin, b.Y), drawing.At(Margin+b.Width(), b.Y))
	b.Y += 2.5
}

// Need turns the page unless that much is left of it.
func (b *Book) Need(height float64) {
	if b.Left() < height {
		b.turn(", continued")
	}
}

// Space leaves some room.
func (b *Book) Space(mm float64) { b.Y += mm }

// Mark notes that a target stands on the page of now.
func (b *Book) Mark(target string) {
	if _, ok := b.targets[target]; !ok {
		b.targets[target] = len(b.Pages)
	}
}

// Title sets the title of the document, smaller when it is long.
func (b *Book) Title(s string) {
	size := 15.0
	lines := drawing.Wrap(s, drawing.Bold, size, b.Width())
	if len(lines) > 2 {
		size = 10
		lines = drawing.Wrap(s, drawing.Bold, size, b.Width())
	}
	for _, line := range lines {
		b.Need(drawing.LineHeight(drawing.Bold, size))
		b.Page.Text(drawing.TextStyle{Font: drawing.Bold, Size: size, Level: drawing.Top}, drawing.At(Margin, b.Y), line)
		b.Y += drawing.LineHeight(drawing.Bold, size)
	}
	b.Space(1)
}

// VerdictBox is a verdict in one line: a word, and from so many mm on what it
// rests on.
func (b *Book) VerdictBox(word string, from float64, text string) {
	const height = 8.5
	b.Need(height + 2)
	b.Page.Rectangle(drawing.Outline, drawing.None, drawing.At(Margin, b.Y), b.Width(), height)
	b.Page.Text(drawing.TextStyle{Font: drawing.Bold, Size: 13, Level: drawing.Middle}, drawing.At(Margin+3, b.Y+height/2), word)
	text, size := drawing.Fit(text, drawing.Regular, 8.5, 6, b.Width()-from-3)
	b.Page.Text(drawing.TextStyle{Size: size, Level: drawing.Middle}, drawing.At(Margin+from, b.Y+height/2), text)
	b.Y += height
	b.Space(2)
}

// Heading of a block that takes at least `with` mm below it.
func (b *Book) Heading(title string, with float64) {
	h := drawing.LineHeight(drawing.Bold, 9)
	b.Need(h + 3 + with)
	b.Space(1.5)
	for _, line := range drawing.Wrap(title, drawing.Bold, 9, b.Width()) {
		b.Page.Text(drawing.TextStyle{Font: drawing.Bold, Size: 9, Level: drawing.Top}, drawing.At(Margin, b.Y), line)
		b.Y += h
	}
	b.Space(0.8)
}

// Paragraph of running text.
func (b *Book) Paragraph(s string, size float64, font drawing.Font) {
	h := drawing.LineHeight(font, size)
	for _, line := range drawing.Wrap(s, font, size, b.Width()) {
		b.Need(h)
		b.Page.Text(drawing.TextStyle{Font: font, Size: size, Level: drawing.Top}, drawing.At(Margin, b.Y), line)
		b.Y += h
	}
	b.Space(1)
}

// Note is a small paragraph below a figure or a table.
func (b *Book) Note(s string) { b.Paragraph(s, 7, drawing.Italic) }

// Table flows over pages, its head repeated.
func (b *Book) Table(t *Table) {
	if len(t.Rows) == 0 {
		return
	}
	l := t.Fit(b.Width())
	b.Need(l.headHeight() + l.RowHeight(0))
	l.drawHead(b.Page, Margin, b.Y)
	b.Y += l.headHeight()
	turn := b.turnBefore(l)
	for i := range l.Rows {
		h := l.RowHeight(i)
		if b.Left() < h || i == turn {
			b.turn(", continued")
			l.drawHead(b.Page, Margin, b.Y)
			b.Y += l.headHeight()
		}
		l.DrawRow(b.Page, Margin, b.Y, i)
		if target := l.Rows[i].row.Target; target != "" {
			b.links = append(b.links, pending{b.Page, drawing.At(Margin, b.Y), l.Width(), h, target})
		}
		b.Y += h
	}
	b.Space(2)
}

// turnBefore is the row before which a table goes on on the next page so that not
// only its last rows do; -1 where there is no need.
func (b *Book) turnBefore(l *Laid) int {
	const together = 4
	left, n := b.Left()-l.headHeight(), len(l.Rows)
	for i := range l.Rows {
		if left -= l.RowHeight(i); left < 0 {
			if rest := n - i; rest < together && n >= 2*together {
				return n - together
			}
			return -1
		}
	}
	return -1
}

// Beside draws tables side by side in equal widths, or one below the other when
// they do not fit the page.
func (b *Book) Beside(tables ...*Table) {
	const gap = 6.0
	each := (b.Width() - gap*float64(len(tables)-1)) / float64(len(tables))
	var all []*Laid
	tallest := 0.0
	for _, t := range tables {
		l := t.Fit(each)
		all = append(all, l)
		tallest = max(tallest, l.Height())
	}
	if tallest > b.Left() {
		for _, t := range tables {
			b.Table(t)
		}
		return
	}
	for i, l := range all {
		x, y := Margin+float64(i)*(each+gap), b.Y
		l.drawHead(b.Page, x, y)
		y += l.headHeight()
		for k := range l.Rows {
			l.DrawRow(b.Page, x, y, k)
			y += l.RowHeight(k)
		}
	}
	b.Y += tallest
	b.Space(2)
}

// Scenes draws scenes side by side from the left edge.
func (b *Book) Scenes(all ...*drawing.Scene) {
	tallest := 0.0
	for _, s := range all {
		tallest = max(tallest, s.Height)
	}
	b.Need(tallest)
	x := Margin
	for _, s := range all {
		b.Page.Place(s, drawing.At(x, b.Y))
		x += s.Width
	}
	b.Y += tallest
	b.Space(2)
}

// Pair puts two plots of a height in mm side by side, or words where the right one
// is missing.
func (b *Book) Pair(left, right *plot.Plot, height float64, otherwise string) {
	b.Need(height + 1.5)
	b.Space(1.5)
	b.Page.Plot(left, Margin, b.Y, b.Width()/2-3, height)
	x := Margin + b.Width()/2 + 3
	if right != nil {
		b.Page.Plot(right, x, b.Y, b.Width()/2-3, height)
	} else {
		b.Page.Text(drawing.TextStyle{Size: 8}, drawing.At(x, b.Y+height/2), otherwise)
	}
	b.Y += height
	b.Space(2)
}

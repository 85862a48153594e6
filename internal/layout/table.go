package layout

import (
	"strings"

	"gridwright/internal/drawing"
)

// Column of a table. A column that does not wrap keeps each cell on one line
// while there is room at all: a number broken in two is another number.
type Column struct {
	Head  string
	Align drawing.Align
	Wraps bool
	Least float64 // mm
	ruled bool    // to be written in by hand: a line at its left
}

// Text is a column of words, broken into lines.
func Text(head string) Column { return Column{Head: head, Wraps: true} }

// Number is a column of numbers, one line each, at its right edge.
func Number(head string) Column { return Column{Head: head, Align: drawing.Right} }

// Label is a column of names that are not broken.
func Label(head string) Column { return Column{Head: head} }

// Blank is a column to be written in by hand, at least so many mm wide.
func Blank(head string, mm float64) Column {
	return Column{Head: head, Least: mm, ruled: true}
}

// Row of a table.
type Row struct {
	Cells  []string
	Bold   bool
	Least  float64 // height, mm
	Target string  // where a click leads, a name that Book.Mark was given
}

// Table is laid out by Fit.
type Table struct {
	Columns []Column
	Rows    []Row
	headed  bool // false: no head
}

// NewTable makes a table with a head.
func NewTable(columns ...Column) *Table { return &Table{Columns: columns, headed: true} }

// KeyTable lists names and values, without a head.
func KeyTable() *Table {
	return &Table{Columns: []Column{{}, {Wraps: true}}}
}

// Add adds a row.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, Row{Cells: cells}) }

// cell is a cell as it is set: in a column of numbers what stands in brackets
// behind the number, the same in other units, goes below it.
func (t *Table) cell(r Row, i int) string {
	if t.headed && t.Columns[i].Align == drawing.Right && !t.Columns[i].Wraps {
		return strings.Replace(r.Cells[i], " (", "\n(", 1)
	}
	return r.Cells[i]
}

const (
	cellPad   = 1.2 // mm at either side of a cell
	rowPad    = 0.5 // mm above and below its lines
	headPad   = 0.7
	smallest  = 5.5  // points
	maxLines  = 30   // of one row; what is longer goes on in a next row
	wordLimit = 24.0 // mm: longer words may be broken
	hair      = 0.01 // mm: so that what just fits is not broken
)

// Laid is a table with its widths and lines.
type Laid struct {
	t      *Table
	size   float64
	widths []float64
	head   [][]string
	Rows   []laidRow
}

type laidRow struct {
	row   Row
	lines [][]string
	first bool // false for the rest of a row that was too long
}

// Fits tells whether the table can be laid out in a width, at the smallest size if it
// must, without breaking numbers and words.
func (t *Table) Fits(width float64) bool {
	_, ok := t.at(smallest, width)
	return ok
}

// Fit lays the table out in a width: at 8 points if its numbers and words fit,
// else smaller, at last with words broken.
func (t *Table) Fit(width float64) *Laid {
	var l *Laid
	for _, size := range []float64{8, 7.5, 7, 6.5, 6, smallest} {
		var ok bool
		if l, ok = t.at(size, width); ok {
			break
		}
	}
	l.lines()
	return l
}

// at finds column widths at a size; ok is false when words must be broken.
func (t *Table) at(size, width float64) (l *Laid, ok bool) {
	l = &Laid{t: t, size: size, widths: make([]float64, len(t.Columns))}
	least := make([]float64, len(t.Columns))
	natural := make([]float64, len(t.Columns))
	sumLeast, sumNatural := 0.0, 0.0
	for i, c := range t.Columns {
		least[i] = max(c.Least, widestWord(c.Head, drawing.Bold, size)+2*cellPad+hair)
		natural[i] = max(least[i], min(widest(c.Head, drawing.Bold, size), wordLimit)+2*cellPad+hair)
		for _, r := range t.Rows {
			if i >= len(r.Cells) {
				continue
			}
			font := r.font()
			full := widest(t.cell(r, i), font, size) + 2*cellPad + hair
			natural[i] = max(natural[i], full)
			if c.Wraps {
				full = min(widestWord(r.Cells[i], font, size), wordLimit) + 2*cellPad + hair
			}
			least[i] = max(least[i], full)
		}
		sumLeast += least[i]
		sumNatural += natural[i]
	}
	switch {
	case sumNatural <= width:
		copy(l.widths, natural)
		l.stretch(width - sumNatural)
		return l, true
	case sumLeast <= width:
		share := level(least, natural, width)
		for i := range l.widths {
			l.widths[i] = max(least[i], min(natural[i], share))
		}
		return l, true
	}
	// Every column gives way in proportion; the lines break inside words.
	for i := range l.widths {
		l.widths[i] = least[i] * width / sumLeast
	}
	return l, false
}

// level is the width c at which the columns, each max(least, min(natural, c)),
// fill the table.
func level(least, natural []float64, width float64) float64 {
	lo, hi := 0.0, width
	for range 60 {
		mid := (lo + hi) / 2
		sum := 0.0
		for i := range least {
			sum += max(least[i], min(natural[i], mid))
		}
		if sum <= width {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// stretch gives what is left to all columns but the narrowest alike; without a
// head, to the columns of text.
func (l *Laid) stretch(left float64) {
	const narrow = 8.0 // mm: a number of a line, an arm
	var takers []int
	for i, c := range l.t.Columns {
		if c.Wraps || l.t.headed && l.widths[i] > narrow {
			takers = append(takers, i)
		}
	}
	for _, i := range takers {
		l.widths[i] += left / float64(len(takers))
	}
}

func (l *Laid) lines() {
	wrap := func(s string, i int, font drawing.Font) []string {
		return drawing.Wrap(s, font, l.size, l.widths[i]-2*cellPad)
	}
	for i, c := range l.t.Columns {
		l.head = append(l.head, wrap(c.Head, i, drawing.Bold))
	}
	for _, r := range l.t.Rows {
		lines := make([][]string, len(l.t.Columns))
		for i := range lines {
			if i < len(r.Cells) {
				lines[i] = wrap(l.t.cell(r, i), i, r.font())
			}
		}
		for first := true; ; first = false {
			part, rest, more := cut(lines)
			l.Rows = append(l.Rows, laidRow{r, part, first})
			if !more {
				break
			}
			lines = rest
		}
	}
}

// cut takes the lines that one row may have.
func cut(lines [][]string) (part, rest [][]string, more bool) {
	part, rest = make([][]string, len(lines)), make([][]string, len(lines))
	for i, c := range lines {
		n := min(len(c), maxLines)
		part[i], rest[i] = c[:n], c[n:]
		more = more || n < len(c)
	}
	return part, rest, more
}

func (r Row) font() drawing.Font {
	if r.Bold {
		return drawing.Bold
	}
	return drawing.Regular
}

// Width in mm.
func (l *Laid) Width() float64 {
	sum := 0.0
	for _, w := range l.widths {
		sum += w
	}
	return sum
}

// pitch is the height of one line of any font of the table.
func (l *Laid) pitch() float64 {
	return max(drawing.LineHeight(drawing.Regular, l.size), drawing.LineHeight(drawing.Bold, l.size))
}

func (l *Laid) headHeight() float64 {
	if !l.t.headed {
		return 0
	}
	return float64(deepest(l.head))*l.pitch() + 2*headPad
}

// RowHeight in mm.
func (l *Laid) RowHeight(i int) float64 {
	return max(l.Rows[i].row.Least, float64(deepest(l.Rows[i].lines))*l.pitch()+2*rowPad)
}

// Height in mm, the head included.
func (l *Laid) Height() float64 {
	h := l.headHeight()
	for i := range l.Rows {
		h += l.RowHeight(i)
	}
	return h
}

func (l *Laid) drawHead(s *drawing.Scene, x, y float64) {
	if !l.t.headed {
		return
	}
	s.Rectangle(drawing.Pen{}, drawing.Mist, drawing.At(x, y), l.Width(), l.headHeight())
	l.drawLines(s, x, y+headPad, l.head, drawing.Bold, true)
}

// DrawRow draws row i with its top left corner at x, y.
func (l *Laid) DrawRow(s *drawing.Scene, x, y float64, i int) {
	h := l.RowHeight(i)
	l.drawLines(s, x, y+rowPad, l.Rows[i].lines, l.Rows[i].row.font(), l.t.headed)
	s.Line(drawing.Hair, drawing.At(x, y+h), drawing.At(x+l.Width(), y+h))
	for k, c := range l.t.Columns {
		if c.ruled {
			s.Line(drawing.Hair, drawing.At(x, y), drawing.At(x, y+h))
		}
		x += l.widths[k]
	}
}

func (l *Laid) drawLines(s *drawing.Scene, x, y float64, cells [][]string, font drawing.Font, headed bool) {
	for i, lines := range cells {
		style := drawing.TextStyle{Font: font, Size: l.size, Align: l.t.Columns[i].Align, Level: drawing.Top}
		if !headed && i%2 == 0 {
			style.Colour = drawing.Grey
		}
		at := x + cellPad
		if style.Align == drawing.Right {
			at = x + l.widths[i] - cellPad
		}
		for n, line := range lines {
			s.Text(style, drawing.At(at, y+float64(n)*l.pitch()), line)
		}
		x += l.widths[i]
	}
}

func deepest(cells [][]string) int {
	n := 0
	for _, c := range cells {
		n = max(n, len(c))
	}
	return n
}

func widest(s string, font drawing.Font, size float64) float64 {
	w := 0.0
	for _, line := range strings.FieldsFunc(s, func(r rune) bool { return r == '\n' || r == '\r' }) {
		w = max(w, TextWidth(line, font, size))
	}
	return w
}

func widestWord(s string, font drawing.Font, size float64) float64 {
	w := 0.0
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\r' || r == '\t' }) {
		w = max(w, TextWidth(word, font, size))
	}
	return w
}

// TextWidth is the width of a line of text, mm.
func TextWidth(s string, font drawing.Font, size float64) float64 {
	w, _, _ := drawing.Measure(s, font, size)
	return w
}

package sheet

import (
	"strings"

	"gridwright/internal/drawing"
)

// column of a table. A column that does not wrap keeps each cell on one line
// while there is room at all: a number broken in two is another number.
type column struct {
	head  string
	align drawing.Align
	wraps bool
	least float64 // mm
	ruled bool    // to be written in by hand: a line at its left
}

// text, number and blank are the kinds of columns.
func text(head string) column   { return column{head: head, wraps: true} }
func number(head string) column { return column{head: head, align: drawing.Right} }
func label(head string) column  { return column{head: head} }
func blank(head string, mm float64) column {
	return column{head: head, least: mm, ruled: true}
}

// row of a table.
type row struct {
	cells  []string
	bold   bool
	least  float64 // height, mm
	target string  // where a click leads, a key of book.targets
}

// table is laid out by fit.
type table struct {
	columns []column
	rows    []row
	headed  bool // false: no head
}

func newTable(columns ...column) *table { return &table{columns: columns, headed: true} }

// keyTable lists names and values, without a head.
func keyTable() *table {
	return &table{columns: []column{{}, {wraps: true}}}
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, row{cells: cells}) }

// cell is a cell as it is set: in a column of numbers what stands in brackets
// behind the number, the same in other units, goes below it.
func (t *table) cell(r row, i int) string {
	if t.headed && t.columns[i].align == drawing.Right && !t.columns[i].wraps {
		return strings.Replace(r.cells[i], " (", "\n(", 1)
	}
	return r.cells[i]
}

const (
	cellPad   = 1.2 // mm at either side of a cell
	rowPad    = 0.5 // mm above and below its lines
	headPad   = 0.7
	maxLines  = 30   // of one row; what is longer goes on in a next row
	wordLimit = 24.0 // mm: longer words may be broken
	hair      = 0.01 // mm: so that what just fits is not broken
)

// laid is a table with its widths and lines.
type laid struct {
	t      *table
	size   float64
	widths []float64
	head   [][]string
	rows   []laidRow
}

type laidRow struct {
	row   row
	lines [][]string
	first bool // false for the rest of a row that was too long
}

// fit lays the table out in a width: at 8 points if its numbers and words fit,
// else smaller, at last with words broken.
func (t *table) fit(width float64) *laid {
	var l *laid
	for _, size := range []float64{8, 7.5, 7, 6.5, 6, 5.5} {
		var ok bool
		if l, ok = t.at(size, width); ok {
			break
		}
	}
	l.lines()
	return l
}

// at finds column widths at a size; ok is false when words must be broken.
func (t *table) at(size, width float64) (l *laid, ok bool) {
	l = &laid{t: t, size: size, widths: make([]float64, len(t.columns))}
	least := make([]float64, len(t.columns))
	natural := make([]float64, len(t.columns))
	sumLeast, sumNatural := 0.0, 0.0
	for i, c := range t.columns {
		least[i] = max(c.least, widestWord(c.head, drawing.Bold, size)+2*cellPad+hair)
		natural[i] = max(least[i], min(widest(c.head, drawing.Bold, size), wordLimit)+2*cellPad+hair)
		for _, r := range t.rows {
			if i >= len(r.cells) {
				continue
			}
			font := r.font()
			full := widest(t.cell(r, i), font, size) + 2*cellPad + hair
			natural[i] = max(natural[i], full)
			if c.wraps {
				full = min(widestWord(r.cells[i], font, size), wordLimit) + 2*cellPad + hair
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
func (l *laid) stretch(left float64) {
	const narrow = 8.0 // mm: a number of a line, an arm
	var takers []int
	for i, c := range l.t.columns {
		if c.wraps || l.t.headed && l.widths[i] > narrow {
			takers = append(takers, i)
		}
	}
	for _, i := range takers {
		l.widths[i] += left / float64(len(takers))
	}
}

func (l *laid) lines() {
	wrap := func(s string, i int, font drawing.Font) []string {
		return drawing.Wrap(s, font, l.size, l.widths[i]-2*cellPad)
	}
	for i, c := range l.t.columns {
		l.head = append(l.head, wrap(c.head, i, drawing.Bold))
	}
	for _, r := range l.t.rows {
		lines := make([][]string, len(l.t.columns))
		for i := range lines {
			if i < len(r.cells) {
				lines[i] = wrap(l.t.cell(r, i), i, r.font())
			}
		}
		for first := true; ; first = false {
			part, rest, more := cut(lines)
			l.rows = append(l.rows, laidRow{r, part, first})
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

func (r row) font() drawing.Font {
	if r.bold {
		return drawing.Bold
	}
	return drawing.Regular
}

func (l *laid) width() float64 {
	sum := 0.0
	for _, w := range l.widths {
		sum += w
	}
	return sum
}

// pitch is the height of one line of any font of the table.
func (l *laid) pitch() float64 {
	return max(drawing.LineHeight(drawing.Regular, l.size), drawing.LineHeight(drawing.Bold, l.size))
}

func (l *laid) headHeight() float64 {
	if !l.t.headed {
		return 0
	}
	return float64(deepest(l.head))*l.pitch() + 2*headPad
}

func (l *laid) rowHeight(i int) float64 {
	return max(l.rows[i].row.least, float64(deepest(l.rows[i].lines))*l.pitch()+2*rowPad)
}

func (l *laid) height() float64 {
	h := l.headHeight()
	for i := range l.rows {
		h += l.rowHeight(i)
	}
	return h
}

func (l *laid) drawHead(s *drawing.Scene, x, y float64) {
	if !l.t.headed {
		return
	}
	s.Rectangle(drawing.Pen{}, drawing.Mist, drawing.At(x, y), l.width(), l.headHeight())
	l.drawLines(s, x, y+headPad, l.head, drawing.Bold, true)
}

func (l *laid) drawRow(s *drawing.Scene, x, y float64, i int) {
	h := l.rowHeight(i)
	l.drawLines(s, x, y+rowPad, l.rows[i].lines, l.rows[i].row.font(), l.t.headed)
	s.Line(drawing.Hair, drawing.At(x, y+h), drawing.At(x+l.width(), y+h))
	for k, c := range l.t.columns {
		if c.ruled {
			s.Line(drawing.Hair, drawing.At(x, y), drawing.At(x, y+h))
		}
		x += l.widths[k]
	}
}

func (l *laid) drawLines(s *drawing.Scene, x, y float64, cells [][]string, font drawing.Font, headed bool) {
	for i, lines := range cells {
		style := drawing.TextStyle{Font: font, Size: l.size, Align: l.t.columns[i].align, Level: drawing.Top}
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
		w = max(w, textWidth(line, font, size))
	}
	return w
}

func widestWord(s string, font drawing.Font, size float64) float64 {
	w := 0.0
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\r' || r == '\t' }) {
		w = max(w, textWidth(word, font, size))
	}
	return w
}

func textWidth(s string, font drawing.Font, size float64) float64 {
	w, _, _ := drawing.Measure(s, font, size)
	return w
}

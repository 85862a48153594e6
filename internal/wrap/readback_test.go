package wrap

import (
	"bytes"
	"compress/zlib"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"gridwright/internal/drawing"
)

// The tests read the template back from the drawing operators of its PDF file
// (ISO 32000-1, 8.5 and 9.4): straight lines with their pens, and level texts.

type readLine struct {
	pen  readPen
	a, b drawing.Point // mm from the top left corner
}

type readPen struct {
	width  float64 // mm
	colour string
	dashed bool
}

// penOf is how a pen of the template is read back.
func penOf(p drawing.Pen) readPen {
	c := uint32(p.Colour)
	return readPen{p.Width, colourOf(float64(c>>16&0xFF)/255, float64(c>>8&0xFF)/255, float64(c&0xFF)/255), len(p.Dash) > 0}
}

func colourOf(r, g, b float64) string {
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	return f(r) + " " + f(g) + " " + f(b)
}

func (p readPen) is(q drawing.Pen) bool {
	want := penOf(q)
	return math.Abs(p.width-want.width) < 0.006 && p.colour == want.colour && p.dashed == want.dashed
}

type readText struct {
	at   drawing.Point
	text string
}

type readPage struct {
	width, height float64 // mm
	lines         []readLine
	fills         [][]drawing.Point // outlines that are filled and not drawn
	texts         []readText
}

const mm = 25.4 / 72 // of a point

var (
	pageObject = regexp.MustCompile(`(?s)<</Type /Page\n(.*?)>>\nendobj`)
	mediaBox   = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
	contents   = regexp.MustCompile(`/Contents (\d+) 0 R`)
)

// readPDF reads all pages of a file.
func readPDF(t testing.TB, d *drawing.Document) []readPage {
	t.Helper()
	var file bytes.Buffer
	if err := d.WritePDF(&file); err != nil {
		t.Fatal(err)
	}
	text := file.String()
	all := mediaBox.FindStringSubmatch(text[strings.Index(text, "<</Type /Pages"):])
	var pages []readPage
	for _, o := range pageObject.FindAllStringSubmatch(text, -1) {
		size := mediaBox.FindStringSubmatch(o[1])
		if size == nil {
			size = all
		}
		number := contents.FindStringSubmatch(o[1])
		if size == nil || number == nil {
			t.Fatalf("page without size or contents: %s", o[1])
		}
		w, _ := strconv.ParseFloat(size[1], 64)
		h, _ := strconv.ParseFloat(size[2], 64)
		start := strings.Index(text, "\n"+number[1]+" 0 obj")
		stream := start + strings.Index(text[start:], "stream\n") + len("stream\n")
		z, err := zlib.NewReader(strings.NewReader(text[stream:]))
		if err != nil {
			t.Fatal(err)
		}
		operators, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		pages = append(pages, readOperators(t, string(operators), w*mm, h*mm))
	}
	if len(pages) != d.Pages() {
		t.Fatalf("%d pages read of %d", len(pages), d.Pages())
	}
	return pages
}

func readOperators(t testing.TB, s string, width, height float64) readPage {
	t.Helper()
	page := readPage{width: width, height: height}
	var stack []string
	var pen readPen
	var piece []drawing.Point
	var lines []readLine
	var closes drawing.Point
	turned := 0
	number := func(back int) float64 {
		v, err := strconv.ParseFloat(stack[len(stack)-back], 64)
		if err != nil {
			t.Fatalf("operand %q", stack[len(stack)-back])
		}
		return v
	}
	at := func() drawing.Point { return drawing.At(number(2)*mm, height-number(1)*mm) }
	for _, k := range tokens(s) {
		switch k {
		case "w":
			pen.width = number(1) * mm
		case "G":
			pen.colour = colourOf(number(1), number(1), number(1))
		case "RG":
			pen.colour = colourOf(number(3), number(2), number(1))
		case "d":
			pen.dashed = len(stack) > 3 // [ … ] phase
		case "m":
			piece = []drawing.Point{at()}
			closes = piece[0]
		case "l":
			p := at()
			lines = append(lines, readLine{pen, piece[len(piece)-1], p})
			piece = append(piece, p)
		case "c":
			piece = append(piece, at())
		case "h":
			lines = append(lines, readLine{pen, piece[len(piece)-1], closes})
		case "S", "B*":
			page.lines = append(page.lines, lines...)
			lines = nil
		case "f*":
			page.fills = append(page.fills, piece)
			lines = nil
		case "q":
			turned++
		case "Q":
			turned--
		case "Td":
			stack = append(stack, "td") // keep the place for Tj
			continue
		case "Tj":
			if turned == 0 {
				i := slices.Index(stack, "td")
				x, _ := strconv.ParseFloat(stack[i-2], 64)
				y, _ := strconv.ParseFloat(stack[i-1], 64)
				page.texts = append(page.texts, readText{drawing.At(x*mm, height-y*mm), utf16Text(stack[len(stack)-1])})
			}
		default:
			if k[0] == '(' || strings.ContainsAny(k[:1], "[]/+-.0123456789") {
				stack = append(stack, k)
				continue
			}
		}
		stack = stack[:0]
	}
	return page
}

// tokens of a content stream; a string keeps its leading bracket.
func tokens(s string) (all []string) {
	for i := 0; i < len(s); {
		switch c := s[i]; {
		case c == ' ' || c == '\n' || c == '\r' || c == '\t':
			i++
		case c == '[' || c == ']':
			all = append(all, string(c))
			i++
		case c == '(':
			text := []byte{'('}
			for i++; s[i] != ')'; i++ {
				if s[i] == '\\' {
					i++
					if s[i] == 'r' {
						text = append(text, '\r')
						continue
					}
				}
				text = append(text, s[i])
			}
			all = append(all, string(text))
			i++
		default:
			j := i
			for j < len(s) && !strings.ContainsRune(" \n\r\t[]()", rune(s[j])) {
				j++
			}
			all = append(all, s[i:j])
			i = j
		}
	}
	return all
}

func utf16Text(s string) string {
	var units []uint16
	for i := 1; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

func (l readLine) length() float64 { return math.Hypot(l.b.X-l.a.X, l.b.Y-l.a.Y) }
func (l readLine) middle() drawing.Point {
	return drawing.At((l.a.X+l.b.X)/2, (l.a.Y+l.b.Y)/2)
}
func (l readLine) upright() bool { return math.Abs(l.a.X-l.b.X) < 0.01 && l.length() > 0.1 }
func (l readLine) level() bool   { return math.Abs(l.a.Y-l.b.Y) < 0.01 && l.length() > 0.1 }

// through tells whether a line goes through a point, within a distance.
func (l readLine) through(p drawing.Point, within float64) bool {
	dx, dy := l.b.X-l.a.X, l.b.Y-l.a.Y
	if dx == 0 && dy == 0 {
		return false
	}
	k := min(max(((p.X-l.a.X)*dx+(p.Y-l.a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
	return math.Hypot(p.X-l.a.X-k*dx, p.Y-l.a.Y-k*dy) <= within
}

// strip is a piece put together from its tiles as read back: lines in mm from
// φ = 0 and from the lower edge.
type strip struct {
	piece *piece
	lines []readLine // with y up
}

// assemble lays the tiles of every piece together by their register marks, as a
// person with glue does. The first is placed by its cut lines: the lower one, and
// that at the left.
func assemble(t testing.TB, b *book) []strip {
	t.Helper()
	pages := readPDF(t, &b.doc)
	before := 0
	if !b.shared {
		before = len(b.cover)
	}
	strips := make([]strip, len(b.list))
	known := map[string]drawing.Point{}
	for _, s := range b.slots {
		p := pages[before+s.page]
		in := func(q drawing.Point) bool {
			const hair = 0.01
			return q.X > s.block.x-hair && q.X < s.block.x+s.block.width+hair && q.Y > s.block.y-hair && q.Y < s.block.y+s.block.height+hair
		}
		var lines []readLine
		for _, l := range p.lines {
			if in(l.a) && in(l.b) {
				lines = append(lines, l)
			}
		}
		marks := crosses(t, lines, p.texts, in)
		var origin drawing.Point
		if s.col == 0 && s.row == 0 {
			origin = drawing.At(math.Inf(1), math.Inf(-1))
			for _, l := range lines {
				if l.pen.is(cutPen) && l.upright() {
					origin.X = min(origin.X, l.a.X)
				}
				if l.pen.is(cutPen) && l.level() {
					origin.Y = max(origin.Y, l.a.Y)
				}
			}
		} else {
			n := 0
			for name, c := range marks {
				k, ok := known[name]
				if !ok {
					continue
				}
				o := drawing.At(c.X-k.X, c.Y+k.Y)
				if n++; n > 1 && math.Hypot(o.X-origin.X, o.Y-origin.Y) > 0.02 {
					t.Errorf("strip %d, tile %d.%d: the marks do not meet: %v and %v", s.piece.number, s.col, s.row, o, origin)
				}
				origin = o
			}
			if n < 2 {
				t.Fatalf("strip %d, tile %d.%d: %d of its marks %v are known", s.piece.number, s.col, s.row, n, marks)
			}
		}
		on := func(q drawing.Point) drawing.Point { return drawing.At(q.X-origin.X, origin.Y-q.Y) }
		for name, c := range marks {
			if _, ok := known[name]; !ok {
				known[name] = on(c)
			}
		}
		st := &strips[s.piece.number-1]
		st.piece = s.piece
		for _, l := range lines {
			st.lines = append(st.lines, readLine{l.pen, on(l.a), on(l.b)})
		}
	}
	return strips
}

var registerName = regexp.MustCompile(`^R\d+\.\d+$`)

// crosses are the register marks by name: two lines of the pen that halve each
// other, each with the name nearest to it.
func crosses(t testing.TB, lines []readLine, texts []readText, in func(drawing.Point) bool) map[string]drawing.Point {
	t.Helper()
	var at []drawing.Point
	for _, l := range lines {
		if !l.pen.is(registerPen) || !l.level() || math.Abs(l.length()-5) > 0.02 {
			continue
		}
		for _, o := range lines {
			if o.pen.is(registerPen) && o.upright() && math.Hypot(o.middle().X-l.middle().X, o.middle().Y-l.middle().Y) < 0.01 {
				at = append(at, l.middle())
				break
			}
		}
	}
	marks := map[string]drawing.Point{}
	for _, x := range texts {
		if !registerName.MatchString(x.text) || !in(x.at) {
			continue
		}
		best := math.Inf(1)
		for _, c := range at {
			if d := math.Hypot(x.at.X+1.5-c.X, x.at.Y-0.7-c.Y); d < best {
				best, marks[x.text] = d, c
			}
		}
		if best > 12 {
			t.Errorf("mark %s is %.1f mm from a cross", x.text, best)
		}
	}
	named := map[drawing.Point]bool{}
	for _, c := range marks {
		named[c] = true
	}
	if len(marks) != len(at) || len(named) != len(at) {
		t.Errorf("%d names for %d register marks", len(marks), len(at))
	}
	return marks
}

// covered is how much of an upright line at u from v0 to v1 (or, turned, of a
// level one) lines of a pen draw, all tiles together; 1 is all of it.
func (s strip) covered(pen drawing.Pen, upright bool, at, from, to, tolerance float64) float64 {
	type part struct{ a, b float64 }
	var parts []part
	for _, l := range s.lines {
		if !l.pen.is(pen) {
			continue
		}
		if upright && l.upright() && math.Abs(l.a.X-at) <= tolerance {
			parts = append(parts, part{min(l.a.Y, l.b.Y), max(l.a.Y, l.b.Y)})
		}
		if !upright && l.level() && math.Abs(l.a.Y-at) <= tolerance {
			parts = append(parts, part{min(l.a.X, l.b.X), max(l.a.X, l.b.X)})
		}
	}
	slices.SortFunc(parts, func(a, b part) int { return int(math.Copysign(1, a.a-b.a)) })
	sum, end := 0.0, from
	for _, p := range parts {
		a, b := max(p.a, end), min(p.b, to)
		if b > a {
			sum, end = sum+b-a, b
		}
	}
	return sum / (to - from)
}

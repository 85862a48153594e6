package calibration

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// maxReadings bounds the memory that a file can ask for.
const maxReadings = 250_000

// headRoom is how far the separator is looked for.
const headRoom = 64 << 10

// Read reads the table of a calibration; file is its name for messages. What is
// wrong is told all at once, as *Problems. More than 250 000 readings are refused.
func Read(r io.Reader, file string, d *design.Design) (*Data, error) {
	out := blank(d)
	out.File = file
	p := &Problems{File: file}
	tail := &tailReader{r: r}
	br := bufio.NewReaderSize(tail, headRoom)
	separator, err := out.open(br, p)
	if err != nil {
		return nil, err
	}
	if err := p.err(); err != nil {
		return nil, err
	}
	t := &table{data: out, p: p, separator: separator}
	c := csv.NewReader(br)
	c.Comma, c.Comment, c.FieldsPerRecord, c.ReuseRecord = separator, '#', -1, true
	c.TrimLeadingSpace = separator != '\t'
	for !p.full() {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var syntax *csv.ParseError
		if errors.As(err, &syntax) {
			t.syntax(syntax)
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		if t.columns == nil {
			t.columns = header(rec, c.FieldPos, d, out, p)
			if p.err() != nil {
				return nil, p
			}
			continue
		}
		if !t.row(rec, c.FieldPos) {
			return nil, p
		}
	}
	if t.columns == nil && len(p.List) == 0 {
		p.add(Problem{Text: "the file is empty; its first line is the head run,position,stepping,LOAD [unit],BRIDGE [mV/V]"})
	}
	if err := p.err(); err != nil {
		return nil, err
	}
	t.finish(tail)
	return out, p.err()
}

// tailReader remembers the last byte, to tell a file that was cut off.
type tailReader struct {
	r    io.Reader
	last byte
	size int64
}

// maxSize bounds what an open quotation mark can swallow.
const maxSize = 64 << 20

func (t *tailReader) Read(b []byte) (int, error) {
	n, err := t.r.Read(b)
	if t.size += int64(n); t.size > maxSize {
		return 0, errors.New("larger than 64 MB; a calibration is a few kilobytes: average a log at each step first")
	}
	if n > 0 {
		t.last = b[n-1]
	}
	return n, err
}

// open skips a byte order mark and finds the separator in the head.
func (d *Data) open(br *bufio.Reader, p *Problems) (rune, error) {
	start, err := br.Peek(3)
	if err != nil && !errors.Is(err, io.EOF) {
		return 0, fmt.Errorf("%s: %w", d.File, err)
	}
	switch {
	case bytes.HasPrefix(start, []byte("\xef\xbb\xbf")):
		if _, err := br.Discard(3); err != nil {
			return 0, fmt.Errorf("%s: %w", d.File, err)
		}
	case bytes.HasPrefix(start, []byte("\xff\xfe")) || bytes.HasPrefix(start, []byte("\xfe\xff")):
		p.add(Problem{Line: 1, Column: 1, Text: "the file is UTF-16; save it as CSV in UTF-8"})
		return 0, nil
	}
	text, err := br.Peek(headRoom)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, bufio.ErrBufferFull) {
		return 0, fmt.Errorf("%s: %w", d.File, err)
	}
	for line := range bytes.Lines(text) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		if bytes.ContainsRune(line, '\t') {
			d.Notes = append(d.Notes, "fields are separated by tabs")
			return '\t', nil
		}
		if bytes.ContainsRune(line, ';') {
			d.Notes = append(d.Notes, "fields are separated by semicolons")
			return ';', nil
		}
		break
	}
	return ',', nil
}

// table is the file while it is read.
type table struct {
	data      *Data
	p         *Problems
	columns   []column
	separator rune

	commas, points Problem // where a decimal comma and a decimal point stood first
	previous       map[int]float64
	blanks, empty  int
	lines          []int
}

func (t *table) syntax(e *csv.ParseError) {
	text := "a quotation mark inside a field; put the whole field into quotation marks and double those inside, or leave them out"
	if errors.Is(e.Err, csv.ErrQuote) && e.Line > e.StartLine {
		text = fmt.Sprintf("the quotation mark of line %d is not closed; the file may be cut off, or a quotation mark is missing", e.StartLine)
	}
	t.p.add(Problem{Line: e.StartLine, Column: e.Column, Text: text})
}

// row takes one reading; false when reading must stop.
func (t *table) row(rec []string, at func(int) (int, int)) bool {
	d, p := t.data, t.p
	line, _ := at(0)
	if allBlank(rec) {
		t.empty++
		return true
	}
	if len(rec) != len(t.columns) {
		text := fmt.Sprintf("%d fields, the head has %d", len(rec), len(t.columns))
		if t.separator == ',' && len(rec) > len(t.columns) {
			text += "; a decimal comma splits a number: write points, or separate the fields by semicolons"
		} else if len(rec) < len(t.columns) {
			text += "; write a separator for each blank, or get the file again if it was cut off here"
		} else {
			text += "; leave out what is too many"
		}
		return p.add(Problem{Line: line, Column: 1, Text: text})
	}
	r := Reading{Line: line, Shunt: -1, Kelvin: math.NaN(), Time: math.NaN(),
		Loads: make([]float64, len(d.Components)), Outputs: make([]float64, len(d.Bridges))}
	for b := range r.Outputs {
		r.Outputs[b] = math.NaN()
	}
	stated, taken, ok := false, 0, true
	for i, c := range t.columns {
		cell := strings.TrimSpace(rec[i])
		if c.role == ignored {
			continue
		}
		fail := func(text string) {
			l, col := at(i)
			p.add(Problem{Line: l, Column: column1(rec, i, col), Field: i + 1, Name: c.name, Text: text})
			ok = false
		}
		if !utf8.ValidString(cell) {
			fail("this is not UTF-8 text; save the file as CSV in UTF-8")
			continue
		}
		switch c.role {
		case steppingColumn:
			switch strings.ToLower(cell) {
			case "zero":
				r.Stepping, stated = AtZero, true
			case "up":
				r.Stepping, stated = Up, true
			case "down":
				r.Stepping, stated = Down, true
			case "":
				fail("blank; write up, down or zero")
			default:
				text := fmt.Sprintf("%q is no stepping; write up, down or zero", clip(cell))
				if near := quantity.Nearest(cell, []string{"up", "down", "zero"}); near != "" {
					text = fmt.Sprintf("%q is no stepping; did you mean %s", clip(cell), near)
				}
				fail(text)
			}
			continue
		case shuntColumn:
			if cell == "" {
				continue
			}
			k, text := d.shunt(cell)
			if text != "" {
				fail(text)
				continue
			}
			r.Shunt = k
			continue
		}
		if cell == "" {
			switch c.role {
			case bridgeColumn, temperatureColumn, timeColumn:
			case loadColumn:
				fail("blank; write 0 where the load is not applied")
			default:
				fail("blank; write a number")
			}
			continue
		}
		if c.role == positionColumn {
			cell = strings.TrimSpace(strings.TrimSuffix(cell, "°"))
		}
		x, text := t.number(cell, i, c.role, line)
		if text != "" {
			fail(text)
			continue
		}
		x = c.offset + c.factor*x
		switch c.role {
		case runColumn, mountingColumn:
			if x != math.Trunc(x) || math.Abs(x) > 1e9 {
				fail(fmt.Sprintf("%q is no number of a %s; write 1, 2, 3", clip(cell), c.name))
				continue
			}
			if c.role == runColumn {
				r.Run = int(x)
			} else {
				r.Mounting = int(x)
			}
		case positionColumn:
			if math.Abs(x) > 360 {
				fail(fmt.Sprintf("%q is no position; write degrees from -360 to 360", clip(cell)))
				continue
			}
			r.Position = x
		case loadColumn:
			r.Loads[c.index] = x
		case bridgeColumn:
			if math.Abs(x) >= 1 {
				fail(fmt.Sprintf("%q is %.4g V/V, more than a bridge can give; compare the unit in the head with that of the indicator", clip(cell), x))
				continue
			}
			r.Outputs[c.index] = x
			taken++
		case temperatureColumn:
			if x <= 0 {
				fail(fmt.Sprintf("%q is below absolute zero; compare the unit in the head", clip(cell)))
				continue
			}
			r.Kelvin = x
		case timeColumn:
			r.Time = x
		}
	}
	if !ok {
		return !p.full()
	}
	if text := t.consistent(&r, stated); text != "" {
		return p.add(Problem{Line: line, Column: 1, Text: text})
	}
	if taken == 0 {
		t.blanks++
		if len(t.lines) < 8 {
			t.lines = append(t.lines, line)
		}
		return true
	}
	if len(d.Readings) >= maxReadings {
		p.List = nil
		p.add(Problem{Line: line, Column: 1, Text: fmt.Sprintf("more than %d readings; a calibration has a few hundred: average a log at each step first", maxReadings)})
		return false
	}
	d.Readings = append(d.Readings, r)
	return true
}

// consistent completes the stepping and says where the row contradicts itself.
func (t *table) consistent(r *Reading, stated bool) string {
	if t.previous == nil {
		t.previous = map[int]float64{}
	}
	size := 0.0
	for _, f := range r.Loads {
		size = math.Max(size, math.Abs(f))
	}
	before := t.previous[r.Run]
	t.previous[r.Run] = size
	switch {
	case r.Shunt >= 0 && size > 0:
		return "a shunt reading with a load on; shunt readings are taken at no load"
	case !stated && size == 0:
		r.Stepping = AtZero
	case !stated && size < before:
		r.Stepping = Down
	case !stated:
		r.Stepping = Up
	case r.Stepping == AtZero && size > 0:
		return "stepping says zero, but a load is on; write up or down, or the load as 0"
	case size == 0:
		r.Stepping = AtZero
	}
	return ""
}

// finish looks at the file as a whole.
func (t *table) finish(tail *tailReader) {
	d := t.data
	if len(d.Readings) == 0 {
		text := "the table has a head but no reading"
		if t.blanks > 0 {
			text = "every bridge's column is blank; fill the readings into the plan"
		}
		t.p.add(Problem{Text: text})
		return
	}
	if t.blanks > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%s without any reading left out: %s", count(t.blanks, "row"), lineList(t.lines, t.blanks)))
	}
	if t.empty > 0 {
		d.Notes = append(d.Notes, fmt.Sprintf("%s left out", count(t.empty, "empty row")))
	}
	for b, name := range d.Bridges {
		if !d.HasBridge[b] {
			continue
		}
		n, lines := 0, []int{}
		for i := range d.Readings {
			if math.IsNaN(d.Readings[i].Outputs[b]) {
				n++
				if len(lines) < 8 {
					lines = append(lines, d.Readings[i].Line)
				}
			}
		}
		if n == len(d.Readings) {
			d.HasBridge[b] = false
			d.Notes = append(d.Notes, fmt.Sprintf("bridge %s has no reading: left out", name))
		} else if n > 0 {
			d.Notes = append(d.Notes, fmt.Sprintf("bridge %s was not read in %s: %s", name, count(n, "row"), lineList(lines, n)))
		}
	}
	if tail.last != '\n' && tail.last != '\r' {
		d.Notes = append(d.Notes, "the file does not end with a line end: see that its last reading is whole")
	}
}

func lineList(lines []int, n int) string {
	var s []string
	for _, l := range lines {
		s = append(s, strconv.Itoa(l))
	}
	text := "line "
	if n > 1 {
		text = "lines "
	}
	text += strings.Join(s, ", ")
	if n > len(lines) {
		text += fmt.Sprintf(" and %d more", n-len(lines))
	}
	return text
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func sorted(s []string) []string { slices.Sort(s); return s }

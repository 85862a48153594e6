package readout

import (
	"bytes"
	"fmt"
	"strings"

	"gridwright/internal/quantity"
)

// role is what a column is for.
type role int

const (
	unused role = iota
	passed
	kelvins
	reading // reading + b is bridge b
)

// layout is what a header says.
type layout struct {
	names     []string // as the header has them, for messages
	raw       [][]byte // the same, untouched
	roles     []role
	ratio     []float64 // of a reading's unit, V/V
	scale     float64   // of the temperature: K = degrees·scale + offset
	offset    float64
	separator byte
	point     byte
	crlf      bool
	kelvin    int // column of the temperature, −1 without
}

// timeNames are the columns that are passed through without being asked for.
var timeNames = map[string]bool{"time": true, "date": true, "timestamp": true, "date time": true, "datetime": true, "clock": true}

// readHeader takes the header line apart; row is its line.
func readHeader(line []byte, row int, r *Recovery, pass []string) (*layout, []string, error) {
	l := &layout{separator: ',', point: '.', kelvin: -1}
	if n := len(line); n > 0 && line[n-1] == '\r' {
		line, l.crlf = line[:n-1], true
	}
	for _, c := range []byte{';', '\t'} {
		if parts(line, c) {
			l.separator = c
			break
		}
	}
	for i := 0; i <= len(line); {
		end := fieldEnd(line, i, l.separator)
		l.raw = append(l.raw, bytes.Clone(line[i:end]))
		l.names = append(l.names, strings.TrimSpace(string(unquote(line[i:end]))))
		i = end + 1
	}
	n := len(l.names)
	l.roles, l.ratio = make([]role, n), make([]float64, n)
	var problems Problems
	wrong := func(c int, wrong, right string) {
		problems = append(problems, &Problem{Row: row, Column: c + 1, Name: l.names[c], Wrong: wrong, Right: right})
	}
	wanted := map[string]bool{}
	for _, p := range pass {
		wanted[p] = true
	}
	first := map[string]int{}
	var notes []string
	for c, head := range l.names {
		name, unit, bracket := cutUnit(head)
		if at, twice := first[name]; twice && name != "" {
			wrong(c, fmt.Sprintf("%q stands in column %d already", name, at+1), "give each column its own name")
			continue
		}
		first[name] = c
		b := indexOf(r.Bridges, name)
		switch {
		case b >= 0 && !bracket:
			wrong(c, "the bridge has no unit", fmt.Sprintf("write %s [mV/V]", name))
		case b >= 0:
			v, err := quantity.Parse("1 "+unit, quantity.VoltageRatio)
			if err != nil {
				wrong(c, err.Error(), fmt.Sprintf("write %s [mV/V]", name))
				continue
			}
			l.roles[c], l.ratio[c] = reading+role(b), v.SI
		case wanted[name] || wanted[head] || timeNames[strings.ToLower(name)]:
			l.roles[c] = passed
		case name == "temperature":
			if err := l.temperature(unit, bracket); err != "" {
				wrong(c, err, "write temperature [°C]")
				continue
			}
			if r.Drift == nil {
				notes = append(notes, fmt.Sprintf("column %d (%s) is not used: no drift with temperature is known", c+1, head))
				continue
			}
			l.roles[c], l.kelvin = kelvins, c
		default:
			note := fmt.Sprintf("column %d (%s) is not used", c+1, head)
			if near := quantity.Nearest(name, r.Bridges); near != "" {
				note += "; the nearest bridge is " + near
			}
			notes = append(notes, note)
		}
	}
	for _, b := range r.Bridges {
		if _, ok := first[b]; ok {
			continue
		}
		right := fmt.Sprintf("give a column %s [mV/V]", b)
		for _, head := range l.names {
			if name, _, _ := cutUnit(head); quantity.Nearest(name, []string{b}) != "" && indexOf(r.Bridges, name) < 0 {
				right += fmt.Sprintf("; the header has %q", excerptText(head))
				break
			}
		}
		problems = append(problems, &Problem{Row: row, Wrong: "no column of bridge " + b, Right: right})
	}
	if r.Drift != nil && l.kelvin < 0 {
		notes = append(notes, "there is no column temperature [°C]: zero and span are not corrected for temperature")
	}
	if len(problems) > 0 {
		return nil, notes, problems
	}
	return l, notes, nil
}

// parts tells whether the line has a separator outside quotation marks.
func parts(line []byte, separator byte) bool {
	inside := false
	for _, c := range line {
		if c == '"' {
			inside = !inside
		}
		if c == separator && !inside {
			return true
		}
	}
	return false
}

// temperature sets the scale, and says what is wrong with the unit.
func (l *layout) temperature(unit string, bracket bool) string {
	if !bracket {
		return "the temperature has no unit"
	}
	zero, err := quantity.Parse("0 "+unit, quantity.Temperature)
	if err != nil {
		return err.Error()
	}
	hundred, err := quantity.Parse("100 "+unit, quantity.Temperature)
	if err != nil {
		return err.Error()
	}
	l.offset, l.scale = zero.SI, (hundred.SI-zero.SI)/100
	return ""
}

// cutUnit parts "T [mV/V]".
func cutUnit(head string) (name, unit string, bracket bool) {
	head = strings.TrimSpace(head)
	i := strings.LastIndexByte(head, '[')
	if i < 0 || !strings.HasSuffix(head, "]") {
		return head, "", false
	}
	return strings.TrimSpace(head[:i]), strings.TrimSpace(head[i+1 : len(head)-1]), true
}

func indexOf(list []string, name string) int {
	for i, s := range list {
		if s == name {
			return i
		}
	}
	return -1
}

// excerptText cuts a long name.
func excerptText(s string) string {
	if r := []rune(s); len(r) > 24 {
		return string(r[:24]) + "…"
	}
	return s
}

// head writes the header of the output.
func (l *layout) head(dst []byte, r *Recovery) []byte {
	some := false
	part := func() {
		if some {
			dst = append(dst, l.separator)
		}
		some = true
	}
	for c, ro := range l.roles {
		if ro == passed {
			part()
			dst = append(dst, l.raw[c]...)
		}
	}
	for i := range r.Components {
		c := &r.Components[i]
		part()
		dst = append(dst, c.Name...)
		dst = append(dst, " ["+c.Unit+"]"...)
		part()
		dst = append(dst, "u("+c.Name+") ["+c.Unit+"]"...)
	}
	return l.end(dst)
}

func (l *layout) end(dst []byte) []byte {
	if l.crlf {
		dst = append(dst, '\r')
	}
	return append(dst, '\n')
}

// decide finds the decimal sign in the first row of data: where columns are not parted by
// commas, it is the comma when a number or a time has one and no number has a point. A
// wrong guess is an error at the first number that has the other sign, never a wrong load.
func (l *layout) decide(line []byte) {
	if l.separator == ',' {
		return
	}
	comma := false
	for c, i := 0, 0; i <= len(line) && c < len(l.roles); c++ {
		end := fieldEnd(line, i, l.separator)
		if l.roles[c] >= kelvins && bytes.IndexByte(line[i:end], '.') >= 0 {
			return
		}
		if l.roles[c] != unused && bytes.IndexByte(line[i:end], ',') >= 0 {
			comma = true
		}
		i = end + 1
	}
	if comma {
		l.point = ','
	}
}

// fieldEnd is where the field that begins at i ends. A field may stand in quotation
// marks, two of which inside it are one; a line end inside them is not known.
func fieldEnd(line []byte, i int, separator byte) int {
	if i < len(line) && line[i] == '"' {
		for i++; i < len(line); i++ {
			if line[i] != '"' {
				continue
			}
			if i+1 < len(line) && line[i+1] == '"' {
				i++
				continue
			}
			break
		}
		i = min(i, len(line))
	}
	if n := bytes.IndexByte(line[i:], separator); n >= 0 {
		return i + n
	}
	return len(line)
}

// unquote is the text of a field.
func unquote(field []byte) []byte {
	field = bytes.TrimSpace(field)
	if n := len(field); n >= 2 && field[0] == '"' && field[n-1] == '"' {
		return bytes.ReplaceAll(field[1:n-1], []byte(`""`), []byte(`"`))
	}
	return field
}

package designfile

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gridwright/internal/design"
)

// Arrangement is the `placements` and `bridges` of a design, as values that a
// design file or JSON can hold.
type Arrangement struct {
	Placements []PlacementText
	Bridges    []BridgeText
}

// PlacementText is one placement in the words of the design file.
type PlacementText struct {
	Name, Gauge                string
	Station, Around, Direction string // with units
	Face, Across               string // on a face; Around is then ""
}

// BridgeText is one bridge in the words of the design file.
type BridgeText struct {
	Name, Measures string
	Arms           []string // each a grid, [grids], or a resistor, as YAML flow text
	Excitation     string   // "" when not stated
}

// Describe puts the placements and bridges of a design into words, with units
// mm, °, Ω and V only.
func Describe(d *design.Design) Arrangement {
	var a Arrangement
	for _, p := range d.Placements {
		t := PlacementText{
			Name: p.Name, Gauge: d.Gauges[p.Gauge].Name,
			Station: unit(p.Station.SI*1e3, " mm"), Direction: unit(p.Direction.SI/deg, "°"),
		}
		if p.Face != "" {
			t.Face, t.Across = p.Face, unit(p.Across.SI*1e3, " mm")
		} else {
			t.Around = unit(p.Around.SI/deg, "°")
		}
		a.Placements = append(a.Placements, t)
	}
	for _, b := range d.Bridges {
		t := BridgeText{Name: b.Name, Measures: b.Measures.String()}
		for _, arm := range b.Arms {
			t.Arms = append(t.Arms, armText(d, arm))
		}
		if b.Excitation.Set {
			t.Excitation = unit(b.Excitation.SI, " V")
		}
		a.Bridges = append(a.Bridges, t)
	}
	return a
}

func armText(d *design.Design, a design.Arm) string {
	if a.Fixed() {
		return unit(a.Resistor.SI, " Ω")
	}
	names := make([]string, len(a.Grids))
	for i, g := range a.Grids {
		names[i] = d.GridName(g)
	}
	if len(names) == 1 {
		return names[0]
	}
	return "[" + strings.Join(names, ", ") + "]"
}

// unit prints a number with at most 9 significant digits, so that a conversion
// from radians and back leaves no trace.
func unit(x float64, unit string) string {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	if x == 0 || math.Abs(x) < 1e-9 {
		x = 0
	}
	return strconv.FormatFloat(x, 'f', -1, 64) + unit
}

// Splice returns the text of a design file with the arrangement added to it; all
// other bytes stay as they are. Where the text already has bridges or (unless the
// arrangement keeps them, placements nil) placements, it is an error: what a file
// says is not overwritten.
func Splice(text []byte, a Arrangement) ([]byte, error) {
	root, problems := parse("", text)
	if len(problems) > 0 {
		return nil, problems.sorted()
	}
	if root.kind != mappingNode {
		return nil, fmt.Errorf("the design file is no mapping")
	}
	for i, k := range root.keys {
		if k.text == "bridges" && !root.values[i].empty() || k.text == "placements" && !root.values[i].empty() && a.Placements != nil {
			return nil, fmt.Errorf("the file already has `%s` (line %d); take them out to have others written", k.text, k.line)
		}
		if k.text == "bridges" || k.text == "placements" && a.Placements != nil {
			return nil, fmt.Errorf("the file has an empty `%s` (line %d); take the key out to have it written", k.text, k.line)
		}
	}
	eol := "\n"
	if bytes.Contains(text, []byte("\r\n")) {
		eol = "\r\n"
	}
	if root.flow {
		return spliceFlow(text, a)
	}
	indent := strings.Repeat(" ", root.column-1)
	block := strings.ReplaceAll(indentLines(a.block(), indent), "\n", eol)
	head, tail := text, []byte(nil)
	if i := documentEnd(text); i >= 0 {
		head, tail = text[:i], text[i:]
	}
	out := append([]byte(nil), head...)
	if len(out) > 0 && out[len(out)-1] != '\n' {
		out = append(out, eol...)
	}
	out = append(out, block...)
	return append(out, tail...), nil
}

func (n *node) empty() bool {
	return n == nil || n.null || n.kind == mappingNode && len(n.keys) == 0
}

// documentEnd is where a line "..." ends the document, or -1.
func documentEnd(text []byte) int {
	start := 0
	for _, line := range bytes.SplitAfter(text, []byte("\n")) {
		if t := bytes.TrimRight(line, "\r\n \t"); bytes.Equal(t, []byte("...")) {
			return start
		}
		start += len(line)
	}
	return -1
}

func indentLines(s, indent string) string {
	if indent == "" {
		return s
	}
	lines := strings.SplitAfter(s, "\n")
	for i, l := range lines {
		if l != "" {
			lines[i] = indent + l
		}
	}
	return strings.Join(lines, "")
}

func (a Arrangement) block() string {
	var b strings.Builder
	if a.Placements != nil {
		b.WriteString("placements:\n")
		for _, p := range a.Placements {
			fmt.Fprintf(&b, "  %s: %s\n", p.Name, p.flow())
		}
	}
	b.WriteString("bridges:\n")
	for _, t := range a.Bridges {
		fmt.Fprintf(&b, "  %s: %s\n", t.Name, t.flow())
	}
	return b.String()
}

func (p PlacementText) flow() string {
	if p.Face != "" {
		return fmt.Sprintf("{gauge: %s, station: %s, face: %s, across: %s, direction: %s}", p.Gauge, p.Station, p.Face, p.Across, p.Direction)
	}
	return fmt.Sprintf("{gauge: %s, station: %s, around: %s, direction: %s}", p.Gauge, p.Station, p.Around, p.Direction)
}

func (t BridgeText) flow() string {
	s := fmt.Sprintf("{measures: %s, arms: [%s]", t.Measures, strings.Join(t.Arms, ", "))
	if t.Excitation != "" {
		s += ", excitation: " + t.Excitation
	}
	return s + "}"
}

// spliceFlow adds to a mapping written in braces, JSON among them.
func spliceFlow(text []byte, a Arrangement) ([]byte, error) {
	end := bytes.LastIndexByte(text, '}')
	if end < 0 {
		return nil, fmt.Errorf("the design file has no closing brace")
	}
	var parts []string
	if a.Placements != nil {
		var inner []string
		for _, p := range a.Placements {
			where := fmt.Sprintf(`"around": %s`, quoteFlow(p.Around))
			if p.Face != "" {
				where = fmt.Sprintf(`"face": %s, "across": %s`, quoteFlow(p.Face), quoteFlow(p.Across))
			}
			inner = append(inner, quoteFlow(p.Name)+": "+fmt.Sprintf(`{"gauge": %s, "station": %s, %s, "direction": %s}`,
				quoteFlow(p.Gauge), quoteFlow(p.Station), where, quoteFlow(p.Direction)))
		}
		parts = append(parts, `"placements": {`+strings.Join(inner, ", ")+"}")
	}
	var inner []string
	for _, t := range a.Bridges {
		arms := make([]string, len(t.Arms))
		for i, arm := range t.Arms {
			if strings.HasPrefix(arm, "[") {
				names := strings.Split(strings.Trim(arm, "[]"), ", ")
				for j := range names {
					names[j] = quoteFlow(names[j])
				}
				arms[i] = "[" + strings.Join(names, ", ") + "]"
				continue
			}
			arms[i] = quoteFlow(arm)
		}
		s := fmt.Sprintf(`%s: {"measures": %s, "arms": [%s]`, quoteFlow(t.Name), quoteFlow(t.Measures), strings.Join(arms, ", "))
		if t.Excitation != "" {
			s += `, "excitation": ` + quoteFlow(t.Excitation)
		}
		inner = append(inner, s+"}")
	}
	parts = append(parts, `"bridges": {`+strings.Join(inner, ", ")+"}")
	head := bytes.TrimRight(text[:end], " \t\r\n")
	out := append([]byte(nil), head...)
	if last := head[len(head)-1]; last != '{' && last != ',' {
		out = append(out, ',')
	}
	out = append(out, ' ')
	out = append(out, strings.Join(parts, ", ")...)
	out = append(out, text[len(head):]...)
	return out, nil
}

func quoteFlow(s string) string { return strconv.Quote(s) }

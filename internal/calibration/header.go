package calibration

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// role of a column.
type role int

const (
	ignored role = iota
	runColumn
	positionColumn
	mountingColumn
	steppingColumn
	loadColumn
	bridgeColumn
	temperatureColumn
	timeColumn
	shuntColumn
)

// column of the table: SI = offset + factor·number.
type column struct {
	role           role
	index          int // of the load or bridge
	name           string
	factor, offset float64
}

// outputUnits of a bridge, V/V in one.
var outputUnits = map[string]float64{"mV/V": 1e-3, "µV/V": 1e-6, "μV/V": 1e-6, "uV/V": 1e-6, "V/V": 1}

var plainColumns = map[string]role{
	"run": runColumn, "position": positionColumn, "mounting": mountingColumn, "stepping": steppingColumn, "shunt": shuntColumn,
	"time": timeColumn, "temperature": temperatureColumn,
}

// splitHead takes "NAME [unit]" apart; unit is "" and has false without brackets.
func splitHead(head string) (name, unit string, has bool) {
	head = strings.TrimSpace(head)
	i := strings.IndexByte(head, '[')
	if i < 0 || !strings.HasSuffix(head, "]") {
		return head, "", false
	}
	return strings.TrimSpace(head[:i]), strings.TrimSpace(head[i+1 : len(head)-1]), true
}

// scaleOf the unit for a kind: SI = offset + factor·x.
func scaleOf(unit string, kind quantity.Kind) (factor, offset float64, err error) {
	zero := 0.0
	if kind == quantity.Temperature {
		z, err := quantity.Parse("0 "+unit, kind)
		if err != nil {
			return 0, 0, err
		}
		zero = z.SI
		// The scales of temperature start at or above absolute zero, so 1 is always readable.
	}
	one, err := quantity.Parse("1 "+unit, kind)
	if err != nil {
		return 0, 0, err
	}
	if kind == quantity.Temperature {
		hundred, err := quantity.Parse("100 "+unit, kind)
		if err != nil {
			return 0, 0, err
		}
		return (hundred.SI - zero) / 100, zero, nil
	}
	return one.SI, 0, nil
}

// columnOf says what a column holds; text is what is wrong with it.
func columnOf(head string, d *design.Design, out *Data) (c column, text string) {
	name, unit, hasUnit := splitHead(head)
	c = column{name: strings.TrimSpace(head), factor: 1}
	if strings.ContainsAny(name, "[]") {
		return c, "a bracket that does not close, or two; write NAME [unit]"
	}
	if r, ok := plainColumns[strings.ToLower(name)]; ok {
		c.role = r
		switch r {
		case temperatureColumn, timeColumn:
			kind, example := quantity.Temperature, "temperature [°C]"
			if r == timeColumn {
				kind, example = quantity.Time, "time [s]"
			}
			if !hasUnit || unit == "" {
				return c, fmt.Sprintf("no unit; write %s", example)
			}
			f, o, err := scaleOf(unit, kind)
			if err != nil {
				return c, fmt.Sprintf("%q is no unit of %v; write %s", unit, kind, example)
			}
			c.factor, c.offset = f, o
		case positionColumn:
			if hasUnit && unit != "°" && unit != "deg" {
				return c, fmt.Sprintf("positions are in degrees, not %q; write position or position [°]", unit)
			}
		default:
			if hasUnit {
				return c, fmt.Sprintf("%s has no unit; write %s", name, strings.ToLower(name))
			}
		}
		return c, ""
	}
	for j, comp := range out.Components {
		if comp.String() != name {
			continue
		}
		c.role, c.index = loadColumn, j
		example := fmt.Sprintf("%v [%s]", comp, comp.Kind().Unit(quantity.SI))
		if !hasUnit || unit == "" {
			return c, fmt.Sprintf("a load without its unit; write %s", example)
		}
		f, _, err := scaleOf(unit, comp.Kind())
		if err != nil {
			return c, fmt.Sprintf("%q is no unit of %s; write %s", unit, words(comp), example)
		}
		c.factor = f
		out.Units[j] = unit
		return c, ""
	}
	for b, bridge := range out.Bridges {
		if bridge != name {
			continue
		}
		c.role, c.index = bridgeColumn, b
		f, ok := outputUnits[unit]
		if !ok {
			if !hasUnit || unit == "" {
				return c, fmt.Sprintf("a bridge without its unit; write %s [mV/V]", bridge)
			}
			return c, fmt.Sprintf("%q is no unit of a bridge's output; write %s [mV/V], [µV/V] or [V/V]", unit, bridge)
		}
		c.factor = f
		return c, ""
	}
	return c, strange(name, unit, hasUnit, out)
}

// strange says why a column that is not known is a mistake, or "" when it may be
// ignored.
func strange(name, unit string, hasUnit bool, out *Data) string {
	if strings.HasPrefix(name, "expected ") || strings.HasPrefix(name, "interval ") {
		return ""
	}
	var loads []string
	for _, c := range out.Components {
		loads = append(loads, c.String())
	}
	if _, is := design.ParseComponent(name); is {
		return fmt.Sprintf("the design has no load %s; its loads are %s", name, strings.Join(loads, ", "))
	}
	if _, is := outputUnits[unit]; is {
		return fmt.Sprintf("the design has no bridge %q; its bridges are %s", name, strings.Join(out.Bridges, ", "))
	}
	known := append(append([]string{}, loads...), out.Bridges...)
	for k := range plainColumns {
		known = append(known, k)
	}
	near := ""
	if len([]rune(name)) > 2 {
		near = quantity.Nearest(name, sorted(known))
	}
	if hasUnit {
		for _, kind := range []quantity.Kind{quantity.Force, quantity.Moment, quantity.Stress} {
			if _, err := quantity.Parse("1 "+unit, kind); err == nil {
				if near != "" {
					return fmt.Sprintf("the design has no load %q; did you mean %s", name, near)
				}
				return fmt.Sprintf("the design has no load %q; its loads are %s (a column to be ignored has no such unit in its head)", name, strings.Join(loads, ", "))
			}
		}
	}
	if near != "" {
		return fmt.Sprintf("no column is called %q; did you mean %s", name, near)
	}
	return ""
}

// words names a component's kind for a message.
func words(c design.Component) string { return fmt.Sprintf("%v, a %v", c, c.Kind()) }

// header reads the head of the table.
func header(heads []string, at func(int) (int, int), d *design.Design, out *Data, p *Problems) []column {
	var columns []column
	seen := map[string]int{}
	have := map[role]bool{}
	var left []string
	for i, head := range heads {
		line, col := at(i)
		valid := utf8.ValidString(head)
		head = strings.ToValidUTF8(head, "?")
		bad := func(text string) {
			p.add(Problem{Line: line, Column: column1(heads, i, col), Field: i + 1, Name: strings.TrimSpace(head), Text: text})
		}
		c, text := columnOf(head, d, out)
		if !valid {
			text = "this is not UTF-8 text; save the file as CSV in UTF-8"
		}
		name, _, _ := splitHead(head)
		switch {
		case name == "" && strings.TrimSpace(head) == "":
			c = column{role: ignored}
		case text != "":
			bad(text)
		case seen[name] > 0 && c.role != ignored:
			bad(fmt.Sprintf("this column stands twice, first as column %d; leave one out", seen[name]))
		case c.role == ignored:
			left = append(left, strings.TrimSpace(head))
		}
		if name != "" && seen[name] == 0 {
			seen[name] = i + 1
		}
		have[c.role] = true
		switch c.role {
		case loadColumn:
			out.HasLoad[c.index] = true
		case bridgeColumn:
			out.HasBridge[c.index] = true
		}
		columns = append(columns, c)
	}
	line, col := at(0)
	missing := func(text string) { p.add(Problem{Line: line, Column: col, Text: text}) }
	if !have[runColumn] {
		missing("the head names no column run; the first line that is no comment is run,position,stepping,LOAD [unit],BRIDGE [mV/V]")
	}
	if !have[loadColumn] {
		missing("the head names no load; add a column as torque [N·m], named as in the design")
	}
	if !have[bridgeColumn] {
		missing("the head names no bridge; add a column as T [mV/V], named as in the design")
	}
	out.Positions, out.Mountings = have[positionColumn], have[mountingColumn]
	if !have[steppingColumn] {
		out.Notes = append(out.Notes, "no column stepping: up and down are taken from the order of the rows")
	}
	if len(left) > 0 {
		out.Notes = append(out.Notes, "columns ignored: "+strings.Join(left, ", "))
	}
	return columns
}

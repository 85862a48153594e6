package calibration

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// number reads a cell; text is what is wrong with it.
func (t *table) number(cell string, field int, of role, line int) (x float64, text string) {
	s := strings.ReplaceAll(cell, "−", "-")
	comma, point := strings.Count(s, ","), strings.Count(s, ".")
	switch {
	case comma > 0 && point > 0 || comma > 1:
		return 0, fmt.Sprintf("%q has a separator of thousands; leave it out", clip(cell))
	case comma == 1 && t.separator == ',':
		return 0, fmt.Sprintf("%q has a decimal comma while commas separate the fields; write a point, or separate the fields by semicolons", clip(cell))
	case comma == 1:
		if t.points.Line > 0 {
			return 0, fmt.Sprintf("%q has a decimal comma, column %d of line %d a decimal point; write one kind", clip(cell), t.points.Field, t.points.Line)
		}
		if t.commas.Line == 0 {
			t.commas = Problem{Line: line, Field: field + 1}
			t.data.Notes = append(t.data.Notes, fmt.Sprintf("decimal commas, first in column %d of line %d", field+1, line))
		}
		s = strings.Replace(s, ",", ".", 1)
	case point == 1:
		if t.commas.Line > 0 {
			return 0, fmt.Sprintf("%q has a decimal point, column %d of line %d a decimal comma; write one kind", clip(cell), t.commas.Field, t.commas.Line)
		}
		if t.points.Line == 0 {
			t.points = Problem{Line: line, Field: field + 1}
		}
	}
	for _, r := range s {
		if !strings.ContainsRune("0123456789+-.eE", r) {
			return 0, notNumber(cell, of)
		}
	}
	x, err := strconv.ParseFloat(s, 64)
	if errors.Is(err, strconv.ErrRange) {
		return 0, fmt.Sprintf("%q is too large", clip(cell))
	}
	if err != nil {
		return 0, notNumber(cell, of)
	}
	return x, ""
}

func notNumber(cell string, of role) string {
	remedy := "write a number"
	if of == bridgeColumn || of == temperatureColumn || of == timeColumn {
		remedy = "leave the field blank where no reading was taken"
	}
	low := strings.ToLower(strings.TrimLeft(cell, "+-−"))
	switch {
	case strings.HasPrefix(low, "nan"), strings.HasPrefix(low, "inf"), low == "∞":
		return fmt.Sprintf("%q is not finite; %s", clip(cell), remedy)
	case strings.HasPrefix(low, "#"):
		return fmt.Sprintf("%q is an error of a spreadsheet; mend the formula, or %s", clip(cell), remedy)
	}
	if i := strings.IndexFunc(cell, func(r rune) bool { return !strings.ContainsRune("0123456789+-−.,eE ", r) }); i > 0 && strings.ContainsAny(cell[:1], "0123456789+-.") {
		return fmt.Sprintf("%q has text in the number; write the digits alone, the unit stands in the head", clip(cell))
	}
	return fmt.Sprintf("%q is not a number; %s", clip(cell), remedy)
}

// shunt finds the shunt of a cell such as "100 kΩ across arm 1".
func (d *Data) shunt(cell string) (int, string) {
	const right = "write it as 100 kΩ across arm 1, with at the instrument where it is"
	ohms, rest, ok := strings.Cut(cell, " across arm ")
	if !ok {
		return 0, fmt.Sprintf("%q is no shunt; %s", clip(cell), right)
	}
	v, err := quantity.Parse(ohms, quantity.Resistance)
	if err != nil {
		return 0, fmt.Sprintf("%q is no shunt: %v", clip(cell), err)
	}
	arm, where, _ := strings.Cut(strings.TrimSpace(rest), " ")
	k, err := strconv.Atoi(arm)
	where = strings.TrimSpace(where)
	if err != nil || k < 1 || k > 4 || where != "" && where != "at the instrument" && where != "at the part" || v.SI <= 0 {
		return 0, fmt.Sprintf("%q is no shunt of an arm from 1 to 4; %s", clip(cell), right)
	}
	sh := design.Shunt{Arm: k, AtInstrument: where == "at the instrument"}
	sh.Resistor.Value, sh.Resistor.Set = v, true
	for i, s := range d.Shunts {
		if s.Arm == sh.Arm && s.AtInstrument == sh.AtInstrument && math.Abs(s.Resistor.SI-v.SI) <= 1e-9*v.SI {
			return i, ""
		}
	}
	d.Shunts = append(d.Shunts, sh)
	return len(d.Shunts) - 1, ""
}

func allBlank(rec []string) bool {
	for _, s := range rec {
		if strings.TrimSpace(s) != "" {
			return false
		}
	}
	return true
}

// column1 is the character column of a field whose byte column is known, as far
// as the fields before it tell.
func column1(rec []string, i, bytesColumn int) int {
	for _, s := range rec[:i] {
		bytesColumn -= len(s) - utf8.RuneCountInString(s)
	}
	return bytesColumn
}

// clip shortens what a message repeats.
func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

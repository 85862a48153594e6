package quantity

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// spokenKinds are the units of a report that a sentence is given in US customary
// units for; ratios, volts, ohms and degrees of angle are alike in both.
var spokenKinds = map[string]Kind{
	"mm": Length, "N": Force, "kN": Force, "N·m": Moment, "MPa": Stress, "°C": Temperature, "mm²": Area, "mm⁴": SecondMoment,
	"N·m/rad": TorsionalStiffness, "N/mm": AxialStiffness, "N·m²": BendingStiffness, "mW/mm²": PowerDensity, "kg·m²": Inertia,
}

var spoken = regexp.MustCompile(`([−-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:e[+-]?[0-9]+)?)(\x{00A0}| )(N·m/rad|N·m²|N·m|N/mm|kN|N|mW/mm²|mm⁴|mm²|mm|MPa|°C|kg·m²)`)

// Sentence is a text of a report in the units of sys: in US every SI quantity with a
// unit of its own there is written in that unit, to four digits, with the SI value
// in brackets behind it. Text between back quotes, which is for the design file,
// stays as it is.
func Sentence(text string, sys System) string {
	if sys != US {
		return text
	}
	parts := strings.Split(text, "`")
	for i := 0; i < len(parts); i += 2 {
		parts[i] = sentence(parts[i])
	}
	return strings.Join(parts, "`")
}

func sentence(text string) string {
	var b strings.Builder
	last := 0
	for _, m := range spoken.FindAllStringSubmatchIndex(text, -1) {
		before, _ := utf8.DecodeLastRuneInString(text[:m[0]])
		after, _ := utf8.DecodeRuneInString(text[m[1]:])
		if unicode.IsLetter(before) || unicode.IsDigit(before) || before == '.' || unicode.IsLetter(after) || unicode.IsDigit(after) || strings.ContainsRune("·/²³⁴^", after) {
			continue // part of a longer word, number or unit
		}
		unit := text[m[6]:m[7]]
		kind := spokenKinds[unit]
		v, err := Parse(strings.ReplaceAll(text[m[2]:m[3]], "−", "-")+" "+unit, kind)
		if err != nil {
			continue
		}
		b.WriteString(text[last:m[0]])
		b.WriteString(trimmed(Format(v.SI, kind, US, 4)) + " (" + text[m[0]:m[1]] + ")")
		last = m[1]
	}
	b.WriteString(text[last:])
	return b.String()
}

// trimmed drops the zeros behind a decimal point of a number with a unit.
func trimmed(s string) string {
	number, unit, ok := strings.Cut(s, " ")
	if strings.Contains(number, ".") && !strings.Contains(number, "e") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	if !ok {
		return number
	}
	return number + " " + unit
}

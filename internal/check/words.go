package check

import (
	"math"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

const deg = math.Pi / 180

func some(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// show is a value for a message, in the unit that reports use, to four digits.
func show(si float64, k quantity.Kind) string { return in(si, k, k.Unit(quantity.SI)) }

// in is show in a unit of its own, such as %/10K.
func in(si float64, k quantity.Kind, unit string) string {
	x, err := quantity.Convert(si, k, unit)
	if err != nil {
		return "—"
	}
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	switch unit {
	case "":
		return plain(x)
	case "°":
		return plain(x) + unit
	}
	return plain(x) + " " + unit
}

// plain is a number without trailing zeros, as a design file writes it.
func plain(x float64) string {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	return strconv.FormatFloat(x+0, 'f', -1, 64)
}

func mm(si float64) string      { return plain(si*1e3) + " mm" }
func degrees(si float64) string { return plain(si/deg) + "°" }

// list joins words: "a", "a and b", "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// verb agrees with the number of words before it.
func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// armWords is an arm as the design file writes it.
func armWords(d *design.Design, a design.Arm) string {
	if a.Fixed() {
		value := a.Resistor.Text
		if value == "" {
			value = plain(a.Resistor.SI) + " Ω"
		}
		if a.TCR.SI == 0 && a.TCR.Tolerance == 0 {
			return value
		}
		tcr := a.TCR.Text
		if tcr == "" {
			tcr = plain(a.TCR.SI*1e6) + " ppm/K"
		}
		return "{value: " + value + ", tcr: " + tcr + "}"
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

// armsWords is the arms of a bridge as the design file writes them.
func armsWords(d *design.Design, arms [4]design.Arm) string {
	words := make([]string, 4)
	for k, a := range arms {
		words[k] = armWords(d, a)
	}
	return "arms: [" + strings.Join(words, ", ") + "]"
}

// set is a number of a design that a remedy gave, in the words of the file; it
// keeps tolerance and place.
func set(n *design.Number, si float64, text string) {
	n.SI, n.Text, n.Set = si, text, true
}

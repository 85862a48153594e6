package wrap

import (
	"math"
	"strconv"
	"strings"

	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

// words puts lengths into one system of units. What is drawn is the same in both.
type words struct{ sys quantity.System }

// place is a distance to a hundredth of a millimetre, or a thousandth of an inch.
func (w words) place(si float64) string {
	decimals := 2
	if w.sys == quantity.US {
		decimals = 3
	}
	return w.length(si, decimals)
}

// size is a dimension to a tenth of a micrometre or what an inch has of it,
// without zeros at the end.
func (w words) size(si float64) string {
	number, unit, _ := strings.Cut(w.length(si, 4), "\u00A0")
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	return number + "\u00A0" + unit
}

func (w words) length(si float64, decimals int) string {
	unit := quantity.Length.Unit(w.sys)
	x, err := quantity.Convert(si, quantity.Length, unit)
	if err != nil {
		return "—"
	}
	return fixed(x, decimals) + "\u00A0" + unit
}

// fixed never prints a negative zero, and prints a proper minus.
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.ReplaceAll(s, "-", "−")
}

// degrees to a hundredth, without zeros at the end.
func degrees(rad float64) string {
	return strings.TrimSuffix(strings.TrimRight(fixed(rad*180/math.Pi, 2), "0"), ".") + "°"
}

// station is a place along the part with its sign.
func (w words) station(si float64) string {
	s := w.place(si)
	switch {
	case strings.Trim(s[:strings.Index(s, "\u00A0")], "0.") == "":
		return "station 0"
	case !strings.HasPrefix(s, "−"):
		s = "+" + s
	}
	return "station\u00A0" + s
}

// oneLine is a text with its line breaks and runs of spaces made single spaces.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func orDash(s string) string {
	if strings.TrimSpace(s) == "" {
		return "—"
	}
	return s
}

// shorten fits a name into a width as drawing.Fit does, but leaves out its middle:
// long names, and all grids of a gauge, differ at the end.
func shorten(name string, font drawing.Font, size, smallest, width float64) (fitted string, at float64) {
	const tail = 5
	fitted, at = drawing.Fit(name, font, size, smallest, width)
	runes := []rune(name)
	if fitted == name || len(runes) <= 2*tail {
		return fitted, at
	}
	end := string(runes[len(runes)-tail:])
	w, _, _ := drawing.Measure(end, font, at)
	head, _ := drawing.Fit(name, font, at, at, width-w)
	return head + end, at
}

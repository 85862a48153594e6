package layout

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Dash stands where a figure is undefined.
const Dash = "—"

// Words puts numbers into the words of a system of units. In US customary units
// the SI value stands beside each in brackets, unless alone is set.
type Words struct {
	Sys   quantity.System
	Alone bool
}

// Dual is a text in US customary units with the same in SI in brackets, where
// the two differ.
func (w Words) Dual(text func(Words) string) string {
	if w.Sys != quantity.US || w.Alone {
		return text(w)
	}
	us, si := text(Words{quantity.US, true}), text(Words{quantity.SI, true})
	if us == si {
		return us
	}
	return us + " (" + Nonbreaking(si) + ")"
}

// Minus gives a number a proper minus sign.
func Minus(s string) string {
	if strings.HasPrefix(s, "-") {
		return "−" + s[1:]
	}
	return s
}

// Show prints a quantity with its unit and four digits.
func (w Words) Show(si float64, k quantity.Kind) string { return w.Digits(si, k, 4) }

// Digits prints a quantity with its unit and n digits.
func (w Words) Digits(si float64, k quantity.Kind, n int) string {
	return w.unlessZero(si, k).Dual(func(w Words) string { return Minus(quantity.Format(si, k, w.Sys, n)) })
}

// unlessZero is w, alone for what is nothing in any unit.
func (w Words) unlessZero(si float64, k quantity.Kind) Words {
	w.Alone = w.Alone || si == 0 && k != quantity.Temperature
	return w
}

// Bare prints the number alone; its unit stands in the head of the table.
func (w Words) Bare(si float64, k quantity.Kind, n int) string {
	x, err := quantity.Convert(si, k, k.Unit(w.Sys))
	if err != nil {
		return Dash
	}
	return Minus(quantity.Format(x, quantity.Number, quantity.SI, n))
}

// Fixed prints the number alone with a fixed number of decimals.
func (w Words) Fixed(si float64, k quantity.Kind, decimals int) string {
	x, err := quantity.Convert(si, k, k.Unit(w.Sys))
	if err != nil {
		return Dash
	}
	return Fixed(x, decimals)
}

// Fixed never prints a negative zero.
func Fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Dash
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return Minus(s)
}

// Place prints a distance on the part: to a hundredth of a millimetre, or a
// thousandth of an inch.
func (w Words) Place(si float64) string {
	return w.Fixed(si, quantity.Length, w.placeDecimals())
}

func (w Words) placeDecimals() int {
	if w.Sys == quantity.US {
		return 3
	}
	return 2
}

// LengthUnit is the unit of lengths.
func (w Words) LengthUnit() string { return quantity.Length.Unit(w.Sys) }

// Angle prints an angle in degrees, with its sign for degrees.
func Angle(rad float64) string { return Fixed(rad*180/math.Pi, 1) + "°" }

// Plain is the shortest form of six digits: what a designer would have written.
func (w Words) Plain(si float64, k quantity.Kind) string {
	return w.unlessZero(si, k).Dual(func(w Words) string { return w.Rounded(si, k, 6) })
}

// Rounded is the shortest form of so many digits.
func (w Words) Rounded(si float64, k quantity.Kind, digits int) string {
	unit := k.Unit(w.Sys)
	x, err := quantity.Convert(si, k, unit)
	if err != nil {
		return Dash
	}
	if k == quantity.Temperature && math.Abs(x) < 1e-9 {
		x = 0 // 273.15 K is not 0 °C to the last bit
	}
	if r, err := strconv.ParseFloat(quantity.Format(x, quantity.Number, quantity.SI, digits), 64); err == nil {
		x = r
	}
	number := Minus(quantity.Format(x, quantity.Number, quantity.SI, 0))
	switch unit {
	case "":
		return number
	case "°":
		return number + unit
	}
	return number + " " + unit
}

// Stated prints a number of the design with its tolerance, that to three digits.
func (w Words) Stated(n design.Number, k quantity.Kind) string {
	return w.Dual(func(w Words) string {
		s := w.Rounded(n.SI, k, 6)
		if n.Tolerance == 0 {
			return s
		}
		difference := k
		if k == quantity.Temperature {
			difference = quantity.TemperatureDifference
		}
		return s + " ± " + w.Rounded(n.Tolerance, difference, 3) + coverage(n)
	})
}

func coverage(n design.Number) string {
	if n.Coverage > 0 {
		return fmt.Sprintf(" (k=%g)", n.Coverage)
	}
	return ""
}

// Given prints a number as the design file writes it, or else as stated. In US
// customary units what the file does not say stands behind it in brackets.
func (w Words) Given(n design.Number, k quantity.Kind) string {
	if n.Text == "" {
		return w.Stated(n, k)
	}
	text := Minus(n.Text)
	if w.Sys != quantity.US || w.Alone {
		return text
	}
	us, si := Words{quantity.US, true}.Stated(n, k), Words{quantity.SI, true}.Stated(n, k)
	switch text {
	case us, si:
		if us == si {
			return text
		}
		if text == us {
			us = si
		}
	}
	if us == si {
		return text
	}
	return text + " (" + Nonbreaking(us) + ")"
}

// Figure prints a figure, or a dash where there is none.
func (w Words) Figure(f predict.Figure, k quantity.Kind) string {
	if !f.OK() {
		return Dash
	}
	return w.Show(f.Value, k)
}

// Output prints V/V in mV/V with its sign; below a picovolt per volt it is zero.
func (w Words) Output(v float64) string {
	switch {
	case math.Abs(v) < 1e-12:
		return "0 mV/V"
	case v > 0:
		return "+" + w.Show(v, quantity.VoltageRatio)
	}
	return w.Show(v, quantity.VoltageRatio)
}

// Percent prints a ratio with three digits; what rounding leaves is shown as a
// bound.
func (w Words) Percent(f predict.Figure) string {
	switch {
	case !f.OK():
		return Dash
	case f.Value != 0 && math.Abs(f.Value) < 1e-6:
		return "< 0.0001 %"
	}
	return w.Digits(f.Value, quantity.Ratio, 3)
}

// Per10K prints 1/K as percent for each 10 K.
func (w Words) Per10K(f predict.Figure) string {
	f.Value *= 10
	s := w.Percent(f)
	if s == Dash {
		return s
	}
	return strings.TrimSuffix(s, " %") + " %/10 K"
}

// PerUnit is V/V per SI unit of a component as µV/V per unit of the report, bare.
func (w Words) PerUnit(v float64, c design.Component) string {
	return w.Dual(func(w Words) string {
		si, ok := w.SiPerUnit(c)
		if !ok || math.IsNaN(v) || math.IsInf(v, 0) {
			return Dash
		}
		return Minus(quantity.Format(v*si*1e6, quantity.Number, quantity.SI, 4))
	})
}

// Sensitivity is that with its unit, on one line.
func (w Words) Sensitivity(v float64, c design.Component) string {
	return w.Dual(func(w Words) string { return Nonbreaking(w.PerUnit(v, c) + " µV/V per " + w.LoadUnit(c)) })
}

// SiPerUnit is how many SI units one unit of the report is.
func (w Words) SiPerUnit(c design.Component) (float64, bool) {
	one, err := quantity.Convert(1, c.Kind(), c.Kind().Unit(w.Sys))
	if err != nil || one == 0 {
		return 0, false
	}
	return 1 / one, true
}

// LoadUnit is the unit in which a load is printed.
func (w Words) LoadUnit(c design.Component) string {
	return w.Dual(func(w Words) string { return c.Kind().Unit(w.Sys) })
}

// Component is the name of a load in running text.
func Component(c design.Component) string { return strings.ReplaceAll(c.String(), "-", " ") }

// OrDash is the text, or a dash where it is empty.
func OrDash(s string) string {
	if strings.TrimSpace(s) == "" {
		return Dash
	}
	return s
}

// Plural is "1 grid", "2 grids".
func Plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// Nonbreaking keeps a number and its unit on one line.
func Nonbreaking(s string) string { return strings.ReplaceAll(s, " ", "\u00A0") }

// OneLine is a text with its line breaks and runs of spaces made single spaces.
func OneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// Listed joins names as a sentence does.
func Listed(names []string) string {
	s := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			s += " and "
		default:
			s += ", "
		}
		s += n
	}
	return s
}

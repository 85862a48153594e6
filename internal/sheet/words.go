package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// dash stands where a figure is undefined.
const dash = "—"

// words puts numbers into the words of a system of units. In US customary units
// the SI value stands beside each in brackets, unless alone is set.
type words struct {
	sys   quantity.System
	alone bool
}

// dual is a text in US customary units with the same in SI in brackets, where
// the two differ.
func (w words) dual(text func(words) string) string {
	if w.sys != quantity.US || w.alone {
		return text(w)
	}
	us, si := text(words{quantity.US, true}), text(words{quantity.SI, true})
	if us == si {
		return us
	}
	return us + " (" + nonbreaking(si) + ")"
}

// minus gives a number a proper minus sign.
func minus(s string) string {
	if strings.HasPrefix(s, "-") {
		return "−" + s[1:]
	}
	return s
}

// show prints a quantity with its unit and four digits.
func (w words) show(si float64, k quantity.Kind) string { return w.digits(si, k, 4) }

func (w words) digits(si float64, k quantity.Kind, n int) string {
	return w.unlessZero(si, k).dual(func(w words) string { return minus(quantity.Format(si, k, w.sys, n)) })
}

// unlessZero is w, alone for what is nothing in any unit.
func (w words) unlessZero(si float64, k quantity.Kind) words {
	w.alone = w.alone || si == 0 && k != quantity.Temperature
	return w
}

// bare prints the number alone; its unit stands in the head of the table.
func (w words) bare(si float64, k quantity.Kind, n int) string {
	x, err := quantity.Convert(si, k, k.Unit(w.sys))
	if err != nil {
		return dash
	}
	return minus(quantity.Format(x, quantity.Number, quantity.SI, n))
}

// fixed prints the number alone with a fixed number of decimals.
func (w words) fixed(si float64, k quantity.Kind, decimals int) string {
	x, err := quantity.Convert(si, k, k.Unit(w.sys))
	if err != nil {
		return dash
	}
	return fixed(x, decimals)
}

// fixed never prints a negative zero.
func fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return dash
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return minus(s)
}

// place prints a distance on the part: to a hundredth of a millimetre, or a
// thousandth of an inch.
func (w words) place(si float64) string {
	return w.fixed(si, quantity.Length, w.placeDecimals())
}

func (w words) placeDecimals() int {
	if w.sys == quantity.US {
		return 3
	}
	return 2
}

func (w words) lengthUnit() string { return quantity.Length.Unit(w.sys) }

// angle prints an angle in degrees, with its sign for degrees.
func angle(rad float64) string { return fixed(rad*180/math.Pi, 1) + "°" }

// plain is the shortest form of six digits: what a designer would have written.
func (w words) plain(si float64, k quantity.Kind) string {
	return w.unlessZero(si, k).dual(func(w words) string { return w.rounded(si, k, 6) })
}

// rounded is the shortest form of so many digits.
func (w words) rounded(si float64, k quantity.Kind, digits int) string {
	unit := k.Unit(w.sys)
	x, err := quantity.Convert(si, k, unit)
	if err != nil {
		return dash
	}
	if k == quantity.Temperature && math.Abs(x) < 1e-9 {
		x = 0 // 273.15 K is not 0 °C to the last bit
	}
	if r, err := strconv.ParseFloat(quantity.Format(x, quantity.Number, quantity.SI, digits), 64); err == nil {
		x = r
	}
	number := minus(quantity.Format(x, quantity.Number, quantity.SI, 0))
	switch unit {
	case "":
		return number
	case "°":
		return number + unit
	}
	return number + " " + unit
}

// stated prints a number of the design with its tolerance, that to three digits.
func (w words) stated(n design.Number, k quantity.Kind) string {
	return w.dual(func(w words) string {
		s := w.rounded(n.SI, k, 6)
		if n.Tolerance == 0 {
			return s
		}
		difference := k
		if k == quantity.Temperature {
			difference = quantity.TemperatureDifference
		}
		return s + " ± " + w.rounded(n.Tolerance, difference, 3) + coverage(n)
	})
}

func coverage(n design.Number) string {
	if n.Coverage > 0 {
		return fmt.Sprintf(" (k=%g)", n.Coverage)
	}
	return ""
}

// given prints a number as the design file writes it, or else as stated. In US
// customary units what the file does not say stands behind it in brackets.
func (w words) given(n design.Number, k quantity.Kind) string {
	if n.Text == "" {
		return w.stated(n, k)
	}
	text := minus(n.Text)
	if w.sys != quantity.US || w.alone {
		return text
	}
	us, si := words{quantity.US, true}.stated(n, k), words{quantity.SI, true}.stated(n, k)
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
	return text + " (" + nonbreaking(us) + ")"
}

// figure prints a figure, or a dash where there is none.
func (w words) figure(f predict.Figure, k quantity.Kind) string {
	if !f.OK() {
		return dash
	}
	return w.show(f.Value, k)
}

// output prints V/V in mV/V with its sign; below a picovolt per volt it is zero.
func (w words) output(v float64) string {
	switch {
	case math.Abs(v) < 1e-12:
		return "0 mV/V"
	case v > 0:
		return "+" + w.show(v, quantity.VoltageRatio)
	}
	return w.show(v, quantity.VoltageRatio)
}

// percent prints a ratio with three digits; what rounding leaves is shown as a
// bound.
func (w words) percent(f predict.Figure) string {
	switch {
	case !f.OK():
		return dash
	case f.Value != 0 && math.Abs(f.Value) < 1e-6:
		return "< 0.0001 %"
	}
	return w.digits(f.Value, quantity.Ratio, 3)
}

// per10K prints 1/K as percent for each 10 K.
func (w words) per10K(f predict.Figure) string {
	f.Value *= 10
	s := w.percent(f)
	if s == dash {
		return s
	}
	return strings.TrimSuffix(s, " %") + " %/10 K"
}

// perUnit is V/V per SI unit of a component as µV/V per unit of the report, bare.
func (w words) perUnit(v float64, c design.Component) string {
	return w.dual(func(w words) string {
		si, ok := w.siPerUnit(c)
		if !ok || math.IsNaN(v) || math.IsInf(v, 0) {
			return dash
		}
		return minus(quantity.Format(v*si*1e6, quantity.Number, quantity.SI, 4))
	})
}

// sensitivity is that with its unit, on one line.
func (w words) sensitivity(v float64, c design.Component) string {
	return w.dual(func(w words) string { return nonbreaking(w.perUnit(v, c) + " µV/V per " + w.loadUnit(c)) })
}

// siPerUnit is how many SI units one unit of the report is.
func (w words) siPerUnit(c design.Component) (float64, bool) {
	one, err := quantity.Convert(1, c.Kind(), c.Kind().Unit(w.sys))
	if err != nil || one == 0 {
		return 0, false
	}
	return 1 / one, true
}

func (w words) loadUnit(c design.Component) string {
	return w.dual(func(w words) string { return c.Kind().Unit(w.sys) })
}

// section in words, such as "round tube, D 60 mm ± 0.05 mm, d 44 mm ± 0.1 mm".
func (w words) section(d *design.Design) string {
	shape, ok := section.Find(d.Part.Section.Shape)
	if !ok {
		return d.Part.Section.Shape
	}
	s := strings.ReplaceAll(shape.Name, "-", " ")
	for i, n := range d.Part.Section.Dimensions {
		s += ", " + shape.Dimensions[i].Symbol + "\u00A0" + strings.ReplaceAll(w.stated(n, quantity.Length), " ", "\u00A0")
	}
	return s
}

// component is the name of a load in running text.
func component(c design.Component) string { return strings.ReplaceAll(c.String(), "-", " ") }

// orDash is the text, or a dash where it is empty.
func orDash(s string) string {
	if strings.TrimSpace(s) == "" {
		return dash
	}
	return s
}

// plural is "1 grid", "2 grids".
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// nonbreaking keeps a number and its unit on one line.
func nonbreaking(s string) string { return strings.ReplaceAll(s, " ", "\u00A0") }

// oneLine is a text with its line breaks and runs of spaces made single spaces.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// System is the set of units that a report uses.
type System int

const (
	SI System = iota // mm, N, N·m, MPa, °C
	US               // in, lbf, lbf·in, ksi, °F
)

// Unit returns the unit that a report in sys uses for k, "" for a plain number.
func (k Kind) Unit(sys System) string {
	row, ok := k.row()
	if !ok {
		return ""
	}
	if sys == US {
		return row.report[US]
	}
	return row.report[SI]
}

// Format writes si, in the SI unit of k, as a report in sys shows it: rounded
// to the given number of significant digits, with its unit, "60.00 mm". With
// digits < 1 the number is the shortest that reads back as the same float64 in
// that unit. Numbers from 1e-4 up to 1e9 have no exponent. What is not finite,
// in SI or in the unit, or below 0 K is "—": a report shows no Inf and no NaN.
func Format(si float64, k Kind, sys System, digits int) string {
	x, err := Convert(si, k, k.Unit(sys))
	if err != nil {
		return "—"
	}
	if k == Temperature && math.Abs(x) < 1e-9 { // 273.15 K is 0 °C but for the rounding of 273.15
		x = 0
	}
	return withUnit(formatNumber(x, digits), k.Unit(sys))
}

// withUnit puts unit behind number, with a space except before the sign for
// degrees of angle (SI Brochure, 9th ed., 5.4.3).
func withUnit(number, unit string) string {
	switch unit {
	case "":
		return number
	case "°":
		return number + unit
	}
	return number + " " + unit
}

// formatNumber rounds to significant digits, the shortest for digits < 1.
func formatNumber(x float64, digits int) string {
	if x == 0 {
		return "0"
	}
	precision := min(digits, 17) - 1
	if digits < 1 {
		precision = -1
	}
	s := strconv.FormatFloat(x, 'e', precision, 64)
	mantissa, power, _ := strings.Cut(s, "e")
	exponent, _ := strconv.Atoi(power)
	if exponent < -4 || exponent >= 9 {
		return mantissa + "e" + strconv.Itoa(exponent)
	}
	decimals := -1
	if digits >= 1 {
		decimals = max(precision-exponent, 0)
		x, _ = strconv.ParseFloat(s, 64) // 123456 to three digits is 123000
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// Convert returns si, in the SI unit of k, in the given unit:
//
//	x = (si − zero) / ratio
//
// zero: of a temperature scale (K), 0 for all other units; ratio: SI units in
// one unit. The result is rounded once. A plain number has the unit "". A unit
// that is not one of k, a value that is not finite before or after, or a
// temperature below 0 K is an error.
func Convert(si float64, k Kind, unit string) (float64, error) {
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return 0, &Error{0, "the value is not a finite number", k.write()}
	}
	if k == Temperature && si < 0 {
		return 0, &Error{0, "a temperature below absolute zero", "give one above 0 K"}
	}
	if k == Number && unit == "" {
		return si, nil
	}
	u, err := parseUnit(unit, k)
	if err != nil {
		return 0, err
	}
	x := new(big.Rat).SetFloat64(si)
	if u.zero != nil {
		x.Sub(x, u.zero)
	}
	f, err := toFloat(x.Quo(x, u.ratio), 0)
	if err != nil {
		return 0, err
	}
	return f, nil
}

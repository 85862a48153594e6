package quantity

import (
	"fmt"
	"math/big"
	"strings"
	"unicode/utf8"
)

// maxRunes bounds the length of a quantity, and with it the work of Parse.
const maxRunes = 200

// Parse reads text as a quantity of the given kind:
//
//	quantity  = number [ unit ] [ ( "±" | "+-" | "+/-" ) tolerance [ "(k=" number ")" ] ]
//	tolerance = number [ unit | "%" ]
//
// The number is a plain decimal (60, .5, 5., 1e7, with - or −). A tolerance has
// the unit of the value when it has none, or another unit of the same kind (of
// a temperature: a difference), or is % of the value; where the value itself is
// in %, ± x % is percentage points. Units are those of Units, the product sign
// ·, ⋅, *, ., - or a space, powers as mm², mm^2 or mm2, both signs for µ and
// for Ω.
//
// The number and the ratio of the units are multiplied exactly and rounded
// once, so 3.2 mm is the float64 nearest to 0.0032.
//
// The error, if any, is an *Error. Errors are: anything the grammar does not
// allow, a missing or wrong unit, a temperature below 0 K, a value that a
// float64 cannot hold (too large, or not 0 and too small).
func Parse(text string, kind Kind) (Value, error) {
	v, err := parse(text, kind)
	if err != nil {
		return Value{}, err
	}
	return v, nil
}

func parse(text string, kind Kind) (Value, *Error) {
	if _, ok := kind.row(); !ok {
		return Value{}, &Error{0, kind.String(), "this is a fault of the program"}
	}
	if utf8.RuneCountInString(text) > maxRunes {
		return Value{}, &Error{maxRunes, fmt.Sprintf("more than %d characters", maxRunes), kind.write()}
	}
	r := []rune(text)
	at, end := trim(r, 0, len(r))
	if at == end {
		return Value{}, &Error{at, "missing value", kind.write()}
	}

	start := at
	number, at, err := readNumber(r, at, end, true, kind)
	if err != nil {
		return Value{}, err
	}
	numberEnd := at
	for at < end && r[at] != '±' && r[at] != '+' && r[at] != '(' {
		at++
	}
	u := unit{ratio: one}
	from, to := trim(r, numberEnd, at)
	switch {
	case from < to:
		if u, err = readUnit(r, from, to, kind); err != nil {
			return Value{}, err
		}
	case kind != Number:
		missing := missingUnit(r, start, numberEnd, kind)
		if at < end && r[at] != '(' {
			missing.right += "; the unit stands before the ± as well"
		}
		return Value{}, missing
	}

	value := new(big.Rat).Mul(number, u.ratio)
	if u.zero != nil {
		value.Add(value, u.zero)
	}
	v := Value{Text: strings.TrimSpace(text)}
	if v.SI, err = toFloat(value, start); err != nil {
		return Value{}, err
	}
	if kind == Temperature && v.SI < 0 {
		return Value{}, &Error{start, "a temperature below absolute zero", "write one above 0 K (-273.15 °C, -459.67 °F)"}
	}
	if at == end {
		return v, nil
	}
	if err := readTolerance(&v, r, at, end, value, u, kind); err != nil {
		return Value{}, err
	}
	return v, nil
}

// readTolerance reads what follows the value: ± tolerance (k=…). value is the
// number before it in SI units.
func readTolerance(v *Value, r []rune, at, end int, value *big.Rat, u unit, kind Kind) *Error {
	if r[at] == '(' {
		return &Error{at, "a parenthesis without a tolerance", "write " + kind.Example() + " ± … (k=2)"}
	}
	sign := at
	at = afterPlusMinus(r, at, end)
	if at < 0 {
		return &Error{sign, "a + that is not ±",
			"write one half-width after ± (or +-); for unequal limits give the middle value with ± half their distance"}
	}
	at, _ = trim(r, at, end)
	if at == end {
		return &Error{at, "missing tolerance after ±", "write a number, such as " + kind.Example() + " ± 0.5 %"}
	}
	start := at
	if r[at] == '-' || r[at] == '−' || r[at] == '+' {
		return &Error{at, "a tolerance with a sign", "write the half-width without a sign"}
	}
	half, at, err := readNumber(r, at, end, false, kind)
	if err != nil {
		return err
	}
	paren := at
	for paren < end && r[paren] != '(' {
		if r[paren] == '±' || r[paren] == '+' {
			return &Error{paren, "a second tolerance", "write one half-width after ±"}
		}
		paren++
	}
	half, err = toleranceInSI(half, r, at, paren, value, u, kind)
	if err != nil {
		return err
	}
	if v.Tolerance, err = toFloat(half, start); err != nil {
		return err
	}
	if paren < end {
		v.Coverage, err = readCoverage(r, paren, end)
	}
	return err
}

// toleranceInSI gives the half-width whose unit is in r[from:to].
func toleranceInSI(half *big.Rat, r []rune, from, to int, value *big.Rat, u unit, kind Kind) (*big.Rat, *Error) {
	from, to = trim(r, from, to)
	if from == to {
		return new(big.Rat).Mul(half, u.ratio), nil
	}
	if to-from == 1 && r[from] == '%' && !u.percent {
		if u.zero != nil {
			return nil, &Error{from, fmt.Sprintf("%% of a temperature in %s depends on the zero of its scale", u.text), "write the tolerance in K, Δ°C or Δ°F"}
		}
		half = new(big.Rat).Mul(half, value)
		half.Abs(half)
		return half.Quo(half, hundred), nil
	}
	if kind == Number {
		return nil, &Error{from, "a unit in the tolerance of a plain number", "write it as a number or in %, such as 2.08 ± 0.5 %"}
	}
	if kind == Temperature {
		kind = TemperatureDifference
	}
	tu, err := readUnit(r, from, to, kind)
	if err != nil {
		return nil, err
	}
	return new(big.Rat).Mul(half, tu.ratio), nil
}

var hundred = exact("100")

// afterPlusMinus returns the index after ±, +- or +/-, -1 when r[at:end] begins
// with none of them.
func afterPlusMinus(r []rune, at, end int) int {
	if r[at] == '±' {
		return at + 1
	}
	next := at + 1
	if next < end && r[next] == '/' {
		next++
	}
	if next < end && (r[next] == '-' || r[next] == '−') {
		// "+0.1/-0.2" has a digit after the +; "+-" has not.
		return next + 1
	}
	return -1
}

// readCoverage reads "(k=2)", which ends the text.
func readCoverage(r []rune, at, end int) (float64, *Error) {
	bad := func(at int) *Error {
		return &Error{at, "bad coverage factor", "write (k=2) after the tolerance, with a number above 0"}
	}
	for _, want := range []rune{'(', 'k', '='} {
		if at >= end || r[at] != want {
			return 0, bad(at)
		}
		at, _ = trim(r, at+1, end)
	}
	start := at
	if at >= end || !isDigit(r[at]) && r[at] != '.' {
		return 0, bad(at)
	}
	k, at, err := readNumber(r, at, end, false, Number)
	if err != nil {
		return 0, err
	}
	if k.Sign() == 0 {
		return 0, bad(start)
	}
	coverage, err := toFloat(k, start)
	if err != nil {
		return 0, err
	}
	at, _ = trim(r, at, end)
	if at >= end || r[at] != ')' {
		return 0, bad(at)
	}
	if at+1 < end {
		return 0, &Error{at + 1, "text after the coverage factor", "end the value with (k=2)"}
	}
	return coverage, nil
}

package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"
)

// readNumber reads a decimal number at r[at:end] and returns it with the index
// after it.
func readNumber(r []rune, at, end int, signed bool, kind Kind) (*big.Rat, int, *Error) {
	start := at
	literal := make([]byte, 0, 24)
	if signed && (r[at] == '-' || r[at] == '−' || r[at] == '+') {
		if r[at] != '+' {
			literal = append(literal, '-')
		}
		at++
	}
	whole := at
	digits := func() (n int, nonzero bool) {
		for at < end && isDigit(r[at]) {
			nonzero = nonzero || r[at] != '0'
			literal = append(literal, byte(r[at]))
			at++
			n++
		}
		return n, nonzero
	}
	before, nonzero := digits()
	after := 0
	if at < end && r[at] == '.' && (before > 0 || at+1 < end && isDigit(r[at+1])) {
		if before == 0 {
			literal = append(literal, '0')
		}
		literal = append(literal, '.')
		at++
		var more bool
		after, more = digits()
		nonzero = nonzero || more
		if after == 0 {
			literal = append(literal, '0')
		}
	}
	if before+after == 0 {
		return nil, 0, noNumber(r, start, end, kind)
	}
	if before > 1 && r[whole] == '0' {
		return nil, 0, &Error{whole, "a number with a leading zero", "write it without, such as 12 for 012"}
	}
	if exponent := exponentLength(r[at:end]); exponent > 0 {
		for _, c := range r[at : at+exponent] {
			if c == '−' {
				c = '-'
			}
			literal = append(literal, byte(c))
		}
		at += exponent
	}
	if err := afterNumber(r, start, at, end); err != nil {
		return nil, 0, err
	}
	if !nonzero {
		return new(big.Rat), at, nil
	}
	// The float64 bounds the exponent before any exact arithmetic is done with it.
	f, err := strconv.ParseFloat(string(literal), 64)
	if err != nil || f == 0 {
		return nil, 0, outOfRange(start)
	}
	number, ok := new(big.Rat).SetString(string(literal))
	if !ok {
		return nil, 0, noNumber(r, start, end, kind)
	}
	return number, at, nil
}

// exponentLength returns the length of the exponent that r begins with, 0 when
// it begins with none: an e without digits is the beginning of a word.
func exponentLength(r []rune) int {
	if len(r) < 2 || r[0] != 'e' && r[0] != 'E' {
		return 0
	}
	n := 1
	if r[n] == '-' || r[n] == '−' || r[n] == '+' {
		n++
	}
	digits := n
	for n < len(r) && isDigit(r[n]) {
		n++
	}
	if n == digits {
		return 0
	}
	return n
}

// noNumber is the error where a number should begin.
func noNumber(r []rune, at, end int, kind Kind) *Error {
	word := at
	for word < end && !isDigit(r[word]) && !unicode.IsSpace(r[word]) {
		word++
	}
	found := string(r[at:word])
	switch strings.ToLower(strings.TrimLeft(found, "+-−.")) {
	case "inf", "infinity", "nan":
		return &Error{at, fmt.Sprintf("%q is not a finite number", short(found)), kind.write()}
	}
	if strings.TrimLeft(found, "+-−") == "," {
		return decimalComma(r, at, at+len([]rune(found))-1, end)
	}
	if found == "" {
		found = string(r[at])
	}
	return &Error{at, fmt.Sprintf("%q where a number is wanted", short(found)), kind.write()}
}

// afterNumber refuses what follows a number that was meant to be more of it.
// at is the index after the number that began at start.
func afterNumber(r []rune, start, at, end int) *Error {
	if at == end {
		return nil
	}
	next, _ := trim(r, at, end)
	slash := next
	if slash < end && r[slash] == '1' && next > at {
		slash, _ = trim(r, slash+1, end) // the 1 of 1/K
	}
	reciprocal := slash < end && r[slash] == '/'
	digitFollows := func(i int) bool { return i+1 < end && isDigit(r[i+1]) }
	switch c := r[at]; {
	case c == ',' && digitFollows(at):
		return decimalComma(r, start, at, end)
	case strings.ContainsRune("_'’٬", c) && digitFollows(at):
		return &Error{at, "digits in groups", "write the number without signs between its digits"}
	case c == '.' && digitFollows(at):
		return &Error{at, "a second decimal point, or a point in an exponent", "write one plain decimal number"}
	case strings.ContainsRune("xX", c) && at+1 < end && isHexDigit(r[at+1]),
		strings.ContainsRune("bBoO", c) && digitFollows(at):
		return &Error{start, "a number that is not decimal", "write it with the digits 0 to 9"}
	case next > at && next < end && isDigit(r[next]) && !reciprocal:
		return &Error{next, "a second number", "write one number, without spaces between its digits"}
	case reciprocal && isFraction(r, slash, end):
		return &Error{next, "a fraction", "write it as a decimal number, such as 0.125 for 1/8"}
	}
	return nil
}

// decimalComma is the error for the comma at r[at] in the number that began at
// start. Three digits after it may be thousands; only the writer knows.
func decimalComma(r []rune, start, at, end int) *Error {
	to := at + 1
	for to < end && isDigit(r[to]) {
		to++
	}
	before, after := string(r[start:at]), string(r[at+1:to])
	right := fmt.Sprintf("write the decimal point, %s.%s", before, after)
	if len(after) == 3 && before != "" {
		right += fmt.Sprintf(", or %s%s if thousands are meant", before, after)
	}
	return &Error{at, "a comma in a number", right}
}

// isFraction tells whether the solidus at r[at] stands before a number that is
// not the 10 or 100 of a unit such as 1/10K.
func isFraction(r []rune, at, end int) bool {
	from, _ := trim(r, at+1, end)
	to := from
	for to < end && isDigit(r[to]) {
		to++
	}
	if from == to {
		return false
	}
	if s := string(r[from:to]); s != "10" && s != "100" {
		return true
	}
	unit, _ := trim(r, to, end)
	return unit == end || !strings.ContainsRune("K°d℃℉Δ∆", r[unit])
}

func isHexDigit(c rune) bool {
	return isDigit(c) || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F'
}

// toFloat rounds once; a number that float64 cannot hold is an error.
func toFloat(exact *big.Rat, at int) (float64, *Error) {
	f, _ := exact.Float64()
	if math.IsInf(f, 0) || f == 0 && exact.Sign() != 0 {
		return 0, outOfRange(at)
	}
	return f, nil
}

func outOfRange(at int) *Error {
	return &Error{at, "a number too large or too small", "write one between 1e-300 and 1e300"}
}

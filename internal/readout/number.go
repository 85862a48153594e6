package readout

import (
	"bytes"
	"math"
	"strconv"
)

// powers of ten that a float64 holds exactly.
var powers = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

const exactPower = len(powers) - 1

// scanNumber reads the decimal number at the head of b and returns it with its length,
// 0 where there is none:
//
//	number = [ "+" | "-" ] ( digits [ point [ digits ] ] | point digits ) [ ( "e" | "E" ) [ "+" | "-" ] digits ]
//
// The value is the float64 nearest to the number. A mantissa of at most 53 bits times
// or over a power of ten up to 22 is rounded once (W. D. Clinger, How to read floating
// point numbers accurately, PLDI 1990); package strconv reads all others. A number
// beyond the range of float64 is ±Inf.
func scanNumber(b []byte, point byte) (value float64, length int) {
	i, negative := 0, false
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		negative = b[0] == '-'
		i = 1
	}
	var mantissa uint64
	start := i
	for i < len(b) {
		d := b[i] - '0'
		if d > 9 {
			break
		}
		mantissa = mantissa*10 + uint64(d)
		i++
	}
	digits, exponent := i-start, 0
	if i < len(b) && b[i] == point {
		i++
		start = i
		for i < len(b) {
			d := b[i] - '0'
			if d > 9 {
				break
			}
			mantissa = mantissa*10 + uint64(d)
			i++
		}
		digits += i - start
		exponent = start - i
	}
	if digits == 0 {
		return 0, 0
	}
	if i+1 < len(b) && b[i]|0x20 == 'e' {
		n, width := scanExponent(b[i+1:])
		if width > 0 {
			exponent += n
			i += 1 + width
		}
	}
	if digits > 19 || mantissa>>53 != 0 || exponent < -exactPower || exponent > exactPower {
		return slowNumber(b[:i], point), i
	}
	value = float64(mantissa)
	if exponent < 0 {
		value /= powers[-exponent]
	} else {
		value *= powers[exponent]
	}
	if negative {
		value = -value
	}
	return value, i
}

// scanExponent reads the digits after e; a number that no float64 needs is cut.
func scanExponent(b []byte) (n, width int) {
	i, sign := 0, 1
	if b[0] == '-' || b[0] == '+' {
		if b[0] == '-' {
			sign = -1
		}
		i = 1
	}
	start := i
	for i < len(b) && b[i]-'0' <= 9 {
		if n < 1_000_000 {
			n = n*10 + int(b[i]-'0')
		}
		i++
	}
	if i == start {
		return 0, 0
	}
	return sign * n, i
}

// slowNumber is the value of text that scanNumber has taken the measure of.
func slowNumber(text []byte, point byte) float64 {
	if point != '.' {
		text = bytes.Replace(text, []byte{point}, []byte{'.'}, 1)
	}
	v, _ := strconv.ParseFloat(string(text), 64) // the one error left is that of range, with ±Inf
	return v
}

// appendNumber writes v with the given number of significant digits, at most 17, as
// the format 'g' of package strconv does, and with the shortest digits that read back
// as v when digits is 0. The decimal sign is point.
//
// To 15 digits |v| is scaled to a number of so many digits before its point by an exact power
// of ten. That rounds once, and rounding never carries a number past one that a float64
// holds, such as those with a fraction of one half: only where the scaled value has just that
// fraction, the side is not known, and strconv decides.
func appendNumber(dst []byte, v float64, digits int, point byte) []byte {
	const magnitude = 1e15
	a := math.Abs(v)
	if digits < 1 || digits > 15 || !(a >= 1/magnitude && a < magnitude) {
		return slowAppend(dst, v, digits, point)
	}
	e := ((int(math.Float64bits(a)>>52) - 1023) * 78913) >> 18 // ⌊log10 of the power of two⌋
	if e+1 >= 0 && a >= powers[e+1] || e+1 < 0 && a*powers[-e-1] >= 1 {
		e++
	}
	k := digits - 1 - e
	var scaled float64
	switch {
	case k > exactPower || k < -exactPower:
		return slowAppend(dst, v, digits, point)
	case k >= 0:
		scaled = a * powers[k]
	default:
		scaled = a / powers[-k]
	}
	u := uint64(scaled)
	f := scaled - float64(u)
	if scaled < powers[digits-1] || scaled >= powers[digits] || f == 0.5 {
		return slowAppend(dst, v, digits, point)
	}
	if f > 0.5 {
		u++
		if u == uint64(powers[digits]) {
			u /= 10
			e++
		}
	}
	if math.Signbit(v) {
		dst = append(dst, '-')
	}
	return appendDigits(dst, u, digits, e, point)
}

// hundred is 00 to 99.
const hundred = "00010203040506070809101112131415161718192021222324252627282930313233343536373839404142434445464748495051525354555657585960616263646566676869707172737475767778798081828384858687888990919293949596979899"

// appendDigits writes the integer u of n digits, the first of which counts 10^e.
func appendDigits(dst []byte, u uint64, n, e int, point byte) []byte {
	var d [16]byte
	i := n
	for ; i >= 2; i -= 2 {
		q := u / 100
		two := 2 * (u - q*100)
		d[i-2], d[i-1] = hundred[two], hundred[two+1]
		u = q
	}
	if i == 1 {
		d[0] = byte('0' + u)
	}
	last := n
	for last > 1 && d[last-1] == '0' {
		last--
	}
	switch {
	case e < -4 || e >= n:
		dst = append(dst, d[0])
		if last > 1 {
			dst = append(dst, point)
			dst = append(dst, d[1:last]...)
		}
		sign := byte('+')
		if e < 0 {
			sign, e = '-', -e
		}
		return append(dst, 'e', sign, byte('0'+e/10), byte('0'+e%10))
	case e < 0:
		dst = append(dst, '0', point)
		for ; e < -1; e++ {
			dst = append(dst, '0')
		}
		return append(dst, d[:last]...)
	case last <= e+1: // what lies between the last digit and the point are zeros of d
		return append(dst, d[:e+1]...)
	}
	dst = append(dst, d[:e+1]...)
	dst = append(dst, point)
	return append(dst, d[e+1:last]...)
}

func slowAppend(dst []byte, v float64, digits int, point byte) []byte {
	precision := -1
	if digits > 0 {
		precision = digits
	}
	from := len(dst)
	dst = strconv.AppendFloat(dst, v, 'g', precision, 64)
	if point != '.' {
		if i := bytes.IndexByte(dst[from:], '.'); i >= 0 {
			dst[from+i] = point
		}
	}
	return dst
}

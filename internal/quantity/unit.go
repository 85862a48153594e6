package quantity

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"unicode"
)

// unit is one written unit, worked out.
type unit struct {
	ratio  *big.Rat // SI units in one of it
	dim    dimension
	family family

	zero       *big.Rat // of a temperature scale, see atom
	difference bool     // Δ°C, Δ°F
	percent    bool     // it is % itself
	text       string   // as written, single spaces
}

const (
	maxFactors = 6 // more is no unit of this trade, and int8 exponents hold it
	maxPower   = 4
)

// factor is one atom of a product, with its exponent.
type factor struct {
	atom  *atom
	power int
	at    int
}

// parseUnit reads a unit that stands alone.
func parseUnit(text string, k Kind) (unit, *Error) {
	r := []rune(text)
	from, to := trim(r, 0, len(r))
	return readUnit(r, from, to, k)
}

// readUnit reads the unit in r[from:to], which is trimmed, and checks that it
// measures k:
//
//	unit     = product { "/" divisor } | [ "1" ] "/" divisor { "/" divisor }
//	product  = word [ power ] { ( "·" | "⋅" | "*" | "." | "-" | " " ) word [ power ] }
//	divisor  = [ "10" | "100" ] word [ power ]
//	power    = [ "^" ] digit | superscript, possibly negative
//
// A product after a solidus is refused: what "a/b·c" means is not agreed (SI
// Brochure, 9th ed., 5.2).
func readUnit(r []rune, from, to int, k Kind) (unit, *Error) {
	if from == to {
		return unit{}, missingUnit(r, 0, from, k)
	}
	u := unit{ratio: new(big.Rat).Set(one), text: strings.Join(strings.Fields(string(r[from:to])), " ")}
	p := unitReader{r: r, at: from, end: to, whole: from, kind: k}
	if err := p.factors(); err != nil {
		return unit{}, err
	}
	u.ratio.Mul(u.ratio, p.scale())
	for i, f := range p.list {
		a := f.atom
		if a.zero != nil && f.power > 0 && (len(p.list) > 1 || f.power > 1) {
			return unit{}, &Error{f.at, fmt.Sprintf("%s in a product is not clear: it is a temperature, a difference is meant", a.name),
				fmt.Sprintf("write K or Δ%s", scaleName(a))}
		}
		for n := f.power; n > 0; n-- {
			u.ratio.Mul(u.ratio, a.ratio)
		}
		for n := f.power; n < 0; n++ {
			u.ratio.Quo(u.ratio, a.ratio)
		}
		u.dim = u.dim.times(a.dim, f.power)
		if a.family != plain && f.power != 1 {
			u.family = mixed
		}
		u.family = u.family.join(a.family)
		for _, other := range p.list[:i] {
			if a.dim != dimNone && a.dim == other.atom.dim && f.power == -other.power {
				u.family = u.family.join(quotientFamily(a.dim))
				break
			}
		}
	}
	if len(p.list) == 1 && p.list[0].power == 1 && p.scaled == 0 {
		a := p.list[0].atom
		u.zero, u.difference = a.zero, a.difference
		u.percent = a.name == "%"
	}
	return u, k.check(u, from)
}

// unitReader takes a unit apart.
type unitReader struct {
	r          []rune
	at, end    int
	whole      int // where the unit begins
	kind       Kind
	list       []factor
	scaled     int // the 10 or 100 of %/10K, 0 without
	afterSlash bool
}

func (p *unitReader) scale() *big.Rat {
	if p.scaled == 0 {
		return one
	}
	return big.NewRat(1, int64(p.scaled))
}

// factors reads the whole unit into p.list.
func (p *unitReader) factors() *Error {
	if p.r[p.at] == '1' {
		if next, _ := trim(p.r, p.at+1, p.end); next < p.end && p.r[next] == '/' {
			p.at = next
		}
	}
	if p.r[p.at] == '/' {
		p.slash()
	}
	for {
		if err := p.factor(); err != nil {
			return err
		}
		spaced := p.at
		p.space()
		switch {
		case p.at == p.end:
			return nil
		case p.r[p.at] == '/':
			p.slash()
			continue
		case isProductSign(p.r[p.at]):
			if p.afterSlash {
				return p.ambiguous()
			}
			p.at++
			p.space()
		case spaced < p.at && isWordRune(p.r[p.at]):
			if p.afterSlash {
				return p.ambiguous()
			}
		default:
			return p.unexpected()
		}
	}
}

func (p *unitReader) space() { p.at, _ = trim(p.r, p.at, p.end) }

func (p *unitReader) slash() {
	p.afterSlash = true
	p.at++
	p.space()
}

// factor reads one word with its power, and the number before a degree after a
// solidus.
func (p *unitReader) factor() *Error {
	scaleAt := -1
	if p.afterSlash && p.at < p.end && isDigit(p.r[p.at]) {
		scaleAt = p.at
		for p.at < p.end && isDigit(p.r[p.at]) {
			p.at++
		}
		digits := string(p.r[scaleAt:p.at])
		p.space()
		if digits != "10" && digits != "100" || p.scaled != 0 {
			return p.badScale(scaleAt)
		}
		p.scaled, _ = strconv.Atoi(digits)
	}
	start := p.at
	for p.at < p.end && isWordRune(p.r[p.at]) {
		p.at++
	}
	if start == p.at {
		if scaleAt >= 0 {
			return p.badScale(scaleAt)
		}
		return p.unexpected()
	}
	word := normal(p.r[start:p.at])
	power, err := p.power()
	if err != nil {
		return err
	}
	if p.afterSlash {
		power = -power
	}
	if a := atoms[word]; a != nil {
		if scaleAt >= 0 && (a.dim != dimTemperature || power != -1) {
			return p.badScale(scaleAt)
		}
		p.list = append(p.list, factor{a, power, start})
	} else if pair, ok := glued[word]; ok && !p.afterSlash {
		p.list = append(p.list, factor{pair[0], 1, start}, factor{pair[1], power, start})
	} else {
		return p.unknown(word, start)
	}
	if len(p.list) > maxFactors {
		return &Error{start, fmt.Sprintf("more than %d units in one product", maxFactors), p.kind.write()}
	}
	return nil
}

// power reads the exponent after a word, 1 when there is none.
func (p *unitReader) power() (int, *Error) {
	start, sign, digits := p.at, 1, ""
	if p.at < p.end && p.r[p.at] == '^' {
		p.at++
		if p.at < p.end && (p.r[p.at] == '-' || p.r[p.at] == '−') {
			sign = -1
			p.at++
		}
		digits = p.digits()
	} else if p.at < p.end && isDigit(p.r[p.at]) {
		digits = p.digits()
	} else {
		if p.at < p.end && p.r[p.at] == '⁻' {
			sign = -1
			p.at++
		}
		for p.at < p.end {
			n := strings.IndexRune(superscripts, p.r[p.at])
			if n < 0 {
				break
			}
			digits += string(rune('0' + len([]rune(superscripts[:n]))))
			p.at++
		}
		if p.at == start {
			return 1, nil
		}
	}
	n, err := strconv.Atoi(digits)
	if err != nil || n < 1 || n > maxPower || sign < 0 && p.afterSlash {
		right := fmt.Sprintf("write a whole number from 1 to %d, such as mm² or mm^2", maxPower)
		return 0, &Error{start, "bad exponent of a unit", right}
	}
	return sign * n, nil
}

func (p *unitReader) digits() string {
	start := p.at
	for p.at < p.end && isDigit(p.r[p.at]) {
		p.at++
	}
	return string(p.r[start:p.at])
}

func (p *unitReader) ambiguous() *Error {
	return &Error{p.at, "a product after / can be read in two ways", "repeat the / instead, such as µm/m/K"}
}

func (p *unitReader) badScale(at int) *Error {
	return &Error{at, "a number in a unit can only be 10 or 100 before a degree, such as %/10K", p.kind.write()}
}

func (p *unitReader) unexpected() *Error {
	if p.at >= p.end {
		return &Error{p.at, "the unit breaks off", p.kind.write()}
	}
	return &Error{p.at, fmt.Sprintf("unexpected %q in a unit", string(p.r[p.at])), p.kind.write()}
}

// unknown names the known unit nearest to word.
func (p *unitReader) unknown(word string, at int) *Error {
	near := ""
	if at == p.whole && p.at == p.end {
		near = nearestUnit(word, ownWords(p.kind))
	}
	if near == "" {
		near = nearestUnit(word, atomNames)
	}
	wrong := fmt.Sprintf("unknown unit %q", short(word))
	if near != "" {
		wrong += ", the nearest known is " + near
	}
	return &Error{at, wrong, p.kind.write()}
}

// nearestUnit is Nearest, but a degree sign left out comes first.
func nearestUnit(word string, known []string) string {
	for _, name := range known {
		if name == "°"+word {
			return name
		}
	}
	return Nearest(word, known)
}

// ownWords are the units of k that are one word.
func ownWords(k Kind) []string {
	var own []string
	for _, name := range atomNames {
		a := atoms[name]
		if k.check(unit{dim: a.dim, family: a.family, zero: a.zero, difference: a.difference}, 0) == nil {
			own = append(own, name)
		}
	}
	for _, word := range gluedList {
		pair := glued[word]
		if k.check(unit{dim: pair[0].dim.times(pair[1].dim, 1)}, 0) == nil {
			own = append(own, word)
		}
	}
	return own
}

// short cuts a word for a message.
func short(word string) string {
	const most = 24
	if r := []rune(word); len(r) > most {
		return string(r[:most]) + "…"
	}
	return word
}

// scaleName is the sign of a temperature scale.
func scaleName(a *atom) string {
	if a.ratio.Cmp(one) == 0 {
		return "°C"
	}
	return "°F"
}

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

func isDigit(c rune) bool { return c >= '0' && c <= '9' }

func isWordRune(c rune) bool {
	return unicode.IsLetter(c) || strings.ContainsRune("°%‰∆℃℉_#", c)
}

func isProductSign(c rune) bool { return strings.ContainsRune("·⋅*.-‐‑", c) }

// normal writes the doubles of a letter in one way.
func normal(word []rune) string {
	out := make([]rune, len(word))
	for i, c := range word {
		switch c {
		case 'μ': // U+03BC greek letter
			c = 'µ' // U+00B5 micro sign
		case '\u2126': // ohm sign
			c = 'Ω'
		case '∆': // U+2206 increment
			c = 'Δ'
		}
		out[i] = c
	}
	return string(out)
}

// trim returns the bounds of r[from:to] without the white space around it
// (no-break and thin spaces too).
func trim(r []rune, from, to int) (int, int) {
	for from < to && unicode.IsSpace(r[from]) {
		from++
	}
	for from < to && unicode.IsSpace(r[to-1]) {
		to--
	}
	return from, to
}

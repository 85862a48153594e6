package schema

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"

	"gridwright/internal/quantity"
)

// sign is which numbers a pattern takes.
type sign int

const (
	anyNumber sign = iota
	notZero
	notNegative
	positive
)

const (
	unsigned = `(?:(?:[1-9][0-9]+|[0-9])(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+−-]?[0-9]+)?`
	nonzero  = `(?:[1-9][0-9]*(?:\.[0-9]*)?|0?\.0*[1-9][0-9]*)(?:[eE][+−-]?[0-9]+)?`
	coverage = `(?:\s*\(\s*k\s*=\s*` + nonzero + `\s*\))?`
)

var numbers = [...]string{anyNumber: `[+−-]?` + unsigned, notZero: `[+−-]?` + nonzero, notNegative: `\+?` + unsigned, positive: `\+?` + nonzero}

// pattern is a regular expression, in the common part of ECMA-262 and RE2, for a
// quantity as quantity.Parse reads it: a number, a unit of its kind, and
// optionally a tolerance. It leaves aside whether the numbers fit a float64, a
// temperature lies above absolute zero, and -0 where no negative is wanted.
func pattern(k quantity.Kind, s sign) string {
	tolerance := func(units string) string {
		return `(?:\s*(?:±|\+/?[−-])\s*` + unsigned + `(?:\s*(?:` + units + `))?` + coverage + `)?`
	}
	if k == quantity.Number {
		return `^\s*` + numbers[s] + tolerance("%") + `\s*$`
	}
	unit := units(k)
	if k == quantity.Temperature { // its tolerance is a difference, and % only of what counts from absolute zero
		return `^\s*` + numbers[s] + `\s*(?:K` + tolerance(units(quantity.TemperatureDifference)+"|%") + `|(?:` + unit + `)` +
			tolerance(units(quantity.TemperatureDifference)) + `)\s*$`
	}
	return `^\s*` + numbers[s] + `\s*(?:` + unit + `)` + tolerance(unit+"|%") + `\s*$`
}

var unitPatterns sync.Map // of string, by kind

// units is a pattern for the units of a kind: its single words, and for every
// product of quantity.Units the same product of all words that may stand in each
// place. Which may, quantity.Parse says.
func units(k quantity.Kind) string {
	if p, ok := unitPatterns.Load(k); ok {
		return p.(string)
	}
	var single []string
	var products []string
	var done []*regexp.Regexp
	for _, spelling := range quantity.Units(k) {
		if isWord(spelling) {
			single = append(single, spelling)
			continue
		}
		if slices.ContainsFunc(done, func(r *regexp.Regexp) bool { return r.MatchString(spelling) }) {
			continue
		}
		p := product(spelling, k)
		products = append(products, p)
		done = append(done, regexp.MustCompile("^(?:"+p+")$"))
	}
	all := append([]string(nil), products...)
	if len(single) > 0 {
		all = append([]string{oneOf(single)}, all...)
	}
	p := strings.Join(all, "|")
	unitPatterns.Store(k, p)
	return p
}

func isWordRune(c rune) bool { return unicode.IsLetter(c) || strings.ContainsRune("°%℃℉", c) }

func isWord(s string) bool {
	return strings.IndexFunc(s, func(c rune) bool { return !isWordRune(c) }) < 0
}

// factor is one word of a product with what stands before and behind it.
type factor struct {
	before string // the signs and spaces before it
	word   string
	power  string // as written
}

var factorOf = regexp.MustCompile(`^((?:1?\s*/\s*(?:100?\s*)?|[·⋅*.\-\s]+)?)([\p{L}°%℃℉]+)(\^?[-−]?[0-9]|⁻?[¹²³⁴])?`)

// take splits a unit into its factors.
func take(spelling string) []factor {
	var out []factor
	for spelling != "" {
		m := factorOf.FindStringSubmatch(spelling)
		if m == nil {
			return nil
		}
		out = append(out, factor{m[1], m[2], m[3]})
		spelling = spelling[len(m[0]):]
	}
	return out
}

func write(factors []factor) string {
	var b strings.Builder
	for _, f := range factors {
		b.WriteString(f.before + f.word + f.power)
	}
	return b.String()
}

func product(spelling string, k quantity.Kind) string {
	factors := take(spelling)
	accepted := func(i int, f factor) bool {
		other := append([]factor(nil), factors...)
		other[i] = f
		_, err := quantity.Parse("1 "+write(other), k)
		return err == nil
	}
	var b strings.Builder
	for i, f := range factors {
		var fit []string
		for _, w := range words() {
			if accepted(i, factor{f.before, w, f.power}) {
				fit = append(fit, w)
			}
		}
		slash := strings.Contains(f.before, "/")
		switch {
		case slash && i == 0:
			b.WriteString(`(?:1\s*)?/\s*`)
		case slash:
			b.WriteString(`\s*/\s*`)
		case i > 0:
			b.WriteString(`(?:\s*[·⋅*.‐‑-]\s*|\s+)`)
		}
		if slash && accepted(i, factor{"/10", f.word, f.power}) {
			b.WriteString(`(?:100?\s*)?`)
		}
		b.WriteString(oneOf(fit))
		b.WriteString(power(f.power))
	}
	return b.String()
}

// power is every way to write an exponent.
func power(written string) string {
	if written == "" {
		return ""
	}
	digit := strings.Trim(strings.NewReplacer("¹", "1", "²", "2", "³", "3", "⁴", "4").Replace(written), "^-−⁻")
	super := map[string]string{"1": "¹", "2": "²", "3": "³", "4": "⁴"}[digit]
	if strings.ContainsAny(written, "-−⁻") {
		return `(?:\^[−-]` + digit + `|⁻` + super + `)`
	}
	return `(?:\^?` + digit + `|` + super + `)`
}

// words is every word of a unit: those of the table, and two written as one.
var words = sync.OnceValue(func() []string {
	var list []string
	seen := map[string]bool{}
	add := func(w string) {
		if !seen[w] {
			seen[w] = true
			list = append(list, w)
		}
	}
	for _, k := range quantity.Kinds() {
		for _, spelling := range quantity.Units(k) {
			for _, f := range take(spelling) {
				add(f.word)
			}
		}
	}
	for _, a := range append(quantity.Units(quantity.Force), quantity.Units(quantity.Mass)...) {
		for _, b := range quantity.Units(quantity.Length) {
			if isWord(a) && isWord(b) {
				add(a + b)
				add(b + a)
			}
		}
	}
	return list
})

// doubles are the letters that have two code points.
var doubles = strings.NewReplacer("µ", "[µ\u03bc]", "Ω", "[Ω\u2126]", "Δ", "[Δ\u2206]")

func oneOf(list []string) string {
	quoted := make([]string, len(list))
	for i, w := range list {
		quoted[i] = doubles.Replace(regexp.QuoteMeta(w))
	}
	if len(quoted) == 1 {
		return quoted[0]
	}
	return "(?:" + strings.Join(quoted, "|") + ")"
}

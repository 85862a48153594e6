package schema

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/quantity"
)

// The pattern takes what the reader of quantities takes, and nothing else, for
// every spelling of a unit that the table lists and every way to write a number
// and a tolerance.
func TestPatternsAgreeWithTheReader(t *testing.T) {
	kinds := quantity.Kinds()
	compiled := map[quantity.Kind]*regexp.Regexp{}
	var everyUnit []string
	for _, k := range kinds {
		compiled[k] = regexp.MustCompile(pattern(k, anyNumber))
		for _, u := range quantity.Units(k) {
			everyUnit = append(everyUnit, u)
			if !compiled[k].MatchString("1 "+u) || !compiled[k].MatchString("2.5"+u+" ± 3 %") && k != quantity.Temperature {
				t.Errorf("%v: the pattern misses %s", k, u)
			}
		}
	}
	everyUnit = append(everyUnit, "", "kgmm²", "kgf·mm", "lbf·in/deg", "lb in", "N·m·m", "mm/mm", "kN mm", "mV/mV", "1 / K", "%/ 10 K", "Δ°F/°C")
	numbers := []string{"1", "0", "-3", "−2", "+4", "1.5", ".5", "5.", "1e7", "4E-07", "1e−3", "012", "0x1F", "1_000", "1,5", "1.2.3", "nan", "", "e5", "00.5", "1e"}
	rapid.Check(t, func(rt *rapid.T) {
		k := rapid.SampledFrom(kinds).Draw(rt, "kind")
		units := everyUnit
		if rapid.Bool().Draw(rt, "own unit") {
			units = append(quantity.Units(k), "")
		}
		u := rapid.SampledFrom(units).Draw(rt, "unit")
		for _, swap := range [][2]string{{"·", "*"}, {"·", " "}, {"²", "^2"}, {"µ", "μ"}, {"Ω", "\u2126"}, {"/", " / "}, {"-", "·"}} {
			if rapid.IntRange(0, 3).Draw(rt, "swap") == 0 {
				u = strings.ReplaceAll(u, swap[0], swap[1])
			}
		}
		if strings.HasPrefix(u, "1") {
			u = " " + u // 51/K is 51 per kelvin, not 5 of 1/K
		}
		s := rapid.SampledFrom(numbers).Draw(rt, "number") + rapid.SampledFrom([]string{"", " ", "  "}).Draw(rt, "space") + u
		if rapid.Bool().Draw(rt, "tolerance") {
			s += rapid.SampledFrom([]string{" ± ", "±", "+-", " +/- ", " + ", " ± -"}).Draw(rt, "sign") +
				rapid.SampledFrom(numbers).Draw(rt, "half") + rapid.SampledFrom([]string{"", " %", " " + u, " K", " mm"}).Draw(rt, "half's unit") +
				rapid.SampledFrom([]string{"", " (k=2)", "(k = 1.96)", " (k=0)", " (2)"}).Draw(rt, "coverage")
		}
		_, err := quantity.Parse(s, k)
		if err != nil && strings.Contains(err.Error(), "absolute zero") {
			return
		}
		if got := compiled[k].MatchString(s); got != (err == nil) {
			rt.Fatalf("%v %q: the pattern says %v, the reader %v", k, s, got, err)
		}
	})
}

func TestPatternsOfSign(t *testing.T) {
	for _, c := range []struct {
		s        sign
		yes, not string
	}{
		{anyNumber, "-1 mm;0 mm;−0.5 mm;+1e3 mm", "1;mm"},
		{notZero, "-1 mm;0.05 mm;.050 mm;10 mm", "0 mm;0.00 mm;0e5 mm;-0 mm"},
		{notNegative, "0 mm;1 mm;+2 mm;0.0 mm", "-1 mm;−1 mm"},
		{positive, "0.01 mm;5. mm;1e-3 mm", "0 mm;-1 mm;0.0 mm;.0 mm"},
	} {
		re := regexp.MustCompile(pattern(quantity.Length, c.s))
		for _, s := range strings.Split(c.yes, ";") {
			if !re.MatchString(s) {
				t.Errorf("sign %d refuses %s", c.s, s)
			}
		}
		for _, s := range strings.Split(c.not, ";") {
			if re.MatchString(s) {
				t.Errorf("sign %d takes %s", c.s, s)
			}
		}
	}
}

package readout

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var decimal = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// sameNumber checks a whole text against package strconv, to the last bit.
func sameNumber(t interface{ Fatalf(string, ...any) }, text string) {
	v, n := scanNumber([]byte(text), '.')
	whole := n > 0 && n == len(text)
	if whole != decimal.MatchString(text) {
		t.Fatalf("%q: %d bytes of %d read", text, n, len(text))
	}
	if !whole {
		return
	}
	want, _ := strconv.ParseFloat(text, 64)
	if math.Float64bits(v) != math.Float64bits(want) {
		t.Fatalf("%q: %x here, %x by strconv", text, v, want)
	}
	comma := strings.Replace(text, ".", ",", 1)
	if w, n := scanNumber([]byte(comma), ','); n != len(comma) || math.Float64bits(w) != math.Float64bits(want) {
		t.Fatalf("%q: %x, %d bytes", comma, w, n)
	}
}

func TestScanNumberIsStrconv(t *testing.T) {
	for _, text := range []string{
		"", "-", ".", "-.", "+.5", "5.", "0", "-0", "1e5", "1e", "1e+", "1e-5x", "1.2.3", "nan", "inf", "0x1p3", "1_000", " 1", "1 ",
		"9007199254740992", "9007199254740993", "9007199254740991e22", "9007199254740993e22", "1e22", "1e23", "1e-22", "1e-23",
		"1e308", "1.8e308", "1e309", "4.9e-324", "2e-324", "1e-400", "1e99999999999999999999", "1e-99999999999999999999", "0e99999999999999999999",
		"0.000000000000000000000000000000000000001", "18446744073709551615", "18446744073709551616", "99999999999999999999999999",
		"123456789012345678.9", "0.1234567890123456789", "2.2250738585072011e-308", "6929495644600919.5", "3.7455744005952583e15",
	} {
		sameNumber(t, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		switch rapid.IntRange(0, 3).Draw(t, "form") {
		case 0:
			sameNumber(t, rapid.StringMatching(`[+-]?[0-9]{0,25}\.?[0-9]{0,25}([eE][+-]?[0-9]{1,4})?`).Draw(t, "text"))
		case 1:
			sameNumber(t, strconv.FormatFloat(rapid.Float64().Draw(t, "v"), 'g', -1, 64))
		case 2:
			sameNumber(t, strconv.FormatFloat(rapid.Float64Range(-10, 10).Draw(t, "v"), 'f', rapid.IntRange(0, 18).Draw(t, "digits"), 64))
		default:
			sameNumber(t, rapid.StringMatching(`[0-9+.eE,x -]{0,12}`).Draw(t, "junk"))
		}
	})
}

// sameText checks appendNumber against strconv, byte for byte.
func sameText(t interface{ Fatalf(string, ...any) }, v float64, digits int) {
	precision := digits
	if digits == 0 {
		precision = -1
	}
	want := strconv.FormatFloat(v, 'g', precision, 64)
	if got := string(appendNumber(nil, v, digits, '.')); got != want {
		t.Fatalf("%x to %d digits: %s here, %s by strconv", v, digits, got, want)
	}
	want = strings.Replace(want, ".", ",", 1)
	if got := string(appendNumber([]byte("a.b;"), v, digits, ',')); got != "a.b;"+want {
		t.Fatalf("%x to %d digits with a comma: %s here, %s by strconv", v, digits, got, want)
	}
}

func TestAppendNumberIsStrconv(t *testing.T) {
	for digits := 0; digits <= 17; digits++ {
		for _, v := range []float64{0, math.Copysign(0, -1), 1, 0.5, 0.25, 0.125, 2.5, 12.5, 125, 1e5, 1e6, 1e7, 999999.5, 9999999.5, 0.00099999995,
			0.0001, 0.00001, 9.99999995e-5, 1e-15, 9.9e-16, 1e15, 999999999999999.9, 1e21, 1e22, 1e23, 5e-324, math.MaxFloat64, 0.3, 0.1, 1.0 / 3,
			math.Nextafter(1, 0), math.Nextafter(10, 0), math.Nextafter(0.1, 0), math.Nextafter(1e-4, 0), math.Inf(1), math.NaN()} {
			sameText(t, v, digits)
			sameText(t, -v, digits)
		}
		for e := -18; e <= 18; e++ { // both sides of every power of ten
			p := math.Pow(10, float64(e))
			for _, v := range []float64{p, math.Nextafter(p, 0), math.Nextafter(p, math.Inf(1)), 0.5 * p, 1.5 * p, p * (1 - 0.5e-7)} {
				sameText(t, v, digits)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.IntRange(0, 17).Draw(t, "digits")
		sameText(t, rapid.Float64().Draw(t, "any"), digits)
		sameText(t, rapid.Float64Range(-2000, 2000).Draw(t, "load"), digits)
		// halfway between two texts, or next to it
		n := rapid.Int64Range(1, 1e9).Draw(t, "n")
		tie := (float64(n) + 0.5) * math.Pow(2, float64(rapid.IntRange(-12, 12).Draw(t, "power")))
		sameText(t, tie, digits)
		sameText(t, math.Nextafter(tie, 0), digits)
	})
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200_000 {
		v := math.Float64frombits(rng.Uint64())
		if math.IsNaN(v) {
			continue
		}
		sameText(t, v, 7)
		sameText(t, rng.NormFloat64()*300, 1+rng.IntN(15))
	}
}

func FuzzScanNumber(f *testing.F) {
	for _, s := range []string{"0.1", "-1e-5", "9007199254740993", "1.", ".5e", "+"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { sameNumber(t, text) })
}

func FuzzAppendNumber(f *testing.F) {
	f.Add(math.Float64bits(0.1), 7)
	f.Add(math.Float64bits(9999999.5), 7)
	f.Fuzz(func(t *testing.T, bits uint64, digits int) {
		if v := math.Float64frombits(bits); digits >= 0 && digits <= 17 {
			sameText(t, v, digits)
		}
	})
}

//go:build crosscheck

package quantity

import (
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// gnuNames are the names of this package's atoms in GNU units (Debian package
// units), written by hand, not derived from this package.
var gnuNames = map[string]string{
	"m": "meter", "mm": "millimeter", "cm": "centimeter", "µm": "micrometer", "um": "micrometer",
	"in": "inch", "inch": "inch", "µin": "microinch", "uin": "microinch", "ft": "foot", "mil": "mil", "thou": "mil",
	"N": "newton", "kN": "kilonewton", "MN": "meganewton", "daN": "dekanewton", "cN": "centinewton", "mN": "millinewton", "µN": "micronewton", "uN": "micronewton",
	"lbf": "lbf", "kip": "kip", "klbf": "kilolbf", "ozf": "ounce force", "kgf": "kgf", "gf": "gram force",
	"Pa": "pascal", "hPa": "hectopascal", "kPa": "kilopascal", "MPa": "megapascal", "GPa": "gigapascal", "bar": "bar", "mbar": "millibar",
	"psi": "psi", "ksi": "ksi", "kpsi": "kilopsi", "Msi": "megapsi", "Mpsi": "megapsi",
	"°": "degree", "deg": "degree", "rad": "radian", "mrad": "milliradian", "µrad": "microradian", "urad": "microradian", "rev": "revolution", "rpm": "rpm",
	"K": "kelvin", "°C": "degC", "degC": "degC", "℃": "degC", "°F": "degF", "degF": "degF", "℉": "degF", "Δ°C": "degC", "Δ℃": "degC", "Δ°F": "degF", "Δ℉": "degF",
	"%": "percent", "ppm": "ppm", "µε": "(micrometer/meter)", "ue": "(micrometer/meter)", "uε": "(micrometer/meter)", "µe": "(micrometer/meter)", "microstrain": "(micrometer/meter)",
	"Ω": "ohm", "ohm": "ohm", "Ohm": "ohm", "mΩ": "milliohm", "µΩ": "microohm", "uΩ": "microohm",
	"kΩ": "kiloohm", "kohm": "kiloohm", "kOhm": "kiloohm", "MΩ": "megaohm", "Mohm": "megaohm", "MOhm": "megaohm", "GΩ": "gigaohm", "Gohm": "gigaohm", "GOhm": "gigaohm",
	"V": "volt", "mV": "millivolt", "µV": "microvolt", "uV": "microvolt", "nV": "nanovolt",
	"W": "watt", "kW": "kilowatt", "mW": "milliwatt", "µW": "microwatt", "uW": "microwatt",
	"kg": "kilogram", "g": "gram", "mg": "milligram", "lb": "pound", "lbm": "pound", "oz": "ounce",
	"Hz": "hertz", "kHz": "kilohertz", "MHz": "megahertz", "s": "second", "ms": "millisecond", "µs": "microsecond", "us": "microsecond", "min": "minute", "h": "hour",
}

// gnuGlued are the products that this package reads in one word.
var gnuGlued = map[string]string{
	"Nm": "N m", "Ncm": "N cm", "Nmm": "N mm", "kNm": "kN m", "kNcm": "kN cm", "kNmm": "kN mm", "MNm": "MN m", "MNmm": "MN mm",
	"daNm": "daN m", "cNm": "cN m", "cNcm": "cN cm", "mNm": "mN m", "mNmm": "mN mm", "µNm": "µN m", "uNm": "uN m",
	"kgfm": "kgf m", "kgfcm": "kgf cm", "kgfmm": "kgf mm", "gfcm": "gf cm",
	"lbfin": "lbf in", "lbfft": "lbf ft", "ozfin": "ozf in", "kipin": "kip in", "kipft": "kip ft",
	"inlbf": "in lbf", "ftlbf": "ft lbf", "inozf": "in ozf", "inkip": "in kip", "ftkip": "ft kip",
	"kgm": "kg m",
}

// toGNU rewrites a spelling of this package for GNU units, with none of the
// package's own code.
func toGNU(spelling string) (string, error) {
	s := spelling
	for glue, apart := range gnuGlued {
		for _, end := range []string{"", "²", "2", "/"} {
			if s == glue+end || end == "/" && strings.HasPrefix(s, glue+end) {
				s = apart + strings.TrimPrefix(s, glue)
				break
			}
		}
	}
	s = strings.NewReplacer("⁻¹", "^-1", "^-1", "^-1", "-", " ", "·", " ", "*", " ", ".", " ", "²", "^2", "³", "^3", "⁴", "^4").Replace(s)
	var parts []string
	for i, quotient := range strings.Split(s, "/") {
		var words []string
		for _, w := range strings.Fields(quotient) {
			number := ""
			for _, n := range []string{"100", "10"} {
				if i > 0 && strings.HasPrefix(w, n) {
					number, w = n, strings.TrimPrefix(w, n)
					break
				}
			}
			if number != "" {
				words = append(words, number)
			}
			if w == "" || w == "1" {
				continue
			}
			power := ""
			if base, p, ok := strings.Cut(w, "^"); ok {
				w, power = base, "^"+p
			} else if last := w[len(w)-1]; last >= '2' && last <= '4' {
				w, power = w[:len(w)-1], "^"+string(last)
			}
			name, ok := gnuNames[w]
			if !ok {
				return "", fmt.Errorf("no name for %q of %q in GNU units", w, spelling)
			}
			words = append(words, "("+name+")"+power)
		}
		part := strings.Join(words, " ")
		if part == "" {
			part = "1"
		}
		parts = append(parts, "("+part+")")
	}
	return strings.Join(parts, " / "), nil
}

// siNames are the SI units of the kinds for GNU units, where plane angles are
// numbers.
var siNames = map[Kind]string{
	Length: "m", Angle: "1", Force: "N", Moment: "N m", Stress: "Pa", Temperature: "K", TemperatureDifference: "K", TemperatureGradient: "K/m",
	Ratio: "1", Strain: "1", PerKelvin: "1/K", Resistance: "ohm", Voltage: "V", VoltageRatio: "1", Power: "W", PowerDensity: "W/m^2",
	Mass: "kg", Density: "kg/m^3", Inertia: "kg m^2", Frequency: "1/s", Time: "s", RotationalSpeed: "1/s", Area: "m^2", Volume: "m^3",
	SecondMoment: "m^4", TorsionalStiffness: "N m", AxialStiffness: "N/m", BendingStiffness: "N m^2",
}

func runGNU(t *testing.T, from, to string) float64 {
	t.Helper()
	out, err := exec.Command("units", "-t", "-1", "-o", "%.17g", from, to).CombinedOutput()
	if err != nil {
		t.Fatalf("units %q %q: %v: %s(this test needs GNU units, Debian package units)", from, to, err, out)
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	if err != nil {
		t.Fatalf("units %q %q: %s", from, to, out)
	}
	return x
}

// Every spelling of every kind, and by that every atom, against GNU units.
func TestAgainstGNUUnits(t *testing.T) {
	used := map[string]bool{}
	for _, k := range Kinds()[1:] {
		for _, spelling := range Units(k) {
			v, err := Parse("1 "+spelling, k)
			if err != nil {
				t.Error(err)
				continue
			}
			used[spelling] = true
			expr, err := toGNU(spelling)
			if err != nil {
				t.Error(err)
				continue
			}
			var want float64
			switch {
			case k == Temperature && strings.HasSuffix(spelling, "C") || spelling == "℃":
				want = runGNU(t, "tempC(1)", "K")
			case k == Temperature && (strings.HasSuffix(spelling, "F") || spelling == "℉"):
				want = runGNU(t, "tempF(1)", "K")
			default:
				want = runGNU(t, expr, siNames[k])
			}
			if math.Abs(v.SI-want) > 1e-12*want {
				t.Errorf("1 %s = %.17g %s, GNU units says %.17g (%s)", spelling, v.SI, k.SIUnit(), want, expr)
			}
		}
	}
	for _, name := range atomNames {
		if !used[name] {
			t.Errorf("unit %s belongs to no kind, it was not compared", name)
		}
	}
	t.Logf("%d spellings compared", len(used))
}

package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// near tells whether a and b are within n units in the last place of the larger.
func near(a, b float64, n int) bool {
	most := math.Max(math.Abs(a), math.Abs(b))
	ulp := math.Nextafter(most, math.Inf(1)) - most
	return math.Abs(a-b) <= float64(n)*ulp
}

func kindWithUnit() *rapid.Generator[Kind] {
	return rapid.SampledFrom(Kinds()[1:])
}

func decimal() *rapid.Generator[string] {
	return rapid.StringMatching(`(0|[1-9][0-9]{0,8})(\.[0-9]{1,9})?(e-?[0-9]{1,2})?`)
}

// A metric prefix only moves the decimal point, so the value of any decimal in
// mm is what strconv, which rounds correctly, reads with that exponent.
func TestPrefixRoundsOnce(t *testing.T) {
	exponents := map[string]struct {
		kind  Kind
		power int
	}{"mm": {Length, -3}, "µm": {Length, -6}, "kN": {Force, 3}, "GPa": {Stress, 9}, "mm⁴": {SecondMoment, -12}, "µV/V": {VoltageRatio, -6}, "%/100K": {PerKelvin, -4}}
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.StringMatching(`(0|[1-9][0-9]{0,12})(\.[0-9]{1,12})?`).Draw(t, "number")
		for unit, e := range exponents {
			v, err := Parse(number+" "+unit, e.kind)
			if err != nil {
				t.Fatal(err)
			}
			want, _ := strconv.ParseFloat(fmt.Sprintf("%se%d", number, e.power), 64)
			if v.SI != want {
				t.Fatalf("%s %s = %v, want %v", number, unit, v.SI, want)
			}
		}
	})
}

// What a report prints with 17 digits is what a design file reads back.
func TestFormatThenParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := kindWithUnit().Draw(t, "kind")
		sys := rapid.SampledFrom([]System{SI, US}).Draw(t, "system")
		digits := rapid.SampledFrom([]int{0, 17}).Draw(t, "digits")
		x := rapid.Float64Range(-1e12, 1e12).Draw(t, "si")
		if k == Temperature {
			x = math.Abs(x)
			if x < 1e-9 {
				t.Skip("rounds to below absolute zero on scales with another zero")
			}
		}
		if x != 0 && math.Abs(x) < 1e-290 {
			t.Skip("leaves the range of normal numbers in some unit")
		}
		s := Format(x, k, sys, digits)
		v, err := Parse(s, k)
		if err != nil {
			t.Fatalf("%v → %q: %v", x, s, err)
		}
		if k == Temperature {
			// Near the zero of °C and °F the scale's own zero rounds, and what is
			// within 1e-9 of it is printed as 0.
			if math.Abs(v.SI-x) > 3e-16*math.Max(math.Abs(x), 273.15) && (v.Text[:2] != "0 " || math.Abs(v.SI-x) > 1e-9) {
				t.Fatalf("%v → %q → %v", x, s, v.SI)
			}
		} else if !near(v.SI, x, 2) {
			t.Fatalf("%v → %q → %v", x, s, v.SI)
		}
	})
}

// Convert is the inverse of Parse in every unit of every kind.
func TestParseThenConvert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := kindWithUnit().Draw(t, "kind")
		unit := rapid.SampledFrom(Units(k)).Draw(t, "unit")
		number := decimal().Draw(t, "number")
		v, err := Parse(number+" "+unit, k)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Convert(v.SI, k, unit)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := strconv.ParseFloat(number, 64)
		if k == Temperature {
			if math.Abs(got-want) > 3e-16*math.Max(math.Abs(want), 460) {
				t.Fatalf("%s %s → %v", number, unit, got)
			}
		} else if !near(got, want, 2) {
			t.Fatalf("%s %s → %v", number, unit, got)
		}
	})
}

// A tolerance is the same half-width, whatever unit it is written in.
func TestToleranceInAnyUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := kindWithUnit().Draw(t, "kind")
		difference := k
		if k == Temperature {
			difference = TemperatureDifference
		}
		unit := rapid.SampledFrom(Units(k)).Draw(t, "unit")
		number := rapid.StringMatching(`[1-9][0-9]{0,3}(\.[0-9]{1,3})?`).Draw(t, "number")
		half := rapid.Float64Range(1e-6, 1e3).Draw(t, "half-width")
		v, err := Parse(number+" "+unit, k)
		if err != nil {
			t.Fatal(err)
		}
		other := rapid.SampledFrom(Units(difference)).Draw(t, "unit of the tolerance")
		if other == "%" {
			t.Skip("% of the value: TestToleranceInPercent")
		}
		x, err := Convert(half, difference, other)
		if err != nil {
			t.Fatal(err)
		}
		text := fmt.Sprintf("%s %s ± %v %s", number, unit, x, other)
		w, err := Parse(text, k)
		if err != nil {
			t.Fatal(err)
		}
		if w.SI != v.SI || !near(w.Tolerance, half, 3) {
			t.Fatalf("%q: %v ± %v, want %v ± %v", text, w.SI, w.Tolerance, v.SI, half)
		}
	})
}

// ± p % is p hundredths of the absolute value, and percentage points on a value
// in %.
func TestToleranceInPercent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
		text := rapid.StringMatching(`-?[1-9][0-9]{0,3}(\.[0-9]{1,3})?`).Draw(t, "number")
		unit := ""
		if k != Number {
			unit = rapid.SampledFrom(Units(k)).Draw(t, "unit")
		}
		if k == Temperature {
			unit, text = "K", strings.TrimPrefix(text, "-")
		}
		percent := rapid.IntRange(0, 200).Draw(t, "percent")
		v, err := Parse(fmt.Sprintf("%s %s ± %d %%", text, unit, percent), k)
		if err != nil {
			t.Fatal(err)
		}
		want := math.Abs(v.SI) * float64(percent) / 100
		if unit == "%" {
			want = float64(percent) / 100
		}
		if !near(v.Tolerance, want, 3) {
			t.Fatalf("%s %s ± %d %% gives ± %v, want %v", text, unit, percent, v.Tolerance, want)
		}
	})
}

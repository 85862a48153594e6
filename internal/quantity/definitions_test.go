package quantity

import (
	"math"
	"testing"
)

// Go evaluates constant expressions exactly, so each want below is the exact
// product of the definitions, rounded once: a reference that shares no code
// with the package. Definitions: SI Brochure, 9th ed. (2019), 2.3, 3 and
// table 8 (degree, minute, hour); gn: 3rd CGPM (1901), resolution 2, cited in
// its appendix 1; international inch and pound of 1959 and Fahrenheit: NIST
// SP 811 (2008), appendix B.
const (
	defInch  = 0.0254
	defFoot  = 12 * defInch
	defPound = 0.45359237
	defGn    = 9.80665
	defLbf   = defPound * defGn
	defPsi   = defLbf / (defInch * defInch)
)

var exactCases = []struct {
	text string
	kind Kind
	want float64
}{
	{"3.2 mm", Length, 3.2 * 1e-3},
	{"44.1 µm", Length, 44.1 * 1e-6},
	{"2.3622 in", Length, 2.3622 * defInch},
	{"0.7 ft", Length, 0.7 * defFoot},
	{"3.3 mil", Length, 3.3 * defInch / 1000},
	{"63 µin", Length, 63 * defInch / 1e6},
	{"1.9 lbf", Force, 1.9 * defLbf},
	{"1 lbf", Force, 4.4482216152605},
	{"2.7 kip", Force, 2.7 * 1000 * defLbf},
	{"7.7 ozf", Force, 7.7 * defLbf / 16},
	{"1.3 kgf", Force, 1.3 * defGn},
	{"5.1 gf", Force, 5.1 * defGn / 1000},
	{"0.3 daN", Force, 0.3 * 10},
	{"1.1 lbf·in", Moment, 1.1 * defLbf * defInch},
	{"1 lbf·in", Moment, 0.1129848290276167},
	{"1.7 ft-lbf", Moment, 1.7 * defLbf * defFoot},
	{"1 lbf·ft", Moment, 1.3558179483314004},
	{"1 ozf·in", Moment, 0.00706155181422604375},
	{"3.1 kgf·cm", Moment, 3.1 * defGn / 100},
	{"0.9 N·mm", Moment, 0.9 * 1e-3},
	{"210.3 GPa", Stress, 210.3 * 1e9},
	{"6.3 bar", Stress, 6.3 * 1e5},
	{"94.27 psi", Stress, 94.27 * defPsi},
	{"30.5 Msi", Stress, 30.5 * 1e6 * defPsi},
	{"36.1 ksi", Stress, 36.1 * 1000 * defPsi},
	{"355.3 N/mm²", Stress, 355.3 * 1e6},
	{"1.1 kgf/cm²", Stress, 1.1 * defGn * 1e4},
	{"37.3 °", Angle, 37.3 * math.Pi / 180},
	{"0.13 rev", Angle, 0.13 * 2 * math.Pi},
	{"299.7 rpm", RotationalSpeed, 299.7 * math.Pi / 30},
	{"20.1 °C", Temperature, 20.1 + 273.15},
	{"68.3 °F", Temperature, (68.3 + 459.67) * 5 / 9},
	{"-40 °F", Temperature, 233.15},
	{"-40 °C", Temperature, 233.15},
	{"212 °F", Temperature, 373.15},
	{"-459.67 °F", Temperature, 0},
	{"0 K", Temperature, 0},
	{"2.3 Δ°F", TemperatureDifference, 2.3 * 5 / 9.0},
	{"2.3 Δ°C", TemperatureDifference, 2.3},
	{"1.7 Δ°F/in", TemperatureGradient, 1.7 * 5 / 9.0 / defInch},
	{"0.37 %", Ratio, 0.37 / 100},
	{"57 ppm", Ratio, 57 * 1e-6},
	{"1234 µε", Strain, 1234 * 1e-6},
	{"1234 uin/in", Strain, 1234 * 1e-6},
	{"6.3 ppm/°F", PerKelvin, 6.3 * 1e-6 * 9 / 5.0},
	{"0.7 %/10K", PerKelvin, 0.7 * 1e-3},
	{"1.2 %/100 K", PerKelvin, 1.2 * 1e-4},
	{"0.3 %/100°F", PerKelvin, 0.3 * 1e-4 * 9 / 5.0},
	{"11.3 µm/m/°C", PerKelvin, 11.3 * 1e-6},
	{"0.7 MΩ", Resistance, 0.7 * 1e6},
	{"0.7 µV", Voltage, 0.7 * 1e-6},
	{"1.7 µV/V", VoltageRatio, 1.7 * 1e-6},
	{"3.1 W/in²", PowerDensity, 3.1 / (defInch * defInch)},
	{"3.1 mW/mm²", PowerDensity, 3.1 * 1e3},
	{"1.1 oz", Mass, 1.1 * defPound / 16},
	{"0.284 lb/in³", Density, 0.284 * defPound / (defInch * defInch * defInch)},
	{"7.3 lb·ft²", Inertia, 7.3 * defPound * defFoot * defFoot},
	{"7.3 lbf·in·s²", Inertia, 7.3 * defLbf * defInch},
	{"7.1 h", Time, 7.1 * 3600},
	{"1.7 in⁴", SecondMoment, 1.7 * defInch * defInch * defInch * defInch},
	{"9.3 mm⁴", SecondMoment, 9.3 * 1e-12},
	{"1.7 lbf·in/°", TorsionalStiffness, 1.7 * defLbf * defInch * 180 / math.Pi},
	{"9.1 lbf/in", AxialStiffness, 9.1 * defLbf / defInch},
	{"9.1 lbf·in²", BendingStiffness, 9.1 * defLbf * defInch * defInch},
}

func TestExactDefinitions(t *testing.T) {
	for _, c := range exactCases {
		v, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if v.SI != c.want {
			t.Errorf("%s = %v %s, want %v", c.text, v.SI, c.kind.SIUnit(), c.want)
		}
	}
}

// Conversion factors of NIST SP 811 (2008), appendix B.8, to its seven digits;
// the digits are from memory.
func TestPrintedFactors(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want float64
	}{
		{"1 lbf·in", Moment, 1.129848e-01},
		{"1 lbf·ft", Moment, 1.355818},
		{"1 ozf·in", Moment, 7.061552e-03},
		{"1 lbf", Force, 4.448222},
		{"1 kip", Force, 4.448222e+03},
		{"1 ozf", Force, 2.780139e-01},
		{"1 psi", Stress, 6.894757e+03},
		{"1 ksi", Stress, 6.894757e+06},
		{"1 kgf/cm²", Stress, 9.80665e+04},
		{"1 lb/in³", Density, 2.767990e+04},
		{"1 lb/ft³", Density, 1.601846e+01},
		{"1 lb·ft²", Inertia, 4.214011e-02},
		{"1 lb·in²", Inertia, 2.926397e-04},
		{"1 in⁴", SecondMoment, 4.162314e-07},
		{"1 in³", Volume, 1.638706e-05},
		{"1 in²", Area, 6.4516e-04},
		{"1 W/in²", PowerDensity, 1.550003e+03},
		{"1 lbf/in", AxialStiffness, 1.751268e+02},
		{"1 oz", Mass, 2.834952e-02},
		{"1 rpm", RotationalSpeed, 1.047198e-01},
		{"1 °", Angle, 1.745329e-02},
	} {
		v, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		half := 0.5 * math.Pow(10, math.Floor(math.Log10(c.want))-6)
		if math.Abs(v.SI-c.want) > 1.01*half {
			t.Errorf("%s = %.9g %s, printed %.7g", c.text, v.SI, c.kind.SIUnit(), c.want)
		}
	}
}

// The kinds themselves must agree: each kind's SI unit has ratio 1, each report
// unit, example and listed unit is a unit of it.
func TestKinds(t *testing.T) {
	if _, err := Parse("1", 0); err == nil {
		t.Error("the zero Kind was accepted")
	}
	if _, err := Parse("1", kindEnd); err == nil {
		t.Error("a Kind past the last was accepted")
	}
	for _, k := range Kinds() {
		if _, err := Parse(k.Example(), k); err != nil {
			t.Errorf("%s: example: %v", k, err)
		}
		if k == Number {
			continue
		}
		switch k {
		case Ratio: // its SI unit is 1, which is not written
		default:
			if v, err := Parse("1 "+k.SIUnit(), k); err != nil || v.SI != 1 {
				t.Errorf("1 %s as a %s = %v, %v", k.SIUnit(), k, v.SI, err)
			}
		}
		for _, sys := range []System{SI, US} {
			if _, err := Parse("1 "+k.Unit(sys), k); err != nil {
				t.Errorf("%s: report unit: %v", k, err)
			}
		}
		row := kindRows[k]
		listed := map[string]bool{}
		for _, u := range Units(k) {
			if listed[u] {
				t.Errorf("%s: %s is listed twice", k, u)
			}
			listed[u] = true
		}
		for _, u := range append(append([]string{}, row.shown...), row.more...) {
			if !listed[u] {
				_, err := Parse("1 "+u, k)
				t.Errorf("%s: %s of its table is not a unit of it: %v", k, u, err)
			}
		}
	}
}

// Every unit is accepted by the kinds named here and by no other.
func TestUnitsOfOtherKinds(t *testing.T) {
	shared := map[string][]Kind{
		"%": {Ratio, Strain}, "ppm": {Ratio, Strain}, "K": {Temperature, TemperatureDifference},
	}
	for _, k := range Kinds() {
		for _, u := range Units(k) {
			for _, other := range Kinds() {
				want := other == k
				for _, s := range shared[u] {
					want = want || s == other
				}
				if _, err := Parse("1 "+u, other); (err == nil) != want {
					t.Errorf("1 %s (a unit of %s) as a %s: %v", u, k, other, err)
				}
			}
		}
	}
}

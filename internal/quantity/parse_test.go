package quantity

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// The spellings of a unit that must mean the same: SI value of one of each.
// The numbers are the definitions; see definitions_test.go for their sources.
var spellings = []struct {
	kind Kind
	si   float64
	text []string
}{
	{Length, 1, []string{"m"}},
	{Length, 1e-3, []string{"mm"}},
	{Length, 1e-2, []string{"cm"}},
	{Length, 1e-6, []string{"µm", "μm", "um"}},
	{Length, 0.0254, []string{"in", "inch"}},
	{Length, 0.3048, []string{"ft"}},
	{Length, 2.54e-5, []string{"mil", "thou"}},
	{Force, 1, []string{"N"}},
	{Force, 1e3, []string{"kN"}},
	{Force, 1e6, []string{"MN"}},
	{Force, 4.4482216152605, []string{"lbf"}},
	{Force, 9.80665, []string{"kgf"}},
	{Force, 4448.2216152605, []string{"kip", "klbf"}},
	{Moment, 1, []string{"N·m", "N⋅m", "N*m", "N.m", "N m", "N\u00a0m", "Nm", "N-m", "N · m", "N * m", "m·N", "m N"}},
	{Moment, 1e3, []string{"kN·m", "kNm", "kN m"}},
	{Moment, 1e-3, []string{"N·mm", "Nmm", "N mm", "N*mm", "mN·m", "mNm", "mm·N"}},
	{Moment, 0.1129848290276167, []string{"lbf·in", "in-lbf", "lbf-in", "lbf in", "lbf*in", "lbf.in", "in·lbf", "inlbf", "lbfin", "in‐lbf", "in\u2011lbf"}},
	{Moment, 1.3558179483314004, []string{"lbf·ft", "ft-lbf", "lbf ft", "lbf-ft", "ft·lbf", "ftlbf", "lbfft"}},
	{Moment, 9.80665, []string{"kgf·m", "kgf m", "kgfm"}},
	{Stress, 1, []string{"Pa", "N/m²", "N/m2", "N/m^2"}},
	{Stress, 1e3, []string{"kPa"}},
	{Stress, 1e6, []string{"MPa", "N/mm²", "N/mm2", "N/mm^2", "N / mm²", "MN/m²", "N mm⁻²", "N·mm^-2", "N·mm^−2"}},
	{Stress, 1e9, []string{"GPa", "kN/mm²"}},
	{Stress, 1e5, []string{"bar"}},
	{Stress, 6894.757293168361, []string{"psi", "lbf/in²", "lbf/in^2", "lbf/in2", "lbf/in/in"}},
	{Stress, 6894757.293168361, []string{"ksi", "kpsi", "kip/in²"}},
	{Stress, 6894757293.168361, []string{"Msi", "Mpsi"}},
	{Angle, math.Pi / 180, []string{"°", "deg"}},
	{Angle, 1, []string{"rad"}},
	{Angle, 1e-3, []string{"mrad"}},
	{Temperature, 274.15, []string{"°C", "degC", "℃"}},
	{Temperature, 1, []string{"K"}},
	{Temperature, 460.67 * 5 / 9.0, []string{"°F", "degF", "℉"}},
	{TemperatureDifference, 1, []string{"K", "Δ°C", "∆°C"}},
	{TemperatureDifference, 5 / 9.0, []string{"Δ°F", "∆°F"}},
	{PerKelvin, 1, []string{"1/K", "/K", "1 / K", "K⁻¹", "K^-1", "1/°C", "1/Δ°C", "1/degC", "°C⁻¹", "m/m/K"}},
	{PerKelvin, 1e-2, []string{"%/K", "% / K", "%/°C", "%·K⁻¹", "% K⁻¹"}},
	{PerKelvin, 1e-3, []string{"%/10K", "%/10 K", "% / 10 K", "%/10\u00a0K", "%/10°C", "%/10 ℃"}},
	{PerKelvin, 1e-4, []string{"%/100K", "%/100 K"}},
	{PerKelvin, 1e-6, []string{"ppm/K", "ppm/°C", "µε/K", "με/K", "ue/K", "µm/m/K", "um/m/K", "µin/in/K"}},
	{PerKelvin, 1.8e-6, []string{"ppm/°F", "ppm/degF", "µε/°F", "ue/°F", "uin/in/°F"}},
	{PerKelvin, 1.8, []string{"1/°F", "/°F", "1/Δ°F"}},
	{Strain, 1e-6, []string{"µε", "με", "ue", "um/m", "µm/m", "ppm", "uin/in", "µin/in", "microstrain"}},
	{Strain, 1e-2, []string{"%"}},
	{Ratio, 1e-2, []string{"%"}},
	{Ratio, 1e-6, []string{"ppm"}},
	{Resistance, 1, []string{"Ω", "\u2126", "ohm"}},
	{Resistance, 1e3, []string{"kΩ", "k\u2126", "kohm"}},
	{Resistance, 1e6, []string{"MΩ"}},
	{Resistance, 1e9, []string{"GΩ"}},
	{Resistance, 1e-3, []string{"mΩ"}},
	{Voltage, 1, []string{"V"}},
	{Voltage, 1e-3, []string{"mV"}},
	{Voltage, 1e-6, []string{"µV", "μV", "uV"}},
	{VoltageRatio, 1e-3, []string{"mV/V", "mV / V"}},
	{VoltageRatio, 1e-6, []string{"µV/V", "μV/V", "uV/V"}},
	{Power, 1, []string{"W"}},
	{Power, 1e-3, []string{"mW"}},
	{PowerDensity, 1e3, []string{"mW/mm²", "mW/mm2", "mW/mm^2"}},
	{PowerDensity, 1e4, []string{"W/cm²"}},
	{PowerDensity, 1 / (0.0254 * 0.0254), []string{"W/in²", "W/in2"}},
	{Mass, 1, []string{"kg"}},
	{Mass, 1e-3, []string{"g"}},
	{Mass, 0.45359237, []string{"lb"}},
	{Density, 1, []string{"kg/m³", "kg/m3", "kg/m^3"}},
	{Density, 0.45359237 / (0.0254 * 0.0254 * 0.0254), []string{"lb/in³", "lb/in3"}},
	{Inertia, 1, []string{"kg·m²", "kg*m^2", "kg m2", "kg.m²", "kgm²", "N·m·s²"}},
	{Frequency, 1, []string{"Hz", "1/s", "s⁻¹"}},
	{Frequency, 1e3, []string{"kHz"}},
	{Time, 1, []string{"s"}},
	{Time, 60, []string{"min"}},
	{Time, 3600, []string{"h"}},
	{Area, 1e-6, []string{"mm²", "mm2", "mm^2", "mm·mm", "mm mm"}},
	{Volume, 1e-9, []string{"mm³", "mm3", "mm^3"}},
	{SecondMoment, 1e-12, []string{"mm⁴", "mm4", "mm^4"}},
	{TorsionalStiffness, 1, []string{"N·m/rad", "Nm/rad", "N m/rad", "N·m·rad⁻¹"}},
	{RotationalSpeed, math.Pi / 30, []string{"rpm", "rev/min"}},
	{RotationalSpeed, 1, []string{"rad/s"}},
	// The rest of the table of atoms, so that each has a value here.
	{Length, 2.54e-8, []string{"µin", "uin"}},
	{Force, 10, []string{"daN"}},
	{Force, 1e-2, []string{"cN"}},
	{Force, 1e-3, []string{"mN"}},
	{Force, 1e-6, []string{"µN", "uN"}},
	{Force, 4.4482216152605 / 16, []string{"ozf"}},
	{Force, 9.80665e-3, []string{"gf"}},
	{Stress, 100, []string{"hPa", "mbar"}},
	{Angle, 1e-6, []string{"µrad", "urad"}},
	{Angle, 2 * math.Pi, []string{"rev"}},
	{TemperatureDifference, 1, []string{"Δ℃"}},
	{TemperatureDifference, 5 / 9.0, []string{"Δ℉"}},
	{Strain, 1e-6, []string{"uε", "µe"}},
	{Resistance, 1, []string{"Ohm"}},
	{Resistance, 1e3, []string{"kOhm"}},
	{Resistance, 1e6, []string{"Mohm", "MOhm"}},
	{Resistance, 1e9, []string{"Gohm", "GOhm"}},
	{Resistance, 1e-6, []string{"µΩ", "uΩ"}},
	{Voltage, 1e-9, []string{"nV"}},
	{Power, 1e3, []string{"kW"}},
	{Power, 1e-6, []string{"µW", "uW"}},
	{Mass, 1e-6, []string{"mg"}},
	{Mass, 0.45359237, []string{"lbm"}},
	{Mass, 0.45359237 / 16, []string{"oz"}},
	{Frequency, 1e6, []string{"MHz"}},
	{Time, 1e-3, []string{"ms"}},
	{Time, 1e-6, []string{"µs", "us"}},
}

func TestSpellingsHoldEveryAtom(t *testing.T) {
	have := map[string]bool{}
	for _, c := range spellings {
		for _, s := range c.text {
			have[s] = true
		}
	}
	for _, name := range atomNames {
		if !have[name] {
			t.Errorf("no value is stated for the unit %s", name)
		}
	}
}

func TestSpellings(t *testing.T) {
	for _, c := range spellings {
		for _, unit := range c.text {
			for _, space := range []string{" ", "", "\u00a0", "\u2009", "\u202f", "  "} {
				if space == "" && unit[0] == '1' {
					continue // 11/K is eleven per kelvin
				}
				text := "1" + space + unit
				v, err := Parse(text, c.kind)
				if err != nil {
					t.Errorf("%q as a %s: %v", text, c.kind, err)
					continue
				}
				if math.Abs(v.SI-c.si) > 2.3e-16*c.si {
					t.Errorf("%q = %v %s, want %v", text, v.SI, c.kind.SIUnit(), c.si)
				}
			}
		}
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		kind Kind
		want Value
	}{
		{"60 mm", Length, Value{SI: 0.06}},
		{" 60 mm\t", Length, Value{SI: 0.06, Text: "60 mm"}},
		{"60 mm ± 0.05 mm", Length, Value{SI: 0.06, Tolerance: 5e-5}},
		{"60 mm ± 0.05", Length, Value{SI: 0.06, Tolerance: 5e-5}},
		{"60mm±0.05mm", Length, Value{SI: 0.06, Tolerance: 5e-5}},
		{"60 mm +- 50 µm", Length, Value{SI: 0.06, Tolerance: 5e-5}},
		{"60 mm +/- 50 um (k=2)", Length, Value{SI: 0.06, Tolerance: 5e-5, Coverage: 2}},
		{"60 mm +− 50 um ( k = 2.5 )", Length, Value{SI: 0.06, Tolerance: 5e-5, Coverage: 2.5}},
		{"60 mm ± 0.5 % (k=2)", Length, Value{SI: 0.06, Tolerance: 3e-4, Coverage: 2}},
		{"60 mm ± .5% (k=2)", Length, Value{SI: 0.06, Tolerance: 3e-4, Coverage: 2}},
		{"-3.5 mm ± 1 %", Length, Value{SI: -0.0035, Tolerance: 3.5e-5}},
		{"−3.5 mm", Length, Value{SI: -0.0035}},
		{"+3.5 mm", Length, Value{SI: 0.0035}},
		{"0 mm", Length, Value{}},
		{"-0e99999999 mm ± 0", Length, Value{}},
		{"1e7", Number, Value{SI: 1e7}},
		{"1E+7", Number, Value{SI: 1e7}},
		{"4e-07", Number, Value{SI: 4e-7}},
		{"4e−07", Number, Value{SI: 4e-7}},
		{".5", Number, Value{SI: 0.5}},
		{"5.", Number, Value{SI: 5}},
		{"-.5e1", Number, Value{SI: -5}},
		{"5. mm", Length, Value{SI: 5e-3}},
		{"5.N", Force, Value{SI: 5}},
		{"5e3N", Force, Value{SI: 5e3}},
		{"0bar", Stress, Value{}},
		{"2.08 ± 0.5 %", Number, Value{SI: 2.08, Tolerance: 0.0104}},
		{"2.08 ± 0.01", Number, Value{SI: 2.08, Tolerance: 0.01}},
		// On a value in % the tolerance is percentage points, on one in ppm it is % of it.
		{"0.9 % ± 0.1 %", Ratio, Value{SI: 0.009, Tolerance: 0.001}},
		{"0.9 % ± 0.1", Ratio, Value{SI: 0.009, Tolerance: 0.001}},
		{"0.9 % ± 500 ppm", Ratio, Value{SI: 0.009, Tolerance: 0.0005}},
		{"500 ppm ± 10 %", Ratio, Value{SI: 0.0005, Tolerance: 0.00005}},
		{"0.1 % ± 0.01 %", Strain, Value{SI: 0.001, Tolerance: 0.0001}},
		{"1500 µε ± 10 %", Strain, Value{SI: 0.0015, Tolerance: 0.00015}},
		{"1.2 %/100K ± 10 %", PerKelvin, Value{SI: 1.2e-4, Tolerance: 1.2e-5}},
		{"1.2 %/100K ± 0.1", PerKelvin, Value{SI: 1.2e-4, Tolerance: 1e-5}},
		{"2 mV/V ± 1 %", VoltageRatio, Value{SI: 0.002, Tolerance: 0.00002}},
		{"11.3 ppm/K ± 1 ppm/°F", PerKelvin, Value{SI: 11.3e-6, Tolerance: 1.8e-6}},
		// The tolerance of a temperature is a difference.
		{"20 °C ± 2 K", Temperature, Value{SI: 293.15, Tolerance: 2}},
		{"20 °C ± 2", Temperature, Value{SI: 293.15, Tolerance: 2}},
		{"20 °C ± 9 Δ°F", Temperature, Value{SI: 293.15, Tolerance: 5}},
		{"68 °F ± 9", Temperature, Value{SI: 293.15, Tolerance: 5}},
		{"300 K ± 1 %", Temperature, Value{SI: 300, Tolerance: 3}},
		{"9 Δ°F ± 10 %", TemperatureDifference, Value{SI: 5, Tolerance: 0.5}},
		{"90° ± 1°", Angle, Value{SI: math.Pi / 2, Tolerance: math.Pi / 180}},
		{"350 Ω ± 0.2 %", Resistance, Value{SI: 350, Tolerance: 0.7}},
	} {
		v, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if c.want.Text == "" {
			c.want.Text = c.text
		}
		if diff := cmp.Diff(c.want, v, cmpopts.EquateApprox(2.3e-16, 0)); diff != "" {
			t.Errorf("%q (-want +got):\n%s", c.text, diff)
		}
		if math.Signbit(v.SI) && v.SI == 0 {
			t.Errorf("%q gives a negative zero", c.text)
		}
	}
}

// refusals: each names the rune where the trouble is, and words that the
// message must hold: what is wrong and what would be right.
var refusals = []struct {
	text   string
	kind   Kind
	offset int
	says   []string
}{
	{"", Length, 0, []string{"missing value", "60 mm"}},
	{"  ", Length, 2, []string{"missing value"}},
	{"60", Length, 2, []string{"missing unit; write a length such as 60 mm (m, mm, cm, µm, in, ft)"}},
	{"  45.5", Angle, 6, []string{"missing unit; write an angle such as 45.5° ("}},
	{"0.5", Ratio, 3, []string{"missing unit", "0.5 %"}},
	{"60 ± 0.05 mm", Length, 2, []string{"missing unit", "60 mm", "before the ±"}},
	{"15 N", Moment, 3, []string{"N is a force, a moment is wanted; write", "N·m, ", "lbf·in"}},
	{"15 N·m", TorsionalStiffness, 3, []string{"N·m is a moment, a torsional stiffness is wanted", "N·m/rad"}},
	{"15 N·m/rad", Moment, 3, []string{"torsional stiffness", "a moment is wanted"}},
	{"15 kg", Force, 3, []string{"kg is a mass, a force is wanted", "kgf"}},
	{"15 in-lb", Moment, 3, []string{"mass times a length, a moment is wanted", "lbf"}},
	{"15 ft lb", Moment, 3, []string{"a moment is wanted", "lbf"}},
	{"15 lb/in²", Stress, 3, []string{"a stress or pressure is wanted", "lbf"}},
	{"2 mV/V", Ratio, 2, []string{"mV/V is a voltage ratio, a ratio is wanted"}},
	{"2 µε", Ratio, 2, []string{"µε is a strain, a ratio is wanted"}},
	{"2 µm/m", Ratio, 2, []string{"µm/m is a strain, a ratio is wanted"}},
	{"2 %", VoltageRatio, 2, []string{"% is a ratio, a voltage ratio is wanted", "mV/V"}},
	{"2 µε", VoltageRatio, 2, []string{"strain", "voltage ratio"}},
	{"2 mV/V/K", PerKelvin, 2, []string{"change per kelvin is wanted"}},
	{"2 ppm", PerKelvin, 2, []string{"ppm is a ratio, a change per kelvin is wanted"}},
	{"2 Ω/Ω", Ratio, 2, []string{"a ratio is wanted"}},
	{"2 rad/rad", Strain, 2, []string{"a strain is wanted"}},
	{"2 % %", Ratio, 2, []string{"a ratio is wanted"}},
	{"2 N %", Force, 2, []string{"a force is wanted"}},
	{"2 N·mm/mm", Force, 2, []string{"a force is wanted"}},
	{"2.08 %", Number, 5, []string{"% is a ratio, a plain number is wanted"}},
	{"2.08 mm", Number, 5, []string{"mm is a length, a plain number is wanted"}},
	{"2.08 ± 0.1 mm", Number, 11, []string{"unit in the tolerance"}},
	{"60 1/s", RotationalSpeed, 3, []string{"1/s is a frequency, a speed of rotation is wanted", "rpm"}},
	{"60 rpm", Frequency, 3, []string{"rpm is a speed of rotation, a frequency is wanted"}},
	{"60 mm²", Length, 3, []string{"mm² is an area, a length is wanted"}},

	{"5 °C", TemperatureDifference, 2, []string{"°C is a temperature, a temperature difference is wanted; write K or Δ°C"}},
	{"5 degF", TemperatureDifference, 2, []string{"write K or Δ°F"}},
	{"5 °C/m", TemperatureGradient, 2, []string{"write K or Δ°C"}},
	{"5 °F/in", TemperatureGradient, 2, []string{"write K or Δ°F"}},
	{"5 Δ°C", Temperature, 2, []string{"Δ°C is a temperature difference, a temperature is wanted", "°C"}},
	{"20 °C ± 2 °C", Temperature, 10, []string{"write K or Δ°C"}},
	{"20 °C ± 2 °F", Temperature, 10, []string{"write K or Δ°F"}},
	{"20 °C ± 1 %", Temperature, 10, []string{"zero of its scale", "K"}},
	{"70 F", Temperature, 3, []string{`unknown unit "F", the nearest known is °F`}},
	{"20 C", Temperature, 3, []string{"the nearest known is °C"}},
	{"20 deg C", Temperature, 7, []string{"the nearest known is °C"}},
	{"-273.16 °C", Temperature, 0, []string{"below absolute zero", "0 K"}},
	{"-460 °F", Temperature, 0, []string{"below absolute zero"}},
	{"-1 K", Temperature, 0, []string{"below absolute zero"}},

	{"60,0 mm", Length, 2, []string{"comma", "decimal point", "60.0"}},
	{"-,5 mm", Length, 1, []string{"decimal point"}},
	{"1,000 mm", Length, 1, []string{"decimal point, 1.000", "1000 if thousands"}},
	{"60 mm ± 0,5 mm", Length, 9, []string{"comma", "0.5"}},
	{"1 000 mm", Length, 2, []string{"second number"}},
	{"1\u2009000 mm", Length, 2, []string{"second number"}},
	{"1'000 mm", Length, 1, []string{"groups"}},
	{"1_000 mm", Length, 1, []string{"groups"}},
	{"1.000.000 mm", Length, 5, []string{"second decimal point"}},
	{"1e5.5 mm", Length, 3, []string{"exponent"}},
	{"012 mm", Length, 0, []string{"leading zero"}},
	{"-012 mm", Length, 1, []string{"leading zero"}},
	{"00 mm", Length, 0, []string{"leading zero"}},
	{"0x10 mm", Length, 0, []string{"not decimal"}},
	{"0x1p-2", Number, 0, []string{"not decimal"}},
	{"0b101", Number, 0, []string{"not decimal"}},
	{"0o17", Number, 0, []string{"not decimal"}},
	{"inf", Number, 0, []string{"not a finite number"}},
	{"-.inf", Number, 0, []string{"not a finite number"}},
	{".NaN mm", Length, 0, []string{"not a finite number"}},
	{"Infinity", Number, 0, []string{"not a finite number"}},
	{"1/2 in", Length, 1, []string{"fraction", "0.125"}},
	{"1 1/2 in", Length, 2, []string{"fraction"}},
	{"1/10 in", Length, 1, []string{"fraction"}},
	{"mm", Length, 0, []string{"where a number is wanted"}},
	{".", Number, 0, []string{"where a number is wanted"}},
	{"- 5 mm", Length, 0, []string{"where a number is wanted"}},
	{"--5 mm", Length, 0, []string{"where a number is wanted"}},
	{"≤5 mm", Length, 0, []string{"where a number is wanted"}},
	{"1e999 mm", Length, 0, []string{"too large or too small"}},
	{"1e308 GPa", Stress, 0, []string{"too large or too small"}},
	{"1e-400 mm", Length, 0, []string{"too large or too small"}},
	{"1e-999999999 mm", Length, 0, []string{"too large or too small"}},
	{"1e-323 µm", Length, 0, []string{"too large or too small"}},
	{"1 mm ± 1e999 %", Length, 7, []string{"too large or too small"}},
	{"1e300 mm ± 1e300 %", Length, 11, []string{"too large or too small"}},
	{"1e99999999999999999999 mm", Length, 0, []string{"too large or too small"}},
	{strings.Repeat("1", 198) + " mm", Length, 200, []string{"more than 200"}},

	{"60 mmm", Length, 3, []string{`unknown unit "mmm", the nearest known is mm`}},
	{"60 Mm", Length, 3, []string{"the nearest known is mm"}},
	{"60 mPa", Stress, 3, []string{"the nearest known is MPa"}},
	{"60 MPA", Stress, 3, []string{"the nearest known is MPa"}},
	{"60 psig", Stress, 3, []string{"the nearest known is psi"}},
	{"60 lbs", Force, 3, []string{"the nearest known is lbf"}},
	{"60 lbs", Mass, 3, []string{"the nearest known is lb"}},
	{"60 N·mmm", Moment, 5, []string{"the nearest known is mm"}},
	{"60 RPM", RotationalSpeed, 3, []string{"the nearest known is rpm"}},
	{"60 t", Mass, 3, []string{`unknown unit "t"; write a mass`}},
	{"60 %K", PerKelvin, 3, []string{`unknown unit "%K"`}},
	{"60 $", Force, 3, []string{`unexpected "$"`}},
	{"60 \xff", Force, 3, []string{"unexpected"}},
	{"60 N·", Moment, 5, []string{"breaks off"}},
	{"60 N/", Force, 5, []string{"breaks off"}},
	{"60 N··m", Moment, 5, []string{"unexpected"}},
	{"60 N//m", AxialStiffness, 5, []string{"unexpected"}},
	{"60 um/m·K", PerKelvin, 7, []string{"two ways", "µm/m/K"}},
	{"60 um/m K", PerKelvin, 8, []string{"two ways"}},
	{"60 %/20K", PerKelvin, 5, []string{"10 or 100"}},
	{"60 %/10", PerKelvin, 5, []string{"10 or 100"}},
	{"60 %/10m", PerKelvin, 5, []string{"10 or 100"}},
	{"60 %/10K²", PerKelvin, 5, []string{"10 or 100"}},
	{"60 %/10K/10K", PerKelvin, 9, []string{"10 or 100"}},
	{"60 mm^", Area, 5, []string{"exponent"}},
	{"60 mm^9", Area, 5, []string{"exponent"}},
	{"60 mm⁰", Area, 5, []string{"exponent"}},
	{"60 mm^22222222222222222222", Area, 5, []string{"exponent"}},
	{"60 1/K⁻¹", TemperatureDifference, 6, []string{"exponent"}},
	{"60 m m m m m m m", Length, 15, []string{"more than 6"}},

	{"60 mm ±", Length, 7, []string{"missing tolerance"}},
	{"60 mm ± mm", Length, 8, []string{"where a number is wanted"}},
	{"60 mm ± -0.1 mm", Length, 8, []string{"sign"}},
	{"60 mm ± −0.1 mm", Length, 8, []string{"sign"}},
	{"60 mm ± 0.1 N", Length, 12, []string{"N is a force, a length is wanted"}},
	{"350 Ω ± 100 ppm", Resistance, 12, []string{"ppm is a ratio, a resistance is wanted"}},
	{"60 mm ± 0.1 ± 0.2", Length, 12, []string{"second tolerance"}},
	{"60 mm +0.1/-0.2", Length, 6, []string{"not ±", "middle value"}},
	{"60 mm + 0.1", Length, 6, []string{"not ±"}},
	{"60 mm (k=2)", Length, 6, []string{"without a tolerance"}},
	{"60 mm ± 0.1 (k=0)", Length, 15, []string{"coverage factor", "(k=2)"}},
	{"60 mm ± 0.1 (k=-2)", Length, 15, []string{"coverage factor"}},
	{"60 mm ± 0.1 (k=)", Length, 15, []string{"coverage factor"}},
	{"60 mm ± 0.1 (k=2", Length, 16, []string{"coverage factor"}},
	{"60 mm ± 0.1 (K=2)", Length, 13, []string{"coverage factor"}},
	{"60 mm ± 0.1 (k=2) mm", Length, 17, []string{"after the coverage factor"}},
}

func TestRefusals(t *testing.T) {
	for _, c := range refusals {
		v, err := Parse(c.text, c.kind)
		if err == nil {
			t.Errorf("%q as a %s was read as %v", c.text, c.kind, v)
			continue
		}
		if v != (Value{}) {
			t.Errorf("%q: a value beside the error: %v", c.text, v)
		}
		e := err.(*Error)
		if e.Offset != c.offset {
			t.Errorf("%q: offset %d, want %d (%v)", c.text, e.Offset, c.offset, err)
		}
		for _, words := range c.says {
			if !strings.Contains(err.Error(), words) {
				t.Errorf("%q: %v\n  does not say %q", c.text, err, words)
			}
		}
		if !strings.Contains(err.Error(), "; ") || strings.HasSuffix(err.Error(), ".") {
			t.Errorf("%q: %v: not of the form what is wrong; what would be right", c.text, err)
		}
	}
}

// No unit may begin with what could also be the exponent of the number.
func TestNoUnitBeginsWithExponent(t *testing.T) {
	for _, name := range append(append([]string{}, atomNames...), gluedList...) {
		if strings.ContainsAny(name[:1], "eExX_0123456789.+-") {
			t.Errorf("unit %s could be read as part of a number", name)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse("60 mm ± 0.05 mm", Length); err != nil {
			b.Fatal(err)
		}
	}
}

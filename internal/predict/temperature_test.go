package predict_test

import (
	"fmt"
	"math"
	"testing"

	"gridwright/internal/predict"
)

// thermalCase is a shaft with single grids S (celsius) and F (fahrenheit), whose zero over
// temperature a hand formula gives.
type thermalCase struct {
	expansion, lot string // of part and lot, ppm/K
	gradient       string
	gauge          string
	placements     string
	arms           string
	more           string
}

func (c thermalCase) text() string {
	gauge := fmt.Sprintf("pattern: single, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2.1, transverse-sensitivity: 2 %%%s", c.gauge)
	return fmt.Sprintf(`gridwright: 1
title: thermal
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: %[1]s ppm/K}, section: {shape: round, outside-diameter: 20 mm}}
loads: {bending-y: {rated: 20 N·m, use: measure}}
temperature: {reference: 20 °C, range: [-10 °C, 50 °C]%[2]s}
gauges:
  S: {%[3]s, thermal-output: {celsius: [-30, 2.4, -0.06, 3e-4], for-factor: 2.05, for-expansion: %[4]s ppm/K}}
  F: {%[3]s, thermal-output: {fahrenheit: [12, -0.5, 2e-3], for-factor: 2.05, for-expansion: %[4]s ppm/K}}
placements: {%[5]s}
bridges: {B: {measures: bending-y, arms: [%[6]s]}}
%[7]s`, c.expansion, c.gradient, gauge, c.lot, c.placements, c.arms, c.more)
}

const (
	factor = 2.1
	kt     = 0.02
	gain   = factor / (1 - 0.285*kt)
)

// celsiusLot and fahrenheitLot are ΔR/R from 20 °C to t °C by the lots' polynomials.
func celsiusLot(t float64) float64 {
	p := func(t float64) float64 { return -30 + 2.4*t - 0.06*t*t + 3e-4*t*t*t }
	return 2.05e-6 * (p(t) - p(20))
}

func fahrenheitLot(t float64) float64 {
	p := func(t float64) float64 { f := 32 + 9*t/5; return 12 - 0.5*f + 2e-3*f*f }
	return 2.05e-6 * (p(t) - p(20))
}

// ringOf is V/E of four arms.
func ringOf(a1, a2, a3, a4 float64) float64 { return a3/(a3+a4) - a2/(a1+a2) }

// rowsAre checks the 21 rows, and drift and gradient recomputed from the hand formula: zero
// is V/E at t °C with the gradient on or off.
func rowsAre(t *testing.T, r *predict.Result, zero func(celsius float64, gradient bool) float64) {
	t.Helper()
	b := r.Bridges[0]
	rows := b.Temperature.Rows
	if len(rows) != 21 {
		t.Fatalf("%d rows", len(rows))
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	at0 := zero(20, false)
	for i, row := range rows {
		c := -10 + 3*float64(i)
		near(t, "temperature, K", row.Kelvin, c+273.15, 1e-9)
		near(t, fmt.Sprintf("zero at %g °C", c), row.Zero, zero(c, true)-at0, 1e-13)
		v := zero(c, false)
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	rated := math.Abs(b.Rated)
	near(t, "zero drift per kelvin", value(t, "drift", b.Temperature.ZeroDrift), (hi-lo)/60/rated, 1e-13/rated)
	if r.Model.Design.Temperature.Across.Set || r.Model.Design.Temperature.Along.Set {
		near(t, "gradient", value(t, "gradient", b.Temperature.ZeroGradient), (zero(20, true)-at0)/rated, 1e-12/rated)
	} else if b.Temperature.ZeroGradient.OK() {
		t.Error("a gradient that the file does not give")
	}
}

// A quarter bridge shows the lot's thermal output, what the part expands more than the
// lot's specimen as an equal biaxial strain, and the completion resistors' own drift.
func TestZeroOfAQuarterBridge(t *testing.T) {
	for _, unit := range []string{"S", "F"} {
		c := thermalCase{expansion: "16", lot: "11", placements: "A: {gauge: " + unit + ", around: 90°}",
			arms: "A1, {value: 350 Ω, tcr: 40 ppm/K}, {value: 351 Ω, tcr: -10 ppm/K}, 350 Ω"}
		rowsAre(t, of(t, c.text()), func(celsius float64, _ bool) float64 {
			d := celsius - 20
			lot := map[string]func(float64) float64{"S": celsiusLot, "F": fahrenheitLot}[unit]
			x := lot(celsius) + gain*(1+kt)*5e-6*d
			return ringOf(350*(1+x), 350*(1+40e-6*d), 351*(1-10e-6*d), 350)
		})
	}
}

// A half bridge whose grids sit at different angles and stations: a gradient across the
// part, hot at 30°, warms each by ½·across·cos(φ − 30°), one along it by along·station.
func TestZeroOfAHalfBridgeInAGradient(t *testing.T) {
	c := thermalCase{expansion: "12", lot: "11", gradient: ", gradient: {across: 4 K, toward: 30°, along: 20 K/m}",
		placements: "A: {gauge: S, around: 90°, station: 10 mm}, B: {gauge: F, around: 250°, station: -25 mm}", arms: "A1, B1, 350 Ω, 350 Ω"}
	grid := func(celsius float64, gradient bool, phi, station float64, lot func(float64) float64) float64 {
		own := celsius
		if gradient {
			own += 2*math.Cos(phi-30*deg) + 20*station
		}
		return 350 * (1 + lot(own) + gain*(1+kt)*1e-6*(own-20))
	}
	rowsAre(t, of(t, c.text()), func(celsius float64, gradient bool) float64 {
		return ringOf(grid(celsius, gradient, 90*deg, 0.010, celsiusLot), grid(celsius, gradient, 250*deg, -0.025, fahrenheitLot), 350, 350)
	})

	// one lot without a gradient cancels between adjacent arms, and only there
	c.gradient, c.placements = "", "A: {gauge: S, around: 90°}, B: {gauge: S, around: 270°}"
	near(t, "drift of one lot", value(t, "drift", of(t, c.text()).Bridges[0].Temperature.ZeroDrift), 0, 1e-12)

	// and the sign of the gradient: hot at 90°, grid A warmer and, where the output of
	// the lot rises with temperature, of more resistance, so the output rises
	c.gradient = ", gradient: {across: 1 K, toward: 90°}"
	g := value(t, "gradient", of(t, c.text()).Bridges[0].Temperature.ZeroGradient)
	if rise := celsiusLot(20.5) - celsiusLot(19.5) + gain*(1+kt)*1e-6; g*rise <= 0 {
		t.Errorf("gradient gives %g where ΔR/R changes by %g", g, rise)
	}
}

// The pattern's centres count: a grid beside its placement has a temperature of its own.
func TestGridsHaveTheirOwnTemperature(t *testing.T) {
	text := `gridwright: 1
title: centres
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: 11 ppm/K}, section: {shape: round, outside-diameter: 20 mm}}
loads: {torque: {rated: 50 N·m, use: measure}}
temperature: {reference: 20 °C, range: [-10 °C, 50 °C], gradient: {across: 6 K, toward: 0°, along: 50 K/m}}
gauges: {P: {pattern: shear-pair, grid: {length: 2 mm, width: 1 mm}, centres: [[1 mm, -3 mm], [2 mm, 4 mm]], resistance: 350 Ω, gauge-factor: 2.1, transverse-sensitivity: 2 %, thermal-output: {celsius: [-30, 2.4, -0.06, 3e-4], for-factor: 2.05}}}
placements: {A: {gauge: P, around: 70°, station: 5 mm, direction: 90°}}
bridges: {T: {measures: torque, arms: [A2, A1, 350 Ω, 350 Ω]}}
`
	// At direction 90° the pattern's axis points along growing φ and its right side to −x.
	own := func(celsius, phi, x float64) float64 {
		return celsius + 3*math.Cos(phi) + 50*x
	}
	rowsAre(t, of(t, text), func(celsius float64, gradient bool) float64 {
		t1, t2 := celsius, celsius
		if gradient {
			t1 = own(celsius, 70*deg+1e-3/10e-3, 5e-3+3e-3)
			t2 = own(celsius, 70*deg+2e-3/10e-3, 5e-3-4e-3)
		}
		return ringOf(350*(1+celsiusLot(t2)), 350*(1+celsiusLot(t1)), 350, 350)
	})
}

// Curvature: a layer that expands more than the part strains a circumferential grid,
// (h/R)(1+ν)/(1−ν)(αL − α)ΔT, an axial one across only. A tee's half bridge keeps the
// difference.
func TestCurvatureOfATee(t *testing.T) {
	text := `gridwright: 1
title: curvature
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: 11 ppm/K}, section: {shape: round, outside-diameter: 10 mm}}
loads: {axial: {rated: 5 kN, use: measure}}
temperature: {reference: 20 °C, range: [-10 °C, 50 °C]}
gauges: {T: {pattern: tee, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2.1, transverse-sensitivity: 2 %%, stand-off: 50 um, stand-off-expansion: 60 ppm/K%s}}
placements: {A: {gauge: T, around: 10°}}
bridges: {N: {measures: axial, arms: [A1, A2, 350 Ω, 350 Ω]}}
`
	for _, c := range []struct {
		key string
		nu  float64
	}{{"", 0.35}, {", stand-off-poisson: 0.3", 0.3}} {
		perKelvin := 50e-6 / 5e-3 * (1 + c.nu) / (1 - c.nu) * 49e-6
		rowsAre(t, of(t, fmt.Sprintf(text, c.key)), func(celsius float64, _ bool) float64 {
			k := perKelvin * (celsius - 20)
			return ringOf(350*(1+gain*kt*k), 350*(1+gain*k), 350, 350)
		})
	}
}

// A fixed arm at the part follows its TCR; one in the instrument stays at the
// instrument's temperature.
func TestFixedArmAtTheInstrumentStaysCold(t *testing.T) {
	c := thermalCase{expansion: "11", lot: "11", placements: "A: {gauge: S, around: 90°}", arms: "A1, {value: 350 Ω, tcr: 400 ppm/K}, 350 Ω, 350 Ω",
		more: "leads: {wires: 3, each: 2 Ω, completion: instrument, follow: part}\n"}
	rowsAre(t, of(t, c.text()), func(celsius float64, _ bool) float64 {
		r := 2 * (1 + 0.00393*(celsius-20))
		return ringOf(350*(1+celsiusLot(celsius))+r, 350+r, 350, 350)
	})
}

// Span: S(T)/S(T0) of a half bridge in bending is F(T)/F0 · E0/E(T) · (1+αΔT)^−3, and span
// drift its range; thermal output is none of it.
func TestSpanAndItsDrift(t *testing.T) {
	text := `gridwright: 1
title: span
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: 20 ppm/K, youngs-drift: -3e-4 1/K, shear-drift: -5e-4 1/K}, section: {shape: round, outside-diameter: 20 mm}}
loads: {bending-y: {rated: 20 N·m, use: measure}, torque: {rated: 20 N·m, use: measure}}
temperature: {reference: 20 °C, range: [-10 °C, 50 °C]}
gauges: {R: {pattern: rectangular-rosette, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2.1, gauge-factor-drift: 1.5 %/100K, thermal-output: {celsius: [-30, 2.4, -0.06, 3e-4]}}}
placements: {A: {gauge: R, around: 90°}, B: {gauge: R, around: 270°}}
bridges: {By: {measures: bending-y, arms: [A2, B2, 350 Ω, 350 Ω]}, T: {measures: torque, arms: [A3, A1, B3, B1]}}
`
	r := of(t, text)
	for b, modulus := range []float64{-3e-4, -5e-4} {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, row := range r.Bridges[b].Temperature.Rows {
			d := row.Kelvin - 293.15
			want := (1 + 1.5e-4*d) / (1 + modulus*d) / math.Pow(1+20e-6*d, 3)
			got := value(t, "span", row.Span)
			near(t, fmt.Sprintf("span of %s at %+g K", r.Bridges[b].Name, d), got, want, 1e-13)
			lo, hi = math.Min(lo, got), math.Max(hi, got)
		}
		near(t, "span drift", value(t, "drift", r.Bridges[b].Temperature.SpanDrift), (hi-lo)/60, 1e-16)
	}
}

// Without a range there are no rows and no drifts, and the reason stands there.
func TestNoRangeNoTemperatureFigures(t *testing.T) {
	c := thermalCase{expansion: "12", lot: "11", placements: "A: {gauge: S, around: 90°}", arms: "A1, 350 Ω, 350 Ω, 350 Ω"}
	d := readText(t, c.text())
	d.Temperature.HasRange = false
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	temp := r.Bridges[0].Temperature
	if temp.Rows != nil || temp.ZeroDrift.OK() || temp.SpanDrift.OK() || temp.ZeroGradient.OK() {
		t.Errorf("%+v", temp)
	}
	if temp.ZeroDrift.Missing == "" || temp.SpanDrift.Missing == "" || temp.ZeroGradient.Missing == "" {
		t.Error("no reason")
	}
}

package published_test

import (
	"fmt"
	"testing"
)

// spanSlope is d(S(T)/S(T0))/dT at T0, %/100 K, from rows half a kelvin either side.
func spanSlope(t *testing.T, e example) float64 {
	t.Helper()
	e.temperature = "reference: 20 °C, range: [19.5 °C, 20.5 °C]"
	rows := e.predict(t).Bridges[0].Temperature.Rows
	return 100 * 100 * (figure(t, "span", rows[20].Span) - figure(t, "span", rows[0].Span)) / (rows[20].Kelvin - rows[0].Kelvin)
}

// Source: temperature coefficient of span without compensation (common practice): TC of the gauge factor minus that
// of the modulus, for common spring metals; the coefficients of the moduli are
// handbook values as the built-in table has them, those of the foils common practice
// (constantan +1.0 %/100 K, nickel-chromium −0.9 %/100 K). Results derived from them and
// recomputed, %/100 K: steel +3.7/+1.8, 304 +5.1/+3.2, 6061 +6.0/+4.1, Ti +5.5/+3.6,
// CuBe +4.5/+2.6. They agree with the usual 0.03 to 0.04 %/K of steel. The part here
// does not expand (α 0), as the table leaves growth out.
func TestSpanCoefficientsOfCommonMetals(t *testing.T) {
	for _, c := range []struct {
		metal                 string
		young                 float64 // (1/E) dE/dT, 1e-4/K
		constantan, nickChrom float64
	}{
		{"steel", -2.7, 3.7, 1.8}, {"304", -4.1, 5.1, 3.2}, {"6061", -5.0, 6.0, 4.1}, {"Ti", -4.5, 5.5, 3.6}, {"CuBe", -3.5, 4.5, 2.6},
	} {
		for _, foil := range []struct {
			drift string
			want  float64
		}{{"1.0 %/100K", c.constantan}, {"-0.9 %/100K", c.nickChrom}} {
			e := column(fmt.Sprintf("{youngs-modulus: 200 GPa, poisson-ratio: 0.3, youngs-drift: %ge-4 1/K}", c.young), "20 mm", "10 kN")
			e.gauge = ", gauge-factor-drift: " + foil.drift
			printed(t, c.metal+" with "+foil.drift, spanSlope(t, e), foil.want, 0.05)
		}
	}
}

// The same with the built-in materials and their growth: an axial force on an area that
// grows, −2α; torque and bending on a diameter cubed, −3α (α 12e-6/K: −0.24 and
// −0.36 %/100 K). Torque goes with the coefficient of G.
func TestSpanCoefficientsWithGrowth(t *testing.T) {
	axial := column("304", "20 mm", "10 kN")
	axial.gauge = ", gauge-factor-drift: 1.0 %/100K"
	printed(t, "304, axial", spanSlope(t, axial), 5.1-0.2*1.63, 0.05)

	e := example{
		material: "{youngs-modulus: 205 GPa, poisson-ratio: 0.29, expansion: 12 ppm/K}",
		section:  "shape: round, outside-diameter: 40 mm",
		loads:    "axial: {rated: 10 kN}, torque: {rated: 100 N·m, use: measure}, bending-y: {rated: 100 N·m}, shear-z: {rated: 1 kN}",
	}
	for _, c := range []struct {
		measures, placements, arms string
		growth                     float64
	}{
		{"torque", "A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}", "[A2, A1, B2, B1]", -0.36},
		{"bending-y", "A: {gauge: S, around: 90°}, B: {gauge: S, around: 270°}", "[A1, B1, 120 Ω, 120 Ω]", -0.36},
		{"axial", "A: {gauge: T, around: 0°}, B: {gauge: T, around: 180°}", "[A1, A2, B1, B2]", -0.24},
		{"shear-z", "A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}", "[A2, A1, B1, B2]", -0.24},
	} {
		e.placements = c.placements
		e.bridges = fmt.Sprintf("X: {measures: %s, arms: %s}", c.measures, c.arms)
		e.gauge = ""
		printed(t, "growth alone, "+c.measures, spanSlope(t, e), c.growth, 0.005)
	}

	// steel and constantan, torque: TC of G −2.8e-4/K
	e.material = "{youngs-modulus: 205 GPa, poisson-ratio: 0.29, youngs-drift: -2.7e-4 1/K, shear-drift: -2.8e-4 1/K}"
	e.gauge = ", gauge-factor-drift: 1.0 %/100K"
	e.placements, e.bridges = "A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}", "T: {measures: torque, arms: [A2, A1, B2, B1]}"
	printed(t, "torque", spanSlope(t, e), 3.8, 0.05)
}

// Common practice: the gauge factor of constantan rises by about +1 to +1.5 % in 100 K.
// A transducer of a metal whose modulus does not change shows just that.
func TestConstantanGaugeFactorDrift(t *testing.T) {
	for _, percent := range []float64{1, 1.5} {
		e := column("", "20 mm", "10 kN")
		e.gauge = fmt.Sprintf(", gauge-factor-drift: %g %%/100K", percent)
		e.temperature = "reference: 20 °C, range: [20 °C, 120 °C]"
		temp := e.predict(t).Bridges[0].Temperature
		printed(t, "span after 100 K", figure(t, "span", temp.Rows[20].Span), 1+percent/100, 1e-14)
		printed(t, "drift, %/10 K", 1000*figure(t, "drift", temp.SpanDrift), percent/10, 1e-12)
	}
}

package predict_test

import (
	"math"
	"testing"

	"gridwright/internal/predict"
)

// heated is an invented round bar of 30 mm, E 200 GPa, ν 0.3, straight over 200 mm,
// with two grids of 4 × 2 mm in a half bridge for bending.
const heated = `
gridwright: 1
title: invented bar
part:
  material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, yield: 500 MPa, ultimate: 800 MPa, endurance: 300 MPa}
  section: {shape: round, outside-diameter: 30 mm}
  straight-length: {from: -100 mm, to: 100 mm}
loads:
  torque: {rated: 200 N·m}
  bending-y: {rated: 300 N·m, use: measure}
  axial: {rated: 50 kN}
gauges:
  S: {pattern: single, grid: {length: 4 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2, power-density: 2 mW/mm²}
placements:
  A: {gauge: S, around: 90°}
  B: {gauge: S, around: 270°}
bridges:
  By: {measures: bending-y, arms: [A1, B1, 700 Ω, 700 Ω], excitation: 4 V}
instrument: {resolution: 0.2 µV}
`

func holds(t *testing.T, what string, f predict.Figure, want, relative float64) {
	t.Helper()
	if !f.OK() || !(math.Abs(f.Value-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %+v, want %g", what, f, want)
	}
}

// By hand: each grid of a divider of two 350 Ω grids carries E/700; it reaches
// 2 mW/mm² on 8 mm², 16 mW, at E²·350/700² = 16 mW, E = 2√(R·A·q) = 4.7329 V. The
// other divider of 2 × 700 Ω carries no grid. Both signal corners stand at half the
// supply.
func TestExcitationLimit(t *testing.T) {
	s := of(t, heated).Bridges[0].Signal
	holds(t, "limit", s.Limit, 2*math.Sqrt(350*8e-6*2000), 1e-12)
	holds(t, "usual supply", s.Recommended, 4, 0)
	holds(t, "common mode", s.CommonMode, 2, 1e-12)
	b := of(t, heated).Bridges[0]
	holds(t, "resolution", s.Resolved, 0.2e-6/(b.Sensitivity[b.Target]*4), 1e-12)
}

// Strength by hand: σ of 300 N·m and 50 kN, τ of 200 N·m; endurance over it, and
// Goodman's line for half of it as mean and half as amplitude.
func TestEndurance(t *testing.T) {
	r := of(t, heated)
	d := 0.030
	sigma := 32*300/(math.Pi*d*d*d) + 50e3/(math.Pi*d*d/4)
	tau := 16 * 200 / (math.Pi * d * d * d)
	v := math.Sqrt(sigma*sigma + 3*tau*tau)
	holds(t, "reversed", r.Strength.Reversed, 300e6/v, 1e-9)
	holds(t, "pulsating", r.Strength.Pulsating, 1/(v/2/300e6+v/2/800e6), 1e-9)
}

// Deflections at rated load by hand, over 200 mm.
func TestDeflections(t *testing.T) {
	r := of(t, heated)
	d, e := 0.030, 200e9
	g, j, i := e/2.6, math.Pi*math.Pow(d, 4)/32, math.Pi*math.Pow(d, 4)/64
	holds(t, "twist", r.Stiffness.Twist, 200*0.2/(g*j), 1e-12)
	holds(t, "elongation", r.Stiffness.Elongation, 50e3*0.2/(e*math.Pi*d*d/4), 1e-12)
	holds(t, "bend", r.Stiffness.Bend, 300*0.2/(e*i), 1e-12)
}

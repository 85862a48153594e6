package predict_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Strength against a brute-force search: every combination of signs (pressure of one
// sign), every station that carries a grid, the girth in steps of half a degree,
// with the stresses written out here.
func TestStrengthAgainstBruteForce(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		b, nu := f("b", 0.01, 0.1), 0.29
		a := b * f("a/b", 0.1, 0.95)
		stations := []float64{f("x1", -0.3, 0.3), f("x2", -0.3, 0.3)}
		area, i := math.Pi*(b*b-a*a), math.Pi*(math.Pow(b, 4)-math.Pow(a, 4))/4
		// each load up to about 100 MPa
		n, vy, vz := 1e8*area*f("N", 0, 1), 1e8*i/b/0.3*f("Vy", 0, 1), 1e8*i/b/0.3*f("Vz", 0, 1)
		tq, my, mz := 1e8*2*i/b*f("T", 0, 1), 1e8*i/b*f("My", 0, 1), 1e8*i/b*f("Mz", 0, 1)
		p := 1e7 * f("p", 0, 1)
		open := rapid.Bool().Draw(t, "open")
		ends := map[bool]string{true: "open", false: "closed"}[open]
		over := f("overload", 1, 3)
		r := of(t, fmt.Sprintf(`gridwright: 1
title: strength
part: {material: {youngs-modulus: 205 GPa, poisson-ratio: 0.29, yield: 700 MPa}, section: {shape: round-tube, outside-diameter: %.17g m, inside-diameter: %.17g m}, ends: %s}
loads: {axial: {rated: %.17g N}, shear-y: {rated: %.17g N}, shear-z: {rated: -%.17g N}, torque: {rated: %.17g N·m, use: measure}, bending-y: {rated: %.17g N·m}, bending-z: {rated: %.17g N·m}, pressure: {rated: %.17g Pa}}
overload: %.17g
gauges: {S: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, around: 10°, station: %.17g m}, B: {gauge: S, around: 10°, station: %.17g m}}
`, 2*b, 2*a, ends, n, vy, vz, tq+1, my, mz, p, over, stations[0], stations[1]))
		tq++
		k := ((3+2*nu)*a*a + (1+2*nu)*b*b) / (4 * (1 + nu) * i)
		worst := 0.0
		for _, x := range stations {
			for step := range 720 {
				s, c := math.Sincos(float64(step) * 0.5 * deg)
				for signs := range 64 {
					sign := func(bit int) float64 { return float64(1 - 2*(signs>>bit&1)) }
					m := sign(4)*my + sign(2)*vz*x
					mzz := sign(5)*mz - sign(1)*vy*x
					hoop := p * 2 * a * a / (b*b - a*a)
					sx := sign(0)*n/area + (m*s-mzz*c)*b/i
					if !open {
						sx += hoop / 2
					}
					tau := sign(3)*tq*b/(2*i) + k*(sign(2)*vz*c-sign(1)*vy*s)
					worst = math.Max(worst, math.Sqrt(sx*sx-sx*hoop+hoop*hoop+3*tau*tau))
				}
			}
		}
		if got := r.Strength.VonMises; got < worst*(1-1e-12) || got > worst*(1+4e-5) {
			t.Errorf("von Mises %.10g, brute force %.10g", got, worst)
		}
		near(t, "yield factor", value(t, "yield", r.Strength.YieldFactor), 700e6/r.Strength.VonMises, 1e-9)
		near(t, "with overload", value(t, "overload", r.Strength.OverloadYield), 700e6/r.Strength.VonMises/over, 1e-9)
	})
}

// A stress from one load alone is a closed form.
func TestStrengthOfOneLoad(t *testing.T) {
	for _, c := range []struct {
		load string
		want float64
	}{
		{"axial: {rated: -10 kN, use: measure}", 10e3 / (math.Pi * 1e-4)},
		{"torque: {rated: 100 N·m, use: measure}", math.Sqrt(3) * 100 * 2 / (math.Pi * 1e-6)},
		{"bending-z: {rated: 100 N·m, use: measure}", 100 * 4 / (math.Pi * 1e-6)},
	} {
		r := of(t, "gridwright: 1\ntitle: one\npart: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}\nloads: {"+c.load+"}\n")
		near(t, c.load, r.Strength.VonMises, c.want, 1e-9*c.want)
		if r.Strength.YieldFactor.OK() || r.Strength.OverloadYield.OK() || r.Strength.YieldFactor.Missing == "" {
			t.Errorf("a yield factor without a yield strength: %+v", r.Strength)
		}
	}
}

// Stiffness of a tube of 200 mm: G J/l, E A/l, E I, and two inertias on the spring.
func TestStiffness(t *testing.T) {
	head := "gridwright: 1\ntitle: stiffness\npart: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.25}, section: {shape: round-tube, outside-diameter: 60 mm, inside-diameter: 44 mm}%s}\nloads: {torque: {rated: 100 N·m, use: measure}}\n"
	r := of(t, fmt.Sprintf(head, ", straight-length: {from: -50 mm, to: 150 mm}, end-inertias: [0.02 kg·m², 0.5 kg·m²]"))
	i := math.Pi / 4 * (math.Pow(0.030, 4) - math.Pow(0.022, 4))
	k := 80e9 * 2 * i / 0.2
	near(t, "torsional", value(t, "torsional", r.Stiffness.Torsional), k, 1e-9*k)
	near(t, "axial", value(t, "axial", r.Stiffness.Axial), 200e9*math.Pi*(9e-4-4.84e-4)/0.2, 1)
	near(t, "bending", value(t, "bending", r.Stiffness.Bending), 200e9*i, 1e-7)
	near(t, "frequency", value(t, "frequency", r.Stiffness.Frequency), math.Sqrt(k*(1/0.02+1/0.5))/(2*math.Pi), 1e-8)
	r = of(t, fmt.Sprintf(head, ", straight-length: {from: -50 mm, to: 150 mm}"))
	if r.Stiffness.Frequency.OK() {
		t.Error("a frequency without inertias")
	}
	r = of(t, fmt.Sprintf(head, ""))
	if r.Stiffness.Torsional.OK() || r.Stiffness.Axial.OK() || r.Stiffness.Frequency.OK() || !r.Stiffness.Bending.OK() {
		t.Errorf("without a straight length: %+v", r.Stiffness)
	}
}

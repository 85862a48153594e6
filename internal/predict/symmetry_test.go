package predict_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A full torque bridge of ±45° pairs at opposite positions answers torque alone: axial
// force, both bendings, both shear forces and a uniform temperature give less than 1e-9
// of rated output, wherever the pairs sit, whatever the tube, foil and wiring.
func TestOppositePairsAnswerTorqueAlone(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := drawTransducer(t)
		x.places[0][2] = 0
		x.places[1] = [3]float64{x.places[0][0], x.places[0][1] + math.Pi, 0}
		x.extra = ", stand-off-expansion: 60 ppm/K"
		r := of(t, x.text())
		b := r.Bridges[0]
		if math.Abs(b.Rated) < 1e-6 {
			t.Fatalf("rated output %g", b.Rated)
		}
		if x.counter != (b.Rated < 0) {
			t.Errorf("rated %g, numbered counterclockwise: %v; grid 3 at +45° in arm 1 makes a positive torque positive", b.Rated, x.counter)
		}
		for j := range loads {
			if j == torque {
				continue
			}
			if c := value(t, "crosstalk", b.Crosstalk[j]); c > 1e-9 {
				t.Errorf("%v: %g of rated output", r.Model.Components[j], c)
			}
		}
		if d := value(t, "zero drift", b.Temperature.ZeroDrift); d*70 > 1e-9 {
			t.Errorf("uniform temperature moves the zero by %g of rated output", d*70)
		}
		// all four arms change alike; a meter sees an output resistance of R(1 − x²)
		if n := value(t, "nonlinearity", b.Nonlinearity); n > 1e-9 && !strings.Contains(x.leads, "input-resistance") {
			t.Errorf("nonlinearity %g", n)
		}
	})
}

// compare wants the sensitivities of b to be what expect makes of those of a, and zero
// over temperature and strength to be the same.
func compare(t *rapid.T, a, b transducer, expect func(s []float64) []float64) {
	ra, rb := of(t, a.text()), of(t, b.text())
	rated := ra.Model.Rated
	for i := range ra.Bridges {
		s := expect(ra.Bridges[i].Sensitivity)
		for j := range s {
			if d := (rb.Bridges[i].Sensitivity[j] - s[j]) * rated[j]; math.Abs(d) > 1e-11*scale*magnitude(ra.Bridges[i].Sensitivity, rated) {
				t.Errorf("bridge %d, load %d: %g, want %g", i, j, rb.Bridges[i].Sensitivity[j], s[j])
			}
		}
		for k, row := range ra.Bridges[i].Temperature.Rows {
			if d := rb.Bridges[i].Temperature.Rows[k].Zero - row.Zero; math.Abs(d) > 1e-13 {
				t.Errorf("bridge %d, zero at %g K: %g, want %g", i, row.Kelvin, rb.Bridges[i].Temperature.Rows[k].Zero, row.Zero)
			}
		}
	}
	if d := rb.Strength.VonMises/ra.Strength.VonMises - 1; math.Abs(d) > 1e-9 {
		t.Errorf("strength changes by %g", d)
	}
}

// magnitude is the largest output of one rated load in units of scale, at least 1.
func magnitude(s, rated []float64) float64 {
	m := 1.0
	for j := range s {
		m = math.Max(m, math.Abs(s[j]*rated[j])/scale)
	}
	return m
}

// Turning all gauges and the hot side about x by ψ turns the vectors of the answer to
// shear and to bending by ψ, and leaves the rest. (The rated loads are not turned, so
// strength is not compared here.)
func TestTurningThePartTurnsTheAnswer(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := drawTransducer(t)
		psi := rapid.Float64Range(-4, 4).Draw(t, "psi")
		turned := x
		turned.places = append([][3]float64(nil), x.places...)
		for i := range turned.places {
			turned.places[i][1] += psi
		}
		turned.toward += psi
		ra, rb := of(t, x.text()), of(t, turned.text())
		rated := ra.Model.Rated
		s, c := math.Sincos(psi)
		for i := range ra.Bridges {
			a, b := ra.Bridges[i].Sensitivity, rb.Bridges[i].Sensitivity
			m := magnitude(a, rated)
			for _, j := range []int{axial, torque} {
				near(t, "unturned", b[j]*rated[j], a[j]*rated[j], 1e-12*m)
			}
			for _, y := range []int{shearY, bendingY} {
				z := y + 1
				near(t, "y", b[y]*rated[y], (a[y]*c-a[z]*s)*rated[y], 1e-12*m)
				near(t, "z", b[z]*rated[y], (a[y]*s+a[z]*c)*rated[y], 1e-12*m)
			}
			for k, row := range ra.Bridges[i].Temperature.Rows {
				near(t, "zero", rb.Bridges[i].Temperature.Rows[k].Zero, row.Zero, 1e-13)
			}
		}
	})
}

// The part in a mirror that swaps +z and −z: around and direction change sign, the
// pattern is numbered the other way and its centres swap sides. Torque, shear-z and
// bending-y change sign in the mirror, the others do not.
func TestMirroredPart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := drawTransducer(t)
		y := x
		y.counter = !x.counter
		y.toward = -x.toward
		y.places = append([][3]float64(nil), x.places...)
		for i := range y.places {
			y.places[i][1] *= -1
			y.places[i][2] *= -1
		}
		y.centres = append([][2]float64(nil), x.centres...)
		for i := range y.centres {
			y.centres[i][1] *= -1
		}
		compare(t, x, y, func(s []float64) []float64 {
			return []float64{s[axial], s[shearY], -s[shearZ], -s[torque], -s[bendingY], s[bendingZ]}
		})
	})
}

// The part turned end for end about the z axis: stations change sign, around becomes
// 180° − around, the pattern turns by 180°; a line keeps its direction. Shear-z and
// bending-z change sign, torque does not.
func TestPartTurnedEndForEnd(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := drawTransducer(t)
		y := x
		y.toward, y.along = math.Pi-x.toward, -x.along
		y.places = append([][3]float64(nil), x.places...)
		for i, p := range x.places {
			y.places[i] = [3]float64{-p[0], math.Pi - p[1], p[2] + math.Pi}
		}
		compare(t, x, y, func(s []float64) []float64 {
			return []float64{s[axial], s[shearY], -s[shearZ], s[torque], s[bendingY], -s[bendingZ]}
		})
	})
}

// Exchanging the signal leads (arm 1 with 4, 2 with 3) or the supply leads (1 with 2,
// 3 with 4) flips the sign of every output and nothing else.
func TestExchangedLeadsFlipTheSign(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := drawTransducer(t)
		x.leads += "shunt: [{resistor: 100 kΩ, arm: 1}, {resistor: 100 kΩ, arm: 2}, {resistor: 100 kΩ, arm: 3}, {resistor: 100 kΩ, arm: 4}]\n"
		ra := of(t, x.text())
		for name, swap := range map[string][4]int{"signal": {3, 2, 1, 0}, "supply": {1, 0, 3, 2}} {
			y := x
			y.arms = nil
			for _, a := range x.arms {
				y.arms = append(y.arms, [4]string{a[swap[0]], a[swap[1]], a[swap[2]], a[swap[3]]})
			}
			rb := of(t, y.text())
			for i := range ra.Bridges {
				a, b := ra.Bridges[i], rb.Bridges[i]
				near(t, name+" rated", b.Rated, -a.Rated, 1e-14)
				near(t, name+" balance", b.Balance.Nominal, -a.Balance.Nominal, 1e-14)
				near(t, name+" worst balance", b.Balance.Worst, a.Balance.Worst, 1e-16)
				for j := range a.Sensitivity {
					near(t, name, b.Sensitivity[j]*ra.Model.Rated[j], -a.Sensitivity[j]*ra.Model.Rated[j], 1e-14)
				}
				for k := range a.Temperature.Rows {
					near(t, name+" zero", b.Temperature.Rows[k].Zero, -a.Temperature.Rows[k].Zero, 1e-13)
				}
				for k := range 4 {
					near(t, name+" shunt", b.Shunts[k].Output, -a.Shunts[swap[k]].Output, 1e-14)
				}
				if a.Blind != b.Blind {
					t.Errorf("%s: blind %v, then %v", name, a.Blind, b.Blind)
				}
				if !a.Blind {
					rounding := 1e-14 / math.Abs(a.Rated) // both are ratios of rated output
					near(t, name+" nonlinearity", value(t, "nonlinearity", b.Nonlinearity), value(t, "nonlinearity", a.Nonlinearity), rounding)
					near(t, name+" drift", value(t, "drift", b.Temperature.ZeroDrift), value(t, "drift", a.Temperature.ZeroDrift), rounding*(1+70*value(t, "drift", a.Temperature.ZeroDrift)))
				}
			}
		}
	})
}

// The same transducer in inches, pounds, kips per square inch and degrees Fahrenheit.
func TestUnitsDoNotMatter(t *testing.T) {
	si := `gridwright: 1
title: units
part: {material: {youngs-modulus: 199.94796150188247876496 GPa, poisson-ratio: 0.29, expansion: 11.7 ppm/K, youngs-drift: -2.7e-4 1/K, yield: 689.47572931683612 MPa}, section: {shape: round-tube, outside-diameter: 63.5 mm, inside-diameter: 50.8 mm}, straight-length: {from: -127 mm, to: 127 mm}}
loads: {axial: {rated: 13344.6648457815 N}, shear-z: {rated: 2224.1108076302501 N}, torque: {rated: 1129.848290276167 N·m, use: measure}, bending-y: {rated: 564.9241451380835 N·m, use: measure}, pressure: {rated: 3447378.6465841806 Pa}}
temperature: {reference: 20 °C, range: [-10 °C, 60 °C], gradient: {across: 2 K, toward: 90°, along: 5 K/m}}
gauges: {R: {pattern: rectangular-rosette, grid: {length: 3.175 mm, width: 2.54 mm}, centres: [[0 mm, -3.81 mm], [0 mm, 0 mm], [0 mm, 3.81 mm]], resistance: 350 Ω, gauge-factor: 2.08, transverse-sensitivity: 0.9 %, gauge-factor-drift: 1.2 %/100K, stand-off: 0.0508 mm, thermal-output: {celsius: [-32, 1.8, -0.0324], for-factor: 2, for-expansion: 11.16 ppm/K}}}
placements: {A: {gauge: R, station: 25.4 mm, around: 90°, direction: 3°}, B: {gauge: R, station: 25.4 mm, around: 270°}}
bridges: {T: {measures: torque, arms: [A3, A1, B3, B1], excitation: 5 V}, By: {measures: bending-y, arms: [A2, B2, 350 Ω, {value: 350 Ω, tcr: 9 ppm/K}], excitation: 5 V}}
leads: {wires: 4, each: 0.5 Ω, follow: part}
instrument: {noise: 0.5 µV, bandwidth: 100 Hz, input-resistance: 1 MΩ}
shunt: [{resistor: 100 kΩ, arm: 2}]
`
	us := `gridwright: 1
title: units
part: {material: {youngs-modulus: 29000 ksi, poisson-ratio: 0.29, expansion: 6.5 ppm/°F, youngs-drift: -1.5e-4 1/°F, yield: 100 ksi}, section: {shape: round-tube, outside-diameter: 2.5 in, inside-diameter: 2 in}, straight-length: {from: -5 in, to: 5 in}}
loads: {axial: {rated: 3000 lbf}, shear-z: {rated: 500 lbf}, torque: {rated: 10000 lbf·in, use: measure}, bending-y: {rated: 5000 in-lbf, use: measure}, pressure: {rated: 500 psi}}
temperature: {reference: 68 °F, range: [14 °F, 140 °F], gradient: {across: 3.6 Δ°F, toward: 1.5707963267948966 rad, along: 5 K/m}}
gauges: {R: {pattern: rectangular-rosette, grid: {length: 0.125 in, width: 0.1 in}, centres: [[0 in, -0.15 in], [0 in, 0 in], [0 in, 0.15 in]], resistance: 0.35 kΩ, gauge-factor: 2.08, transverse-sensitivity: 0.9 %, gauge-factor-drift: 0.12 %/10K, stand-off: 0.002 in, thermal-output: {fahrenheit: [-74.24, 1.64, -0.01], for-factor: 2, for-expansion: 6.2 ppm/°F}}}
placements: {A: {gauge: R, station: 1 in, around: 90°, direction: 3°}, B: {gauge: R, station: 1 in, around: 270°}}
bridges: {T: {measures: torque, arms: [A3, A1, B3, B1], excitation: 5 V}, By: {measures: bending-y, arms: [A2, B2, 350 Ω, {value: 350 Ω, tcr: 5 ppm/°F}], excitation: 5 V}}
leads: {wires: 4, each: 500 mΩ, follow: part}
instrument: {noise: 0.5 µV, bandwidth: 0.1 kHz, input-resistance: 1 MΩ}
shunt: [{resistor: 0.1 MΩ, arm: 2}]
`
	// −74.24 + 1.64 F − 0.01 F² with F = 1.8 C + 32 is −32 + 1.8 C − 0.0324 C²
	a, b := of(t, si), of(t, us)
	same := func(what string, x, y float64) {
		t.Helper()
		if math.Abs(x-y) > 1e-12*math.Max(math.Abs(x), math.Abs(y)) {
			t.Errorf("%s: %.16g in SI, %.16g in US units", what, x, y)
		}
	}
	same("stress", a.Strength.VonMises, b.Strength.VonMises)
	same("yield", a.Strength.YieldFactor.Value, b.Strength.YieldFactor.Value)
	same("torsional", a.Stiffness.Torsional.Value, b.Stiffness.Torsional.Value)
	same("axial", a.Stiffness.Axial.Value, b.Stiffness.Axial.Value)
	same("J", a.Section.J, b.Section.J)
	for i := range a.Bridges {
		x, y := a.Bridges[i], b.Bridges[i]
		same("rated", x.Rated, y.Rated)
		for j := range x.Sensitivity {
			// what cancels is compared with what it is measured against
			if d := math.Abs(x.Sensitivity[j]-y.Sensitivity[j]) * a.Model.Rated[j]; d > 1e-12*math.Abs(x.Rated) {
				t.Errorf("bridge %d, load %d: %g and %g", i, j, x.Sensitivity[j], y.Sensitivity[j])
			}
		}
		for k := range x.Temperature.Rows {
			p, q := x.Temperature.Rows[k], y.Temperature.Rows[k]
			same("T", p.Kelvin, q.Kelvin)
			near(t, "zero", q.Zero, p.Zero, 1e-12*math.Abs(x.Rated)+1e-15)
			same("span", p.Span.Value, q.Span.Value)
		}
		same("shunt", x.Shunts[0].Output, y.Shunts[0].Output)
		same("equivalent", x.Shunts[0].Equivalent.Value, y.Shunts[0].Equivalent.Value)
		same("power", x.Signal.Power.Value, y.Signal.Power.Value)
		same("density", x.Signal.PowerDensity.Value, y.Signal.PowerDensity.Value)
		same("johnson", x.Signal.Johnson.Value, y.Signal.Johnson.Value)
		same("smallest", x.Signal.Smallest.Value, y.Signal.Smallest.Value)
	}
}

package published_test

import (
	"testing"

	"gridwright/internal/gauge"
)

// Source: ASTM E251, section 3 (definitions, from memory; its introduction, read, states
// that it implements OIML R 62). Gauge factor: ΔR/R over the strain in a uniaxial stress
// field on a material of ν0 = 0.285 (customary value). Transverse sensitivity: ΔR/R of a
// gauge across a uniaxial STRAIN over that of a gauge along it.
func TestE251Definitions(t *testing.T) {
	for _, kt := range []float64{-0.02, 0.009, 0.03} {
		const factor, strain = 2.08, 1e-3
		printed(t, "uniaxial stress on ν0", gauge.Response(factor, kt, gauge.Strain{Along: strain, Across: -0.285 * strain}), factor*strain, 1e-15)
		along := gauge.Response(factor, kt, gauge.Strain{Along: strain})
		across := gauge.Response(factor, kt, gauge.Strain{Across: strain})
		printed(t, "uniaxial strain", across/along, kt, 1e-14)
	}
}

// The definition through the whole program: a bar of ν 0.285 in tension, an axial grid
// reads F ε whatever Kt.
func TestE251CalibrationBar(t *testing.T) {
	for _, kt := range []string{"0 %", "1 %", "-1.5 %", "3 %"} {
		e := example{
			material: "{youngs-modulus: 200 GPa, poisson-ratio: 0.285}", section: "shape: round, outside-diameter: 20 mm",
			loads: "axial: {rated: 10 kN, use: measure}", factor: "2.08", gauge: ", transverse-sensitivity: " + kt,
			placements: "A: {gauge: S, around: 0°}",
		}
		g := e.predict(t).Grids[0]
		printed(t, "ΔR/R over F ε at Kt "+kt, g.Change[0]/(2.08*g.Along[0]), 1, 1e-14)
	}
}

// Error of a reading that ignores Kt, 100 Kt (εt/εa + ν0)/(1 − ν0 Kt) %, for Kt 1 %
// (closed form of the definition, recomputed): torsion at 45° (εt/εa = −1) −0.7170436 %,
// uniaxial stress on ν 0.3 −0.0150429 %, εt = 0 +0.2858145 %, εt = εa +1.2886727 %.
func TestE251ErrorOfIgnoringTransverseSensitivity(t *testing.T) {
	e := example{
		section: "shape: round, outside-diameter: 20 mm", gauge: ", transverse-sensitivity: 1 %",
		loads:      "torque: {rated: 100 N·m, use: measure}, axial: {rated: 10 kN}",
		placements: "A: {gauge: R, around: 0°}",
		bridges:    "T: {measures: torque, arms: [A3, A1, 120 Ω, 120 Ω]}",
	}
	r := e.predict(t)
	percent := func(grid, load int) float64 {
		g := r.Grids[grid]
		return 100 * (g.Change[load]/(2*g.Along[load]) - 1)
	}
	printed(t, "+45° in torsion, %", percent(2, 1), -0.7170436, 0.5e-7)
	printed(t, "−45° in torsion, %", percent(0, 1), -0.7170436, 0.5e-7)
	printed(t, "axial in tension, %", percent(1, 0), -0.0150429, 0.5e-7)
	// 0.28581457 before it was cut to seven digits
	printed(t, "no transverse strain, %", 100*(gauge.Response(2, 0.01, gauge.Strain{Along: 1})/2-1), 0.2858145, 1e-7)
	printed(t, "equal strains, %", 100*(gauge.Response(2, 0.01, gauge.Strain{Along: 1, Across: 1})/2-1), 1.2886727, 0.5e-7)

	// the bridge carries the same error
	plain := e
	plain.gauge = ""
	ratio := r.Bridges[0].Rated / plain.predict(t).Bridges[0].Rated
	printed(t, "half torque bridge, %", 100*(ratio-1), -0.7170436, 0.5e-7)

	// common practice: a Poisson grid at Kt 1 % on ν 0.3 reads 3.1 % less
	e.placements, e.bridges = "A: {gauge: T, around: 0°}", ""
	r = e.predict(t)
	printed(t, "circumferential in tension, %", percent(1, 0), -3.1, 0.05)
}

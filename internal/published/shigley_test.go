package published_test

import "testing"

// Source: J. E. Shigley's Mechanical Engineering Design, 8th and 9th ed., example 5-3 (from
// memory, arithmetic recomputed): a lever whose 1 in bar carries a moment of 14F and a
// torque of 15F lbf·in. Bending stress 142.6F, shear stress 76.4F, von Mises stress
// 194.5F psi; with a yield strength of 81 kpsi it yields at F = 416 lbf.
func TestShigleyLever(t *testing.T) {
	e := example{
		material: "{youngs-modulus: 30 Msi, poisson-ratio: 0.292, yield: 81 ksi}",
		section:  "shape: round, outside-diameter: 1 in",
		loads:    "bending-y: {rated: 14 in-lbf, use: measure}, torque: {rated: 15 in-lbf}",
		// at 90° the bar's own bending is largest: A1 is along it
		placements: "A: {gauge: R, around: 90°}",
	}
	r := e.predict(t)
	const psi, msi = 6894.757293168361, 6894.757293168361e6
	printed(t, "von Mises, psi", r.Strength.VonMises/psi, 194.5, 0.05)
	printed(t, "von Mises, psi, recomputed", r.Strength.VonMises/psi, 194.5350, 0.5e-4)
	printed(t, "yields at F, lbf", figure(t, "yield factor", r.Strength.YieldFactor), 416, 0.5)
	printed(t, "yields at F, lbf, recomputed", figure(t, "yield factor", r.Strength.YieldFactor), 416.3775, 0.5e-4)

	// the stresses, from the strains that the grids see (torque is the first component)
	bending := r.Grids[1].Along[1] * 30 * msi / psi
	printed(t, "bending stress, psi", bending, 142.6, 0.05)
	shear := (r.Grids[2].Along[0] - r.Grids[0].Along[0]) * 30 * msi / (2 * 1.292) / psi
	printed(t, "shear stress, psi", shear, 76.4, 0.05)
}

package gauge

import "gridwright/internal/section"

// CalibrationPoisson is ν0 of the beam on which gauge factors are determined
// (the customary value; ASTM E251 and OIML R 62 define the gauge factor there).
const CalibrationPoisson = 0.285

// Strain along and across a grid, m/m.
type Strain struct {
	Along, Across float64
}

// Elastic resolves a surface stress into the two parts of a grid's strain that
// follow E and G apart, each for a modulus of 1:
//
//	ε(α) = εx cos²α + εφ sin²α + γ sin α cos α
//	εx = (σx − νσφ)/E, εφ = (σφ − νσx)/E, γ = τ/G
//
// sin and cos are those of the grid's direction from +x toward +φ. The strain is
// normal/E + shear/G.
func Elastic(s section.Stress, poisson, sin, cos float64) (normal, shear Strain) {
	ex, ep := s.Axial-poisson*s.Hoop, s.Hoop-poisson*s.Axial
	c2, s2, sc := cos*cos, sin*sin, sin*cos
	normal = Strain{Along: ex*c2 + ep*s2, Across: ex*s2 + ep*c2}
	shear = Strain{Along: s.Shear * sc, Across: -s.Shear * sc}
	return normal, shear
}

// Response is ΔR/R of a grid under a strain,
//
//	ΔR/R = F/(1 − ν0 Kt)·(εa + Kt εt)
//
// F gauge factor, Kt transverse sensitivity (ratio), ν0 = 0.285. F is defined in
// a uniaxial stress field (ASTM E251, OIML R 62); |Kt| < 0.5.
func Response(factor, transverse float64, e Strain) float64 {
	return Gain(factor, transverse) * (e.Along + transverse*e.Across)
}

// Gain is F/(1 − ν0 Kt), the response to strain along the grid alone.
func Gain(factor, transverse float64) float64 {
	return factor / (1 - CalibrationPoisson*transverse)
}

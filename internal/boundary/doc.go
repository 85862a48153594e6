// Package boundary solves Saint-Venant's torsion and flexure of a straight bar
// whose cross-section is any region of the plane bounded by straight, circular
// and elliptical sides, holes included, with unknowns on the outline alone.
//
// The shear stress τ = (τxy, τxz) of a bar that is free of traction on its sides
// obeys, with the origin at the centroid,
//
//	div τ  = −(A y + B z)                 equilibrium with dσx/dx = A y + B z
//	curl τ = 2Gθ' + κ (B y − A z)         compatibility, κ = ν/(1+ν)
//	τ·n    = 0                            on every loop
//
// so that it is a sum of five fields that know neither load nor material. As
// F = τxy − iτxz has ∂F/∂ζ̄ = ½ div τ − ½ i curl τ, and F·(unit tangent) is the
// real tangential stress on the outline, the formula of Cauchy and Pompeiu at a
// point of the outline is an integral equation of the second kind for that
// tangential stress itself: nothing has to be differentiated. Its kernel is
// smooth along a smooth side, its right sides are integrals of known functions,
// and each hole adds the circulation that keeps the warping single-valued.
//
// The discretisation is Nyström's on panels of Gauss-Legendre points whose
// parameter is a power of the distance from a corner; kernels that are nearly
// singular are integrated by subdivision.
//
// A curve that was drawn in short straight sides is not taken for a row of corners:
// its sides carry few points, which serve as samples of the smooth curve.
//
// The package does not model ends, restrained warping, curved or tapered bars,
// several materials, walls that buckle, or plasticity. At a re-entrant corner
// the elastic stress is infinite, and so is the answer as the corner is neared.
package boundary

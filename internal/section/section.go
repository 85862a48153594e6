// Package section answers, for the cross-section of a prismatic part, with its
// properties and with the stress on its outer surface for a unit of each load,
// at a point and averaged over a grid.
//
// Round sections have closed forms; every other shape goes through the equations
// of package boundary.
//
// It is Saint-Venant's elasticity of a straight, uniform, isotropic bar far from
// its ends: no stress concentrations, no ends, no warping restraint, no contact.
package section

import "gridwright/internal/design"

// Stress on the outer surface, Pa for a unit of a load: along the part, around
// it, and shear between the two, positive when it stretches a line at +45° (a
// positive torque).
type Stress struct {
	Axial, Hoop, Shear float64
}

// Unit is the stress for one unit of each component: per N, N·m or Pa.
type Unit [design.Components]Stress

// Coordinate is a point of the outline: loop 0 is the outer one, S the arc
// length along it, m, growing with φ from the +y axis.
type Coordinate struct {
	Loop int
	S    float64
}

// Patch is the rectangle of a grid on the developed surface.
type Patch struct {
	Centre   Coordinate
	Station  float64 // of the centre, m
	Sin, Cos float64 // of the direction, from +x toward +φ
	Length   float64 // along the direction, m
	Width    float64 // across it, m
	StandOff float64 // of the foil above the surface, m
}

// Properties of a section about its centroid.
type Properties struct {
	Area                       float64 // m²
	Iy, Iz, Iyz                float64 // ∫z²dA, ∫y²dA, ∫yz dA, m⁴
	J                          float64 // torsion constant, m⁴
	CentroidY, CentroidZ       float64 // m
	ShearCentreY, ShearCentreZ float64 // m
	JError                     float64 // relative error estimate of J; 0 where exact
	StressError                float64 // of the surface shear, relative to its greatest; 0 where exact
	Depth                      float64 // greatest outer dimension, m: the length over which ends disturb
}

// Section is one cross-section with its dimensions set. A Section is scratch
// space: Set changes it, so each worker keeps its own.
type Section interface {
	Outline

	// Set gives the section new dimensions, m, in the order of its Shape, and
	// Poisson's ratio, on which flexural shear depends. It allocates nothing in a
	// round section or one that Propagate made; otherwise it may solve the section.
	Set(dimensions []float64, poisson float64) error

	Properties() Properties

	// Perimeter of a loop, m.
	Perimeter(loop int) float64

	// Around is the coordinate at angle φ, rad, as the centroid sees it: the outermost
	// where several lie there. Meets refuses an angle at which none does, as happens
	// where the centroid lies outside the material; Around then takes the nearest
	// end of a side, so ask first.
	Around(phi float64) Coordinate
	Meets(phi float64) error

	// Angle is φ at a coordinate, rad, and Point its place in the section, m.
	Angle(c Coordinate) float64
	Point(c Coordinate) (y, z float64)

	// Curvature of the outline at a coordinate, 1/m; 0 on a flat.
	Curvature(c Coordinate) float64

	// Faces are the straight sides and curved runs of the outer loop, and OnFace the
	// coordinate of a place on one of them, across m from its middle toward growing φ.
	Faces() []Face
	OnFace(face int, across float64) Coordinate

	// Within refuses a patch that reaches over the end of the face it lies on.
	Within(p *Patch) error

	// Bears tells why a component's stress is not computed, nil where it is; Spins
	// the same of Rotation. What is not computed is 0 in every Unit, so ask first.
	Bears(c design.Component) error
	Spins() error

	// Symmetries of the outline about the centroid.
	Symmetries() Symmetries

	// Walls says how thin the section is and how far its ends disturb.
	Walls() Walls

	// Propagate prepares the section, as it is set, for many Sets near by: every
	// call of the function returned makes one worker's Section. spread says how far
	// each dimension may go: half a range, or two standard uncertainties; 0 for one
	// that stays.
	Propagate(spread []float64) (func() Section, error)

	// Surface is the stress at a coordinate and station for unit loads at station 0,
	// each through the centroid: a shear force that misses the shear centre twists.
	Surface(c Coordinate, station float64, u *Unit)

	// Mean is the stress averaged over a patch, the stand-off's magnification of
	// bending and torsion included.
	Mean(p *Patch, u *Unit)

	// Rotation is the surface stress of a bar that spins freely about x, Pa;
	// density in kg/m³, speed in rad/s.
	Rotation(density, speed float64) Stress
}

// WithoutTwist turns the shear forces of u, which act through the centroid, into
// forces through the shear centre, which do not twist: u[shear] less the torque
// that the offset makes,
//
//	Vy: u − z_s·torque,  Vz: u + y_s·torque
//
// y_s, z_s from the centroid to the shear centre, m.
func WithoutTwist(p Properties, u *Unit) {
	y, z := p.ShearCentreY-p.CentroidY, p.ShearCentreZ-p.CentroidZ
	u[design.ShearY].Shear -= z * u[design.Torque].Shear
	u[design.ShearZ].Shear += y * u[design.Torque].Shear
}

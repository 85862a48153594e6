// Package section answers, for the cross-section of a prismatic part, with its
// properties and with the stress on its outer surface for a unit of each load,
// at a point and averaged over a grid.
//
// It is Saint-Venant's elasticity of a straight, uniform, isotropic bar far from
// its ends: no stress concentrations, no ends, no warping restraint, no contact.
package section

import (
	"fmt"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

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
	Depth                      float64 // greatest outer dimension, m: the length over which ends disturb
}

// Section is one cross-section with its dimensions set. A Section is scratch
// space: Set changes it, so each worker keeps its own.
type Section interface {
	// Set gives the section new dimensions, m, in the order of its Shape, and
	// Poisson's ratio, on which flexural shear depends. It allocates nothing.
	Set(dimensions []float64, poisson float64) error

	Properties() Properties

	// Perimeter of a loop, m.
	Perimeter(loop int) float64

	// Around is the coordinate at angle φ, rad.
	Around(phi float64) Coordinate

	// Angle is φ at a coordinate, rad, and Point its place in the section, m.
	Angle(c Coordinate) float64
	Point(c Coordinate) (y, z float64)

	// Curvature of the outline at a coordinate, 1/m; 0 on a flat.
	Curvature(c Coordinate) float64

	// Surface is the stress at a coordinate and station for unit loads at station 0.
	Surface(c Coordinate, station float64, u *Unit)

	// Mean is the stress averaged over a patch, the stand-off's magnification of
	// bending and torsion included.
	Mean(p *Patch, u *Unit)

	// Rotation is the surface stress of a bar that spins freely about x, Pa;
	// density in kg/m³, speed in rad/s.
	Rotation(density, speed float64) Stress
}

// Shape is one entry of the table of shapes.
type Shape struct {
	Name       string
	Dimensions []Dimension
	Example    string
	// New makes a Section with dimensions still to be Set.
	New func(openEnds bool) Section
}

// Dimension is one dimension of a shape as the design file names it.
type Dimension struct {
	Key    string
	Symbol string // as drawings call it
	Kind   quantity.Kind
}

// Shapes is the table of the shapes that can be computed.
var Shapes = []Shape{roundShape, roundTubeShape}

// Find returns the shape of that name.
func Find(name string) (Shape, bool) {
	for _, s := range Shapes {
		if s.Name == name {
			return s, true
		}
	}
	return Shape{}, false
}

// Of returns the section of a part at its nominal dimensions.
func Of(p design.Part) (Section, error) {
	shape, ok := Find(p.Section.Shape)
	if !ok {
		return nil, fmt.Errorf("no section shape %q", p.Section.Shape)
	}
	dims := make([]float64, len(p.Section.Dimensions))
	for i, d := range p.Section.Dimensions {
		dims[i] = d.SI
	}
	s := shape.New(p.OpenEnds)
	return s, s.Set(dims, p.Material.Poisson.SI)
}

package design

import "gridwright/internal/quantity"

// Component is one component of the load on the part.
type Component int

// The components, with the signs of the internal resultants on the face whose
// outward normal is +x.
const (
	Axial    Component = iota // N = ∫σx dA, N
	ShearY                    // Vy = ∫τxy dA, N
	ShearZ                    // Vz = ∫τxz dA, N
	Torque                    // T = ∫(y τxz − z τxy) dA, N·m
	BendingY                  // My = ∫z σx dA, N·m
	BendingZ                  // Mz = −∫y σx dA, N·m
	Pressure                  // internal pressure, Pa
	Components
)

var componentNames = [Components]string{"axial", "shear-y", "shear-z", "torque", "bending-y", "bending-z", "pressure"}

// String is the component's name in design files and results.
func (c Component) String() string {
	if c < 0 || c >= Components {
		return "no component"
	}
	return componentNames[c]
}

// ComponentNames lists the names in the order of the constants.
func ComponentNames() []string { return append([]string(nil), componentNames[:]...) }

// ParseComponent is the inverse of String.
func ParseComponent(name string) (Component, bool) {
	for i, n := range componentNames {
		if n == name {
			return Component(i), true
		}
	}
	return 0, false
}

// Kind of the component's quantity.
func (c Component) Kind() quantity.Kind {
	switch c {
	case Torque, BendingY, BendingZ:
		return quantity.Moment
	case Pressure:
		return quantity.Stress
	}
	return quantity.Force
}

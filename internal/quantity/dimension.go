package quantity

// dimension holds the exponents of the base quantities. The plane angle is one
// of them here (in the SI it is a number), so that N·m and N·m/rad, Hz and
// rad/s cannot stand for each other.
type dimension struct {
	length, mass, time, current, temperature, angle int8
}

var (
	dimNone        = dimension{}
	dimLength      = dimension{length: 1}
	dimArea        = dimension{length: 2}
	dimMass        = dimension{mass: 1}
	dimTime        = dimension{time: 1}
	dimTemperature = dimension{temperature: 1}
	dimAngle       = dimension{angle: 1}
	dimForce       = dimension{length: 1, mass: 1, time: -2}
	dimStress      = dimension{length: -1, mass: 1, time: -2}
	dimPower       = dimension{length: 2, mass: 1, time: -3}
	dimVoltage     = dimension{length: 2, mass: 1, time: -3, current: -1}
	dimResistance  = dimension{length: 2, mass: 1, time: -3, current: -2}
	dimFrequency   = dimension{time: -1}
	dimRotation    = dimension{angle: 1, time: -1}

	// dimAcceleration separates a mass from the force of its weight.
	dimAcceleration = dimension{length: 1, time: -2}
)

// times returns d·e^power.
func (d dimension) times(e dimension, power int) dimension {
	p := int8(power)
	return dimension{
		length:      d.length + e.length*p,
		mass:        d.mass + e.mass*p,
		time:        d.time + e.time*p,
		current:     d.current + e.current*p,
		temperature: d.temperature + e.temperature*p,
		angle:       d.angle + e.angle*p,
	}
}

// family tells apart the numbers that a dimension cannot: 0.1 %, 1000 µε and
// 1 mV/V are all 0.001.
type family int

const (
	plain        family = iota // no ratio in the unit, or the 1 of 1/K
	fraction                   // %, ppm
	strain                     // µε, or a length by a length
	voltageRatio               // a voltage by a voltage
	mixed                      // anything else; no kind accepts it
)

// join is the family of a product.
func (f family) join(g family) family {
	switch {
	case f == plain:
		return g
	case g == plain:
		return f
	}
	return mixed
}

// quotientFamily is the family of a quotient of two units of dimension d.
func quotientFamily(d dimension) family {
	switch d {
	case dimLength:
		return strain
	case dimVoltage:
		return voltageRatio
	}
	return mixed
}

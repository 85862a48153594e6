package calibration

import (
	"fmt"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// shuntName as the data write it.
func shuntName(s design.Shunt) string {
	name := fmt.Sprintf("%s across arm %d", quantity.Format(s.Resistor.SI, quantity.Resistance, quantity.SI, 0), s.Arm)
	if s.AtInstrument {
		name += " at the instrument"
	}
	return name
}

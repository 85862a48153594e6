package check

import (
	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// solid finds an internal pressure in a part without an inside: its figures are
// zeros that mean nothing.
func solid(j *judge) []Finding {
	pressure, ok := j.d.Load(design.Pressure)
	if !ok || pressure.Rated.SI == 0 {
		return nil
	}
	s, ok := j.r.State.Section.(bored)
	if !ok {
		return nil
	}
	if _, hollow := s.Bore(); hollow {
		return nil
	}
	return []Finding{{
		Level:   Warning,
		Value:   some(pressure.Rated.SI),
		Message: "an internal pressure of " + show(pressure.Rated.SI, quantity.Stress) + " is stated for a solid part, which has no inside: it strains nothing here",
		Remedy:  "leave the load `pressure` out, or write `shape: round-tube` with its bore",
	}}
}

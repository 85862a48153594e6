// Package quantity reads numbers with units and tolerances, and knows what a
// unit measures.
//
// It does not know absolute and relative uncertainty of results, correlation,
// or significant digits; it does not convert anything that is not in its closed
// table of units, and never guesses a prefix or a missing unit.
package quantity

import "math"

// Value is a number in SI units, with the tolerance stated beside it.
type Value struct {
	SI float64 // the number, SI unit of its kind (K for temperatures, V/V for mV/V, m/m for µε)

	// Tolerance is the half-width stated after ±, in the SI unit of SI
	// (kelvins for temperatures); 0 when the value is exact.
	Tolerance float64

	// Coverage is the k of "(k=2)": Tolerance is then an expanded uncertainty of a
	// normal distribution. 0: Tolerance is a limit (rectangular distribution).
	Coverage float64

	// Text is the value as it was written, trimmed.
	Text string
}

// Exact is a value without tolerance.
func Exact(si float64) Value { return Value{SI: si} }

// Standard returns the standard uncertainty of v in SI units,
//
//	u = a/√3  for a limit a,    u = U/k  for an expanded uncertainty U
//
// (JCGM 100:2008, 4.3.7 and 4.3.3).
func (v Value) Standard() float64 {
	if v.Coverage > 0 {
		return v.Tolerance / v.Coverage
	}
	return v.Tolerance / math.Sqrt(3)
}

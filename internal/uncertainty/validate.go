package uncertainty

import "math"

// normal95 is the coverage factor of a normal distribution for 95 %.
const normal95 = 1.959963984540054

// Validates compares the first order with Monte Carlo,
//
//	|y − U − y_low| ≤ δ  and  |y + U − y_high| ≤ δ,   U = 1.96 u
//
// with the symmetric 95 % interval of Monte Carlo and δ from the given number of
// significant digits of its standard uncertainty (JCGM 101:2008, 8.1). Monte Carlo that
// is stable to one digit more has a tolerance below δ/5, which its 8.2 asks for.
func Validates(y, u float64, m Summary, digits int) bool {
	low, high := departures(y, u, m)
	delta := Tolerance(m.Standard, digits)
	return low <= delta && high <= delta
}

func departures(y, u float64, m Summary) (low, high float64) {
	return math.Abs(y - normal95*u - m.Symmetric[0]), math.Abs(y + normal95*u - m.Symmetric[1])
}

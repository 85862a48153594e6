package designfile

import (
	"fmt"

	"gridwright/internal/design"
)

// positive wants a value above zero that its tolerance cannot bring to zero.
func positive(n design.Number) string {
	if !(n.SI > 0) {
		return "the value is not above zero; write a positive one"
	}
	return smallTolerance(n)
}

// smallTolerance wants a tolerance smaller than the value.
func smallTolerance(n design.Number) string {
	if n.Tolerance >= abs(n.SI) {
		return "the tolerance is as large as the value; write a smaller one"
	}
	return ""
}

// notNegative allows zero.
func notNegative(n design.Number) string {
	if n.SI < 0 {
		return "the value is negative; write zero or a positive one"
	}
	return ""
}

// notZero wants a value that its tolerance cannot bring to zero.
func notZero(n design.Number) string {
	if n.SI == 0 {
		return "the value is zero; write the one that holds"
	}
	return smallTolerance(n)
}

// between wants low < value < high, the tolerance included, in the words given.
func between(low, high float64, words string) rule {
	return func(n design.Number) string {
		if n.SI-n.Tolerance > low && n.SI+n.Tolerance < high {
			return ""
		}
		return "the value is out of range; write one " + words
	}
}

// within wants a size that a part or a gauge can have.
func within(low, high float64, words string) rule {
	return func(n design.Number) string {
		if s := positive(n); s != "" {
			return s
		}
		if n.SI < low || n.SI > high {
			return "no part or gauge has this; write a value " + words
		}
		return ""
	}
}

var (
	partSize = within(1e-6, 100, "from 0.001 mm to 100 m")
	gridSize = within(1e-6, 1, "from 0.001 mm to 1 m")
	modulus  = within(1e6, 1e13, "from 1 MPa to 10000 GPa")
)

// finite wants a load that some machine could bear.
func finite(n design.Number) string {
	if abs(n.SI) > 1e12 {
		return "no part bears this; check the unit"
	}
	return ""
}

// atLeast wants a value of low or more.
func atLeast(low float64) rule {
	return func(n design.Number) string {
		if n.SI >= low {
			return ""
		}
		return fmt.Sprintf("the value is too small; write at least %g", low)
	}
}

func abs(x float64) float64 { return max(x, -x) }

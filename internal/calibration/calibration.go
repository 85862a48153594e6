// Package calibration evaluates the calibration of a transducer: it reads the
// readings, reduces them by their zeros, fits outputs against loads, gives the
// figures and classes of a published method, separates the loads of several
// components, compares with the prediction and writes the as-calibrated matrix.
//
// # Data
//
// The readings are a table in long form, one row a reading, separated by commas,
// semicolons or tabs. Columns in any order:
//
//	run                 series by its number; required
//	position            mounting position, degrees
//	mounting            number of the mounting: one more each time the part was turned,
//	                    or taken out and mounted again at the same position
//	stepping            up, down or zero; when absent, from the order of the rows
//	NAME [unit]         a load of the design, in any unit of its kind; 0 where it is not applied
//	NAME [mV/V]         a bridge (also µV/V, V/V); blank: the reading was not taken
//	temperature [°C]    also °F, K
//	time [s]            when creep was watched, or the zero is interpolated in time
//	shunt               empty, or the shunt of that reading as "100 kΩ across arm 1",
//	                    with " at the instrument" where it is
//
// Lines that start with # are skipped. Other columns are ignored, and named.
//
// # Methods
//
// Formulas and limits of the standards are from memory unless their comment says
// otherwise; a class is marked so until Options.LimitsConfirmed says that the
// user has compared them with the standard.
//
// The package does not model drift between calibrations, the influence of the
// fixture, loads that are uncertain one by one, hysteresis as a function of the
// history, or dependence of the matrix on temperature: it states the temperature
// at which the data were taken. It does not search for the cause of a
// disagreement.
package calibration

import (
	"fmt"

	"gridwright/internal/quantity"
)

// Method of evaluation.
type Method string

// The methods.
const (
	Force376 Method = "force-376" // scheme of ISO 376
	ForceE74 Method = "force-e74" // scheme of ASTM E74
	Torque   Method = "torque"    // scheme of DIN 51309 and of the guides that follow it
	Plain    Method = "plain"     // least squares through every reading, no standard named
)

// Methods in the order in which they are listed.
var Methods = []Method{Force376, ForceE74, Torque, Plain}

// ParseMethod reads a method's name.
func ParseMethod(name string) (Method, error) {
	var names []string
	for _, m := range Methods {
		if string(m) == name {
			return m, nil
		}
		names = append(names, string(m))
	}
	return "", unknown("method", name, names)
}

// Zero is how outputs are reduced by the readings without load.
type Zero string

// The reductions.
const (
	ZeroNone         Zero = "none"         // outputs as they are
	ZeroInitial      Zero = "initial"      // minus the zero reading before the loads of its run
	ZeroMean         Zero = "mean"         // minus the mean of the zero readings of its run
	ZeroInterpolated Zero = "interpolated" // minus the line between the zero before and the zero after
)

// Zeros in the order in which they are listed.
var Zeros = []Zero{ZeroNone, ZeroInitial, ZeroMean, ZeroInterpolated}

// ParseZero reads a reduction's name.
func ParseZero(name string) (Zero, error) {
	var names []string
	for _, z := range Zeros {
		if string(z) == name {
			return z, nil
		}
		names = append(names, string(z))
	}
	return "", unknown("zero reduction", name, names)
}

func unknown(what, name string, known []string) error {
	list := ""
	for i, k := range known {
		switch {
		case i == 0:
		case i == len(known)-1:
			list += " or "
		default:
			list += ", "
		}
		list += k
	}
	if near := quantity.Nearest(name, known); near != "" {
		return fmt.Errorf("unknown %s %q; did you mean %s", what, name, near)
	}
	return fmt.Errorf("unknown %s %q; write %s", what, name, list)
}

// Options of an evaluation. The zero value is the plain method, zero readings
// before each run, and a degree chosen by the data.
type Options struct {
	Method      Method // "": Plain
	Zero        Zero   // "": ZeroInitial
	Degree      int    // 1 to 5; 0: chosen
	Constant    *bool  // whether the fit has a constant term; nil: as the method has it
	SecondOrder bool   // products and squares of the loads in the matrix too
	EqualWeight bool   // more bridges than loads: weigh all alike, not by their residuals

	// LimitsConfirmed says that the user has compared the classes' limits with the
	// standard; without it they are marked as from memory.
	LimitsConfirmed bool

	// Prediction to compare with; nil: made from the design at the temperature of the data.
	Prediction *Prediction
	NoCompare  bool // leave the comparison out

	DesignDigest, DataDigest, Date string // recorded
}

// maxDegree of a fit.
const maxDegree = 5

func (o Options) complete() (Options, error) {
	if o.Method == "" {
		o.Method = Plain
	}
	if o.Zero == "" {
		o.Zero = ZeroInitial
	}
	if _, err := ParseMethod(string(o.Method)); err != nil {
		return o, err
	}
	if _, err := ParseZero(string(o.Zero)); err != nil {
		return o, err
	}
	if o.Degree < 0 || o.Degree > maxDegree {
		return o, fmt.Errorf("a fit of degree %d is not possible; ask for 1 to %d", o.Degree, maxDegree)
	}
	return o, nil
}

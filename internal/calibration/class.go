package calibration

import (
	"fmt"
	"math"

	"gridwright/internal/predict"
)

// limits of one class, ratios; 0: the class does not limit it.
type limits struct {
	name                                                                                string
	reproducibility, repeatability, interpolation, zero, reversibility, creep, expanded float64
	steps                                                                               float64 // least load in steps of the resolution
}

// forceClasses: limits of the classes of force-measuring devices.
//
// Source: ISO 376, table 2 and the demand on resolution, from memory; to be
// confirmed against the standard.
var forceClasses = []limits{
	{"00", 0.05e-2, 0.025e-2, 0.025e-2, 0.012e-2, 0.07e-2, 0.025e-2, 0.01e-2, 4000},
	{"0.5", 0.10e-2, 0.05e-2, 0.05e-2, 0.025e-2, 0.15e-2, 0.05e-2, 0.02e-2, 2000},
	{"1", 0.20e-2, 0.10e-2, 0.10e-2, 0.050e-2, 0.30e-2, 0.10e-2, 0.05e-2, 1000},
	{"2", 0.40e-2, 0.20e-2, 0.20e-2, 0.10e-2, 0.50e-2, 0.20e-2, 0.10e-2, 500},
}

// torqueClasses: limits of the classes of torque-measuring devices. Least torque
// by resolution and number of series are not known here and not judged.
//
// Source: DIN 51309, table of classes, from memory; to be confirmed against the
// standard.
var torqueClasses = []limits{
	{"0.05", 0.05e-2, 0.025e-2, 0.025e-2, 0.0125e-2, 0.063e-2, 0, 0.010e-2, 0},
	{"0.1", 0.1e-2, 0.05e-2, 0.05e-2, 0.025e-2, 0.125e-2, 0, 0.020e-2, 0},
	{"0.2", 0.2e-2, 0.1e-2, 0.1e-2, 0.05e-2, 0.25e-2, 0, 0.040e-2, 0},
	{"0.5", 0.5e-2, 0.25e-2, 0.25e-2, 0.125e-2, 0.63e-2, 0, 0.10e-2, 0},
	{"1", 1e-2, 0.5e-2, 0.5e-2, 0.25e-2, 1.25e-2, 0, 0.20e-2, 0},
	{"2", 2e-2, 1e-2, 1e-2, 0.5e-2, 2.5e-2, 0, 0.40e-2, 0},
	{"5", 5e-2, 2.5e-2, 2.5e-2, 1.25e-2, 6.25e-2, 0, 1.0e-2, 0},
}

// Class of a bridge with the range in which it holds.
type Class struct {
	Name      string // "" when there is none
	From, To  float64
	Missing   string   // why there is none
	Unjudged  []string // demands that the data do not decide
	Source    string
	Confirmed bool // the user has compared the limits with the standard
	Ranges    []ClassRange
}

// ClassRange is from where on each class holds.
type ClassRange struct {
	Name     string
	From, To float64 // magnitude of the load
}

// classify finds for each class the steps from the largest load downward that all
// meet its limits. The class is the best that reaches down to half of the largest
// load. A demand for which the data have no figure is named, not judged; without
// repeat, rotation, or both of reversal and creep there is no class.
func classify(m Method, l *ladder, steps []Step, f *Figures, standard predict.Figure, confirmed bool) Class {
	out := Class{Confirmed: confirmed, To: math.Abs(l.steps[l.top])}
	var table []limits
	switch m {
	case Force376:
		table, out.Source = forceClasses, "ISO 376, table 2"
	case Torque:
		table, out.Source = torqueClasses, "DIN 51309, table of classes"
	default:
		out.Missing = fmt.Sprintf("the method %s has no such classes", m)
		return out
	}
	if confirmed {
		out.Source += ", limits confirmed by the user"
	} else {
		out.Source += ", limits from memory, to be confirmed against the standard"
	}
	for _, need := range []struct {
		f    predict.Figure
		what string
	}{{f.Repeatability, "repeatability"}, {f.Reproducibility, "reproducibility"}, {f.Interpolation, "fitting error"}} {
		if !need.f.OK() {
			out.Missing = fmt.Sprintf("no %s: %s", need.what, need.f.Missing)
			return out
		}
	}
	if n := len(l.mountings()); n < 3 {
		out.Missing = fmt.Sprintf("%d mountings; the scheme asks for three", n)
		return out
	}
	if !f.Reversibility.OK() && (m == Torque || !f.Creep.OK()) {
		out.Missing = "neither reversal nor creep was measured"
		if m == Torque {
			out.Missing = "no reversibility: " + f.Reversibility.Missing
		}
		return out
	}
	unjudged := func(ok bool, what string) {
		if !ok {
			out.Unjudged = append(out.Unjudged, what)
		}
	}
	unjudged(f.Zero.OK(), "zero error: "+f.Zero.Missing)
	unjudged(standard.OK(), "uncertainty of the applied load: not stated")
	if m == Force376 {
		unjudged(f.Resolution.OK(), "resolution: not stated")
		if len(steps) < 8 {
			out.Unjudged = append(out.Unjudged, fmt.Sprintf("%d steps; the scheme asks for eight", len(steps)))
		}
	} else {
		out.Unjudged = append(out.Unjudged, "least torque by resolution, number of steps and series: their demands are not known here")
	}
	for _, c := range table {
		from := math.NaN()
		for _, k := range byMagnitude(l.steps) {
			if !c.meets(&steps[k], f, standard) {
				break
			}
			from = math.Abs(l.steps[k])
		}
		if math.IsNaN(from) {
			continue
		}
		out.Ranges = append(out.Ranges, ClassRange{c.name, from, out.To})
		if out.Name == "" && from <= 0.5*out.To*(1+1e-9) {
			out.Name, out.From = c.name, from
		}
	}
	if out.Name == "" {
		out.Missing = "no class is met from the largest load down to half of it"
	}
	return out
}

// byMagnitude are the steps from the largest |load| downward.
func byMagnitude(steps []float64) []int {
	order := make([]int, len(steps))
	for i := range order {
		order[i] = i
	}
	for i := range order { // few steps
		for j := i; j > 0 && math.Abs(steps[order[j]]) > math.Abs(steps[order[j-1]]); j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	return order
}

// meets the limits at one step; a step without a figure that others have does not,
// except for reversibility where the series turns.
func (c *limits) meets(s *Step, f *Figures, standard predict.Figure) bool {
	within := func(f predict.Figure, limit float64) bool {
		return limit == 0 || f.OK() && math.Abs(f.Value) <= limit*(1+1e-12)
	}
	whole := func(f predict.Figure, limit float64) bool { return !f.OK() || within(f, limit) }
	ok := within(s.Repeatability, c.repeatability) && within(s.Reproducibility, c.reproducibility) && within(s.Interpolation, c.interpolation)
	if f.Reversibility.OK() && s.Reversibility.Missing != notTop {
		ok = ok && within(s.Reversibility, c.reversibility)
	} else if !f.Reversibility.OK() {
		ok = ok && within(f.Creep, c.creep)
	}
	ok = ok && whole(f.Zero, c.zero)
	if standard.OK() {
		ok = ok && 2*standard.Value <= c.expanded*(1+1e-12)
	}
	if c.steps > 0 && f.Resolution.OK() {
		ok = ok && math.Abs(s.Load) >= c.steps*f.Resolution.Value*(1-1e-12)
	}
	return ok
}

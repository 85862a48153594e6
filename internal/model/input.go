package model

import (
	"fmt"
	"math"

	"gridwright/internal/design"
)

// Input is one entry of the vector that a Model is evaluated for.
type Input struct {
	Place     design.Place // where the number stands in the design file
	Of        string       // the grid or placement that it is drawn for, "" when it is one for all
	Nominal   float64      // SI
	Tolerance float64      // half-width, SI; 0: exact
	Coverage  float64      // k of an expanded uncertainty; 0: Tolerance is a limit
}

// Standard is the input's standard uncertainty, SI.
func (in Input) Standard() float64 {
	if in.Coverage > 0 {
		return in.Tolerance / in.Coverage
	}
	return in.Tolerance / math.Sqrt(3)
}

// add appends an input and returns its index.
func (m *Model) add(in Input, path string) int {
	if in.Place.Path == "" {
		in.Place.Path = path
	}
	m.Inputs = append(m.Inputs, in)
	return len(m.Inputs) - 1
}

// number is an input of its own; one that stands in the file once serves all
// that refer to it.
func (m *Model) number(n design.Number, path string) int {
	if n.Place.Path == "" {
		n.Place.Path = path
	}
	return m.once(n, path)
}

// once returns the input that already stands for the same place, or a new one.
func (m *Model) once(n design.Number, path string) int {
	if n.Place.Path != "" {
		path = n.Place.Path
	}
	if i, ok := m.known[path]; ok && m.Inputs[i].Nominal == n.SI {
		return i
	}
	m.known[path] = len(m.Inputs)
	return m.add(Input{Place: n.Place, Nominal: n.SI, Tolerance: n.Tolerance, Coverage: n.Coverage}, path)
}

// each is an input drawn anew for one grid or placement, though it stands once
// in the file.
func (m *Model) each(n design.Number, path, of string) int {
	return m.add(Input{Place: n.Place, Of: of, Nominal: n.SI, Tolerance: n.Tolerance, Coverage: n.Coverage}, path)
}

// about0 is a deviation of one grid whose stated value is its limit.
func (m *Model) about0(n design.Number, path, of string) int {
	return m.add(Input{Place: n.Place, Of: of, Tolerance: n.SI, Coverage: n.Coverage}, path)
}

// shared makes one input for a lot of values that deviate together: value k is
// nominal[k] + scale[k] times the input, whose nominal is 0 and tolerance 1.
func (m *Model) shared(values []design.Number, path string) (nominal, scale []float64, input int) {
	in := Input{}
	for _, v := range values {
		if in.Tolerance == 0 && v.Tolerance > 0 {
			in.Tolerance, in.Coverage = 1, v.Coverage
		}
	}
	if len(values) > 0 {
		in.Place = values[0].Place
		in.Place.Path = path
	}
	unit := math.Sqrt(3)
	if in.Coverage > 0 {
		unit = in.Coverage
	}
	for _, v := range values {
		nominal = append(nominal, v.SI)
		scale = append(scale, v.Standard()*unit)
	}
	return nominal, scale, m.add(in, path)
}

// Label names the input for a reader: its place, and for what it is drawn.
func (in Input) Label() string {
	if in.Of == "" {
		return in.Place.Path
	}
	return fmt.Sprintf("%s (%s)", in.Place.Path, in.Of)
}

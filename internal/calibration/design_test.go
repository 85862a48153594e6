package calibration

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
)

// shaft is a design of loads and bridges alone: torque 1000 N·m and bending-y 400 N·m
// to be measured, axial 10 kN to be rejected; bridges T and By.
func shaft() *design.Design {
	load := func(c design.Component, rated float64, measure bool) design.Load {
		l := design.Load{Component: c, Measure: measure}
		l.Rated.SI, l.Rated.Set = rated, true
		return l
	}
	d := &design.Design{Title: "invented shaft",
		Loads:   []design.Load{load(design.Axial, 10e3, false), load(design.Torque, 1000, true), load(design.BendingY, 400, true)},
		Bridges: []design.Bridge{{Name: "T", Measures: design.Torque}, {Name: "By", Measures: design.BendingY}}}
	d.Temperature.Reference.SI = 293.15
	return d
}

// only leaves one bridge and its load.
func only(name string) *design.Design {
	d := shaft()
	for _, b := range d.Bridges {
		if b.Name == name {
			d.Bridges = []design.Bridge{b}
		}
	}
	for _, l := range d.Loads {
		if l.Component == d.Bridges[0].Measures {
			d.Loads = []design.Load{l}
		}
	}
	return d
}

func read(t tester, d *design.Design, text string) *Data {
	t.Helper()
	data, err := Read(strings.NewReader(text), "data.csv", d)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func evaluated(t tester, d *design.Design, data *Data, o Options) *Result {
	t.Helper()
	o.NoCompare = o.Prediction == nil
	r, err := Evaluate(d, data, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t tester, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.15g, want %.15g within %g of it", what, got, want, relative)
	}
}

// rising writes readings of the torque bridge: each run from zero up and back.
func rising(runs [][]float64, zero float64) string {
	var b strings.Builder
	b.WriteString("run,position,stepping,torque [N·m],T [mV/V]\n")
	for k, run := range runs {
		fmt.Fprintf(&b, "%d,%d,zero,0,%.9f\n", k+1, 120*(max(k, 1)-1), zero)
		for i, v := range run {
			fmt.Fprintf(&b, "%d,%d,up,%d,%.9f\n", k+1, 120*(max(k, 1)-1), 100*(i+1), v+zero)
		}
		fmt.Fprintf(&b, "%d,%d,zero,0,%.9f\n", k+1, 120*(max(k, 1)-1), zero)
	}
	return b.String()
}

// tester is a test or a property.
type tester interface {
	Helper()
	Fatal(args ...any)
	Errorf(format string, args ...any)
}

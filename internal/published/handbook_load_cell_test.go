package published_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
)

// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 2.3.6.5, load cell calibration
// (data read in the public repository of its authors; fits recomputed in rational
// arithmetic; lower limit factor and classes by the formulas of ASTM E74, from memory).

// transducer is a design of nothing but loads and bridges, for evaluations that are not
// compared with a prediction.
func transducer(loads []design.Load, bridges ...design.Bridge) *design.Design {
	return &design.Design{Title: "worked example", Loads: loads, Bridges: bridges}
}

func load(c design.Component, rated float64) design.Load {
	l := design.Load{Component: c, Measure: true}
	l.Rated.SI, l.Rated.Set = rated, true
	return l
}

func axialCell() *design.Design {
	return transducer([]design.Load{load(design.Axial, 21)}, design.Bridge{Name: "F", Measures: design.Axial})
}

// loadCell is the data of the handbook as a table of a calibration.
func loadCell(t *testing.T) string {
	t.Helper()
	file, err := os.Open("testdata/load_cell.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("run,position,stepping,axial [N],F [mV/V]\n")
	for _, row := range rows[1:] {
		fmt.Fprintf(&b, "%s,0,up,%s,%s\n", row[1], row[0], row[2])
	}
	return b.String()
}

func evaluate(t *testing.T, d *design.Design, csv string, o calibration.Options) *calibration.Result {
	t.Helper()
	data, err := calibration.Read(strings.NewReader(csv), "data.csv", d)
	if err != nil {
		t.Fatal(err)
	}
	o.NoCompare = true
	r, err := calibration.Evaluate(d, data, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestLoadCellDegree(t *testing.T) {
	d := axialCell()
	d.Calibration.IndicatorResolution.SI, d.Calibration.IndicatorResolution.Set = 1e-8, true // finer than 1/50 000, so that all degrees are tried
	b := evaluate(t, d, loadCell(t), calibration.Options{Method: calibration.ForceE74, Zero: calibration.ZeroNone}).Bridges[0]
	if b.Forward.Degree != 2 {
		t.Fatalf("degree %d: %s", b.Forward.Degree, b.DegreeWhy)
	}
	for m, want := range []float64{2.533170e-4, 1.409849e-5, 1.506708e-5, 1.542024e-5, 1.583562e-5} {
		printed(t, fmt.Sprintf("s%d of the averages, mV/V", m+1), b.Choice[m].SD*1e3, want, 5e-11*math.Pow(10, math.Ceil(math.Log10(want)+5)))
	}
	for m, want := range []float64{17.968, 0.9357, 0.9771, 0.9738} {
		half := 5e-5
		if m == 0 {
			half = 5e-4
		}
		printed(t, fmt.Sprintf("s%d/s%d", m+1, m+2), figure(t, "ratio", b.Choice[m+1].Ratio), want, half)
	}
	for m, want := range []float64{1.3153, 1.3726, 1.4547, 1.5815} {
		printed(t, fmt.Sprintf("C(11, %d)", m+2), b.Choice[m+1].Limit, want, 5e-5)
	}
	for k, want := range []float64{-1.839804673e-5, 1.001024853974e-1, 7.031865115e-6} {
		printed(t, fmt.Sprintf("A%d", k), b.Forward.Coefficients[k]*1e3, want, []float64{5e-15, 5e-14, 5e-16}[k])
	}
	printed(t, "s, mV/V", b.Forward.ResidualSD*1e3, 3.764029420e-5, 5e-15)
	printed(t, "lack of fit", b.Forward.LackOfFit.F, 0.3477, 5e-5)
	if b.Forward.LackOfFit.Freedom != [2]int{8, 22} {
		t.Errorf("degrees of freedom %v", b.Forward.LackOfFit.Freedom)
	}
	printed(t, "pure error, mV/V", b.Forward.LackOfFit.PureError*1e3, 4.141439e-5, 5e-12)
	for k, want := range []float64{1.916481250e-4, 9.989728521, -6.976139183e-3} {
		printed(t, fmt.Sprintf("inverse B%d", k), b.Inverse.Coefficients[k]*math.Pow(1e-3, float64(k)), want, []float64{5e-14, 5e-10, 5e-13}[k])
	}
	printed(t, "s of the inverse", b.Inverse.ResidualSD, 3.755758e-4, 5e-11)
}

// Without a statement of the resolution no degree above 2 is tried; the result is the same.
func TestLoadCellLowerLimit(t *testing.T) {
	r := evaluate(t, axialCell(), loadCell(t), calibration.Options{Method: calibration.ForceE74, Zero: calibration.ZeroNone})
	b := r.Bridges[0]
	printed(t, "lower limit factor", figure(t, "factor", b.Figures.LowerLimitFactor), 9.017107e-4, 5e-11)
	printed(t, "class A from, 400 factors raised to the lowest load", figure(t, "class A", b.E74.Lower[1]), 2, 0)
	printed(t, "class AA from", figure(t, "class AA", b.E74.Lower[0]), 2, 0)
	printed(t, "400 lower limit factors", 400*b.Figures.LowerLimitFactor.Value, 0.360684, 5e-7)
	printed(t, "2000 lower limit factors", 2000*b.Figures.LowerLimitFactor.Value, 1.803421, 5e-7)
	if len(r.Outliers) != 0 {
		t.Errorf("outliers: %v", r.Outliers)
	}
}

func TestLoadCellOtherDegrees(t *testing.T) {
	for _, c := range []struct {
		degree int
		s      float64
		f      float64
	}{{1, 2.389702686e-4, 112.240}, {3, 3.828238e-5, 0}, {4, 3.873603e-5, 0}, {5, 3.920262e-5, 0}} {
		b := evaluate(t, axialCell(), loadCell(t), calibration.Options{Method: calibration.ForceE74, Zero: calibration.ZeroNone, Degree: c.degree}).Bridges[0]
		printed(t, fmt.Sprintf("s of degree %d, mV/V", c.degree), b.Forward.ResidualSD*1e3, c.s, 5e-11)
		if c.f != 0 {
			printed(t, "lack of fit", b.Forward.LackOfFit.F, c.f, 5e-4)
			printed(t, "A0", b.Forward.Coefficients[0]*1e3, -7.155550756e-4, 5e-14)
			printed(t, "A1", b.Forward.Coefficients[1]*1e3, 1.002673621310e-1, 5e-14)
		}
	}
}

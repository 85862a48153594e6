package diagnosis

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
)

func TestErrors(t *testing.T) {
	d := parse(t, tube)
	good := func() Measured { return calibrated(t, d, nil) }
	for _, c := range []struct {
		name string
		edit func(m *Measured)
		want string
	}{
		{"unknown load", func(m *Measured) { m.Components[0] = design.ShearY }, "shear-y, which is no load of the design"},
		{"load twice", func(m *Measured) { m.Components[0] = design.Torque }, "torque twice"},
		{"rows", func(m *Measured) { m.Sensitivity = m.Sensitivity[:1] }, "1 rows of sensitivities for 2 bridges"},
		{"columns", func(m *Measured) { m.Sensitivity[1] = m.Sensitivity[1][:2] }, "bridge By has 2 sensitivities for 4 components"},
		{"infinite", func(m *Measured) { m.Sensitivity[1][0] = math.Inf(1) }, "bridge By: the sensitivity to axial is not finite"},
		{"no uncertainty", func(m *Measured) { m.Standard = nil }, "has no standard uncertainty; give one"},
		{"negative uncertainty", func(m *Measured) { m.Standard[0][1] = -1 }, "bridge T: the sensitivity to torque has a standard uncertainty of -1"},
		{"ranges", func(m *Measured) { m.Loads = m.Loads[:1] }, "1 ranges of load for 4 components"},
		{"range turned", func(m *Measured) { m.Loads[1] = [2]float64{5, -5} }, "the range of torque runs from 5 to -5"},
		{"zero", func(m *Measured) { m.Zero[0].Value = math.NaN() }, "the zero of bridge T is NaN V/V"},
		{"zero in mV/V", func(m *Measured) { m.Zero[0].Value = 1.3 }, "not mV/V"},
		{"sensitivity absurd", func(m *Measured) { m.Sensitivity[0][1] = 3 }, "no slip of units explains that"},
		{"shunts", func(m *Measured) { m.Shunts[0] = append(m.Shunts[0], Reading{}) }, "bridge T has 2 shunt readings, the design 1 shunts"},
		{"shunt reading", func(m *Measured) { m.Shunts[1][0].Standard = math.Inf(1) }, "shunt reading 1 of bridge By"},
		{"covariance size", func(m *Measured) { m.Covariance = [][][]float64{{{1}}, nil} }, "bridge T: a covariance of 1 rows for 4 components"},
		{"covariance square", func(m *Measured) { m.Covariance = [][][]float64{{{1}, {1}, {1}, {1}}, nil} }, "not square"},
		{"covariance symmetric", func(m *Measured) {
			m.Covariance = [][][]float64{{{1, 0.5, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}}, nil}
		}, "not symmetric"},
		{"covariance definite", func(m *Measured) {
			m.Covariance = [][][]float64{{{1, 2, 0, 0}, {2, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}}, nil}
		}, "not positive definite"},
		{"load standard", func(m *Measured) { m.LoadStandard = []float64{0.1} }, "1 uncertainties of the load standard for 4 components"},
		{"load standard NaN", func(m *Measured) { m.LoadStandard = []float64{0.1, math.NaN(), 0, 0} }, "load standard for torque"},
		{"nothing", func(m *Measured) { *m = Measured{} }, "holds no sensitivity, zero or shunt reading"},
		{"cold", func(m *Measured) { m.Kelvin = -4 }, "a calibration at -4 K"},
	} {
		in := good()
		c.edit(&in)
		r, err := Of(d, in, Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q (%+v)", c.name, err, c.want, r)
		}
	}
	if _, err := Of(d, good(), Options{Range: -1}); err == nil {
		t.Error("a negative range was accepted")
	}
	bare := d.Clone()
	bare.Bridges = nil
	if _, err := Of(bare, Measured{Zero: nil}, Options{}); err == nil || !strings.Contains(err.Error(), "no bridges") {
		t.Errorf("no bridges: %v", err)
	}
}

// Whatever is measured, the answer is finite: shares in [0, 1] that add up to 1 at most,
// group 1 first.
func TestAnyReadingsGiveAFiniteAnswer(t *testing.T) {
	d := parse(t, oneBridge)
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(-1, 1), rapid.Float64Range(-2e-3, 2e-3), rapid.Just(0.0))
		reading := func(name string) Reading {
			return Reading{Taken: rapid.Bool().Draw(t, name+" taken"), Value: value.Draw(t, name), Standard: rapid.Float64Range(0, 1e-3).Draw(t, name+" u"), OffScale: rapid.IntRange(0, 5).Draw(t, name+" off") == 0}
		}
		in := Measured{Components: []design.Component{design.Torque}, Zero: []Reading{reading("zero")}, Shunts: [][]Reading{{reading("shunt")}}}
		in.Sensitivity = [][]float64{{value.Draw(t, "torque") / 100}}
		in.Standard = [][]float64{{rapid.Float64Range(0, 1e-5).Draw(t, "u")}}
		r, err := Of(d, in, Options{})
		if err != nil {
			t.Fatal(err)
		}
		total, last := 0.0, 1
		for _, c := range r.Causes {
			total += c.Share
			if !(c.Share >= 0 && c.Share <= 1) || c.Group < last {
				t.Fatalf("%+v", c)
			}
			last = c.Group
			if e := c.Estimate; e != nil && (math.IsNaN(e.Value) || math.IsInf(e.Value, 0) || !(e.Standard >= 0)) {
				t.Fatalf("%s: %+v", c.Text, e)
			}
		}
		if len(r.Causes) == 0 || total > 1+1e-9 || math.IsNaN(r.ChiSquare) || strings.Contains(r.Sentence, "NaN") {
			t.Fatalf("%+v", r)
		}
	})
}

const oneBridge = `gridwright: 1
title: invented shaft
part: {material: {youngs-modulus: 200 GPa ± 2 %, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 30 mm}}
loads: {torque: {rated: 100 N·m, use: measure}}
gauges: {S: {pattern: shear-pair, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω ± 0.1 %, gauge-factor: 2 ± 1 %}}
placements: {A: {gauge: S, around: 0°}, B: {gauge: S, around: 180°}}
bridges: {T: {measures: torque, arms: [A2, A1, B2, B1]}}
shunt: [{resistor: 100 kΩ, arm: 1, at: part}]
`

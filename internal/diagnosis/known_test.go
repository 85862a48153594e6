package diagnosis

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// tube is an invented drive tube with two rosettes: a torque bridge and half a bridge for
// bending, all loads calibrated.
const tube = `gridwright: 1
title: invented drive tube
part: {material: {youngs-modulus: 206 GPa ± 2 % (k=2), poisson-ratio: 0.29 ± 0.005, expansion: 11.8 ppm/K}, section: {shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.10 mm}}
loads: {axial: {rated: 15 kN}, torque: {rated: 1200 N·m, use: measure}, bending-y: {rated: 400 N·m, use: measure}, bending-z: {rated: 400 N·m}}
temperature: {reference: 20 °C}
gauges:
  R:
    pattern: rectangular-rosette
    grid: {length: 3.2 mm, width: 2.5 mm}
    centres: [[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]]
    resistance: 350 Ω ± 0.2 %
    gauge-factor: 2.08 ± 0.5 %
    gauge-factor-scatter: 0.1 %
    thermal-output: {celsius: [-30, 2.4, -6e-2], spread: 0.15 µε/K}
placements: {A: {gauge: R, around: 90°}, B: {gauge: R, around: 270°}}
bridges:
  T:  {measures: torque, arms: [A3, A1, B3, B1]}
  By: {measures: bending-y, arms: [A2, B2, 350 Ω ± 0.01 %, 350 Ω ± 0.01 %]}
leads: {wires: 6, each: 0.4 Ω}
shunt: [{resistor: 100 kΩ, arm: 1, at: part}]
`

// everything is a good calibration of all loads.

func everything(m *model.Model) taken {
	k := taken{zero: true, shunt: true, relative: 3e-4, absolute: 2e-7, limit: 0.01}
	for j := range m.Components {
		k.components = append(k.components, j)
	}
	return k
}

// calibrated is the nominal part of d, with what read does to the readings.

func calibrated(t testing.TB, d *design.Design, read func(m *model.Model, s *simulated)) Measured {
	t.Helper()
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	s := simulate(t, m, m.Nominal)
	if read != nil {
		read(m, s)
	}
	return everything(m).measured(nil, m, s)
}

func of(t testing.TB, d *design.Design, in Measured) *Diagnosis {
	t.Helper()
	r, err := Of(d, in, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// group1 is the texts of the causes of group 1.

func group1(r *Diagnosis) []string {
	var out []string
	for _, c := range r.Causes {
		if c.Group == 1 {
			out = append(out, c.Text)
		}
	}
	return out
}

func TestExactlyAsDesigned(t *testing.T) {
	d := parse(t, tube)
	r := of(t, d, calibrated(t, d, nil))
	if !r.Agrees || r.ChiSquare > 1e-9 || r.Freedom != 2*(4+1+1) || r.Causes[0].Text != "as designed, within the tolerances" || r.SeparateBy != "" {
		t.Errorf("%+v", r)
	}
	if !strings.HasPrefix(r.Sentence, "The calibration agrees") {
		t.Error(r.Sentence)
	}
}

// All that bridge T shows is negative: its signal wires, or its supply leads, which no

// reading at the part can tell apart.

func TestNegativeBridge(t *testing.T) {
	d := parse(t, tube)
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) { s.scale(0, -1) }))
	want := []string{"signal wires of bridge T exchanged", "supply leads of bridge T exchanged"}
	if got := group1(r); r.Agrees || !reflect.DeepEqual(got, want) {
		t.Errorf("agrees %v, %q", r.Agrees, got)
	}
	if !strings.Contains(r.SeparateBy, "ohmmeter") {
		t.Errorf("separate by %q", r.SeparateBy)
	}
	if s := r.Causes[0].Share + r.Causes[1].Share; math.Abs(s-1) > 1e-3 || math.Abs(r.Causes[0].Share-r.Causes[1].Share) > 1e-6 {
		t.Errorf("shares %g and %g", r.Causes[0].Share, r.Causes[1].Share)
	}
}

// With nothing but a negative slope, wires, numbering and the sense of the load are one

// group. The test record would tell one of them and cost least, but only the wires tell all.

// The matrix alone is negative in torque while zero and shunt are right: not the wires,

// but the sense of the load or of the gauges' numbers.

func TestNegativeTorqueWithRightShunt(t *testing.T) {
	d := parse(t, tube)
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) {
		for b := range s.matrix {
			s.matrix[b][1] *= -1
		}
	}))
	got := strings.Join(group1(r), "; ")
	if r.Agrees || !strings.Contains(got, "torque applied, or written down, in the other sense") || !strings.Contains(got, "gauges R numbered counterclockwise") || strings.Contains(got, "wires") {
		t.Errorf("%v %s", r.Agrees, got)
	}
	// papers are cheaper than a look at the gauge
	if !strings.Contains(r.SeparateBy, "sense of each load") {
		t.Errorf("separate by %q", r.SeparateBy)
	}
}

func TestGridsExchangedAcrossBridges(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	a, b := &made.Bridges[0].Arms[0].Grids[0], &made.Bridges[1].Arms[1].Grids[0] // A3 and B2
	*a, *b = *b, *a
	r := of(t, d, calibrated(t, made, nil))
	if r.Agrees || r.Causes[0].Text != "grids A3 and B2 exchanged" || r.Causes[0].Share < 0.99 {
		t.Errorf("%+v", r.Causes[0])
	}
}

// A gauge turned by 5°: the estimate says so; measured and entered, the design agrees.

func TestTurnedGaugeAndItsMeasurement(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	made.Placements[0].Direction.SI = 5 * deg
	in := calibrated(t, made, nil)
	r := of(t, d, in)
	c := r.Causes[0]
	if r.Agrees || c.id != "turned A" || c.Estimate == nil || math.Abs(c.Estimate.Value-5) > 2*c.Estimate.Standard+0.02 || c.Estimate.Standard > 0.2 || c.Estimate.Unit != "°" {
		t.Errorf("%+v %+v", c, c.Estimate)
	}
	if !strings.HasPrefix(c.Text, "placement A turned by +5.") && !strings.HasPrefix(c.Text, "placement A turned by +4.9") {
		t.Error(c.Text)
	}
	measured := d.Clone()
	measured.Placements[0].Measured.Direction = design.Number{Value: quantity.Value{SI: 5 * deg, Tolerance: 0.5 * deg}, Set: true}
	if again := of(t, measured, in); !again.Agrees {
		t.Errorf("with the direction measured: %s", again.Sentence)
	}
}

// With the bending bridge alone, one gauge set 10° around is as good as the other;

// measuring where one sits decides, and is to be entered as measured.

// lbf·in read as N·m: 1 lbf·in = 0.1129848 N·m (NIST SP 811, B.8).

func TestUnitSlip(t *testing.T) {
	d := parse(t, tube)
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) {
		for b := range s.matrix {
			s.matrix[b][1] *= 0.1129848
		}
	}))
	if c := r.Causes[0]; !strings.HasPrefix(c.Text, "torque in lbf·in read as N·m (loads ×0.11298)") {
		t.Errorf("%+v", c)
	}
}

// A softer part: E, gauge factor and wall do the same to every load but not quite, and

// nothing but another measurement tells E from the gauge factor.

func TestSofterMaterial(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	made.Part.Material.Youngs.SI *= 0.6
	r := of(t, d, calibrated(t, made, nil))
	var soft *Cause
	for i, c := range r.Causes {
		if c.id == "modulus" && c.Group == 1 {
			soft = &r.Causes[i]
		}
	}
	if r.Agrees || soft == nil || math.Abs(soft.Estimate.Value+40) > 2*soft.Estimate.Standard || !strings.Contains(soft.Text, "material softer") {
		t.Fatalf("%s %+v", r.Sentence, soft)
	}
	if r.SeparateBy != "read the gauge factor on the packet of the lot" {
		t.Errorf("separate by %q", r.SeparateBy)
	}
}

// A grid that came off is open on a voltmeter that reads to the rail, and off scale on an

// amplifier.

func TestOpenGrid(t *testing.T) {
	d := parse(t, tube)
	open := resistance("open", 1e9)
	g := rand.New(rand.NewPCG(1, 1))
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	tr := open(g, d.Clone(), m)
	x := append([]float64(nil), m.Nominal...)
	tr.inputs(m, x)
	s := simulate(t, m, x)
	how := everything(m)
	how.limit = 1
	r := of(t, d, how.measured(nil, m, s))
	if found := r.Causes[0].id == tr.id || r.Causes[1].id == tr.id; r.Agrees || !found || r.Causes[0].Group != 1 {
		t.Errorf("%s: %+v", tr.id, r.Causes)
	}
	how.limit = 0.01
	r = of(t, d, how.measured(nil, m, s))
	if !strings.Contains(r.Sentence, "is off scale") || r.Agrees {
		t.Error(r.Sentence)
	}
	for _, c := range r.Causes[:4] {
		if !strings.Contains(c.Text, "open") && !strings.Contains(c.Text, "shorted") {
			t.Error(c.Text)
		}
	}
	if !strings.Contains(r.SeparateBy, "resistance of every grid") {
		t.Errorf("separate by %q", r.SeparateBy)
	}
}

// Two faults at once that no single cause mimics are said to be unexplained.

func TestUnexplained(t *testing.T) {
	d := parse(t, tube)
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) {
		s.scale(0, -1)
		s.scale(1, 1.37)
		s.zero[1] = 3e-3
	}))
	if !r.Unexplained || r.Agrees || !strings.Contains(r.Sentence, "No single cause") {
		t.Errorf("%s", r.Sentence)
	}
}

// The axial load acts 6 mm off the axis, toward +z: with N comes My = N·z.

func TestEccentricLoad(t *testing.T) {
	d := parse(t, tube)
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) {
		for b := range s.matrix {
			s.matrix[b][0] += 6e-3 * s.matrix[b][2]
		}
	}))
	c := r.Causes[0]
	if r.Agrees || c.id != "off-axis axial bending-y" || c.Estimate.Unit != "mm" || math.Abs(c.Estimate.Value-6) > 2*c.Estimate.Standard+0.01 {
		t.Errorf("%+v %+v", c, c.Estimate)
	}
}

// Three tenths of the strain of one gauge are lost.

func TestBadlyBonded(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	g := made.Clone().Gauges[0]
	g.Name = "Q"
	for k := range g.GaugeFactor {
		g.GaugeFactor[k].SI *= 0.7
	}
	made.Gauges = append(made.Gauges, g)
	made.Placements[1].Gauge = 1
	r := of(t, d, calibrated(t, made, nil))
	if c := r.Causes[0]; r.Agrees || !strings.HasPrefix(c.Text, "gauge B (grids B1, B2 and B3) badly bonded: loses 30 %") || math.Abs(c.Estimate.Value-30) > 1 {
		t.Errorf("%+v", c)
	}
}

// A half bridge completed in the instrument: exchanged leads turn the sign of all.

func TestHalfBridgeCompletedInTheInstrument(t *testing.T) {
	d := parse(t, strings.Replace(strings.Replace(tube, "350 Ω ± 0.01 %, 350 Ω ± 0.01 %]}", "350 Ω ± 0.01 %, 350 Ω ± 0.01 %], leads: {wires: 3, each: 0.4 Ω, completion: instrument}}", 1), "at: part", "at: instrument", 1))
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) { s.scale(1, -1) }))
	if got := group1(r); r.Agrees || len(got) < 2 || got[0] != "signal wires of bridge By exchanged" || got[1] != "supply leads of bridge By exchanged" {
		t.Errorf("%s %q", r.Sentence, got)
	}
}

// The result does not depend on the number of cores, or on the order of the components.

// A covariance without correlation is the same as standard uncertainties, and the load

// standard's uncertainty is common to all bridges.

// A shunt resistor of 2 % explains shunt readings that are 2.5 % off, on all bridges alike,

// and a coarse indicator a zero within its step.

// The JSON has the keys that results promise, null where there is no figure.

// A design without a tolerance anywhere is judged by the calibration alone.

// Two grids in series in each arm: one that is shorted halves its arm, both are the whole

// arm, which goes to the rail.

func TestGridsInSeries(t *testing.T) {
	text := strings.NewReplacer("arms: [A2, A1, B2, B1]", "arms: [[A2, B2], [A1, B1], [C2, D2], [C1, D1]]", "B: {gauge: S, around: 180°}", "B: {gauge: S, around: 180°}, C: {gauge: S, around: 90°}, D: {gauge: S, around: 270°}").Replace(oneBridge)
	d := parse(t, text)
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range newTestBench(t, d, calibrated(t, d, nil)).causes() {
		if c.id == "exchanged A2 B2" {
			t.Error("two grids in series cannot be exchanged")
		}
	}
	for _, f := range []struct {
		grids []string
		want  string
	}{{[]string{"A2"}, "grid A2 (arm 1 of bridge T) shorted"}, {[]string{"A2", "B2"}, "arm 1 of bridge T shorted whole"}} {
		x := append([]float64(nil), m.Nominal...)
		for k, in := range m.Inputs {
			for _, g := range f.grids {
				if in.Of == g && in.Nominal == 350 {
					x[k] = 1e-3
				}
			}
		}
		how := everything(m)
		how.limit = 1
		r := of(t, d, how.measured(nil, m, simulate(t, m, x)))
		if got := strings.Join(group1(r), "; "); r.Agrees || !strings.Contains(got, f.want) {
			t.Errorf("%v: %s", f.grids, got)
		}
	}
}

// The cheapest look that tells all, else most; a dearer one only when it tells clearly

// more.

// A shunt across each of four equal arms R changes the output by R/(4 Rs + 2 R), up where

// the arm lowers it: arms A2, A1, B2, B1 of the ring in the order of the grids.

// Warming tells which of two gauges of a half bridge sits in which arm.

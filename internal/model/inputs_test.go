package model_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/model"
)

// agitator is the repository's main example.
const agitator = "../../designs/agitator-tube.yaml"

func readFile(t testing.TB, path string) *design.Design {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return readText(t, string(text))
}

func readText(t testing.TB, text string) *design.Design {
	t.Helper()
	d, err := designfile.Read("test.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return d
}

func modelOf(t testing.TB, d *design.Design) *model.Model {
	t.Helper()
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Every number with a tolerance in the tube is one input (one for each grid
// or placement where it is drawn for each), with the place, nominal and tolerance that
// the file's text has; the figures stand in the file.
func TestInputsOfTheTube(t *testing.T) {
	m := modelOf(t, readText(t, tube))
	const deg = math.Pi / 180
	want := map[string][2]float64{ // label: nominal, half-width
		"part.section.outside-diameter": {0.060, 0.05e-3},
		"part.section.inside-diameter":  {0.044, 0.10e-3},
		"gauges.R.gauge-factor":         {0, 1}, // the lot: one unit is its stated tolerance
		"gauges.R.stand-off (A)":        {0.05e-3, 0.02e-3},
		"gauges.R.stand-off (B)":        {0.05e-3, 0.02e-3},
		"placements.A.station":          {0, 0.5e-3},
		"placements.A.around":           {90 * deg, deg},
		"placements.A.direction":        {0, deg},
		"placements.B.station":          {0, 0.5e-3},
		"placements.B.around":           {270 * deg, deg},
		"placements.B.direction":        {0, deg},
		"bridges.By.arms[2]":            {350, 0.035},
		"bridges.By.arms[3].value":      {350, 0.035},
	}
	for _, g := range []string{"A1", "A2", "A3", "B1", "B2", "B3"} {
		want["gauges.R.resistance ("+g+")"] = [2]float64{350, 0.7}
		want["gauges.R.gauge-factor-scatter ("+g+")"] = [2]float64{0, 0.001}
		want["gauges.R.thermal-output.spread ("+g+")"] = [2]float64{0, 0.15e-6}
	}
	seen := map[string]int{}
	for i, in := range m.Inputs {
		if m.Nominal[i] != in.Nominal {
			t.Errorf("%s: nominal vector has %g, the input %g", in.Label(), m.Nominal[i], in.Nominal)
		}
		if seen[in.Label()]++; seen[in.Label()] > 1 {
			t.Errorf("%s appears %d times", in.Label(), seen[in.Label()])
		}
		w, ok := want[in.Label()]
		switch {
		case !ok && in.Tolerance != 0:
			t.Errorf("%s has a tolerance of %g but stands exact in the file", in.Label(), in.Tolerance)
		case ok && (math.Abs(in.Nominal-w[0]) > 1e-15*math.Max(1, math.Abs(w[0])) || math.Abs(in.Tolerance-w[1]) > 1e-13*w[1] || in.Coverage != 0):
			t.Errorf("%s is %g ± %g (k=%g), want %g ± %g", in.Label(), in.Nominal, in.Tolerance, in.Coverage, w[0], w[1])
		}
	}
	for label := range want {
		if seen[label] == 0 {
			t.Errorf("no input %s", label)
		}
	}
}

// u = a/√3 for a limit, U/k for an expanded uncertainty (JCGM 100, 4.3.7 and 4.3.3).
func TestStandardUncertaintyOfInputs(t *testing.T) {
	if u := (model.Input{Tolerance: 3}).Standard(); math.Abs(u-math.Sqrt(3)) > 1e-15 {
		t.Errorf("limit: %g", u)
	}
	if u := (model.Input{Tolerance: 3, Coverage: 2}).Standard(); u != 1.5 {
		t.Errorf("k = 2: %g", u)
	}
}

// figures of every bridge: sensitivities and balance, and V/E hot under load.
func figures(t *testing.T, m *model.Model, x []float64) []float64 {
	t.Helper()
	f := m.NewFigures()
	if err := m.Eval(x, f); err != nil {
		t.Fatal(err)
	}
	c := model.At(m.Design.Temperature.Reference.SI + 35)
	c.Across, c.Toward, c.Along = m.Design.Temperature.Across.SI, m.Design.Temperature.Toward.SI, m.Design.Temperature.Along.SI
	copy(c.Load[:], m.Rated)
	var out []float64
	n := len(m.Components)
	for b := range m.Bridges {
		for j := range m.Components {
			out = append(out, f.Sensitivity[b*n+j]*m.Rated[j])
		}
		v, err := m.Output(f.State(), b, &c)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, f.Balance[b], v)
	}
	return out
}

// step is a change of an input that shows: a thousandth of its value, of a metre or
// radian where it is zero, a third of a lot's tolerance, a hundredth of a scatter.
func step(in model.Input) float64 {
	switch {
	case strings.HasSuffix(in.Place.Path, "scatter"):
		return 0.01
	case in.Nominal == 0 && in.Tolerance == 1:
		return 0.37
	case in.Nominal == 0:
		return 1e-3
	}
	return 1e-3 * in.Nominal
}

// Changing an input of the model is changing the number in the file.
func TestEveryInputIsItsNumberInTheFile(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	at := figures(t, m, m.Nominal)
	for k, in := range m.Inputs {
		delta := step(in)
		if strings.HasSuffix(in.Place.Path, "spread") {
			continue // checked by TestSpreadIsASlope: its nominal is a deviation of no number
		}
		x := append([]float64(nil), m.Nominal...)
		x[k] += delta
		got := figures(t, m, x)
		other := modelOf(t, changed(t, m, k, delta))
		want := figures(t, other, other.Nominal)
		moved := false
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-12*math.Max(1e-3, math.Abs(want[i])) {
				t.Errorf("%s + %g: figure %d is %.16g, with the number changed %.16g", in.Label(), delta, i, got[i], want[i])
			}
			moved = moved || got[i] != at[i]
		}
		// P(T) − P(T0) has no constant; an arm at the instrument stays at its temperature
		still := strings.HasSuffix(in.Place.Path, "celsius[0]") || strings.HasSuffix(in.Place.Path, "fahrenheit[0]") ||
			strings.HasPrefix(in.Place.Path, "bridges.Q.") && strings.HasSuffix(in.Place.Path, "tcr")
		if moved == still {
			t.Errorf("%s + %g: figures moved: %v", in.Label(), delta, moved)
		}
	}
}

// The spread of a lot is a slope of each grid's thermal output, µε/K on an instrument of
// the lot's gauge factor: it moves the grid that it is drawn for and no other.
func TestSpreadIsASlope(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	s0, s := m.NewState(), m.NewState()
	if err := m.Set(m.Nominal, s0); err != nil {
		t.Fatal(err)
	}
	found := 0
	for k, in := range m.Inputs {
		if !strings.HasSuffix(in.Place.Path, "spread") {
			continue
		}
		found++
		x := append([]float64(nil), m.Nominal...)
		x[k] = 1e-6
		if err := m.Set(x, s); err != nil {
			t.Fatal(err)
		}
		for i := range m.Grids {
			want := 0.0
			if m.Grids[i].Name == in.Of {
				want = 30e-6 * map[string]float64{"R": 2.01, "S": 2.0}[m.Design.Gauges[m.Grids[i].Gauge].Name]
			}
			if d := s.Thermal(i, 323.15) - s0.Thermal(i, 323.15); math.Abs(d-want) > 1e-16 {
				t.Errorf("%s moves %s by %g, want %g", in.Label(), m.Grids[i].Name, d, want)
			}
			if s.Thermal(i, 293.15) != 0 {
				t.Errorf("%s has an output at the reference temperature", m.Grids[i].Name)
			}
		}
	}
	if found != len(m.Grids) {
		t.Errorf("%d spreads for %d grids", found, len(m.Grids))
	}
}

// Inputs of a lot move all its grids and no other; those of a placement all grids of the
// placement and no other; those of a grid that grid alone.
func TestWhatAnInputMoves(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	s0, s := m.NewState(), m.NewState()
	if err := m.Set(m.Nominal, s0); err != nil {
		t.Fatal(err)
	}
	for k, in := range m.Inputs {
		var mine func(i int) bool
		switch {
		case strings.HasSuffix(in.Place.Path, "spread"):
			continue
		case strings.HasPrefix(in.Place.Path, "placements."):
			name := strings.Split(in.Place.Path, ".")[1]
			mine = func(i int) bool { return m.Design.Placements[m.Grids[i].Ref.Placement].Name == name }
		case in.Of != "":
			mine = func(i int) bool { return strings.HasPrefix(m.Grids[i].Name, in.Of) }
		case strings.Contains(in.Place.Path, ".gauge-factor") && !strings.HasSuffix(in.Place.Path, "drift"), strings.Contains(in.Place.Path, ".transverse"):
			name := strings.Split(in.Place.Path, ".")[1]
			mine = func(i int) bool { return m.Design.Gauges[m.Grids[i].Gauge].Name == name }
		default:
			continue
		}
		x := append([]float64(nil), m.Nominal...)
		x[k] += 1e-3
		if err := m.Set(x, s); err != nil {
			t.Fatal(err)
		}
		for i := range m.Grids {
			a, b := s.Grids[i], s0.Grids[i]
			if (a != b) != mine(i) {
				t.Errorf("%s moves %s: %v, want %v", in.Label(), m.Grids[i].Name, a != b, mine(i))
			}
		}
	}
}

// A lot drawn one standard uncertainty up has every grid's factor one standard
// uncertainty up, limit or k alike.
func TestLotUnitIsItsTolerance(t *testing.T) {
	m := modelOf(t, readText(t, everything))
	s := m.NewState()
	for k, in := range m.Inputs {
		if in.Of != "" || !strings.Contains(in.Place.Path, "gauge-factor") || strings.HasSuffix(in.Place.Path, "drift") {
			continue
		}
		x := append([]float64(nil), m.Nominal...)
		x[k] += in.Standard()
		if err := m.Set(x, s); err != nil {
			t.Fatal(err)
		}
		for i, g := range m.Grids {
			lot := m.Design.Gauges[g.Gauge]
			if !strings.HasPrefix(in.Place.Path, "gauges."+lot.Name+".") {
				continue
			}
			n := lot.GaugeFactor[g.Ref.Grid]
			if d := s.Grids[i].Factor - (n.SI + n.Standard()); math.Abs(d) > 1e-14 {
				t.Errorf("%s: %s is %g off", in.Label(), g.Name, d)
			}
		}
	}
}

// Measured values replace the plan in every input.
func TestMeasuredReplacesThePlan(t *testing.T) {
	text := strings.Replace(everything, "around: 80°, direction: 2°}", "around: 80°, direction: 2°, measured: {station: 3.4 mm ± 0.05 mm, around: 81.5°, resistance: [350.2 Ω, 351.3 Ω ± 0.01 Ω, 349.5 Ω]}}", 1)
	d := readText(t, text)
	m := modelOf(t, d)
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{350.2, 351.3, 349.5} {
		if got := s.Grids[i].Resistance; got != want {
			t.Errorf("A%d has %g Ω, measured %g", i+1, got, want)
		}
	}
	same := readText(t, everything)
	a := &same.Placements[0]
	a.Station.SI, a.Around.SI = 3.4e-3, 81.5*math.Pi/180
	o := modelOf(t, same)
	so := o.NewState()
	if err := o.Set(o.Nominal, so); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		if math.Abs(s.Grids[i].Station-so.Grids[i].Station) > 1e-16 || math.Abs(s.Grids[i].Around-so.Grids[i].Around) > 1e-14 || s.Grids[i].Sin != so.Grids[i].Sin {
			t.Errorf("A%d lies at %+v, want %+v", i+1, s.Grids[i], so.Grids[i])
		}
	}
	tolerances := map[string]float64{}
	for _, in := range m.Inputs {
		tolerances[in.Label()] = in.Tolerance
	}
	for label, want := range map[string]float64{
		"placements.A.measured.station": 0.05e-3, "placements.A.measured.around": 0, "placements.A.direction": math.Pi / 180,
		"placements.A.measured.resistance[1] (A2)": 0.01, "placements.A.measured.resistance[0] (A1)": 0,
	} {
		if got, ok := tolerances[label]; !ok || math.Abs(got-want) > 1e-16 {
			t.Errorf("%s ± %g (%v), want ± %g", label, got, ok, want)
		}
	}
	if t.Failed() {
		t.Log(fmt.Sprint(tolerances))
	}
}

// A lot that states a spread and no polynomial has slope 0 and that spread; at a gauge
// factor of 2 the µε of the statement are those of the grid.
func TestSpreadWithoutAPolynomial(t *testing.T) {
	m := modelOf(t, readText(t, `gridwright: 1
title: spread alone
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, expansion: 12 ppm/K}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: 10 kN, use: measure}}
gauges: {T: {pattern: tee, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2, thermal-output: {spread: 0.3 µε/K}}}
placements: {A: {gauge: T, around: 0°}}
bridges: {N: {measures: axial, arms: [A1, A2, 350 Ω, 350 Ω]}}
`))
	s := m.NewState()
	x := append([]float64(nil), m.Nominal...)
	for k, in := range m.Inputs {
		if in.Label() == "gauges.T.thermal-output.spread (A1)" {
			if in.Nominal != 0 || math.Abs(in.Tolerance-0.3e-6) > 1e-20 {
				t.Errorf("spread %g ± %g", in.Nominal, in.Tolerance)
			}
			x[k] = in.Tolerance
		}
	}
	if err := m.Set(x, s); err != nil {
		t.Fatal(err)
	}
	if got := s.Thermal(0, 303.15); math.Abs(got-2*0.3e-6*10) > 1e-18 {
		t.Errorf("A1 after 10 K: %g", got)
	}
	if got := s.Thermal(1, 303.15); got != 0 {
		t.Errorf("A2 after 10 K: %g", got)
	}
}

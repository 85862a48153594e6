package rosette_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/model"
	"gridwright/internal/rosette"
)

// bracket is an invented tube with rosettes all round, a tee and a single grid.
const bracket = `
gridwright: 1
title: invented tube with rosettes
part:
  material: {youngs-modulus: 206 GPa ± 2 %, poisson-ratio: 0.29 ± 0.01}
  section: {shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.1 mm}
loads:
  torque: {rated: 1200 N·m, use: measure}
  bending-y: {rated: 400 N·m, use: measure}
  bending-z: {rated: 400 N·m, use: reject}
  axial: {rated: 15 kN, use: reject}
  shear-z: {rated: 2 kN, use: reject}
gauges:
  R: {pattern: rectangular-rosette, grid: {length: 3.2 mm, width: 2.5 mm}, resistance: 350 Ω, gauge-factor: [2.08 ± 0.5 %, 2.09 ± 0.5 %, 2.07 ± 0.5 %], gauge-factor-scatter: 0.1 %, transverse-sensitivity: [0.9 % ± 0.2 %, 0.6 % ± 0.2 %, 0.9 % ± 0.2 %], stand-off: 0.05 mm}
  C: {pattern: delta-rosette, numbered: counterclockwise, grid: {length: 2 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.05, transverse-sensitivity: 2 %}
  T: {pattern: tee, grid: {length: 2 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.1}
  S: {pattern: single, grid: {length: 2 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.1}
placements:
  A: {gauge: R, around: 90°}
  B: {gauge: R, around: 210°, direction: 20°, station: 40 mm}
  D: {gauge: C, around: 330°, direction: -75°, station: -60 mm}
  E: {gauge: T, around: 0°}
  F: {gauge: S, around: 45°}
`

func compiled(t testing.TB, text string) *model.Model {
	t.Helper()
	d, err := designfile.Read("bracket.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// read is what the grids of the placements indicate under loads, by ΔR/R of the model.
func read(t interface{ Fatal(...any) }, m *model.Model, load []float64, placements ...int) []rosette.Reading {
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		t.Fatal(err)
	}
	var out []rosette.Reading
	for _, p := range placements {
		r := rosette.Reading{Placement: p}
		for i := range m.Grids {
			if m.Grids[i].Ref.Placement != p {
				continue
			}
			change := 0.0
			for j := range load {
				change += s.Row(i, j) * load[j]
			}
			r.Strains = append(r.Strains, change/s.Grids[i].Factor)
		}
		out = append(out, r)
	}
	return out
}

func TestLoadsThereAndBack(t *testing.T) {
	m := compiled(t, bracket)
	rapid.Check(t, func(t *rapid.T) {
		load := make([]float64, len(m.Components))
		for j := range load {
			load[j] = m.Rated[j] * rapid.Float64Range(-1, 1).Draw(t, "load")
		}
		got, err := rosette.Loads(m, read(t, m, load, 0, 1, 2), rosette.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for j := range load {
			near(t, m.Components[j].String(), got.Load[j]/m.Rated[j], load[j]/m.Rated[j], 1e-9)
		}
		if got.Freedom != 9-5 || !(got.Residual < 1e-12) {
			t.Errorf("freedom %d, residual %g", got.Freedom, got.Residual)
		}
	})
}

// An instrument left at 2.0 for all grids reads F/2 of what it should; said so, the loads
// come out, and not said so they are wrong by as much.
func TestInstrumentFactor(t *testing.T) {
	m := compiled(t, bracket)
	load := []float64{0, 0, 900, 0, 0}
	readings := read(t, m, load, 0, 1, 2)
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		t.Fatal(err)
	}
	i := 0
	for p := range readings {
		for k := range readings[p].Strains {
			readings[p].Strains[k] *= s.Grids[i].Factor / 2
			i++
		}
	}
	got, err := rosette.Loads(m, readings, rosette.Options{Instrument: 2})
	if err != nil {
		t.Fatal(err)
	}
	for j := range load {
		near(t, m.Components[j].String(), got.Load[j]/m.Rated[j], load[j]/m.Rated[j], 1e-9)
	}
}

// The reduction of a placement's own readings meets the model's strain where the grids
// are small and stacked: torque alone, clockwise and counterclockwise patterns.
func TestReductionOfAPlacement(t *testing.T) {
	m := compiled(t, bracket)
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		t.Fatal(err)
	}
	torque := 2 // axial, shear-z, torque, …
	if m.Components[torque] != design.Torque {
		t.Fatal(m.Components)
	}
	load := make([]float64, 5)
	load[torque] = 1000
	for p, fromGrid := range []float64{90, 70, 0} {
		g := rosette.GridsOf(m, s, p, 0)
		r := reduce(t, g, read(t, m, load, p)[0].Strains)
		near(t, "angle from the axis, °", r.FromAxis.Value/deg, 45, 1e-6)
		if p < 2 { // grid 1 at −45° + direction
			near(t, "angle from grid 1, °", math.Abs(r.FromGrid.Value/deg), fromGrid, 1e-6)
			continue
		}
		// the delta's directions are +60, 0, −60 turned by −75: grid 1 at −15°, grid 2 at −75°;
		// +45° is 60° away from the sense of numbering
		near(t, "angle from grid 1, °", r.FromGrid.Value/deg, -60, 1e-6)
	}
	tol := rosette.TolerancesOf(m.Design, 0, micro)
	near(t, "u(F)/F", tol.Factor[0], 0.005/math.Sqrt(3), 1e-12)
	near(t, "scatter", tol.Scatter, 0.001/math.Sqrt(3), 1e-12)
	near(t, "u(Kt)", tol.Transverse[1], 0.002/math.Sqrt(3), 1e-12)
	near(t, "u(direction), °", tol.Direction/deg, 1/math.Sqrt(3), 1e-9)
	near(t, "u(E), GPa", tol.Young/1e9, 4.12/math.Sqrt(3), 1e-9)
	near(t, "u(ν)", tol.Poisson, 0.01/math.Sqrt(3), 1e-12)
}

func TestWhatIsNotSeenIsNamed(t *testing.T) {
	m := compiled(t, bracket)
	zero := make([]float64, 5)
	for _, c := range []struct {
		placements []int
		over       []design.Component
		want       string
	}{
		{[]int{0}, nil, "no grid that was read responds to shear-z, bending-z; the grids that were read cannot tell axial, bending-y apart: "},
		// at φ = 90° both stress the axis alone: 15 kN over 1306.9 mm² is 11.48 MPa, 400 N·m times
		// 30 mm over 452 200 mm⁴ is 26.54 MPa, and 0.05 mm of stand-off makes it 26.58
		{[]int{0}, []design.Component{design.Axial, design.BendingY}, "cannot tell axial, bending-y apart: +1 of rated axial with -0.432 of rated bending-y at once"},
		{[]int{0}, []design.Component{design.BendingZ}, "no grid that was read responds to bending-z"},
		{[]int{3}, []design.Component{design.Torque, design.Axial}, "no grid that was read responds to torque; read more rosettes"},
		{[]int{4}, []design.Component{design.Axial, design.BendingY}, "cannot tell axial, bending-y apart"},
		{[]int{0}, []design.Component{design.Pressure}, "is not among those of the design"},
	} {
		_, err := rosette.Loads(m, read(t, m, zero, c.placements...), rosette.Options{Over: c.over})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v %v: %v, want %q", c.placements, c.over, err, c.want)
		}
	}
	if _, err := rosette.Loads(m, read(t, m, zero, 0), rosette.Options{Over: []design.Component{design.Torque, design.Axial}}); err != nil {
		t.Error(err)
	}
	for name, r := range map[string][]rosette.Reading{
		"none":  nil,
		"twice": append(read(t, m, zero, 0), read(t, m, zero, 0)...),
		"few":   {{Placement: 0, Strains: []float64{0}}},
		"many":  {{Placement: 0, Strains: make([]float64, 4)}},
		"NaN":   {{Placement: 0, Strains: []float64{0, math.NaN(), 0}}},
		"where": {{Placement: 9}},
	} {
		if _, err := rosette.Loads(m, r, rosette.Options{}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

// The covariance is that of parts and readings drawn anew.
func TestCovarianceOfLoads(t *testing.T) {
	m := compiled(t, bracket)
	load := []float64{6000, 500, 900, -300, 200}
	rng := rand.New(rand.NewPCG(5, 6))
	const u = 2 * micro
	nominal := read(t, m, load, 0, 1, 2)
	got, err := rosette.Loads(m, nominal, rosette.Options{Standard: u})
	if err != nil {
		t.Fatal(err)
	}
	const trials = 4000
	sum, square := make([]float64, 5), make([]float64, 5)
	s := m.NewState()
	x := make([]float64, len(m.Nominal))
	for range trials {
		for i, in := range m.Inputs {
			x[i] = in.Nominal + in.Standard()*rng.NormFloat64()
		}
		if err := m.Set(x, s); err != nil {
			t.Fatal(err)
		}
		// a true part under the load, read by somebody who takes it for the nominal one
		i, r := 0, []rosette.Reading{}
		for p := range 3 {
			e := make([]float64, 3)
			for k := range e {
				for j := range load {
					e[k] += s.Row(i, j) * load[j] / []float64{2.08, 2.09, 2.07, 2.08, 2.09, 2.07, 2.05, 2.05, 2.05}[i]
				}
				e[k] += u * rng.NormFloat64()
				i++
			}
			r = append(r, rosette.Reading{Placement: p, Strains: e})
		}
		one, err := rosette.Loads(m, r, rosette.Options{Standard: u})
		if err != nil {
			t.Fatal(err)
		}
		for j := range load {
			d := one.Load[j] - load[j]
			sum[j] += d
			square[j] += d * d
		}
	}
	for j := range load {
		mean := sum[j] / trials
		sd := math.Sqrt(square[j]/trials - mean*mean)
		near(t, m.Components[j].String()+": u over that of Monte Carlo", got.Standard[j]/sd, 1, 0.06) // five standard errors
		if !(got.FromReadings[j][j] > 0 && got.FromReadings[j][j] < got.Covariance[j][j]) {
			t.Errorf("%v: readings make %g of %g", m.Components[j], got.FromReadings[j][j], got.Covariance[j][j])
		}
	}
}

// A wrong reading shows in the residuals, and which uncertainty was used is said.
func TestResiduals(t *testing.T) {
	m := compiled(t, bracket)
	readings := read(t, m, []float64{0, 0, 900, 0, 0}, 0, 1, 2, 3, 4)
	readings[1].Strains[1] += 50 * micro
	got, err := rosette.Loads(m, readings, rosette.Options{Standard: micro})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Notes) != 1 || !strings.Contains(got.Basis, "stated") {
		t.Errorf("%q, %q", got.Notes, got.Basis)
	}
	// least squares spreads the 50 µε over all grids and leaves less than that
	sum := 0.0
	for _, r := range got.Grids {
		d := (r.Reading - r.Expected) / micro
		sum += d * d
		if r.Name == "B2" && !(d > 5) {
			t.Errorf("B2 is left with %g µε", d)
		}
	}
	if !(sum > 25 && sum < 2500) {
		t.Errorf("sum of squares %g", sum)
	}
	near(t, "standard deviation of the residuals, µε", got.Residual/micro, math.Sqrt(sum/float64(12-5)), 1e-9)
	got, err = rosette.Loads(m, readings, rosette.Options{})
	if err != nil || !strings.Contains(got.Basis, "residuals") || !(got.FromReadings[0][0] > 0) {
		t.Errorf("%q, %v", got.Basis, err)
	}
}

func TestReadCSV(t *testing.T) {
	d := compiled(t, bracket).Design
	for _, c := range []struct {
		text string
		want [][]float64 // of placements A, E, F in this order, µε
	}{
		{"placement,1 [µε],2 [µε],3 [µε]\nA,100,-200.5,3e2\nE,1,2,\nF,7,,\n", [][]float64{{100, -200.5, 300}, {1, 2}, {7}}},
		{"\xef\xbb\xbf# bench 2\r\n3 [ue];placement;1 [%];2 [µm/m]\r\n300;A;0,01;-200,5\r\n;E;0,0001;2\r\n;F;0,0007;\r\n", [][]float64{{100, -200.5, 300}, {1, 2}, {7}}},
		{"placement,1 [µε],2 [µε],3 [µε],who\n A , 100 , -200.5 ,300,x\n\n\"E\",1,2,,\nF,7,,,y", [][]float64{{100, -200.5, 300}, {1, 2}, {7}}},
	} {
		got, _, err := rosette.Read(strings.NewReader(c.text), d)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		for i, p := range []int{0, 3, 4} {
			if got[i].Placement != p || len(got[i].Strains) != len(c.want[i]) {
				t.Fatalf("%q: %+v", c.text, got[i])
			}
			for k, e := range c.want[i] {
				near(t, "reading, µε", got[i].Strains[k]/micro, e, 1e-9)
			}
		}
	}
	const head = "placement,1 [µε],2 [µε],3 [µε]\n"
	for _, c := range []struct{ text, want string }{
		{"", "the file of readings is empty"},
		{head, "the file of readings has a header and no rows"},
		{"1 [µε],2 [µε]\n1,2\n", "row 1: no column placement; write a header such as placement,1 [µε],2 [µε],3 [µε]"},
		{"placement\nA\n", "row 1: no column of a grid"},
		{"placement,1,2 [mV],2 [µε],4 [µε]\nA,1,2,3,4\n", "row 1, column 2: the readings have no unit; write 1 [µε]\nrow 1, column 3: mV is a voltage, a strain is wanted; write 2 [µε]\n" +
			"row 1, column 4: it is column 3 again; give each column once\nrow 1, column 5: no placement has a grid 4; give grids from 1 to 3"},
		{head + "G,1,2,3\n", `row 2, column 1: no placement "G" in the design; the placements are A, B, D, E, F`},
		{head + "a,1,2,3\n", `row 2, column 1: no placement "a" in the design; the nearest is A`},
		{head + "A,1,2,\nE,1,2,3\n", "row 2: no reading of grid A3; placement A has 3 grids; give one reading of each\nrow 3: 3 readings, placement E has 2 grids; leave the columns of grids that it does not have empty"},
		{head + "A,1,x,3\nB,1,2 µε,nan\nA,0x1,1 ± 2,1\n", `row 2, column 3: "x" is not a number`},
		{head + "A,1,2,3\nB,1,2,3\nA,1,2,3\n", "row 4: placement A was read in row 2 already"},
		{head + "A,1,2\n", "row 2: 3 fields, the header has 4; give every row as many fields as the header"},
		{head + "A,1,5,2,3\n", "decimal commas need semicolons"},
		{head + "A,1,\"2,3\n", "the row breaks off"},
		{"placement;1 [µε]\nF;1,5\nF;1.5\n", `row 3, column 2: "1.5" has a decimal point, the file has decimal commas`},
		{head + strings.Repeat("Q,1,2,3\n", 100), "row 21, column 1"},
	} {
		_, _, err := rosette.Read(strings.NewReader(c.text), d)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q:\n%v, want\n%s", c.text, err, c.want)
		}
	}
	_, notes, err := rosette.Read(strings.NewReader("placement;1 [µε];who\nF;1,5;x\n"), d)
	if err != nil || strings.Join(notes, "|") != "column 3 (who) is not used|columns are parted by semicolons, the decimal sign is the comma" {
		t.Errorf("%q, %v", notes, err)
	}
}

func FuzzRead(f *testing.F) {
	d := compiled(f, bracket).Design
	f.Add("placement,1 [µε],2 [µε],3 [µε]\nA,1,2,3\n")
	f.Add("1 [%];placement\n0,1;F\n\"")
	f.Fuzz(func(t *testing.T, text string) {
		got, _, err := rosette.Read(strings.NewReader(text), d)
		if (err == nil) != (len(got) > 0) {
			t.Fatalf("%v, %v", got, err)
		}
		for _, r := range got {
			if len(r.Strains) != len(d.Gauges[d.Placements[r.Placement].Gauge].Directions) {
				t.Fatalf("%+v", r)
			}
		}
	})
}

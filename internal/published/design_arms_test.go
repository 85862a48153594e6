package published_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/model"
	"gridwright/internal/predict"
	"gridwright/internal/section"
)

// example is a worked example as a design file. Gauges are points (a hundredth of
// a millimetre), as textbooks take them, unless the example gives the grid.
type example struct {
	material    string // default {youngs-modulus: 200 GPa, poisson-ratio: 0.3}
	section     string
	loads       string
	temperature string
	grid        string // length and width
	resistance  string // default 120 Ω
	factor      string // default 2
	gauge       string // more keys of every gauge
	placements  string
	bridges     string
	more        string // more keys of the file
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// text is the design file. Gauges S, T, P and R are a single, a tee, a shear pair and
// a rectangular rosette of the same foil.
func (e example) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "gridwright: 1\ntitle: worked example\npart:\n  material: %s\n  section: {%s}\n", or(e.material, "{youngs-modulus: 200 GPa, poisson-ratio: 0.3}"), e.section)
	fmt.Fprintf(&b, "loads: {%s}\n", e.loads)
	if e.temperature != "" {
		fmt.Fprintf(&b, "temperature: {%s}\n", e.temperature)
	}
	b.WriteString("gauges:\n")
	for _, g := range [][2]string{{"S", "single"}, {"T", "tee"}, {"P", "shear-pair"}, {"R", "rectangular-rosette"}} {
		fmt.Fprintf(&b, "  %s: {pattern: %s, grid: {%s}, resistance: %s, gauge-factor: %s%s}\n", g[0], g[1],
			or(e.grid, "length: 0.01 mm, width: 0.01 mm"), or(e.resistance, "120 Ω"), or(e.factor, "2"), e.gauge)
	}
	if e.placements != "" {
		fmt.Fprintf(&b, "placements: {%s}\n", e.placements)
	}
	if e.bridges != "" {
		fmt.Fprintf(&b, "bridges: {%s}\n", e.bridges)
	}
	b.WriteString(e.more)
	return b.String()
}

// read returns the example as a design.
func (e example) read(t *testing.T) *design.Design {
	t.Helper()
	d, err := designfile.Read("example.yaml", []byte(e.text()))
	if err != nil {
		t.Fatalf("%v\n%s", err, e.text())
	}
	return d
}

// predict returns the figures of the example.
func (e example) predict(t *testing.T) *predict.Result {
	t.Helper()
	r, err := predict.Of(e.read(t))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// output is V/E of a bridge under a value of each load in the order of the file,
// minus V/E at no load.
func output(t *testing.T, r *predict.Result, b int, loads ...float64) float64 {
	t.Helper()
	rest := model.At(r.Model.Design.Temperature.Reference.SI)
	c := rest
	copy(c.Load[:], loads)
	v, err := r.Model.Output(r.State, b, &c)
	if err != nil {
		t.Fatal(err)
	}
	v0, err := r.Model.Output(r.State, b, &rest)
	if err != nil {
		t.Fatal(err)
	}
	return v - v0
}

// sectionOf is a round section of outside and bore in m (bore 0: solid).
func sectionOf(t *testing.T, outside, bore, poisson float64, open bool) section.Section {
	t.Helper()
	name, dims := "round", []float64{outside}
	if bore > 0 {
		name, dims = "round-tube", []float64{outside, bore}
	}
	shape, ok := section.Find(name)
	if !ok {
		t.Fatalf("no shape %s", name)
	}
	s := shape.New(open)
	if err := s.Set(dims, poisson); err != nil {
		t.Fatal(err)
	}
	return s
}

// surface is the stress for a unit of a component at angle φ, degrees, at station 0.
func surface(s section.Section, c design.Component, degrees float64) section.Stress {
	var u section.Unit
	s.Surface(s.Around(degrees*math.Pi/180), 0, &u)
	return u[c]
}

// printed fails unless got is within half of want; half is half a unit of the last
// printed digit unless the test says otherwise.
func printed(t *testing.T, what string, got, want, half float64) {
	t.Helper()
	bridgeNear(t, what, got, want, half)
}

// figure is the value of a figure that must hold.
func figure(t *testing.T, what string, f predict.Figure) float64 {
	t.Helper()
	if !f.OK() {
		t.Fatalf("%s is missing: %s", what, f.Missing)
	}
	return f.Value
}

// predictOf returns the figures of a design.
func predictOf(t *testing.T, d *design.Design) *predict.Result {
	t.Helper()
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

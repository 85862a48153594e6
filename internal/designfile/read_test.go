package designfile

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gridwright/internal/design"
)

func example(t testing.TB, name string) *design.Design {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../designs", name))
	if err != nil {
		t.Fatal(err)
	}
	d, err := Read(name, text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func near(t testing.TB, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Abs(want) {
		t.Errorf("%s = %.15g, want %.15g", what, got, want)
	}
}

func TestExampleIsReadWhole(t *testing.T) {
	d := example(t, "agitator-tube.yaml")
	near(t, "outside", d.Part.Section.Dimensions[0].SI, 0.060)
	near(t, "outside tolerance", d.Part.Section.Dimensions[0].Tolerance, 5e-5)
	near(t, "inside", d.Part.Section.Dimensions[1].SI, 0.044)
	near(t, "E", d.Part.Material.Youngs.SI, 205e9)
	if d.Part.Material.Youngs.Tolerance != 0 {
		t.Error("a built-in material is exact unless common practice is assumed")
	}
	near(t, "G", d.Part.Material.ModulusOfRigidity(), 205e9/(2*1.29))
	near(t, "speed", d.Part.Speed.SI, 300*2*math.Pi/60)
	near(t, "range", d.Temperature.Low.SI, 263.15)
	near(t, "gradient", d.Temperature.Toward.SI, math.Pi/2)
	var order []string
	for _, l := range d.Loads {
		order = append(order, l.Component.String())
	}
	if diff := cmp.Diff([]string{"axial", "shear-z", "torque", "bending-y", "bending-z"}, order); diff != "" {
		t.Error("loads stand in canonical order:", diff)
	}
	g := d.Gauges[0]
	near(t, "third factor's tolerance", g.GaugeFactor[2].Tolerance, 2.08*0.005)
	near(t, "transverse", g.Transverse[1].SI, 0.006)
	near(t, "centre", g.Centres[2][1].SI, 0.0035)
	near(t, "spread", g.Thermal.Spread.SI, 0.15e-6)
	if got := g.GaugeFactor[1].Place; got != (design.Place{Path: "gauges.R.gauge-factor[1]", Line: 37, Column: 34}) {
		t.Errorf("place of the second gauge factor: %+v", got)
	}
	b := d.Bridges[1]
	if !b.Arms[2].Fixed() || b.Arms[3].TCR.SI != 5e-6 || b.Leads.Wires != 6 {
		t.Errorf("bridge By: %+v", b)
	}
	if got := d.GridName(d.Bridges[0].Arms[0].Grids[0]); got != "A3" {
		t.Errorf("arm 1 of T is %s", got)
	}
	if d.Shunts[0].AtInstrument || d.Shunts[0].Arm != 1 {
		t.Errorf("shunt: %+v", d.Shunts[0])
	}
}

func TestDefaults(t *testing.T) {
	d, err := Read("x.yaml", []byte("gridwright: 1\ntitle: t\npart: {material: C45+N, section: {shape: round, outside-diameter: 30 mm}}\nloads: {torque: {rated: 1 N·m, use: measure}, axial: {rated: 1 N}}\ngauges: {S: {pattern: tee, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2, thermal-output: {celsius: [0, 1]}}}\n"))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "reference", d.Temperature.Reference.SI, 293.15)
	near(t, "overload", d.Overload.SI, 1)
	near(t, "station tolerance", d.Tolerance.Station.SI, 0.5e-3)
	near(t, "around tolerance", d.Tolerance.Around.SI, math.Pi/180)
	near(t, "for-factor", d.Gauges[0].Thermal.ForFactor.SI, 2)
	if d.Pick.AtMost != 4 || len(d.Pick.Stations) != 1 || len(d.Pick.Gauges) != 1 {
		t.Errorf("pick: %+v", d.Pick)
	}
	// two stacked grids 3 × 2 mm at right angles: the outline is 3 × 3 mm
	near(t, "backing length", d.Gauges[0].Backing.Length.SI, 3e-3)
	near(t, "backing width", d.Gauges[0].Backing.Width.SI, 3e-3)
	for _, l := range d.Loads {
		if l.Measure != (l.Component == design.Torque) {
			t.Errorf("%v: a load without use is one to reject", l.Component)
		}
	}
	p := design.Placement{}
	_, around, _ := p.AsBonded(d.Tolerance)
	near(t, "tolerance of a placement that states none", around.Tolerance, math.Pi/180)
}

func TestCounterclockwiseNegatesDirections(t *testing.T) {
	text, _ := os.ReadFile("../../designs/agitator-tube.yaml")
	turned := strings.Replace(string(text), "    pattern: rectangular-rosette\n", "    pattern: rectangular-rosette\n    numbered: counterclockwise\n", 1)
	d, err := Read("x.yaml", []byte(turned))
	if err != nil {
		t.Fatal(err)
	}
	want := example(t, "agitator-tube.yaml").Gauges[0]
	for i, a := range d.Gauges[0].Directions {
		near(t, "direction", a, -want.Directions[i])
	}
	if d.Gauges[0].Centres[0] != want.Centres[0] && d.Gauges[0].Centres[0][1].SI != want.Centres[0][1].SI {
		t.Error("centres stay as written")
	}
}

func TestEveryExampleReads(t *testing.T) {
	files, _ := filepath.Glob("../../designs/*.yaml")
	if len(files) < 5 {
		t.Fatalf("%d examples", len(files))
	}
	for _, f := range files {
		example(t, filepath.Base(f))
	}
}

func TestJSONIsADesignToo(t *testing.T) {
	d, err := Read("x.json", []byte(`{"gridwright": 1, "title": "t", "part": {"material": "C45+N", "section": {"shape": "round", "outside-diameter": "30 mm"}}, "loads": {"torque": {"rated": "1 N·m", "use": "measure"}}}`))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "diameter", d.Part.Section.Dimensions[0].SI, 0.03)
}

func TestManyAliasesStaySmall(t *testing.T) {
	// nine levels of nine aliases: a tree of a billion values in 600 bytes
	var b strings.Builder
	b.WriteString("gridwright: 1\ntitle: t\na0: &a0 [x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 10; i++ {
		b.WriteString("a" + string(rune('0'+i)) + ": &a" + string(rune('0'+i)) + " [")
		for j := 0; j < 9; j++ {
			b.WriteString("*a" + string(rune('0'+i-1)) + ", ")
		}
		b.WriteString("x]\n")
	}
	if _, err := Read("x.yaml", []byte(b.String())); err == nil {
		t.Fatal("accepted")
	}
}

func TestHugeFileIsRefused(t *testing.T) {
	text := append([]byte("gridwright: 1\ntitle: "), make([]byte, 10<<20)...)
	for i := 22; i < len(text); i++ {
		text[i] = 'x'
	}
	_, err := Read("x.yaml", text)
	if err == nil || !strings.Contains(err.Error(), "x.yaml:1:1: the file has") {
		t.Errorf("error %v", err)
	}
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../../designs/*.yaml", "../../testdata/broken/*.yaml"} {
		files, _ := filepath.Glob(pattern)
		for _, name := range files {
			text, _ := os.ReadFile(name)
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		d, err := Read("f.yaml", text)
		if err == nil && d == nil {
			t.Fatal("neither design nor error")
		}
		if err != nil {
			problems, ok := err.(Problems)
			if !ok || len(problems) == 0 {
				t.Fatalf("error %v", err)
			}
			for _, p := range problems {
				if p.Line < 1 || p.Column < 1 || p.Message == "" {
					t.Fatalf("problem %+v", p)
				}
			}
		}
	})
}

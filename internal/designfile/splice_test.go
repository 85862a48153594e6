package designfile

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// stripped is an example without its placements and bridges, and what it placed.
func stripped(t *testing.T) (text []byte, a Arrangement) {
	t.Helper()
	whole, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := Read("x.yaml", whole)
	if err != nil {
		t.Fatal(err)
	}
	s := string(whole)
	i, j := strings.Index(s, "placements:\n"), strings.Index(s, "leads:")
	return []byte(s[:i] + s[j:]), Describe(d)
}

func TestSpliceKeepsEveryByte(t *testing.T) {
	text, a := stripped(t)
	for name, in := range map[string][]byte{
		"as it is":           text,
		"no final newline":   bytes.TrimRight(text, "\n"),
		"line ends of DOS":   bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n")),
		"comment at the end": append(append([]byte(nil), text...), "# the end }\n"...),
		"document end":       append(append([]byte(nil), text...), "...\n"...),
	} {
		out, err := Splice(in, a)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		head := bytes.TrimSuffix(in, []byte("...\n"))
		if !bytes.HasPrefix(out, head) {
			t.Errorf("%s: the input's bytes changed", name)
		}
		d, err := Read("x.yaml", out)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if diff := cmp.Diff(a, Describe(d)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestSpliceIntoBraces(t *testing.T) {
	in := `{"gridwright": 1, "title": "t", "part": {"material": "C45+N", "section": {"shape": "round", "outside-diameter": "30 mm"}}, "loads": {"torque": {"rated": "1 N·m", "use": "measure"}},
 "gauges": {"S": {"pattern": "shear-pair", "grid": {"length": "3 mm", "width": "2 mm"}, "resistance": "350 Ω", "gauge-factor": 2}}
}
`
	a := Arrangement{Placements: []PlacementText{{Name: "A", Gauge: "S", Station: "0 mm", Around: "0°", Direction: "0°"}}, Bridges: []BridgeText{{"T", "torque", []string{"A2", "A1", "350 Ω", "350 Ω"}, "5 V"}}}
	out, err := Splice([]byte(in), a)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Read("x.json", out)
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if diff := cmp.Diff(a, Describe(d)); diff != "" {
		t.Error(diff)
	}
}

func TestSpliceDoesNotOverwrite(t *testing.T) {
	whole, _ := os.ReadFile("../../designs/agitator-tube.yaml")
	_, a := stripped(t)
	if _, err := Splice(whole, a); err == nil || !strings.Contains(err.Error(), "already has `placements`") {
		t.Errorf("error %v", err)
	}
}

func TestUnitLeavesNoTraceOfRadians(t *testing.T) {
	for _, want := range []string{"90°", "180°", "270°", "35.5°", "0°", "-45°"} {
		var x float64
		switch want {
		case "90°":
			x = 90
		case "180°":
			x = 180
		case "270°":
			x = 270
		case "35.5°":
			x = 35.5
		case "-45°":
			x = -45
		}
		if got := unit(x*deg/deg*(1+1e-15), "°"); got != want {
			t.Errorf("%s for %s", got, want)
		}
	}
}

// A placement on a face is written with the face and what it is across, in a file
// in lines as in one in braces, and reads back so.
func TestSpliceFaces(t *testing.T) {
	a := Arrangement{
		Placements: []PlacementText{
			{Name: "A", Gauge: "S", Station: "0 mm", Face: "+z", Across: "-12.5 mm", Direction: "45°"},
			{Name: "B", Gauge: "S", Station: "0 mm", Face: "3", Across: "0 mm", Direction: "0°"},
		},
		Bridges: []BridgeText{{"T", "torque", []string{"A2", "A1", "B2", "B1"}, ""}},
	}
	for _, in := range []string{
		"gridwright: 1\ntitle: t\npart: {material: C45+N, section: {shape: rectangle, width: 60 mm, height: 20 mm}}\nloads: {torque: {rated: 1 N·m, use: measure}}\ngauges: {S: {pattern: shear-pair, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2}}\n",
		`{"gridwright": 1, "title": "t", "part": {"material": "C45+N", "section": {"shape": "rectangle", "width": "60 mm", "height": "20 mm"}}, "loads": {"torque": {"rated": "1 N·m", "use": "measure"}}, "gauges": {"S": {"pattern": "shear-pair", "grid": {"length": "3 mm", "width": "2 mm"}, "resistance": "350 Ω", "gauge-factor": 2}}}`,
	} {
		out, err := Splice([]byte(in), a)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Read("x.yaml", out)
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if diff := cmp.Diff(a, Describe(d)); diff != "" {
			t.Error(diff)
		}
		// Face 3 of a rectangle looks toward −y.
		if p := d.Placements; p[0].Across.SI != -0.0125 || p[1].FaceIndex != 2 {
			t.Errorf("%+v", p)
		}
	}
}

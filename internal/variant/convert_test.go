package variant

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
)

// TestConvertExamples: every example in US customary units, and back, is the same
// design to the last bit, with every other byte of the text kept.
func TestConvertExamples(t *testing.T) {
	files, err := filepath.Glob("../../designs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		us, kept, err := Convert(f, text, quantity.US)
		if err != nil || len(kept) > 0 {
			t.Fatalf("%s: %v, kept %v", f, err, kept)
		}
		if strings.Contains(f, "agitator") && !strings.Contains(string(us), " in ±") {
			t.Errorf("%s: no inches:\n%s", f, us)
		}
		si, kept, err := Convert(f, us, quantity.SI)
		if err != nil || len(kept) > 0 {
			t.Fatalf("%s back: %v, kept %v", f, err, kept)
		}
		sameDesign(t, f, text, us)
		sameDesign(t, f, text, si)
		if strings.Count(string(us), "\n") != strings.Count(string(text), "\n") || strings.Count(string(us), "#") != strings.Count(string(text), "#") {
			t.Errorf("%s: lines or remarks were lost", f)
		}
	}
}

// sameDesign fails unless two texts give the same values and figures, to the last
// bit.
func sameDesign(t *testing.T, name string, a, b []byte) {
	t.Helper()
	read := func(text []byte) (map[string]float64, *dossier.Dossier) {
		d, err := designfile.Read(name, text)
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, text)
		}
		all, err := designfile.Quantities(name, text)
		if err != nil {
			t.Fatal(err)
		}
		values := map[string]float64{}
		for _, s := range all {
			v, err := quantity.Parse(s.Text, s.Kind)
			if err != nil {
				t.Fatal(err)
			}
			values[s.Path], values[s.Path+" ±"] = v.SI, v.Tolerance
		}
		if len(d.Bridges) == 0 {
			return values, nil
		}
		s, err := dossier.Of(name, text, d)
		if err != nil {
			t.Fatal(err)
		}
		return values, s
	}
	va, da := read(a)
	vb, db := read(b)
	if len(va) != len(vb) {
		t.Errorf("%s: %d values became %d", name, len(va), len(vb))
	}
	for k, x := range va {
		if y := vb[k]; math.Float64bits(x) != math.Float64bits(y) {
			t.Errorf("%s: %s is %v, was %v", name, k, y, x)
		}
	}
	if da == nil {
		return
	}
	for i := range da.Result.Bridges {
		x, y := &da.Result.Bridges[i], &db.Result.Bridges[i]
		for j := range x.Sensitivity {
			if x.Sensitivity[j] != y.Sensitivity[j] {
				t.Errorf("%s: bridge %s, sensitivity %d is %v, was %v", name, x.Name, j, y.Sensitivity[j], x.Sensitivity[j])
			}
		}
		if x.Rated != y.Rated || x.Balance != y.Balance || x.Nonlinearity != y.Nonlinearity {
			t.Errorf("%s: bridge %s differs", name, x.Name)
		}
	}
}

func TestDecimal(t *testing.T) {
	for s, want := range map[string]string{"1.2300e+02": "123", "6e+01": "60", "1.5e-03": "0.0015", "-2.50e+00": "-2.5", "1.5e-07": "1.5e-07", "0e+00": "0", "1.25e+12": "1.25e+12", "3e+05": "300000"} {
		if got := decimal(s); got != want {
			t.Errorf("%s is %s, want %s", s, got, want)
		}
	}
}

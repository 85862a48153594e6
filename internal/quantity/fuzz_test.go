package quantity

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

func FuzzParse(f *testing.F) {
	for _, c := range spellings {
		f.Add("1 "+c.text[0], int(c.kind))
	}
	for _, c := range refusals {
		f.Add(c.text, int(c.kind))
	}
	for _, text := range []string{"60 mm ± 0.05 mm (k=2)", "2.08 ± 0.5 %", "-3.5e-3 in +/- 2 mil", "0.9 % ± 0.1 %", "68 °F ± 9 Δ°F", "0.5 %/10 K ± 10 %"} {
		for _, k := range Kinds() {
			f.Add(text, int(k))
		}
	}
	f.Fuzz(func(t *testing.T, text string, kind int) {
		k := Kind(kind)
		v, err := Parse(text, k)
		if err != nil {
			e := err.(*Error)
			if e.Offset < 0 || e.Offset > utf8.RuneCountInString(text) {
				t.Fatalf("%q: offset %d is outside the text", text, e.Offset)
			}
			if !strings.Contains(e.Error(), "; ") || !utf8.ValidString(e.Error()) {
				t.Fatalf("%q: message %q", text, e.Error())
			}
			if v != (Value{}) {
				t.Fatalf("%q: a value beside the error", text)
			}
			return
		}
		for _, x := range []float64{v.SI, v.Tolerance, v.Coverage, v.Standard()} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%q: %v", text, v)
			}
		}
		if v.Tolerance < 0 || v.Coverage < 0 || k == Temperature && v.SI < 0 {
			t.Fatalf("%q: %v", text, v)
		}
		again, err := Parse(v.Text, k)
		if err != nil || again != v {
			t.Fatalf("%q reads as %v, its text %q as %v, %v", text, v, v.Text, again, err)
		}
	})
}

package cli

import (
	"bytes"
	"context"
	"os"
	"testing"

	"gridwright/internal/comparison"
	"gridwright/internal/variant"
)

// FuzzResult: whatever stands where a result of predict should, it is read and
// compared or refused in words.
func FuzzResult(f *testing.F) {
	for _, name := range []string{"agitator-tube", "box-strut", "press-column"} {
		text, err := os.ReadFile("../../testdata/frozen/1/" + name + ".json")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte(`{"gridwright": 1, "bridges": [{"name": "T", "uncertainty": {}}], "strength": {}, "input_sha256": "x"}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := resultOf("r.json", text)
		if err != nil || r == nil {
			return
		}
		comparison.Of(&comparison.Side{Name: "a", Result: *r}, &comparison.Side{Name: "b", Result: *r})
		comparison.Figures(r)
	})
}

// FuzzList: whatever stands in a list of variants, it is read or refused in words.
func FuzzList(f *testing.F) {
	f.Add([]byte("part.section.inside-diameter [mm]\n40\n42\n"))
	f.Add([]byte("part.section.inside-diameter [mm],loads.torque.rated [N·m]\n40,1000\n42;\n"))
	f.Add([]byte("\"gauges.R.gauge-factor[0]\"\n2.1\n"))
	text, err := os.ReadFile(tube)
	if err != nil {
		f.Fatal(err)
	}
	base, err := variant.Read("d", text)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, list []byte) {
		var out, errOut bytes.Buffer
		e := &env{ctx: context.Background(), in: bytes.NewReader(list), out: &out, err: &errOut, units: "si"}
		s := &variant.Sweep{Base: base}
		if err := e.readList("-", s); err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
	})
}

package calibration

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gridwright/internal/designfile"
)

// FuzzTable: whatever a table of readings holds, it is read and evaluated or
// refused in words, never with a panic.
func FuzzTable(f *testing.F) {
	files, _ := filepath.Glob("testdata/broken/*.csv")
	for _, name := range files {
		if text, err := os.ReadFile(name); err == nil && len(text) < 4096 {
			f.Add(text)
		}
	}
	f.Add([]byte("run,stepping,torque [N·m],T [mV/V],By [mV/V]\n1,zero,0,0.01,0\n1,up,600,0.27,0\n1,up,1200,0.53,0\n2,zero,0,0.01,0\n2,up,1200,0.53,0.0\n"))
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		f.Fatal(err)
	}
	d, err := designfile.Read("d", text)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, table []byte) {
		data, err := Read(bytes.NewReader(table), "data.csv", d)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		r, err := Evaluate(d, data, Options{})
		if err != nil {
			return
		}
		for _, b := range r.Bridges {
			if b.Missing == "" && b.Forward != nil {
				for _, c := range b.Forward.Coefficients {
					if math.IsNaN(c) || math.IsInf(c, 0) {
						t.Errorf("bridge %s: coefficient %v", b.Name, c)
					}
				}
			}
		}
		if a, err := r.AsCalibrated(); err == nil {
			var b bytes.Buffer
			if err := a.Write(&b); err != nil {
				t.Fatalf("%v\n%v\n%v", err, a.Sensitivity, a.Inverse)
			}
			if _, err := ReadAsCalibrated(&b, "m.json"); err != nil {
				t.Errorf("a matrix that was written is refused: %v\n%v\n%v", err, a.Sensitivity, a.Inverse)
			}
		}
	})
}

// FuzzAsCalibrated: no file makes the reader of matrices panic.
func FuzzAsCalibrated(f *testing.F) {
	f.Add([]byte(`{"gridwright": 1, "kind": "as-calibrated"}`))
	f.Add([]byte(`{"gridwright": 1, "kind": "as-calibrated", "bridges": ["T"], "components": ["torque"], "measured": ["torque"], "sensitivity": [[1]], "inverse": [[1]]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		a, err := ReadAsCalibrated(bytes.NewReader(text), "m.json")
		if err != nil {
			return
		}
		if _, err := a.Recovery(); err != nil {
			return
		}
	})
}

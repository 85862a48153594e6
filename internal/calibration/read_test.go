package calibration

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite the errors beside the tables in testdata/broken")

// broken evaluates a table whose options stand in a first line "# options: zero=mean
// method=torque degree=3 second-order bridge=T".
func broken(text []byte, name string) error {
	d, o := shaft(), Options{NoCompare: true}
	if first, _, _ := strings.Cut(string(text), "\n"); strings.HasPrefix(first, "# options:") {
		for _, w := range strings.Fields(strings.TrimPrefix(first, "# options:")) {
			key, value, _ := strings.Cut(w, "=")
			switch key {
			case "zero":
				o.Zero = Zero(value)
			case "method":
				o.Method = Method(value)
			case "degree":
				fmt.Sscan(value, &o.Degree)
			case "second-order":
				o.SecondOrder = true
			case "bridge":
				d = only(value)
			}
		}
	}
	data, err := Read(strings.NewReader(string(text)), name, d)
	if err != nil {
		return err
	}
	_, err = Evaluate(d, data, o)
	return err
}

// TestBroken: every kind of mistake has its exact errors beside it, with row, column and
// remedy.
func TestBroken(t *testing.T) {
	files, err := filepath.Glob("testdata/broken/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 60 {
		t.Errorf("%d broken tables, want 60", len(files))
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		bad := broken(text, name)
		if bad == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		golden := strings.TrimSuffix(file, ".csv") + ".txt"
		got := bad.Error() + "\n"
		if *update {
			if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s:\n got %s want %s", name, got, want)
		}
	}
}

const small = "run,position,stepping,torque [N·m],T [mV/V]\n1,0,zero,0,0.01\n1,0,up,500,1.01\n1,0,up,1000,2.01\n1,0,down,500,1.02\n1,0,zero,0,0.011\n"

// TestForms: the same readings with semicolons and decimal commas, tabs, a byte order
// mark, CRLF, other units, another order of columns, comments and blanks.
func TestForms(t *testing.T) {
	d := only("T")
	want := read(t, d, small)
	lines := func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }
	german := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(small, ",", ";"), ".", ","), "−", "-")
	for name, c := range map[string]struct{ text, note string }{
		"semicolons":     {german, "decimal commas, first in column 5 of line 2"},
		"tabs":           {strings.ReplaceAll(small, ",", "\t"), "separated by tabs"},
		"byte order":     {"\ufeff" + small, ""},
		"crlf":           {lines(small), ""},
		"german windows": {"\ufeff" + lines(german), "separated by semicolons"},
		"comments":       {"# a comment\n\n" + strings.ReplaceAll(small, "1,0,up,1000", "# turn the part\n1,0,up,1000"), ""},
		"quoted":         {strings.ReplaceAll(small, "T [mV/V]", `"T [mV/V]"`), ""},
		"microvolts":     {"run,position,stepping,torque [N·m],T [µV/V]\n1,0,zero,0,10\n1,0,up,500,1010\n1,0,up,1000,2010\n1,0,down,500,1020\n1,0,zero,0,11\n", ""},
		"kilonewton":     {"T [V/V],torque [kN·m],stepping,run,position [°]\n1e-5,0,zero,1,0°\n1.01e-3,0.5,UP,1,0\n2.01e-3,1,up,1,0\n.00102,0.5,down,1,0\n1.1E-5,0,zero,1,0\n", ""},
		"no stepping":    {"run,position,torque [N·m],T [mV/V]\n1,0,0,0.01\n1,0,500,1.01\n1,0,1000,2.01\n1,0,500,1.02\n1,0,0,0.011\n", "no column stepping"},
		"more columns":   {strings.ReplaceAll(strings.ReplaceAll(small, "\n", ",x\n"), "T [mV/V],x", "T [mV/V],remark"), "columns ignored: remark"},
		"cut line end":   {strings.TrimSuffix(small, "\n"), "does not end with a line end"},
		"trailing rows":  {small + ",,,,\n,,,,\n", "2 empty rows left out"},
		"blank reading":  {small + "2,0,up,700,\n", "1 row without any reading left out: line 7"},
	} {
		got, err := Read(strings.NewReader(c.text), "data.csv", d)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(got.Readings) != len(want.Readings) {
			t.Errorf("%s: %d readings, want %d", name, len(got.Readings), len(want.Readings))
			continue
		}
		for i := range want.Readings {
			a, b := got.Readings[i], want.Readings[i]
			if a.Run != b.Run || a.Position != b.Position || a.Stepping != b.Stepping || math.Abs(a.Loads[0]-b.Loads[0]) > 1e-12*1000 || math.Abs(a.Outputs[0]-b.Outputs[0]) > 1e-18 {
				t.Errorf("%s: reading %d is %+v, want %+v", name, i, a, b)
			}
		}
		if c.note != "" && !strings.Contains(strings.Join(got.Notes, "\n"), c.note) {
			t.Errorf("%s: notes %q, want one of %q", name, got.Notes, c.note)
		}
	}
}

// TestTemperatures: each scale, and the mean of those that were noted.
func TestTemperatures(t *testing.T) {
	d := only("T")
	for unit, cells := range map[string][2]string{"°C": {"20", "22"}, "°F": {"68", "71.6"}, "K": {"293.15", "295.15"}} {
		data := read(t, d, "run,torque [N·m],T [mV/V],temperature ["+unit+"]\n1,0,0,"+cells[0]+"\n1,10,1,"+cells[1]+"\n1,20,2,\n")
		k, ok := data.Kelvin()
		if !ok {
			t.Fatal("no temperature")
		}
		near(t, unit, k, 294.15, 1e-14)
	}
}

// TestShuntCells: the words of the plan are read back; the same shunt is one.
func TestShuntCells(t *testing.T) {
	d := only("T")
	data := read(t, d, "run,torque [N·m],T [mV/V],shunt\n1,0,0.1,\n1,0,0.9,100 kΩ across arm 1\n1,0,0.9,100000 Ω across arm 1\n1,0,0.8,100 kΩ across arm 1 at the instrument\n1,0,0.2,59.88 kΩ across arm 4\n")
	if len(data.Shunts) != 3 {
		t.Fatalf("shunts %+v", data.Shunts)
	}
	var got []int
	for _, r := range data.Readings {
		got = append(got, r.Shunt)
	}
	if !reflect.DeepEqual(got, []int{-1, 0, 0, 1, 2}) {
		t.Errorf("shunts of the readings %v", got)
	}
	if s := data.Shunts[1]; !s.AtInstrument || s.Arm != 1 || s.Resistor.SI != 100e3 {
		t.Errorf("%+v", s)
	}
	if name := shuntName(data.Shunts[1]); name != "100000 Ω across arm 1 at the instrument" {
		t.Errorf("%q does not read back", name)
	}
}

// endless is a table of any number of rows.
type endless struct {
	head string
	rows int
	left string
}

func (e *endless) Read(b []byte) (int, error) {
	if e.left == "" {
		switch {
		case e.head != "":
			e.left, e.head = e.head, ""
		case e.rows == 0:
			return 0, io.EOF
		default:
			n := min(e.rows, 4096)
			e.rows -= n
			e.left = strings.Repeat("1,0,up,500,1.01\n", n)
		}
	}
	n := copy(b, e.left)
	e.left = e.left[n:]
	return n, nil
}

// TestTenMillionRows: refused with the row where it stopped, in bounded memory.
func TestTenMillionRows(t *testing.T) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	_, err := Read(&endless{head: "run,position,stepping,torque [N·m],T [mV/V]\n", rows: 10_000_000}, "log.csv", only("T"))
	runtime.ReadMemStats(&after)
	if err == nil || !strings.Contains(err.Error(), "log.csv:250002:1: more than 250000 readings") {
		t.Fatalf("%v", err)
	}
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 256<<20 {
		t.Errorf("allocated %d MB", grown>>20)
	}
}

// TestOpenQuote: a quotation mark that is never closed does not swallow the memory.
func TestOpenQuote(t *testing.T) {
	if testing.Short() {
		t.Skip("reads 64 MB")
	}
	_, err := Read(&endless{head: "run,position,stepping,torque [N·m],T [mV/V]\n1,\"0", rows: 1 << 30}, "log.csv", only("T"))
	if err == nil || !strings.Contains(err.Error(), "larger than 64 MB") {
		t.Fatalf("%v", err)
	}
}

// TestReadNeverPanics: whatever the bytes, there is a result or an error that names the
// file; problems are at most twenty.
func TestReadNeverPanics(t *testing.T) {
	d := shaft()
	rapid.Check(t, func(t *rapid.T) {
		text := []byte("run,position,stepping,torque [N·m],bending-y [N·m],T [mV/V],By [mV/V],temperature [°C],shunt\n1,0,zero,0,0,0.1,0.2,20,\n1,0,up,500,0,1.1,0.2,20,\n1,0,up,0,200,0.1,1.2,20,\n1,0,zero,0,0,0.9,1,21,100 kΩ across arm 1\n")
		for range rapid.IntRange(0, 12).Draw(t, "edits") {
			i := rapid.IntRange(0, len(text)-1).Draw(t, "at")
			switch rapid.IntRange(0, 2).Draw(t, "edit") {
			case 0:
				text[i] = rapid.SampledFrom([]byte("0123456789.,;-+eE\t\n\r\"#xKµ\xff \x00[]")).Draw(t, "byte")
			case 1:
				text = append(text[:i], text[i+1:]...)
			default:
				text = append(text[:i], append([]byte{rapid.Byte().Draw(t, "new")}, text[i:]...)...)
			}
			if len(text) == 0 {
				text = []byte("\n")
			}
		}
		data, err := Read(strings.NewReader(string(text)), "data.csv", d)
		if err == nil {
			_, err = Evaluate(d, data, Options{NoCompare: true})
		}
		if err != nil && !strings.HasPrefix(err.Error(), "data.csv") {
			t.Fatalf("%v does not begin with the file", err)
		}
		var p *Problems
		if errors.As(err, &p) && len(p.List) > maxProblems {
			t.Fatalf("%d problems", len(p.List))
		}
	})
}

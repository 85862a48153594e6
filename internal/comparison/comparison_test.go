package comparison

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/uncertainty"
)

func text(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile("../../designs/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func side(t testing.TB, file string) *Side {
	t.Helper()
	d, err := designfile.Read("x", []byte(file))
	if err != nil {
		t.Fatal(err)
	}
	s := Read("x", d)
	whole, err := dossier.WithUncertainty(context.Background(), "x", []byte(file), d, uncertainty.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s.Result = whole.Published()
	return s
}

func changed(d *Difference) []string {
	var out []string
	for _, f := range d.Figures {
		if f.Changed {
			out = append(out, f.Key)
		}
	}
	return out
}

// What means the same is no difference: another unit, another order of keys, a default
// written out, quotes.
func TestSameMeaning(t *testing.T) {
	winch := text(t, "winch-shaft.yaml")
	for _, r := range [][2]string{
		{"40 mm ± 0.02 mm", "4 cm ± 20 µm"}, {"650 N·m", "0.65 kN·m"}, {"{length: 4 mm, width: 2.8 mm}", "{width: 0.28 cm, length: 4 mm}"},
		{"gauge-factor: 2.05 ± 1 %", "gauge-factor: [2.05 ± 1 %, 2.05 ± 1 %]"}, {", around: 0°, direction: 0°", ", around: 0 rad"},
		{"350 Ω ± 0.3 %", "0.35 kΩ ± 1.05 Ω"}, {"range: [0 °C, 50 °C]", "range: [32 °F, 323.15 K]"}, {"0.045 mm ± 0.015 mm", `"45 µm ± 15 µm"`},
	} {
		other := strings.Replace(winch, r[0], r[1], 1)
		if other == winch {
			t.Fatalf("the example has no %q", r[0])
		}
		d := Of(side(t, winch), side(t, other))
		if len(d.Inputs) > 0 || len(changed(d)) > 0 || len(d.Gone)+len(d.Fresh) > 0 {
			t.Errorf("%s → %s: %v %v", r[0], r[1], d.Inputs, changed(d))
		}
	}
	// 40 mm in inches: to 1e-12
	inches := strings.Replace(winch, "40 mm ± 0.02 mm", fmt.Sprintf("%.15g in ± %.15g in", 40/25.4, 0.02/25.4), 1)
	if d := Of(side(t, winch), side(t, inches)); len(d.Inputs) > 0 || len(changed(d)) > 0 {
		t.Errorf("in inches: %v %v", d.Inputs, changed(d))
	}
}

// Every leaf of a design that is changed is a difference.
func TestEveryChangeIsSeen(t *testing.T) {
	for _, name := range []string{"agitator-tube.yaml", "winch-shaft.yaml", "press-column.yaml"} {
		d, err := designfile.Read("x", []byte(text(t, name)))
		if err != nil {
			t.Fatal(err)
		}
		count := 0
		var visit func(v reflect.Value, path string)
		try := func(path string, change func()) {
			if allowed(path) {
				return
			}
			before := Values(d)
			change()
			if after := Values(d); len(inputs(before, after)) == 0 {
				t.Errorf("%s: a change of %s is not seen", name, path)
			}
			count++
		}
		visit = func(v reflect.Value, path string) {
			switch v.Kind() {
			case reflect.Struct:
				if arm, ok := v.Interface().(design.Arm); ok && !arm.Fixed() {
					visit(v.FieldByName("Grids"), path+".Grids") // its resistor is no part of the file
					return
				}
				if v.Type() == reflect.TypeFor[design.Number]() {
					n := v.Addr().Interface().(*design.Number)
					old := *n
					try(path, func() { n.SI = n.SI*1.01 + 1e-9; n.Text = "" })
					*n = old
					try(path+" tolerance", func() { n.Tolerance = n.Tolerance*1.5 + 1e-9 })
					*n = old
					return
				}
				for i := range v.NumField() {
					visit(v.Field(i), path+"."+v.Type().Field(i).Name)
				}
			case reflect.Slice, reflect.Array:
				for i := range v.Len() {
					visit(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
				}
			case reflect.String:
				old := v.String()
				try(path, func() { v.SetString(old + "x") })
				v.SetString(old)
			case reflect.Bool:
				old := v.Bool()
				try(path, func() { v.SetBool(!old) })
				v.SetBool(old)
			case reflect.Float64:
				old := v.Float()
				try(path, func() { v.SetFloat(old + 0.1) })
				v.SetFloat(old)
			case reflect.Int:
				old := v.Int()
				try(path, func() { v.SetInt((old + 1) % int64(most(d, path))) })
				v.SetInt(old)
			}
		}
		visit(reflect.ValueOf(d).Elem(), "design")
		if count < 100 {
			t.Errorf("%s: %d changes only were tried", name, count)
		}
	}
}

// most is how many values an index of a design may have.
func most(d *design.Design, path string) int {
	switch {
	case strings.HasSuffix(path, ".Gauge") || strings.Contains(path, "Pick.Gauges"):
		return len(d.Gauges)
	case strings.HasSuffix(path, ".Placement"):
		return len(d.Placements)
	case strings.HasSuffix(path, ".Component") || strings.HasSuffix(path, ".Measures"):
		return int(design.Components)
	}
	return 100
}

// allowed are leaves that no key of the file sets by itself: places, switches that say
// that something was written, the index that follows from a face's name, outlines that follow from the grids, and an index into a
// list of one.
func allowed(path string) bool {
	if strings.Contains(path, ".Place.") || strings.HasSuffix(path, ".Set") || strings.HasSuffix(path, ".FaceIndex") || strings.Contains(path, "Has") {
		return true
	}
	return strings.HasSuffix(path, "].Gauge") || strings.Contains(path, "Pick.Gauges") // one gauge type in the examples
}

// Twice the rated torque is twice the output, beyond its uncertainty, at the same
// sensitivity.
func TestRatedTorqueTwice(t *testing.T) {
	winch := text(t, "winch-shaft.yaml")
	d := Of(side(t, winch), side(t, strings.Replace(winch, "650 N·m", "1300 N·m", 1)))
	if want := []Change{{"loads.torque.rated", "650 N·m", "1300 N·m"}}; !slices.Equal(d.Inputs, want) {
		t.Errorf("changes %v, want %v", d.Inputs, want)
	}
	for _, f := range d.Figures {
		switch f.Key {
		case "T.rated-output":
			if math.Abs(*f.New / *f.Old - 2) > 1e-4 || f.Beyond == nil || !*f.Beyond {
				t.Errorf("rated output from %v to %v, beyond %v", *f.Old, *f.New, f.Beyond)
			}
		case "T.sensitivity", "T.uncertainty", "torsional-stiffness":
			if f.Changed {
				t.Errorf("%s changed from %v to %v", f.Key, *f.Old, *f.New)
			}
		}
	}
}

// A change is within or beyond by the old figure's expanded uncertainty: 2 u by the
// budget of first order.
func TestBeyondIsTwiceTheStandard(t *testing.T) {
	winch := text(t, "winch-shaft.yaml")
	old := side(t, winch)
	u := 2 * *old.Result.Bridges[0].Uncertainty.FirstOrder / 100 // of the sensitivity
	for _, c := range []struct {
		by     float64
		beyond bool
	}{{0.9 * u, false}, {1.1 * u, true}, {-0.9 * u, false}, {-1.1 * u, true}} {
		factor := fmt.Sprintf("gauge-factor: %.12g ± 1 %%", 2.05*(1+c.by))
		d := Of(old, side(t, strings.Replace(winch, "gauge-factor: 2.05 ± 1 %", factor, 1)))
		i := slices.IndexFunc(d.Figures, func(f FigureChange) bool { return f.Key == "T.sensitivity" })
		if f := d.Figures[i]; f.Beyond == nil || *f.Beyond != c.beyond || !f.Changed {
			t.Errorf("changed by %.3g of 2u: beyond %v, want %v", c.by/u, f.Beyond, c.beyond)
		}
	}
}

// A result that was written and read back gives the figures of the design.
func TestResultReadBack(t *testing.T) {
	one := side(t, text(t, "agitator-tube.yaml"))
	written, err := json.Marshal(one.Result)
	if err != nil {
		t.Fatal(err)
	}
	var back dossier.Result
	if err := json.Unmarshal(written, &back); err != nil {
		t.Fatal(err)
	}
	d := Of(&Side{Name: "result", Result: back}, one)
	if len(changed(d)) > 0 || len(d.Gone)+len(d.Fresh) > 0 || len(d.Figures) < 30 {
		t.Errorf("%v; findings %v %v; %d figures", changed(d), d.Gone, d.Fresh, len(d.Figures))
	}
	if !d.Known {
		t.Error("one input on both sides, but its changes are said not to be known")
	}
	other := side(t, strings.Replace(text(t, "agitator-tube.yaml"), "44 mm", "45 mm", 1))
	if d := Of(&Side{Result: back}, other); d.Known || len(changed(d)) == 0 {
		t.Errorf("another design beside a result: known %v, changed %v", d.Known, changed(d))
	}
}

// Bridges and placements are matched by name; one that only one side has is one change,
// and its figures have no other side.
func TestAddedAndGone(t *testing.T) {
	whole := text(t, "agitator-tube.yaml")
	i, j := strings.Index(whole, "  By:"), strings.Index(whole, "leads:")
	without := whole[:i] + whole[j:]
	d := Of(side(t, whole), side(t, without))
	if want := []Change{{"bridges.By", "measures bending-y", ""}}; !slices.Equal(d.Inputs, want) {
		t.Errorf("changes %v, want %v", d.Inputs, want)
	}
	for _, f := range d.Figures {
		if strings.HasPrefix(f.Key, "By.") && f.Old != nil && (f.New != nil || !f.Changed) {
			t.Errorf("%s is still there", f.Key)
		}
		if strings.HasPrefix(f.Key, "T.") && f.Changed {
			t.Errorf("%s changed", f.Key)
		}
	}
	d = Of(side(t, without), side(t, whole))
	if want := []Change{{"bridges.By", "", "measures bending-y"}}; !slices.Equal(d.Inputs, want) {
		t.Errorf("changes %v, want %v", d.Inputs, want)
	}
	// the same bridges in another order
	k := strings.Index(whole, "  T:")
	swapped := whole[:k] + whole[i:j] + whole[k:i] + whole[j:]
	if d := Of(side(t, whole), side(t, swapped)); len(d.Inputs) > 0 || len(changed(d)) > 0 {
		t.Errorf("bridges in another order: %v %v", d.Inputs, changed(d))
	}
	// a finding that goes
	miswired := text(t, "test-arm-miswired.yaml")
	cured := strings.Replace(miswired, "arms: [A1, A2, B2, B1]", "arms: [A2, A1, B2, B1]", 1)
	if cured == miswired {
		m := miswired[strings.Index(miswired, "arms:"):]
		cured = strings.Replace(miswired, m[:strings.Index(m, "]")+1], "arms: [A2, A1, B2, B1]", 1)
	}
	d = Of(side(t, miswired), side(t, cured))
	if len(d.Gone) == 0 || d.Gone[0].Rule != "blind" {
		t.Errorf("findings gone: %v", d.Gone)
	}
}

// A value for all grids that changed is told once.
func TestListsAreToldOnce(t *testing.T) {
	winch := text(t, "winch-shaft.yaml")
	d := Of(side(t, winch), side(t, strings.Replace(winch, "2.05 ± 1 %", "2.1 ± 1 %", 1)))
	if want := []Change{{"gauges.S.gauge-factor", "2.05 ± 1 %", "2.1 ± 1 %"}}; !slices.Equal(d.Inputs, want) {
		t.Errorf("changes %v, want %v", d.Inputs, want)
	}
	tube := text(t, "agitator-tube.yaml")
	d = Of(side(t, tube), side(t, strings.Replace(tube, "2.09 ± 0.5 %", "2.1 ± 0.5 %", 1)))
	if want := []Change{{"gauges.R.gauge-factor[1]", "2.09 ± 0.5 %", "2.1 ± 0.5 %"}}; !slices.Equal(d.Inputs, want) {
		t.Errorf("changes %v, want %v", d.Inputs, want)
	}
}

package material

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
)

func TestTableIsWhole(t *testing.T) {
	all := All()
	if len(all) != 16 {
		t.Errorf("%d materials, want 16", len(all))
	}
	for _, m := range all {
		for _, p := range properties {
			if f := *p.of(&m); !f.Set || f.Source == "" {
				t.Errorf("%s: %s is %+v", m.ID, p.name, f)
			}
		}
		// These decide the span of a transducer, so their tolerance must be known.
		for name, f := range map[string]Figure{"E": m.E, "ν": m.Poisson, "G": m.G, "expansion": m.Expansion, "E drift": m.YoungsDrift, "G drift": m.ShearDrift} {
			if f.Tolerance <= 0 {
				t.Errorf("%s: %s has no tolerance", m.ID, name)
			}
		}
	}
}

// Isotropic elasticity, and the loss of stiffness with temperature that every one
// of these metals shows.
func TestFiguresAgreeWithEachOther(t *testing.T) {
	for _, m := range All() {
		if g := m.E.Value / (2 * (1 + m.Poisson.Value)); math.Abs(m.G.Value/g-1) > 0.005 {
			t.Errorf("%s: G %g, E/2(1+ν) %g", m.ID, m.G.Value, g)
		}
		if m.YoungsDrift.Value >= 0 || m.ShearDrift.Value >= 0 {
			t.Errorf("%s: a modulus rises with temperature", m.ID)
		}
		// Austenitic steels harden under cycling: their 0.4 Rm reaches the proof stress.
		if austenitic := m.ID == "304" || m.ID == "316"; !austenitic && m.Endurance.Value >= m.Yield.Value {
			t.Errorf("%s: endurance %g above yield %g", m.ID, m.Endurance.Value, m.Yield.Value)
		}
	}
}

// Source: MIL-HDBK-5J as quoted in open copies. Density and strengths in US units with
// their printed digits: Table 2.6.9.0(b) 17-4PH H900 0.282 lb/in³, Ftu 190 ksi, Fty
// 170 ksi; Table 3.7.6.0(b1) 7075 0.101 lb/in³, E 10.3 Msi; Table 5.4.1.0(c1)
// Ti-6Al-4V 0.160 lb/in³, 135 and 125 ksi. Moduli are compromises, within 1 % of it.
func TestHandbookFigures(t *testing.T) {
	const ksi, lbPerCubicInch = 6.894757e6, 27679.90
	near := func(id string, got, want, tolerance float64) {
		t.Helper()
		if math.Abs(got-want) > tolerance {
			t.Errorf("%s: %g, handbook %g", id, got, want)
		}
	}
	get := func(id string) Material {
		m, ok := Find(id)
		if !ok {
			t.Fatal(id)
		}
		return m
	}
	ph, al, ti := get("17-4PH-H900"), get("7075-T6"), get("Ti64")
	near("17-4PH density", ph.Density.Value, 0.282*lbPerCubicInch, 0.0005*lbPerCubicInch)
	near("17-4PH ultimate", ph.Ultimate.Value, 190*ksi, 0.5*ksi)
	near("17-4PH yield", ph.Yield.Value, 170*ksi, 0.5*ksi)
	near("7075 density", al.Density.Value, 0.101*lbPerCubicInch, 0.0005*lbPerCubicInch)
	near("7075 E", al.E.Value, 10.3e3*ksi, 0.01*al.E.Value)
	near("Ti64 density", ti.Density.Value, 0.160*lbPerCubicInch, 0.0005*lbPerCubicInch)
	near("Ti64 ultimate", ti.Ultimate.Value, 135*ksi, 0.5*ksi)
	near("Ti64 yield", ti.Yield.Value, 125*ksi, 0.5*ksi)
}

// Figures come out in SI as the nearest double, tolerances as the table states them.
func TestUnits(t *testing.T) {
	m, ok := Find("42CrMo4+QT")
	if !ok {
		t.Fatal("no 42CrMo4+QT")
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"E", m.E.Value, 205e9}, {"ν", m.Poisson.Value, 0.29}, {"G", m.G.Value, 79.5e9},
		{"density", m.Density.Value, 7840}, {"expansion", m.Expansion.Value, 11.8e-6},
		{"yield", m.Yield.Value, 750e6}, {"ultimate", m.Ultimate.Value, 1000e6}, {"endurance", m.Endurance.Value, 450e6},
		{"E drift", m.YoungsDrift.Value, -2.7e-4}, {"G drift", m.ShearDrift.Value, -2.8e-4},
		{"U(E)", m.E.Tolerance, 5.125e9}, {"U(ν)", m.Poisson.Tolerance, 0.01}, {"U(expansion)", m.Expansion.Tolerance, 0.7e-6},
		{"U(E drift)", m.YoungsDrift.Tolerance, 0.4e-4}, {"U(G drift)", m.ShearDrift.Tolerance, 0.5e-4},
		{"U(yield)", m.Yield.Tolerance, 0},
	} {
		if c.got != c.want {
			t.Errorf("%s: %.17g, want %.17g", c.what, c.got, c.want)
		}
	}
	// The extreme corners of E and ν bound the tolerance of G = E/(2(1+ν)) from above,
	// that of E alone from below.
	corner := (m.E.Value+m.E.Tolerance)/(2*(1+m.Poisson.Value-m.Poisson.Tolerance)) - m.E.Value/(2*(1+m.Poisson.Value))
	if u := m.G.Tolerance; !(u < corner && u > m.G.Value*0.025) {
		t.Errorf("U(G) %g, corner %g", u, corner)
	}
}

func TestFind(t *testing.T) {
	for _, m := range All() {
		for _, id := range []string{m.ID, strings.ToLower(m.ID), strings.ToUpper(m.ID)} {
			if got, ok := Find(id); !ok || got != m {
				t.Errorf("Find(%q) gave %q, %v", id, got.ID, ok)
			}
		}
	}
	for _, id := range []string{"", "42CrMo4", "42CrMo4+QT ", "unobtainium"} {
		if m, ok := Find(id); ok {
			t.Errorf("Find(%q) gave %q", id, m.ID)
		}
	}
}

func TestCallersOwnWhatTheyGet(t *testing.T) {
	all, ids := All(), IDs()
	if len(ids) != len(all) || ids[0] != "C45+N" {
		t.Errorf("ids %v", ids)
	}
	for i, m := range all {
		if m.ID != ids[i] {
			t.Errorf("id %d is %q and %q", i, m.ID, ids[i])
		}
	}
	all[0].ID, all[0].E.Value, ids[1] = "changed", 0, "changed"
	if m := All()[0]; m.ID != "C45+N" || m.E.Value != 207e9 || slices.Contains(IDs(), "changed") {
		t.Errorf("a caller changed the table: %+v", m)
	}
}

// One fault at a time in the shipped files.
func TestLoaderRefuses(t *testing.T) {
	line := func(prefix string, file []byte) string {
		for l := range strings.Lines(string(file)) {
			if strings.HasPrefix(l, prefix) {
				return l
			}
		}
		t.Fatalf("no line %q", prefix)
		return ""
	}
	sourceOfE := line("304,youngs-modulus,", sourcesCSV)
	ti := line("Ti64,", materialsCSV)
	for _, c := range []struct {
		name, old, new, want string
		sources              bool
	}{
		{"no source", sourceOfE, "", "youngs-modulus of \"304\" has none", true},
		{"empty source", sourceOfE, "304,youngs-modulus, \n", "is empty", true},
		{"source twice", sourceOfE, sourceOfE + sourceOfE, "stands twice", true},
		{"source of no figure", sourceOfE, sourceOfE + "304,colour,memory\n", "no figure \"colour\"", true},
		{"source of no material", sourceOfE, sourceOfE + "305,yield,memory\n", "of \"305\"", true},
		{"header of sources", "material,figure,source", "a,b,c", "header must be", true},
		{"no unit", "yield [MPa]", "yield", "states no unit", false},
		{"empty unit", "yield [MPa]", "yield []", "states no unit", false},
		{"wrong unit", "yield [MPa]", "yield [ppm/K]", "no unit of yield", false},
		{"unknown unit", "yield [MPa]", "yield [ksi]", "no unit of yield", false},
		{"value in per cent", "yield [MPa]", "yield [%]", "no unit of yield", false},
		{"unknown property", "yield [MPa]", "colour [MPa]", "no property", false},
		{"column twice", "ultimate [MPa]", "yield [MPa]", "stands twice", false},
		{"no note", ",note", ",name", "stands twice", false},
		{"source but no figure", ti, strings.Replace(ti, ",862,", ",,", 1), "source but no figure", false},
		{"tolerance without value", ti, strings.Replace(ti, ",8.7,", ",,", 1), "tolerance without a value", false},
		{"tolerance of zero", ti, strings.Replace(ti, ",113.8,4,", ",113.8,0,", 1), "greater than zero", false},
		{"tolerance above the value", ti, strings.Replace(ti, ",113.8,4,", ",113.8,101,", 1), "larger than the value", false},
		{"not a number", ti, strings.Replace(ti, ",862,", ",1e2,", 1), "plain decimal", false},
		{"sign inside", ti, strings.Replace(ti, ",862,", ",8-2,", 1), "plain decimal", false},
		{"shear modulus", ti, strings.Replace(ti, ",42.8,", ",43.1,", 1), "0.5 %", false},
		{"yield above ultimate", ti, strings.Replace(ti, ",862,", ",932,", 1), "yield is above", false},
		{"endurance above ultimate", ti, strings.Replace(ti, ",500,", ",940,", 1), "endurance is above", false},
		{"expansion ten times too large", ti, strings.Replace(ti, ",8.7,", ",87,", 1), "outside", false},
		{"modulus in the wrong unit", "youngs-modulus [GPa]", "youngs-modulus [MPa]", "outside", false},
		{"no E", ti, strings.Replace(ti, ",113.8,4,", ",,,", 1), "source but no figure", false},
		{"confidence", ti, strings.Replace(ti, ",B,", ",D,", 1), "confidence", false},
		{"id twice", ti, ti + strings.Replace(ti, "Ti64", "TI64", 1), "stands twice", false},
		{"no id", ti, strings.Replace(ti, "Ti64", "", 1), "has none", false},
		{"short row", ti, "Ti64,titanium\n", "wrong number of fields", false},
	} {
		materials, sources := materialsCSV, sourcesCSV
		file := &materials
		if c.sources {
			file = &sources
		}
		changed := bytes.Replace(*file, []byte(c.old), []byte(c.new), 1)
		if bytes.Equal(changed, *file) {
			t.Errorf("%s: nothing to change", c.name)
		}
		*file = changed
		_, err := read(bytes.NewReader(materials), bytes.NewReader(sources))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
	if _, err := read(bytes.NewReader(materialsCSV), bytes.NewReader(sourcesCSV)); err != nil {
		t.Error(err)
	}
}

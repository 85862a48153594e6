package designfile

import (
	"math"
	"strings"
	"testing"

	"gridwright/internal/quantity"
)

// each calls f for every key of the tables, deep.
func each(form Form, f func(Key)) {
	switch form := form.(type) {
	case Mapping:
		for _, k := range form.Keys {
			f(k)
			each(k.Form, f)
		}
	case OneOf:
		for _, one := range form {
			each(one, f)
		}
	case List:
		each(form.Of, f)
	case Names:
		each(form.Of, f)
	}
}

// Whoever adds a key to a table describes it, and states its form.
func TestEveryKeyIsDescribed(t *testing.T) {
	used := map[string]bool{}
	each(Keys(), func(k Key) {
		used[k.Path] = true
		if k.About == "" || !strings.HasSuffix(k.About, ".") {
			t.Errorf("%s has no sentence in notes: %q", k.Path, k.About)
		}
		if k.Example == "" {
			t.Errorf("%s has no example in notes", k.Path)
		}
		if _, ok := k.Form.(Any); ok {
			t.Errorf("%s states no form in its table", k.Path)
		}
	})
	for path := range notes {
		if !used[path] {
			t.Errorf("notes tells of %s, which no table has", path)
		}
	}
}

func TestBoundsAreThoseOfTheRules(t *testing.T) {
	find := func(path string) Quantity {
		var out Quantity
		each(Keys(), func(k Key) {
			if q, ok := k.Form.(Quantity); ok && k.Path == path {
				out = q
			}
		})
		return out
	}
	for path, want := range map[string]Quantity{
		"overload":                    {Kind: quantity.Number, Low: Bound{1, true, false}, NotZero: true},
		"cycles":                      {Kind: quantity.Number, Low: Bound{0, true, true}, NotZero: true},
		"part.material.poisson-ratio": {Kind: quantity.Number, Low: Bound{0, true, true}, High: Bound{0.5, true, true}, NotZero: true},
		"part.section.outside-diameter": {Kind: quantity.Length, Low: Bound{1e-6, true, false}, High: Bound{100, true, false},
			NotZero: true},
		"gauges.*.stand-off":                    {Kind: quantity.Length, Low: Bound{0, true, false}},
		"gauges.*.thermal-output.for-factor":    {Kind: quantity.Number, NotZero: true},
		"loads.axial.rated":                     {Kind: quantity.Force, Low: Bound{-1e12, true, false}, High: Bound{1e12, true, false}},
		"part.material.expansion":               {Kind: quantity.PerKelvin},
		"require.yield-factor.at-least":         {Kind: quantity.Number, Low: Bound{0, true, false}},
		"gauges.*.thermal-output.for-expansion": {Kind: quantity.PerKelvin},
	} {
		if got := find(path); got != want {
			t.Errorf("%s: %+v, want %+v", path, got, want)
		}
	}
	low, high := bounds(func(x float64) bool { return math.Abs(x) < 0.5 })
	if low != (Bound{-0.5, true, true}) || high != (Bound{0.5, true, true}) {
		t.Errorf("|x| < 0.5: %+v %+v", low, high)
	}
}

const starter = `gridwright: 1
title: <title, e.g. Drive shaft>
part:
  material: <built-in metal, e.g. C45+QT>
  section:
    shape: round-tube
    outside-diameter: <outside diameter, e.g. 60 mm>
    inside-diameter: 44 mm
loads:
  torque: {rated: "<rated torque, e.g. 1200 N·m>", use: "<use, e.g. measure>"}
gauges:
  S:
    pattern: <pattern, e.g. single>
    grid: {length: "<length of a grid, e.g. 3 mm>", width: 2 mm}
    resistance: ["<resistance, e.g. 350 Ω>"]
    gauge-factor: 2.0
placements: {A: {gauge: "<gauge, e.g. S>", around: "<angle, e.g. 0°>"}}
bridges: {T: {measures: "<load, e.g. torque>", arms: ["<arm, e.g. A1>", 350 Ω, 350 Ω, 350 Ω]}}
cyles: 3
`

// Every placeholder is told of, each once, and other mistakes of the file beside.
func TestPlaceholdersAreAllToldInOneRun(t *testing.T) {
	_, err := Read("s.yaml", []byte(starter))
	got := strings.Split(err.Error(), "\n")
	want := []string{
		"s.yaml:2:8: title: still a placeholder; write your title, such as Drive shaft",
		"s.yaml:4:13: part.material: still a placeholder; write your built-in metal, such as C45+QT",
		"s.yaml:7:23: part.section.outside-diameter: still a placeholder; write your outside diameter, such as 60 mm",
		"s.yaml:10:19: loads.torque.rated: still a placeholder; write your rated torque, such as 1200 N·m",
		"s.yaml:10:57: loads.torque.use: still a placeholder; write your use, such as measure",
		"s.yaml:13:14: gauges.S.pattern: still a placeholder; write your pattern, such as single",
		"s.yaml:14:20: gauges.S.grid.length: still a placeholder; write your length of a grid, such as 3 mm",
	}
	for i := range want {
		if i >= len(got) || got[i] != want[i] {
			t.Errorf("line %d of\n%s\nwant %s", i+1, err, want[i])
		}
	}
	if n := strings.Count(err.Error(), "still a placeholder"); n != strings.Count(starter, "e.g.") {
		t.Errorf("%d placeholders are told of, the file has %d:\n%s", n, strings.Count(starter, "e.g."), err)
	}
	if !strings.Contains(err.Error(), "cyles: unknown key; did you mean `cycles`?") {
		t.Errorf("the unknown key is not told of:\n%s", err)
	}
	if len(got) != strings.Count(starter, "e.g.")+1 {
		t.Errorf("more is said than what is wrong:\n%s", err)
	}
}

func TestTextInBracketsIsText(t *testing.T) {
	for _, s := range []string{"<draft>", "<>", "<a, e.g. >", "<, e.g. b>", "a, e.g. b", "<a, e.g. b", "a, e.g. b>"} {
		if p, ok := ParsePlaceholder(s); ok {
			t.Errorf("%q is taken for a placeholder: %+v", s, p)
		}
	}
	p := Placeholder{"inside diameter", "44 mm"}
	if back, ok := ParsePlaceholder(p.String()); !ok || back != p {
		t.Errorf("%+v is written %q, which reads %+v", p, p.String(), back)
	}
}

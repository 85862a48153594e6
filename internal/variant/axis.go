package variant

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gridwright/internal/quantity"
)

// Axis is one value with the range over which it is varied, in a unit of the user's.
type Axis struct {
	Value    *Value
	Unit     string
	Kind     quantity.Kind
	From, To float64 // in Unit
	Count    int     // of values, both ends included; 0: a range without steps
	Log      bool    // steps of equal ratio instead of equal difference
}

// Axis reads PATH=FROM:TO:COUNT, or PATH=FROM:TO where steps is false. FROM and TO are
// values with units as the design file writes them, without tolerances.
func (b *Base) Axis(spec string, steps bool) (*Axis, error) {
	form := "PATH=FROM:TO"
	if steps {
		form += ":COUNT"
	}
	bad := func(format string, args ...any) error {
		return fmt.Errorf("--vary %q: %s", spec, fmt.Sprintf(format, args...))
	}
	path, rest, ok := strings.Cut(spec, "=")
	if !ok {
		return nil, bad("no = between path and range; write %s, such as part.section.outside-diameter='50 mm:70 mm%s'", form, map[bool]string{true: ":21"}[steps])
	}
	v, err := b.Value(path)
	if err != nil {
		return nil, bad("%v", err)
	}
	ends := strings.Split(rest, ":")
	want := 2
	if steps {
		want = 3
	}
	if len(ends) != want {
		return nil, bad("the range has %d parts between colons; write %s", len(ends), form)
	}
	a := &Axis{Value: v}
	if a.Kind, a.Unit, err = v.unit(ends[:2]); err != nil {
		return nil, bad("%v", err)
	}
	for i, to := range []*float64{&a.From, &a.To} {
		if *to, err = a.Number(ends[i]); err != nil {
			return nil, bad("%v", err)
		}
	}
	if steps {
		n, err := strconv.Atoi(strings.TrimSpace(ends[2]))
		if err != nil || n < 1 {
			return nil, bad("%q is no count; write the number of values, from 1", strings.TrimSpace(ends[2]))
		}
		if n > 1 && a.From == a.To || n == 1 && a.From != a.To {
			return nil, bad("%d values from %s to %s; write a count of 1 with one value twice, or two different values with a count of 2 or more", n, strings.TrimSpace(ends[0]), strings.TrimSpace(ends[1]))
		}
		a.Count = n
	} else if !(a.From < a.To) {
		return nil, bad("the range does not ascend; write the smaller value first")
	}
	return a, nil
}

// Column is the axis of a list whose header names a path and perhaps a unit: its
// values are given one by one.
func (b *Base) Column(path, unit string) (*Axis, error) {
	v, err := b.Value(path)
	if err != nil {
		return nil, err
	}
	a := &Axis{Value: v, Unit: unit}
	if a.Kind, _, err = v.unit([]string{withUnit("1", unit)}); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return a, nil
}

// unit is the kind that texts have in common with the value, and the unit of the
// first text.
func (v *Value) unit(texts []string) (quantity.Kind, string, error) {
	var failed error
	kinds := slices.Clone(v.kinds)
	for _, text := range texts {
		text = strings.TrimSpace(text)
		var left []quantity.Kind
		for i, k := range kinds {
			got, err := quantity.Parse(text, k)
			switch {
			case err != nil && i == 0:
				failed = fmt.Errorf("%q: %w", text, err)
			case err == nil && (got.Tolerance != 0 || got.Coverage != 0):
				return 0, "", fmt.Errorf("%q: the tolerance stays as the file has it; write the value alone", text)
			case err == nil:
				left = append(left, k)
			}
		}
		if len(left) == 0 {
			return 0, "", failed
		}
		kinds = left
	}
	return kinds[0], split(strings.TrimSpace(texts[0])).unit, nil
}

// Number reads a value in the axis' unit. One that is written in that unit is taken to
// the last bit as it stands.
func (a *Axis) Number(text string) (float64, error) {
	text = strings.TrimSpace(text)
	v, err := quantity.Parse(text, a.Kind)
	if err != nil {
		return 0, fmt.Errorf("%q: %w", text, err)
	}
	if strings.ContainsAny(text, "±(") || v.Tolerance != 0 {
		return 0, fmt.Errorf("%q: the tolerance stays as the file has it; write the value alone", text)
	}
	if p := split(text); p.unit == a.Unit {
		if x, err := strconv.ParseFloat(strings.ReplaceAll(p.number, "−", "-"), 64); err == nil {
			return x, nil
		}
	}
	return quantity.Convert(v.SI, a.Kind, a.Unit)
}

// At is value i of Count, rounded to 12 digits so that the steps are the decimal
// numbers that were meant.
func (a *Axis) At(i int) float64 {
	switch {
	case i == 0 || a.Count == 1:
		return a.From
	case i == a.Count-1:
		return a.To
	}
	share := float64(i) / float64(a.Count-1)
	if a.Log {
		return digits12(a.From*math.Pow(a.To/a.From, share), 0)
	}
	return digits12(a.From+(a.To-a.From)*share, math.Max(math.Abs(a.From), math.Abs(a.To)))
}

// digits12 rounds x to 12 digits of itself, or of something larger.
func digits12(x, of float64) float64 {
	if of = math.Max(of, math.Abs(x)); of == 0 {
		return 0
	}
	decimals := 11 - int(math.Floor(math.Log10(of)))
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', max(decimals, 0), 64), 64)
	if err != nil {
		return x
	}
	return y
}

// Header names the column of the axis, with its unit.
func (a *Axis) Header() string {
	if a.Unit == "" {
		return a.Value.Path
	}
	return a.Value.Path + " [" + a.Unit + "]"
}

// Show writes a number of the axis with its unit.
func (a *Axis) Show(x float64) string { return withUnit(number(x), a.Unit) }

// Put is the value set to x, in the axis' unit.
func (a *Axis) Put(x float64) Setting { return Setting{a, x} }

// Text is what stands in the file when the value is x: with the tolerance as it is
// written there. A tolerance without a unit has the value's, and one in % hangs on
// whether the value is itself in %, so beside a tolerance the value keeps the unit
// that the file gives it.
func (a *Axis) Text(x float64) (string, error) {
	v := a.Value
	if v.parts.tolerance == "" {
		return withUnit(number(x), a.Unit), nil
	}
	if a.Unit == v.parts.unit {
		return withUnit(number(x), a.Unit) + " " + v.parts.tolerance, nil
	}
	si, err := quantity.Parse(withUnit(number(x), a.Unit), a.Kind)
	if err != nil {
		return "", err
	}
	own, err := quantity.Convert(si.SI, a.Kind, v.parts.unit)
	if err != nil {
		return "", err
	}
	return withUnit(number(own), v.parts.unit) + " " + v.parts.tolerance, nil
}

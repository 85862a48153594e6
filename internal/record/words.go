package record

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// load is a load with its unit.
func (b *book) load(v float64, c design.Component) string { return b.w.Plain(v, c.Kind()) }

// bareLoad is a load without its unit, which stands in the head of the table.
func (b *book) bareLoad(v float64, c design.Component) string {
	return b.w.Dual(func(w layout.Words) string {
		s := w.Rounded(v, c.Kind(), 7)
		return strings.TrimSuffix(s, " "+c.Kind().Unit(w.Sys))
	})
}

// headed is the name of a load with its unit, as the head of a column.
func (b *book) headed(c design.Component) string {
	return layout.Component(c) + ", " + b.w.LoadUnit(c)
}

// short is the name of a bridge where it heads a column, its number when it is long.
func (b *book) short(bridge int) string {
	const most = 13.0 // mm
	name := b.r.Data.Bridges[bridge]
	if layout.TextWidth(name, drawing.Bold, 7) <= most {
		return name
	}
	return fmt.Sprintf("#%d", bridge+1)
}

// tellShort says which bridges the numbers in the heads of a table stand for.
func (b *book) tellShort(bridges []int) {
	var parts []string
	for _, i := range bridges {
		if s := b.short(i); s != b.r.Data.Bridges[i] {
			parts = append(parts, s+": "+b.r.Data.Bridges[i])
		}
	}
	if parts != nil {
		b.Note(strings.Join(parts, "; ") + ".")
	}
}

// rounded is v, or zero where it is nothing beside its standard uncertainty u.
func rounded(v, u float64) float64 {
	if math.Abs(v) < 1e-3*u {
		return 0
	}
	return v
}

// significant is how many digits a value deserves whose standard uncertainty is u: down
// to the second of the uncertainty, six where there is none.
func significant(v, u float64) int {
	const none, least, most = 6, 2, 10
	switch {
	case v == 0:
		return 1
	case !(u > 0) || math.IsInf(u, 0):
		return none
	}
	return min(max(int(math.Floor(math.Log10(math.Abs(v))))-int(math.Floor(math.Log10(u)))+2, least), most)
}

// number is a bare number of so many digits.
func number(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return layout.Dash
	}
	return layout.Minus(quantity.Format(v, quantity.Number, quantity.SI, digits))
}

// forward is a coefficient of output against load^k in mV/V per unit of the load^k,
// bare.
func (b *book) forward(v float64, c design.Component, k, digits int) string {
	return b.w.Dual(func(w layout.Words) string {
		si, ok := w.SiPerUnit(c)
		if !ok {
			return layout.Dash
		}
		return number(v*1e3*math.Pow(si, float64(k)), digits)
	})
}

// inverse is a coefficient of load against output^k in the unit of the load per
// (mV/V)^k, bare.
func (b *book) inverse(v float64, c design.Component, k, digits int) string {
	return b.w.Dual(func(w layout.Words) string {
		si, ok := w.SiPerUnit(c)
		if !ok {
			return layout.Dash
		}
		return number(v*math.Pow(1e-3, float64(k))/si, digits)
	})
}

// slope is a sensitivity in µV/V per unit of the load, bare.
func (b *book) slope(v float64, c design.Component, digits int) string {
	return b.w.Dual(func(w layout.Words) string {
		si, ok := w.SiPerUnit(c)
		if !ok {
			return layout.Dash
		}
		return number(v*1e6*si, digits)
	})
}

func (b *book) slopeUnit(c design.Component) string {
	return b.w.Dual(func(w layout.Words) string { return "µV/V per " + c.Kind().Unit(w.Sys) })
}

// milli is V/V in mV/V, bare.
func milli(v float64, digits int) string { return number(v*1e3, digits) }

// output is a reading in mV/V, bare.
func (b *book) output(v float64) string { return layout.Fixed(v*1e3, b.decimals()) }

// decimals of an output in mV/V: those that the indicator shows, six where its
// resolution is not stated.
func (b *book) decimals() int {
	n := b.r.Design.Calibration.IndicatorResolution
	if !n.Set || !(n.SI > 0) {
		return 6
	}
	return min(max(int(math.Ceil(-math.Log10(n.SI*1e3)-1e-9)), 3), 8)
}

// power is a unit to the power k, such as (N·m)².
func power(unit string, k int) string {
	if k == 1 {
		return unit
	}
	if strings.ContainsAny(unit, "·/ ") {
		unit = "(" + unit + ")"
	}
	return unit + []string{"⁰", "", "²", "³", "⁴", "⁵"}[k]
}

// between is a range of loads.
func (b *book) between(from, to float64, c design.Component) string {
	return b.load(from, c) + " to " + b.load(to, c)
}

// reasons collects why figures are missing, to be told below a table.
type reasons struct {
	order []string
	whats map[string][]string
}

// add notes a figure that is missing under a name.
func (r *reasons) add(what string, f predict.Figure) {
	if f.OK() {
		return
	}
	if r.whats == nil {
		r.whats = map[string][]string{}
	}
	list, known := r.whats[f.Missing]
	if !known {
		r.order = append(r.order, f.Missing)
	}
	for _, w := range list {
		if w == what {
			return
		}
	}
	r.whats[f.Missing] = append(list, what)
}

// String says them all, "" when nothing is missing.
func (r *reasons) String() string {
	const most = 6
	var parts []string
	for _, why := range r.order {
		list := r.whats[why]
		if len(list) > most {
			list = append(append([]string{}, list[:most]...), fmt.Sprintf("%d more", len(list)-most))
		}
		parts = append(parts, layout.Listed(list)+": "+why)
	}
	if parts == nil {
		return ""
	}
	return layout.Dash + " not given. " + strings.Join(parts, "; ") + "."
}

// percent prints a figure and notes it under a name where it is missing.
func (r *reasons) percent(w layout.Words, what string, f predict.Figure) string {
	r.add(what, f)
	return w.Percent(f)
}

// figure prints a load and notes it under a name where it is missing.
func (r *reasons) figure(w layout.Words, what string, f predict.Figure, k quantity.Kind) string {
	r.add(what, f)
	return w.Figure(f, k)
}

// tell writes the reasons below what they are missing from.
func (b *book) tell(r *reasons) {
	if s := r.String(); s != "" {
		b.Note(s)
	}
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" {
		return s
	}
	first, size := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[size:]
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// abridged is which of n rows are printed when there are more than `most`: the first
// and the last ones.
func abridged(n, most int) (head, tail int) {
	if n <= most {
		return n, n
	}
	return most / 2, n - most/2
}

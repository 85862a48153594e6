package variant

import (
	"bytes"
	"fmt"
	"math/big"
	"slices"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

// Convert rewrites the quantities of a design file in the units of sys: the text
// byte for byte but for them. Every number is given the digits that it takes to
// read back as the same value, tolerance and all, so that the design stays the same
// to the last bit. kept are the places that could not be rewritten, such as a value
// folded over lines; they stand as they were.
func Convert(file string, text []byte, sys quantity.System) (out []byte, kept []design.Place, err error) {
	if _, err := designfile.Read(file, text); err != nil {
		return nil, nil, err
	}
	all, err := designfile.Quantities(file, text)
	if err != nil {
		return nil, nil, err
	}
	at := newIndex(text)
	type edit struct {
		start, end int
		text       string
	}
	var edits []edit
	for _, s := range all {
		v, err := quantity.Parse(s.Text, s.Kind)
		if err != nil {
			continue
		}
		words, ok := inUnits(v, s.Kind, sys)
		if !ok {
			kept = append(kept, s.Place)
			continue
		}
		start, end, why := at.scalar(s.Line, s.Column, s.Text)
		if why != "" {
			kept = append(kept, s.Place)
			continue
		}
		edits = append(edits, edit{start, end, words})
	}
	slices.SortFunc(edits, func(a, b edit) int { return a.start - b.start })
	var b bytes.Buffer
	last := 0
	for _, e := range edits {
		if e.start < last {
			continue
		}
		b.Write(text[last:e.start])
		b.WriteString(e.text)
		last = e.end
	}
	b.Write(text[last:])
	return b.Bytes(), kept, nil
}

// inUnits writes a value with its tolerance in the report unit of sys; ok is false
// when no number of 40 digits reads back the same.
func inUnits(v quantity.Value, kind quantity.Kind, sys quantity.System) (string, bool) {
	unit := kind.Unit(sys)
	if kind.Unit(quantity.SI) == kind.Unit(quantity.US) {
		return v.Text, true // degrees, volts, ohms, percent: alike in both
	}
	number, ok := exact(v.SI, kind, unit)
	if !ok {
		return "", false
	}
	s := withUnit(number, unit)
	if v.Tolerance == 0 {
		return s, true
	}
	if w := split(v.Text); strings.Contains(w.tolerance, "%") {
		share := s + " " + w.tolerance
		if back, err := quantity.Parse(share, kind); err == nil && back.SI == v.SI && back.Tolerance == v.Tolerance && back.Coverage == v.Coverage {
			return share, true
		}
	}
	// The tolerance of a temperature is a difference; that of anything else has the
	// value's own kind.
	difference, offset := kind, unit
	if kind == quantity.Temperature {
		difference = quantity.TemperatureDifference
		offset = difference.Unit(sys)
	}
	tolerance, ok := exact(v.Tolerance, difference, offset)
	if !ok {
		return "", false
	}
	s += " ± " + withUnit(tolerance, offset)
	if v.Coverage > 0 {
		s += fmt.Sprintf(" (k=%v)", v.Coverage)
	}
	back, err := quantity.Parse(s, kind)
	if err != nil || back.SI != v.SI || back.Tolerance != v.Tolerance || back.Coverage != v.Coverage {
		return "", false
	}
	return s, true
}

// exact is the shortest decimal that reads back, with the unit, as the same SI value.
func exact(si float64, kind quantity.Kind, unit string) (string, bool) {
	near, err := quantity.Convert(si, kind, unit)
	if err != nil {
		return "", false
	}
	// First the shortest decimal of the value rounded in the unit, then more digits.
	same := func(s string) bool {
		v, err := quantity.Parse(withUnit(s, unit), kind)
		return err == nil && v.SI == si
	}
	x := new(big.Float).SetPrec(200).SetFloat64(near)
	if s := decimal(strconv.FormatFloat(near, 'e', -1, 64)); same(s) {
		return s, true
	}
	// Between two numbers of that size the one that reads back is found by halving:
	// reading is exact and monotone.
	span := new(big.Float).SetPrec(200).Mul(new(big.Float).Abs(x), big.NewFloat(1e-13))
	low, high := new(big.Float).SetPrec(200).Sub(x, span), new(big.Float).SetPrec(200).Add(x, span)
	for range 120 {
		mid := new(big.Float).SetPrec(200).Add(low, high)
		mid.Quo(mid, big.NewFloat(2))
		v, err := quantity.Parse(withUnit(decimal(mid.Text('e', 39)), unit), kind)
		if err != nil {
			return "", false
		}
		switch {
		case v.SI < si:
			low = mid
		case v.SI > si:
			high = mid
		default:
			for digits := 16; digits <= 40; digits++ {
				if s := decimal(mid.Text('e', digits-1)); same(s) {
					return s, true
				}
			}
			return "", false
		}
	}
	return "", false
}

// decimal writes 1.2300e+02 as 123 and 1.5e-07 as it is.
func decimal(s string) string {
	f, ok := new(big.Float).SetPrec(200).SetString(s)
	if !ok {
		return s
	}
	mantissa, _, _ := strings.Cut(s, "e")
	digits := len(strings.TrimRight(strings.NewReplacer(".", "", "-", "").Replace(mantissa), "0"))
	exponent := f.MantExp(nil)
	if f.Sign() != 0 && (exponent < -14 || exponent > 34) {
		return f.Text('e', max(digits-1, 0))
	}
	t := f.Text('f', 50)
	if strings.Contains(t, ".") {
		// keep as many decimals as the digits ask for
		_, power, _ := strings.Cut(s, "e")
		var p int
		fmt.Sscanf(power, "%d", &p)
		t = f.Text('f', max(digits-1-p, 0))
	}
	return t
}

package quantity

import (
	"fmt"
	"strings"
)

// check returns an error at offset when u is no unit of k.
func (k Kind) check(u unit, offset int) *Error {
	row, ok := k.row()
	if !ok {
		return &Error{offset, k.String(), "this is a fault of the program"}
	}
	switch {
	case k == Number:
		return &Error{offset, fmt.Sprintf("%s is %s, a plain number is wanted", u.text, u.what()), "write a number without a unit, such as " + row.example}
	case !row.holds(u):
		right := k.write()
		if u.dim.times(dimAcceleration, 1) == row.dim {
			right += "; pounds, ounces and kilograms of force are lbf, ozf, kgf"
		}
		return &Error{offset, fmt.Sprintf("%s is %s, %s is wanted", u.text, u.what(), article(row.name)), right}
	case k == TemperatureDifference && u.zero != nil:
		return &Error{offset, fmt.Sprintf("%s is a temperature, a temperature difference is wanted", u.text), "write K or Δ" + strings.Replace(u.text, "deg", "°", 1)}
	case k == Temperature && u.difference:
		return &Error{offset, fmt.Sprintf("%s is a temperature difference, a temperature is wanted", u.text), k.write()}
	}
	return nil
}

// holds tells whether u has the dimension and the kind of ratio of the row.
func (row *kindRow) holds(u unit) bool {
	if u.dim != row.dim {
		return false
	}
	for _, f := range row.families {
		if f == u.family {
			return true
		}
	}
	return false
}

// what names the quantity that u measures, with its article.
func (u unit) what() string {
	if u.difference {
		return article(TemperatureDifference.String())
	}
	for k := Number + 1; k < kindEnd; k++ {
		// Strain accepts % and ppm as well, but they are ratios first; Ratio stands before it.
		if kindRows[k].holds(u) {
			return article(kindRows[k].name)
		}
	}
	if u.dim == dimMass.times(dimLength, 1) {
		return "a mass times a length"
	}
	return "no quantity known here"
}

// write says how a value of this kind is written: "write a length such as
// 60 mm (m, mm, cm, µm, in, ft)".
func (k Kind) write() string {
	row, ok := k.row()
	if !ok {
		return ""
	}
	return row.writeAs(row.example)
}

func (row *kindRow) writeAs(example string) string {
	s := "write " + article(row.name) + " such as " + example
	if len(row.shown) > 0 {
		s += " (" + strings.Join(row.shown, ", ") + ")"
	}
	return s
}

// missingUnit is the error for r[from:to], a number with no unit after it: it
// shows that number with the usual unit.
func missingUnit(r []rune, from, to int, k Kind) *Error {
	row, ok := k.row()
	if !ok {
		return &Error{to, k.String(), "this is a fault of the program"}
	}
	number := strings.TrimSpace(string(r[from:to]))
	example := row.example
	if number != "" && k != Ratio && k != Strain { // a bare 0.005 may mean 0.5 %: no guess
		example = withUnit(number, row.report[SI])
	}
	return &Error{to, "missing unit", row.writeAs(example)}
}

func article(name string) string {
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

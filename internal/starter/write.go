package starter

import (
	"fmt"
	"regexp"
	"strings"

	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

// writer writes keys in the order of the reader's tables.
type writer struct {
	Options
	plan map[string]entry
	b    strings.Builder
}

func (w *writer) printf(format string, args ...any) { fmt.Fprintf(&w.b, format, args...) }

func (w *writer) head() {
	w.printf(`# A design file to begin with. Replace every <…>, brackets included, by your value:
# the example in it is invented and says only how the value is written. Lines
# that begin with #key are optional; take the # away and write your value.
#
#   gridwright pick THIS.yaml -o placed.yaml    places and wires the gauges
#   gridwright check placed.yaml                judges the design
#   gridwright help signs                       shows axes and signs
#
# A value is NUMBER UNIT, or NUMBER UNIT ± TOLERANCE; without ± it counts as exact.

`)
}

// keys writes the keys of a mapping. path is with the names that the file gives.
func (w *writer) keys(m designfile.Mapping, path, indent string) {
	for _, k := range m.Keys {
		p := strings.TrimPrefix(path+"."+k.Name, ".")
		e := w.plan[p]
		switch {
		case e.leave:
			if k.Name == "placements" {
				w.arrangement()
			}
		case e.open:
			w.about(k, indent)
			w.printf("%s%s:\n", indent, k.Name)
			w.inside(k.Form, p, indent+"  ")
		case e.fixed != "":
			w.about(k, indent)
			w.printf("%s%s: %s\n", indent, k.Name, e.fixed)
		case e.ask != "":
			w.about(k, indent)
			w.printf("%s%s: %s\n", indent, k.Name, scalar(designfile.Placeholder{What: e.ask, Example: w.example(k, e)}))
		default:
			w.printf("%s#%s: %s  # %s\n", indent, k.Name, w.example(k, e), k.About)
		}
		if path == "" && (!e.leave || k.Name == "placements") {
			w.printf("\n")
		}
	}
}

// scalar is a placeholder as YAML, in quotes where it is no plain text.
func scalar(p designfile.Placeholder) string {
	if s := p.String(); strings.Contains(s, ": ") || strings.Contains(s, " #") {
		return `"` + s + `"`
	}
	return p.String()
}

func (w *writer) about(k designfile.Key, indent string) { w.printf("%s# %s\n", indent, k.About) }

// inside writes what a key holds: keys, one entry of names, or the keys of the
// shape chosen.
func (w *writer) inside(f designfile.Form, path, indent string) {
	switch f := f.(type) {
	case designfile.Mapping:
		w.keys(f, path, indent)
	case designfile.Names:
		w.printf("%s%s:\n", indent, gaugeName)
		w.inside(f.Of, path+"."+gaugeName, indent+"  ")
	case designfile.OneOf:
		for _, one := range f {
			m, ok := one.(designfile.Mapping)
			shape, _ := m.Find("shape")
			if words, isWords := shape.Form.(designfile.Words); ok && isWords && words.List[0] == w.plan[path+".shape"].fixed {
				w.keys(m, path, indent)
			}
		}
	}
}

// arrangement writes placements and bridges as comments.
func (w *writer) arrangement() {
	w.printf("# Where gauges are bonded and how they are wired: `gridwright pick` chooses.\n")
	lines := arrangement(w.Options)
	if len(lines) > 0 {
		w.printf("# To write it yourself, for one bridge:\n")
	}
	for _, l := range lines {
		if w.Sys == quantity.US {
			l = inUS(l)
		}
		w.printf("#%s\n", l)
	}
}

func (w *writer) example(k designfile.Key, e entry) string {
	text := k.Example
	if e.example != "" {
		text = e.example
	}
	if w.Sys == quantity.US {
		text = inUS(text)
	}
	return text
}

var written = regexp.MustCompile(`(^|[\s\[{(±])([-−]?[0-9]+(?:\.[0-9]+)?(?:e[0-9]+)? ?([^\s\d,;>"\]\}][^\s,;>"\]\}]*))`)

// inUS writes the quantities of an example in the units of a report in the United
// States, to three digits.
func inUS(text string) string {
	return written.ReplaceAllStringFunc(text, func(s string) string {
		m := written.FindStringSubmatch(s)
		before, value, unit := m[1], m[2], m[3]
		for _, k := range []quantity.Kind{quantity.Length, quantity.Moment, quantity.Force, quantity.Stress, quantity.Temperature, quantity.TemperatureDifference,
			quantity.TemperatureGradient, quantity.PerKelvin, quantity.Inertia, quantity.Density, quantity.PowerDensity} {
			if k == quantity.Temperature && unit == "K" {
				continue // a difference
			}
			if v, err := quantity.Parse(value, k); err == nil && k.Unit(quantity.US) != unit {
				return before + trimZeros(quantity.Format(v.SI, k, quantity.US, 3))
			}
		}
		return s
	})
}

// trimZeros drops zeros at the end of the decimals of a number.
func trimZeros(s string) string {
	number, unit, _ := strings.Cut(s, " ")
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	return number + " " + unit
}

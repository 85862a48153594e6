// Package report writes a dossier as text that fits 100 columns, or as JSON. It
// computes nothing: every number comes from the dossier.
package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// JSON writes v indented, with a final newline, leaving < > & as they are.
func JSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// Text writes in one system of units.
type Text struct {
	W   io.Writer
	Sys quantity.System
}

func (t Text) printf(format string, args ...any) { fmt.Fprintf(t.W, format, args...) }

// show prints a computed quantity with four digits; lengths, angles, resistances
// and voltages, which a design states, without the zeros at their end.
func (t Text) show(si float64, k quantity.Kind) string {
	switch k {
	case quantity.Length, quantity.Angle, quantity.Resistance, quantity.Voltage:
		if k == quantity.Angle {
			return trimZeros(fmt.Sprintf("%.2f", si*180/math.Pi)) + "°"
		}
		number, unit, _ := strings.Cut(t.digits(si, k, 5), " ")
		return trimZeros(number) + " " + unit
	}
	return t.digits(si, k, 4)
}

// trimZeros drops the zeros behind a decimal point, and the sign of zero.
func trimZeros(number string) string {
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	if number == "-0" {
		return "0"
	}
	return number
}

func (t Text) digits(si float64, k quantity.Kind, n int) string {
	return quantity.Format(si, k, t.Sys, n)
}

// figure prints a figure, or a dash where there is none.
func (t Text) figure(f predict.Figure, k quantity.Kind) string {
	if !f.OK() {
		return "—"
	}
	return t.show(f.Value, k)
}

// output prints V/V in mV/V; below a picovolt per volt it is zero.
func (t Text) output(v float64) string {
	if math.Abs(v) < 1e-12 {
		v = 0
	}
	return t.show(v, quantity.VoltageRatio)
}

// percent prints a ratio; what rounding leaves is shown as a bound.
func (t Text) percent(f predict.Figure) string {
	switch {
	case !f.OK():
		return "—"
	case f.Value != 0 && math.Abs(f.Value) < 1e-6:
		return "< 0.0001 %"
	}
	return t.digits(f.Value, quantity.Ratio, 3)
}

// per10K prints 1/K as percent for each 10 K.
func (t Text) per10K(f predict.Figure) string {
	f.Value *= 10
	s := t.percent(f)
	if s == "—" {
		return s
	}
	return strings.TrimSuffix(s, " %") + " %/10K"
}

// sensitivity prints V/V per unit of a component.
func (t Text) sensitivity(v float64, c design.Component) string {
	unit := c.Kind().Unit(t.Sys)
	si, err := quantity.Convert(1, c.Kind(), unit) // units in one SI unit
	if err != nil || math.Abs(v) < 1e-300 {
		return "0"
	}
	x := v / si * 1e6
	return fmt.Sprintf("%.4g µV/V per %s", x, unit)
}

// section words, such as "round-tube 60.00 × 44.00 mm".
func (t Text) section(d *design.Design) string {
	shape, _ := section.Find(d.Part.Section.Shape)
	name := strings.ReplaceAll(shape.Name, "-", " ")
	numbers := d.Part.Section.Dimensions
	if len(numbers) < len(shape.Dimensions) {
		return name
	}
	number := func(d section.Dimension, si float64) string {
		if d.Whole {
			return fmt.Sprintf("%s %.0f", d.Symbol, si)
		}
		return d.Symbol + " " + t.show(si, d.Kind)
	}
	var parts []string
	for i, d := range shape.Dimensions {
		if d.Optional && !numbers[i].Set && numbers[i].SI == d.Default {
			continue
		}
		parts = append(parts, number(d, numbers[i].SI))
	}
	numbers = numbers[len(shape.Dimensions):]
	counts := d.Part.Section.Counts
	for i := range shape.Lists {
		l := &shape.Lists[i]
		for k := 0; len(counts) > 0 && (k == 0 || l.Nested); k++ {
			entries, n := counts[0], len(l.Fields)
			what := fmt.Sprintf("%d points of %s", entries, l.Key)
			if !l.Pairs {
				words := make([]string, entries)
				for e := range words {
					fields := make([]string, n)
					for f := range fields {
						fields[f] = number(l.Fields[f], numbers[e*n+f].SI)
					}
					words[e] = strings.Join(fields, " ")
				}
				what = l.Key + " " + strings.Join(words, "; ")
			}
			parts = append(parts, what)
			numbers, counts = numbers[entries*n:], counts[1:]
		}
	}
	return name + " " + strings.Join(parts, ", ")
}

// Part writes title, part, material and section.
func (t Text) Part(d *design.Design, p section.Properties) {
	t.say("", d.Title)
	words := []string{}
	if d.Part.Number != "" {
		words = append(words, "part "+d.Part.Number)
	}
	words = append(words, d.Part.Material.Name, t.section(d))
	t.say("", strings.Join(words, "; "))
	m := d.Part.Material
	t.say("", fmt.Sprintf("E %s, ν %.4g, G %s, α %s", t.show(m.Youngs.SI, quantity.Stress), m.Poisson.SI,
		t.show(m.ModulusOfRigidity(), quantity.Stress), t.show(m.Expansion.SI, quantity.PerKelvin)))
	t.say("", fmt.Sprintf("A %s, Iy %s, Iz %s, J %s", t.show(p.Area, quantity.Area), t.show(p.Iy, quantity.SecondMoment),
		t.show(p.Iz, quantity.SecondMoment), t.show(p.J, quantity.SecondMoment)))
	if p.JError > 0 || p.StressError > 0 {
		t.say("", fmt.Sprintf("Saint-Venant's problems solved by boundary elements: J to %.1g, surface shear to %.1g of its greatest", p.JError, p.StressError))
	}
}

// Findings writes findings, worst first as they come.
func (t Text) Findings(list []check.Finding) {
	for _, f := range list {
		head := string(f.Level) + " " + f.Rule
		if f.Bridge != "" {
			head += ", bridge " + f.Bridge
		}
		t.say("  "+head+": ", f.Message)
		if f.Remedy != "" {
			t.say("      remedy: ", f.Remedy)
		}
	}
}

// Cautions writes what every reader has to know.
func (t Text) Cautions() {
	t.printf("\nCAUTIONS\n")
	for _, c := range dossier.Cautions {
		t.say("  - ", c)
	}
}

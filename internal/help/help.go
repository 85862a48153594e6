// Package help holds the topics that explain what no single command does: signs,
// units, methods, the design file, and what the program was checked against.
// Topics that repeat a table of the program are written from that table.
package help

import (
	"embed"
	"fmt"
	"strings"
	"unicode"

	"gridwright/internal/quantity"
)

//go:embed topics/*.txt
var topics embed.FS

// validation is written by the tests of package published: source, test, number
// of values, largest relative difference, largest part of the tolerance.
//
//go:embed validation.tsv
var validation string

// Topic is one page of help.
type Topic struct {
	Name  string
	Short string
	Text  string
}

// Topics in the order of a list.
func Topics() []Topic {
	return []Topic{
		{"signs", "axes, signs of the loads, where an angle counts from", page("signs")},
		{"file", "every key of the design file", File()},
		{"units", "quantities, tolerances and the units that may be written", Units()},
		{"methods", "how each figure is computed, and what is not modelled", page("methods")},
		{"validation", "published values that the program is tested against", Validation()},
	}
}

func page(name string) string {
	b, err := topics.ReadFile("topics/" + name + ".txt")
	if err != nil {
		panic(err) // embedded: a name that is not there is a bug
	}
	return string(b)
}

// Units lists the units of every kind of quantity.
func Units() string {
	var b strings.Builder
	b.WriteString(`QUANTITIES

NUMBER UNIT, such as 60 mm, 1200 N·m, 205 GPa. With a tolerance NUMBER UNIT ± TOLERANCE
(+- also), the tolerance in the same unit, another of its dimension, or % of the value:
60 mm ± 0.05 mm, 350 Ω ± 0.2 %. ± alone is a limit (rectangular distribution); ± x (k=2)
is an expanded uncertainty (normal). A value without ± is exact.

Write · * . a space or nothing between the parts of a product, / for a quotient, ^2 or ².
µ and μ, Ω and Ω count alike. Gauge factors and Poisson's ratios carry no unit.
Temperatures take °C, °F, K; differences and tolerances of temperature K, Δ°C or Δ°F.
Numbers are decimal, with a point.

`)
	width := 0
	for _, k := range quantity.Kinds() {
		width = max(width, len([]rune(k.String())))
	}
	for _, k := range quantity.Kinds() {
		units := quantity.Units(k)
		if len(units) == 0 {
			continue
		}
		lead := fmt.Sprintf("%-*s  ", width, k.String())
		line := lead
		for i, u := range units {
			if i > 0 {
				u = "  " + u
			}
			if len([]rune(line))+len([]rune(u)) > 96 {
				b.WriteString(line + "\n")
				line, u = strings.Repeat(" ", width+2), strings.TrimSpace(u)
			}
			line += u
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

// Validation lists the published sources with what was compared and how well it
// agrees.
func Validation() string {
	var b strings.Builder
	b.WriteString(`PUBLISHED VALUES

Every figure below was printed outside this program: in a standard, a handbook, a
textbook or a worked example. "values" is how many of them a test compares, "difference"
the largest relative difference it found (the printed digits limit it), "of tolerance" the
largest part of the tolerance that was used, half a unit of the last printed digit where the
test says nothing else. How each value is known, read or from memory, stands in the tests.

`)
	last := ""
	for _, line := range strings.Split(strings.TrimSpace(validation), "\n") {
		cells := strings.Split(line, "\t")
		if len(cells) != 5 {
			continue
		}
		if cells[0] != last {
			for _, l := range fold(cells[0], 96) {
				b.WriteString(l + "\n")
			}
			last = cells[0]
		}
		if cells[2] == "0" {
			fmt.Fprintf(&b, "    %-44s passes, compared as a whole\n", words(cells[1]))
			continue
		}
		fmt.Fprintf(&b, "    %-44s %4s values  difference %6s  of tolerance %s\n", words(cells[1]), cells[2], cells[3], cells[4])
	}
	return b.String()
}

// words makes the name of a test readable: TestCopperLeads is copper leads.
func words(name string) string {
	var b strings.Builder
	runes := []rune(strings.TrimPrefix(name, "Test"))
	for i, r := range runes {
		if i > 0 && unicode.IsUpper(r) && (unicode.IsLower(runes[i-1]) || i+1 < len(runes) && unicode.IsLower(runes[i+1])) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// fold breaks a text at spaces.
func fold(s string, width int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(s) {
		if line != "" && len([]rune(line))+1+len([]rune(w)) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(lines, line)
}

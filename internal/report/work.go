package report

import (
	"strings"
	"unicode/utf8"

	"gridwright/internal/work"
)

const workColumns = 100

// Work writes the calculation behind the figures, step by step.
func (t Text) Work(chapters []work.Chapter) {
	t.printf("\nTHE CALCULATION in SI units; every formula was evaluated from the numbers shown with it\n")
	for _, c := range chapters {
		t.printf("\n%s\n", strings.ToUpper(c.Title))
		for _, s := range c.Steps {
			t.printf("  %s\n", strings.Join(foldedAt(s.What, workColumns-2), "\n  "))
			if s.Formula != "" {
				t.hang("    ", s.Symbol+" = "+s.Formula)
			}
			if with := work.Numbers(s); with != "" {
				t.hang("    ", "with "+with)
			}
			lead := "="
			if s.Formula == "" {
				lead = s.Symbol + " ="
			}
			t.hang("    ", lead+" "+work.InWords(s.Result, s.Unit)+"   ["+s.Source+"]")
		}
	}
}

// hang prints a text with the lines after its first set further in.
func (t Text) hang(indent, s string) {
	for i, line := range foldedAt(s, workColumns-len(indent)-2) {
		if i > 0 {
			line = "  " + line
		}
		t.printf("%s%s\n", indent, line)
	}
}

// foldedAt breaks a text at spaces; one without spaces stays whole, and numbers keep
// their units.
func foldedAt(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Split(s, " ") {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	lines = append(lines, line)
	for i := range lines {
		lines[i] = strings.ReplaceAll(lines[i], "\u00A0", " ")
	}
	return lines
}

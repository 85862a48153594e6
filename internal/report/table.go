package report

import (
	"io"
	"strings"
	"unicode/utf8"

	"gridwright/internal/quantity"
)

// table lays rows out in columns. The letters of align say how: l left, r right,
// the last one holding for all further columns.
type table struct {
	align string
	rows  [][]string
}

func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

// gap between columns.
const gap = "  "

func (t *table) writeTo(w io.Writer, indent string) {
	var width []int
	for _, r := range t.rows {
		for i, c := range r {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	for _, r := range t.rows {
		var b strings.Builder
		b.WriteString(indent)
		for i, c := range r {
			if i > 0 {
				b.WriteString(gap)
			}
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if t.align[min(i, len(t.align)-1)] == 'r' {
				b.WriteString(pad + c)
			} else {
				b.WriteString(c + pad)
			}
		}
		io.WriteString(w, strings.TrimRight(b.String(), " ")+"\n")
	}
}

// Columns is the width that text output keeps to.
const Columns = 100

// say writes a sentence of a finding, a reason or a note, in the report's units:
// such sentences come in SI.
func (t Text) say(first, text string) { wrap(t.W, first, quantity.Sentence(text, t.Sys)) }

// wrap breaks text into lines of at most Columns, the first after `first`, the
// others after as many spaces.
func wrap(w io.Writer, first, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(first))
	line, length := first, utf8.RuneCountInString(first)
	empty := true
	for _, word := range broken(strings.Fields(text), max(Columns-utf8.RuneCountInString(first), 20)) {
		n := utf8.RuneCountInString(word)
		if !empty && length+1+n > Columns {
			io.WriteString(w, line+"\n")
			line, length, empty = indent, len(indent), true
		}
		if !empty {
			line += " "
			length++
		}
		line += word
		length += n
		empty = false
	}
	io.WriteString(w, strings.TrimRight(line, " ")+"\n")
}

// broken breaks words that are longer than a line.
func broken(words []string, most int) []string {
	var out []string
	for _, w := range words {
		if len(w) <= most {
			out = append(out, w)
			continue
		}
		runes := []rune(w)
		for len(runes) > most {
			out, runes = append(out, string(runes[:most])), runes[most:]
		}
		out = append(out, string(runes))
	}
	return out
}

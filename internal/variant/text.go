package variant

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// index finds places in a text by line and column as the reader counts them: lines
// end where YAML 1.1 ends them, columns count characters.
type index struct {
	text  []byte
	lines []int // where each begins
}

func newIndex(text []byte) index {
	at := index{text: text}
	start := 0
	if bytes.HasPrefix(text, []byte("\ufeff")) {
		start = len("\ufeff")
	}
	at.lines = append(at.lines, start)
	for i := start; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		i += n
		switch r {
		case '\r':
			if i < len(text) && text[i] == '\n' {
				continue
			}
			at.lines = append(at.lines, i)
		case '\n', '\u0085', '\u2028', '\u2029':
			at.lines = append(at.lines, i)
		}
	}
	return at
}

// scalar is where the value that was read as want stands, without its quotes; or why
// it cannot be found there.
func (at index) scalar(line, column int, want string) (start, end int, why string) {
	if line > len(at.lines) {
		return 0, 0, "its text was not found"
	}
	i := at.lines[line-1]
	for range column - 1 {
		_, n := utf8.DecodeRune(at.text[i:])
		i += n
	}
	for i < len(at.text) && (at.text[i] == '&' || at.text[i] == '!') { // anchor, tag
		n := bytes.IndexAny(at.text[i:], " \t")
		if n < 0 {
			break
		}
		i += n
		i += len(at.text[i:]) - len(bytes.TrimLeft(at.text[i:], " \t"))
	}
	if i < len(at.text) && (at.text[i] == '"' || at.text[i] == '\'') {
		i++
	}
	i += len(at.text[i:]) - len(bytes.TrimLeft(at.text[i:], " \t"))
	if !bytes.HasPrefix(at.text[i:], []byte(want)) {
		return 0, 0, "its text is folded or has escapes; write it on one line as it is meant"
	}
	return i, i + len(want), ""
}

// written is a quantity's text in its parts.
type written struct {
	number, unit, tolerance string // tolerance from ± on, "" when none is stated
	bare                    bool   // the tolerance has no unit of its own: it has the value's
}

var quantityText = regexp.MustCompile(`^([+\-−]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+\-−]?[0-9]+)?)\s*([^±+(]*?)\s*((?:±|\+).*)?$`)

var bareTolerance = regexp.MustCompile(`^(?:±|\+/?[-−])\s*(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+\-−]?[0-9]+)?\s*(?:\(.*)?$`)

func split(text string) written {
	m := quantityText.FindStringSubmatch(text)
	if m == nil {
		return written{}
	}
	return written{m[1], m[2], m[3], bareTolerance.MatchString(m[3])}
}

// number writes x so that it reads back to the last bit.
func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// withUnit puts a unit behind a number.
func withUnit(number, unit string) string {
	if unit == "" || strings.HasPrefix(unit, "°") && len(unit) == len("°") {
		return number + unit
	}
	return number + " " + unit
}

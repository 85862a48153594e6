package drawing

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

const ellipsis = "…"

// Fit makes a line of text fit a width in mm: at its own size if it can,
// else smaller but not below smallest points, else cut at the end with an
// ellipsis at that smallest size. A width that not even the ellipsis fits
// gives an empty text.
func Fit(text string, font Font, size, smallest, width float64) (fitted string, fittedSize float64) {
	shown, _ := printable(text, font)
	full, _, _ := measure(shown, font, size)
	if full <= width {
		return text, size
	}
	smallest = min(smallest, size)
	// The last factor keeps rounding from making the shrunk text a hair too wide.
	if fitting := size * width / full * (1 - 1e-12); fitting >= smallest {
		return text, fitting
	}
	runes := []rune(shown)
	for n := longest(runes, font, smallest, width-widthOf(ellipsis, font, smallest)); n >= 0; n-- {
		cut := strings.TrimRightFunc(string(runes[:n]), unicode.IsSpace) + ellipsis
		if widthOf(cut, font, smallest) <= width {
			return cut, smallest
		}
	}
	return "", smallest
}

// Wrap breaks a text into lines no wider than width mm: at spaces (not at
// no-break spaces), at line breaks, and inside a word only where the word
// alone is too wide. A line always holds one character at least, however
// narrow the width. An empty line of the text stays an empty line.
func Wrap(text string, font Font, size, width float64) []string {
	var lines []string
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(norm.NFC.String(text))
	for _, paragraph := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		current := ""
		for _, word := range strings.FieldsFunc(paragraph, breaking) {
			joined := word
			if current != "" {
				joined = current + " " + word
			}
			if widthOf(joined, font, size) <= width {
				current = joined
				continue
			}
			if current != "" {
				lines = append(lines, current)
			}
			rest := []rune(word)
			for {
				n := max(longest(rest, font, size, width), 1)
				if n >= len(rest) {
					break
				}
				lines = append(lines, string(rest[:n]))
				rest = rest[n:]
			}
			current = string(rest)
		}
		lines = append(lines, current)
	}
	return lines
}

// breaking tells whether a line may be broken in place of r.
func breaking(r rune) bool {
	switch r {
	case '\u00A0', '\u2007', '\u202F':
		return false
	}
	return unicode.IsSpace(r)
}

// longest is the largest number of leading characters that fit the width.
func longest(runes []rune, font Font, size, width float64) int {
	n, sum := 0, 0.0
	for n < len(runes) {
		if sum += widthOf(string(runes[n]), font, size); sum > width { // fonts without kerning: widths add
			break
		}
		n++
	}
	return n
}

func widthOf(text string, font Font, size float64) float64 {
	w, _, _ := Measure(text, font, size)
	return w
}

package drawing

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// substitutes stand in for characters that the embedded fonts lack and whose
// meaning they keep, so that nothing needs to be reported. Ø for the diameter
// sign is old drawing-office practice.
var substitutes = map[rune]rune{
	'⌀':      'Ø',
	'∅':      'Ø',
	'\u2010': '-', // hyphen
	'\u2011': '-', // no-break hyphen
}

// missingGlyph is what a character is replaced by when the font lacks it.
const missingGlyph = '□'

// printable is the text as it can be printed, composed letters in one piece
// (a decomposed ü is two characters, and no font here has the second alone),
// with a box for every character that cannot be printed, and those characters.
//
// A control character cannot be printed even where a font has a shape for it.
// Above U+FFFF gofpdf panics, and a missing glyph it prints as a box without a
// word; so nothing reaches a back end that has not passed here.
func printable(text string, font Font) (shown string, missing []rune) {
	f := font.face()
	text = norm.NFC.String(text)
	clean := true
	for _, r := range text {
		if r < 0x20 || r > 0x7E {
			clean = false
			break
		}
	}
	if clean {
		return text, nil
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case r <= 0xFFFF && !unicode.IsControl(r) && !unicode.Is(unicode.Cf, r) && f.advance(r) >= 0:
		case substitutes[r] != 0:
			r = substitutes[r]
		case unicode.Is(unicode.Zs, r):
			r = '\u00A0'
		default:
			missing = append(missing, r)
			r = missingGlyph
		}
		b.WriteRune(r)
	}
	return b.String(), missing
}

// sortedRunes is a set of characters as a list.
func sortedRunes(set map[rune]bool) []rune {
	var out []rune
	for r := range set {
		out = append(out, r)
	}
	slices.Sort(out)
	return out
}

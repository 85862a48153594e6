package drawing

import (
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Font is one of the embedded typefaces (the Go fonts).
type Font uint8

const (
	Regular Font = iota
	Bold
	Italic
	Mono
)

const (
	inch        = 25.4 // mm
	pointsPerMM = 72 / inch
	mmPerPoint  = inch / 72
)

// face is a parsed font; lengths are in font units.
type face struct {
	ttf                        []byte
	sfnt                       *sfnt.Font
	em                         float64
	ascent, descent, capHeight float64
	common                     [0x400]int // advance of U+0000…U+03FF, -1 where the font has no glyph
}

// A font is parsed when the first text asks for it.
var faces = [...]func() *face{
	Regular: sync.OnceValue(func() *face { return parse(goregular.TTF) }),
	Bold:    sync.OnceValue(func() *face { return parse(gobold.TTF) }),
	Italic:  sync.OnceValue(func() *face { return parse(goitalic.TTF) }),
	Mono:    sync.OnceValue(func() *face { return parse(gomono.TTF) }),
}

// parse panics on a font it cannot read: the fonts are part of the program.
func parse(ttf []byte) *face {
	s, err := sfnt.Parse(ttf)
	if err != nil {
		panic(fmt.Errorf("embedded font: %w", err))
	}
	f := &face{ttf: ttf, sfnt: s, em: float64(s.UnitsPerEm())}
	m, err := s.Metrics(nil, f.unhinted(), font.HintingNone)
	if err != nil {
		panic(fmt.Errorf("embedded font: %w", err))
	}
	f.ascent, f.descent, f.capHeight = float64(m.Ascent), float64(m.Descent), float64(m.CapHeight)
	for r := range f.common {
		f.common[r] = f.lookup(rune(r))
	}
	return f
}

// unhinted is the size at which sfnt answers in font units.
func (f *face) unhinted() fixed.Int26_6 { return fixed.Int26_6(f.em) }

func (f *face) lookup(r rune) int {
	glyph, err := f.sfnt.GlyphIndex(nil, r)
	if err != nil || glyph == 0 {
		return -1
	}
	advance, err := f.sfnt.GlyphAdvance(nil, glyph, f.unhinted(), font.HintingNone)
	if err != nil {
		return -1
	}
	return int(advance)
}

// advance is the width of r in font units, or -1 where the font has no glyph.
func (f *face) advance(r rune) int {
	if int(r) < len(f.common) && r >= 0 {
		return f.common[r]
	}
	return f.lookup(r)
}

// valid tells whether f is one of the fonts.
func (f Font) valid() bool { return int(f) < len(faces) }

func (f Font) face() *face { return faces[f]() }

// Measure gives the width of a line of text and how far its font reaches
// above and below the baseline, in mm, at the given size in points. The
// heights are the font's, not those of the letters that happen to occur, so
// that lines set by them never touch.
func Measure(text string, font Font, size float64) (width, ascent, descent float64) {
	shown, _ := printable(text, font)
	return measure(shown, font, size)
}

// measure is Measure for a text that is printable already.
func measure(shown string, font Font, size float64) (width, ascent, descent float64) {
	f := font.face()
	sum := 0
	for _, r := range shown {
		sum += f.advance(r)
	}
	scale := size * mmPerPoint / f.em
	return float64(sum) * scale, f.ascent * scale, f.descent * scale
}

// LineHeight is the distance in mm between the baselines of lines that just
// do not touch.
func LineHeight(font Font, size float64) float64 {
	f := font.face()
	return (f.ascent + f.descent) / f.em * size * mmPerPoint
}

// CapHeight is the height in mm of the capital letters of a size in points.
func CapHeight(font Font, size float64) float64 {
	f := font.face()
	return f.capHeight / f.em * size * mmPerPoint
}

// SizeOfCapHeight is the size in points whose capital letters are height mm high.
func SizeOfCapHeight(font Font, height float64) float64 {
	f := font.face()
	return height * pointsPerMM * f.em / f.capHeight
}

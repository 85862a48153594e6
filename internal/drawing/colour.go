package drawing

import (
	"fmt"
	"image/color"
)

// Colour is an opaque colour 0xFFRRGGBB; the zero Colour is no colour at all.
type Colour uint32

// The palette. Its colours differ in lightness as well as in hue, so that
// they stay apart in a black-and-white print; a drawing nevertheless never
// tells two things apart by colour alone, but by dash, label or shape too.
const (
	None   Colour = 0
	Ink    Colour = 0xFF1C1C1C // outlines and text
	Grey   Colour = 0xFF7A7A7A // what is there but not the subject
	Mist   Colour = 0xFFE9ECEF // fill of table heads and of material cut
	Paper  Colour = 0xFFFFFFFF // fill that hides what lies beneath
	Accent Colour = 0xFF1F4E79 // the subject: a dark blue, dark grey in print
	Second Colour = 0xFFC2703D // a second series: a light brick, mid grey in print
)

// RGB is the opaque colour of the given components.
func RGB(r, g, b uint8) Colour {
	return 0xFF000000 | Colour(r)<<16 | Colour(g)<<8 | Colour(b)
}

func (c Colour) components() (r, g, b uint8) {
	return uint8(c >> 16), uint8(c >> 8), uint8(c)
}

// RGBA makes a Colour an image/color.Color, as plots want it.
func (c Colour) RGBA() (r, g, b, a uint32) {
	if c == None {
		return 0, 0, 0, 0
	}
	r8, g8, b8 := c.components()
	return uint32(r8) * 0x101, uint32(g8) * 0x101, uint32(b8) * 0x101, 0xFFFF
}

// hex is the colour as SVG writes it.
func (c Colour) hex() string {
	if c == None {
		return "none"
	}
	return fmt.Sprintf("#%06x", uint32(c&0xFFFFFF))
}

// onPaper turns any colour into an opaque one by laying it on white paper.
// Transparency itself is kept out of the files: it costs print shops trouble
// and gofpdf keeps the last alpha for everything that follows.
func onPaper(c color.Color) Colour {
	if c == nil {
		return Ink
	}
	r, g, b, a := c.RGBA() // premultiplied
	if a == 0 {
		return None
	}
	mix := func(v uint32) uint8 { return uint8((v + 0xFFFF - a) >> 8) }
	return RGB(mix(r), mix(g), mix(b))
}

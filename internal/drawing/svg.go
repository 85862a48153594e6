package drawing

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// svgFont is how SVG names a font: a family that every viewer has. Each text
// states its length, so that it keeps to its box in whatever face the viewer
// takes.
var svgFont = map[Font]string{
	Regular: `font-family="sans-serif"`,
	Bold:    `font-family="sans-serif" font-weight="bold"`,
	Italic:  `font-family="sans-serif" font-style="italic"`,
	Mono:    `font-family="monospace"`,
}

// WriteSVG writes the scene as a file of its own, user unit 1 mm, text as text.
func (s *Scene) WriteSVG(w io.Writer) error {
	if s.err != nil {
		return s.err
	}
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"+
		"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %[1]s %[2]s\" xml:space=\"preserve\" stroke-linejoin=\"round\" fill-rule=\"evenodd\">\n",
		decimal(s.Width), decimal(s.Height))
	if s.Title != "" {
		fmt.Fprintf(out, "<title>%s</title>\n", escaped(metadata(s.Title)))
	}
	for _, it := range s.items {
		it.draw(svgFile{out})
	}
	io.WriteString(out, "</svg>\n")
	return out.Flush()
}

// svgFile is the back end that writes SVG; the writer keeps its first error.
type svgFile struct{ w *bufio.Writer }

func (f svgFile) path(s stroke) {
	f.w.WriteString(`<path d="`)
	s.path.each(func(v verb, q []Point) {
		f.w.WriteByte("MLCZ"[v])
		for i, p := range q {
			if i > 0 {
				f.w.WriteByte(' ')
			}
			f.w.WriteString(decimal(p.X) + " " + decimal(p.Y))
		}
	})
	fmt.Fprintf(f.w, `" fill="%s"`, s.fill.hex())
	if s.pen.draws() {
		fmt.Fprintf(f.w, ` stroke="%s" stroke-width="%s"`, s.pen.Colour.hex(), decimal(s.pen.Width))
		if len(s.pen.Dash) > 0 {
			dashes := make([]string, len(s.pen.Dash))
			for i, d := range s.pen.Dash {
				dashes[i] = decimal(d)
			}
			fmt.Fprintf(f.w, ` stroke-dasharray="%s"`, strings.Join(dashes, " "))
			if s.pen.Phase != 0 {
				fmt.Fprintf(f.w, ` stroke-dashoffset="%s"`, decimal(s.pen.Phase))
			}
		}
	}
	f.w.WriteString("/>\n")
}

func (f svgFile) text(t lettering) {
	x, y := decimal(t.origin.X), decimal(t.origin.Y)
	fmt.Fprintf(f.w, `<text x="%s" y="%s" %s font-size="%s" fill="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"`,
		x, y, svgFont[t.font], decimal(t.size*mmPerPoint), t.colour.hex(), decimal(t.width))
	if t.angle != 0 {
		fmt.Fprintf(f.w, ` transform="rotate(%s %s %s)"`, decimal(-t.angle*180/math.Pi), x, y)
	}
	fmt.Fprintf(f.w, ">%s</text>\n", escaped(t.shown))
}

// decimal writes a number to 0.1 µm, without an exponent and without a
// negative zero.
func decimal(v float64) string {
	v = math.Round(v*1e4) / 1e4
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func escaped(text string) string {
	var b strings.Builder
	// A strings.Builder never fails.
	_ = xml.EscapeText(&b, []byte(text))
	return b.String()
}

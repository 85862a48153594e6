package drawing

import (
	"io"
	"math"
	"slices"
	"strings"
	"time"
	"unicode/utf16"

	"github.com/jung-kurt/gofpdf"
)

// pdfFamily names the embedded fonts inside the file; pdfStyle tells the four
// apart, for gofpdf knows a font by family and style only.
const pdfFamily = "go"

var pdfStyle = map[Font]struct{ family, style string }{
	Regular: {pdfFamily, ""},
	Bold:    {pdfFamily, "B"},
	Italic:  {pdfFamily, "I"},
	Mono:    {pdfFamily + "mono", ""},
}

// pdfPage is the back end that draws on the open page of a PDF file. It
// remembers what the page's state is and sets only what changes.
type pdfPage struct {
	f     *gofpdf.Fpdf
	width float64
	dash  []float64
	phase float64
	draw  Colour
	fill  Colour
	font  Font
	size  float64
	fresh bool // nothing is known of the state
}

func writePDF(w io.Writer, d *Document) error {
	first := d.pages[0]
	f := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: first.Width, Ht: first.Height}})
	// Without these three the file changes from run to run. (gofpdf also
	// orders raster images of equal width at random; a scene has none.)
	date := d.Date
	if date.IsZero() {
		date = time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC)
	}
	f.SetCatalogSort(true)
	f.SetCreationDate(date)
	f.SetModificationDate(date)

	f.SetCompression(!d.plain)
	f.SetAutoPageBreak(false, 0)
	f.SetLineJoinStyle("round")
	f.SetTitle(metadata(d.Title), true)
	f.SetSubject(metadata(d.Subject), true)
	f.SetCreator(metadata(d.Creator), true)
	f.SetKeywords(metadata(d.Keywords), true)

	used := usedFonts(d)
	for _, font := range used {
		// A copy: gofpdf writes padding into the bytes that it is given.
		f.AddUTF8FontFromBytes(pdfStyle[font].family, pdfStyle[font].style, slices.Clone(font.face().ttf))
	}

	// gofpdf places every bookmark by the height of the last page.
	last := d.pages[len(d.pages)-1].Height
	page := &pdfPage{f: f}
	for _, s := range d.pages {
		f.AddPageFormat("P", gofpdf.SizeType{Wd: s.Width, Ht: s.Height})
		page.fresh = true
		for _, b := range s.bookmarks {
			f.Bookmark(outlineTitle(b.title, f, used), b.level, last-s.Height+b.y)
		}
		for _, it := range s.items {
			it.draw(page)
		}
		for _, l := range s.links {
			id := f.AddLink()
			f.SetLink(id, 0, l.page)
			f.Link(l.at.X, l.at.Y, l.width, l.height, id)
		}
	}
	return f.Output(w)
}

// usedFonts lists the fonts that the texts need, so that no other is embedded.
func usedFonts(d *Document) []Font {
	var used []Font
	for _, s := range d.pages {
		for _, it := range s.items {
			if t, ok := it.(lettering); ok && !slices.Contains(used, t.font) {
				used = append(used, t.font)
			}
		}
	}
	slices.Sort(used)
	return used
}

// metadata is text that gofpdf's conversion to UTF-16 survives: it reads past
// the end of broken UTF-8 and garbles what lies above U+FFFF.
func metadata(text string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF || r < 0x20 {
			return missingGlyph
		}
		return r
	}, strings.ToValidUTF8(text, string(missingGlyph)))
}

// outlineTitle is the title of a bookmark as f.Bookmark wants it. gofpdf
// converts it to UTF-16 when the current font is one of ours; with no such
// font chosen it must be UTF-16 already.
func outlineTitle(title string, f *gofpdf.Fpdf, used []Font) string {
	title = metadata(title)
	if len(used) > 0 {
		f.SetFont(pdfStyle[used[0]].family, pdfStyle[used[0]].style, dimensionSize)
		return title
	}
	var b strings.Builder
	b.WriteString("\xFE\xFF")
	for _, u := range utf16.Encode([]rune(title)) {
		b.WriteByte(byte(u >> 8))
		b.WriteByte(byte(u))
	}
	return b.String()
}

func (p *pdfPage) setFill(c Colour) {
	if p.fresh || c != p.fill {
		r, g, b := c.components()
		p.f.SetFillColor(int(r), int(g), int(b))
		// The same for text, or gofpdf wraps every text in a saved state.
		p.f.SetTextColor(int(r), int(g), int(b))
		p.fill = c
	}
}

func (p *pdfPage) setPen(pen Pen) {
	if p.fresh || pen.Width != p.width {
		p.f.SetLineWidth(pen.Width)
		p.width = pen.Width
	}
	if p.fresh || pen.Phase != p.phase || !slices.Equal(pen.Dash, p.dash) {
		p.f.SetDashPattern(pen.Dash, pen.Phase)
		p.dash, p.phase = pen.Dash, pen.Phase
	}
	if p.fresh || pen.Colour != p.draw {
		r, g, b := pen.Colour.components()
		p.f.SetDrawColor(int(r), int(g), int(b))
		p.draw = pen.Colour
	}
}

// start sets the whole state of a new page.
func (p *pdfPage) start() {
	if p.fresh {
		p.setFill(Ink)
		p.setPen(Thin)
		p.font, p.size = Regular, 0
		p.fresh = false
	}
}

func (p *pdfPage) path(s stroke) {
	p.start()
	operator := "S"
	if s.fill != None {
		p.setFill(s.fill)
		operator = "f*"
	}
	if s.pen.draws() {
		p.setPen(s.pen)
		if s.fill != None {
			operator = "B*"
		}
	}
	s.path.each(func(v verb, q []Point) {
		switch v {
		case move:
			p.f.MoveTo(q[0].X, q[0].Y)
		case line:
			p.f.LineTo(q[0].X, q[0].Y)
		case curve:
			p.f.CurveBezierCubicTo(q[0].X, q[0].Y, q[1].X, q[1].Y, q[2].X, q[2].Y)
		case shut:
			p.f.ClosePath()
		}
	})
	p.f.DrawPath(operator)
}

func (p *pdfPage) text(t lettering) {
	p.start()
	p.setFill(t.colour)
	if t.font != p.font || t.size != p.size {
		p.f.SetFont(pdfStyle[t.font].family, pdfStyle[t.font].style, t.size)
		p.font, p.size = t.font, t.size
	}
	if t.angle == 0 {
		p.f.Text(t.origin.X, t.origin.Y, t.shown)
		return
	}
	p.f.TransformBegin()
	p.f.TransformRotate(t.angle*180/math.Pi, t.origin.X, t.origin.Y)
	p.f.Text(t.origin.X, t.origin.Y, t.shown)
	p.f.TransformEnd()
}

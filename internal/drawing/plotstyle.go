package drawing

import (
	"strings"
	"sync"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const (
	tickSize  = 7.0 // points
	labelSize = 7.5
	titleSize = 8.0
)

// typeface is the name of the embedded fonts among gonum/plot's.
const typeface = "Go"

// plotFonts are the embedded fonts as gonum/plot names them.
var plotFonts = map[Font]font.Font{
	Regular: {Typeface: typeface},
	Bold:    {Typeface: typeface, Weight: stdfont.WeightBold},
	Italic:  {Typeface: typeface, Style: stdfont.StyleItalic},
	Mono:    {Typeface: typeface, Variant: "Mono"},
}

// fontOf is the embedded font for what gonum/plot asks for.
func fontOf(f font.Font) Font {
	switch {
	case f.Variant == "Mono":
		return Mono
	case f.Weight >= stdfont.WeightBold:
		return Bold
	case f.Style != stdfont.StyleNormal:
		return Italic
	}
	return Regular
}

// collection is the embedded fonts for gonum/plot's cache.
func collection() font.Collection {
	var all font.Collection
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		all = append(all, font.Face{Font: plotFonts[f], Face: f.face().sfnt})
	}
	return all
}

// registerFonts gives gonum/plot the embedded fonts and makes Regular its
// default, so that labels made by its plotters are measured in it too.
var registerFonts = sync.OnceFunc(func() {
	font.DefaultCache.Add(collection())
	plot.DefaultFont = plotFonts[Regular]
	plot.DefaultTextHandler = linesOfText{text.Plain{Fonts: font.DefaultCache}}
})

// linesOfText sets the lines of a text where text.Style.Rectangle says that
// they are, so that what gonum/plot keeps room for is where the text stands.
// text.Plain sets them one type size apart and higher by the type size less
// the ascent, which reaches out of the plot.
type linesOfText struct{ text.Plain }

// Draw sets the last baseline at pt, lower by the height of the text times
// -YAlign.
func (h linesOfText) Draw(c vg.Canvas, txt string, style text.Style, pt vg.Point) {
	if txt = strings.TrimRight(txt, "\n"); txt == "" {
		return
	}
	face := h.Fonts.Lookup(style.Font, style.Font.Size)
	lines := h.Lines(txt)
	height := style.Height(txt)
	pitch := height / vg.Length(len(lines))
	c.SetColor(style.Color)
	c.Push()
	c.Translate(pt)
	c.Rotate(style.Rotation)
	for i, line := range lines {
		c.FillString(face, vg.Point{
			X: vg.Length(style.XAlign) * face.Width(line),
			Y: vg.Length(style.YAlign)*height + vg.Length(len(lines)-1-i)*pitch,
		}, line)
	}
	c.Pop()
}

// PlotText is the style of a text of a plot.
func PlotText(f Font, size float64) text.Style {
	registerFonts()
	return text.Style{Color: Ink, Font: font.From(plotFonts[f], vg.Points(size)), Handler: plot.DefaultTextHandler}
}

// NewPlot is an empty plot in the style of the office: thin axes, few ticks
// with round values, small type, no background. Widths and offsets in the
// plot are gonum/plot's, in points.
func NewPlot() *plot.Plot {
	registerFonts()
	p := plot.New()
	p.BackgroundColor = nil

	restyle := func(s *text.Style, f Font, size float64) {
		s.Color, s.Font, s.Handler = Ink, font.From(plotFonts[f], vg.Points(size)), plot.DefaultTextHandler
	}
	restyle(&p.Title.TextStyle, Bold, titleSize)
	p.Title.Padding = vg.Points(4)
	restyle(&p.Legend.TextStyle, Regular, tickSize)
	p.Legend.ThumbnailWidth = vg.Points(18)
	p.Legend.Padding = vg.Points(2)
	p.Legend.Top = true
	p.Legend.YPosition = draw.PosCenter
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		restyle(&a.Label.TextStyle, Regular, labelSize)
		restyle(&a.Tick.Label, Regular, tickSize)
		a.LineStyle = draw.LineStyle{Color: Ink, Width: vg.Points(0.5)}
		a.Tick.LineStyle = draw.LineStyle{Color: Ink, Width: vg.Points(0.4)}
		a.Tick.Length = vg.Points(3)
		a.Tick.Marker = Ticks{About: 5}
		a.Label.Padding = vg.Points(2)
		a.Padding = 0
	}
	return p
}

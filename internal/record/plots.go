package record

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"gridwright/internal/calibration"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
)

const (
	mostPoints = 2000 // of a plot
	mostSeries = 8    // with marks of their own
)

// mark is how one series is drawn, and its name.
type mark struct {
	name  string
	glyph int
}

// glyphs of the series, told apart by their shape.
var glyphs = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.RingGlyph{}, draw.TriangleGlyph{}, draw.SquareGlyph{}, draw.CrossGlyph{}, draw.PlusGlyph{}, draw.PyramidGlyph{}, draw.BoxGlyph{}}

// colours go with glyphs, so that a shape has one colour.
var colours = []drawing.Colour{drawing.Accent, drawing.Second, drawing.Accent, drawing.Second, drawing.Ink, drawing.Accent, drawing.Second, drawing.Ink}

// dashed is a line of a plot between two points.
func dashed(p *plot.Plot, xy plotter.XYs, dashes ...vg.Length) {
	line, err := plotter.NewLine(xy)
	if err != nil {
		return
	}
	line.Color, line.Width, line.Dashes = drawing.Grey, vg.Points(0.7), dashes
	p.Add(line)
}

// base is an empty plot with its grid.
func base(across, up string) *plot.Plot {
	p := drawing.NewPlot()
	p.X.Label.Text, p.Y.Label.Text = across, up
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = drawing.Mist, drawing.Mist
	grid.Vertical.Width, grid.Horizontal.Width = vg.Points(0.4), vg.Points(0.4)
	p.Add(grid)
	return p
}

// widened keeps an axis from being drawn over what rounding leaves.
func widened(axis *plot.Axis, least float64) {
	if axis.Max-axis.Min < least {
		mid := (axis.Max + axis.Min) / 2
		axis.Min, axis.Max = mid-least/2, mid+least/2
	}
}

// roomy keeps the first label of one axis off the first of the other, however long it
// is.
func roomy(p *plot.Plot) {
	const edge = 0.06 // of the range
	by := edge * (p.X.Max - p.X.Min)
	p.X.Min, p.X.Max = p.X.Min-by, p.X.Max+by
	p.X.Padding = vg.Points(6)
}

// residualPlot draws the residuals against load, a mark for each series; every is
// how many readings one drawn point stands for.
func (b *book) residualPlot(br *calibration.Bridge) (marks []mark, p *plot.Plot, every int) {
	p = base(b.loadAxis(br), "residual, µV/V")
	every = (len(br.Fitted) + mostPoints - 1) / mostPoints
	type series struct {
		run      int
		stepping calibration.Stepping
	}
	name := func(f *calibration.Fitted) series { return series{f.Run, f.Stepping} }
	count := map[series]bool{}
	for i := range br.Fitted {
		count[name(&br.Fitted[i])] = true
	}
	if len(count) > mostSeries {
		name = func(f *calibration.Fitted) series { return series{0, f.Stepping} }
	}
	var order []series
	points := map[series]plotter.XYs{}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range br.Fitted {
		f := &br.Fitted[i]
		x := b.onAxis(f.Load, br)
		low, high = math.Min(low, x), math.Max(high, x)
		if i%every != 0 && !b.off[f.Line] {
			continue
		}
		s := name(f)
		if _, known := points[s]; !known {
			order = append(order, s)
		}
		points[s] = append(points[s], plotter.XY{X: x, Y: f.Residual * 1e6})
	}
	low, high = math.Min(low, 0), math.Max(high, 0)
	band := func(half float64, dashes ...vg.Length) {
		for _, sign := range []float64{-1, 1} {
			dashed(p, plotter.XYs{{X: low, Y: sign * half}, {X: high, Y: sign * half}}, dashes...)
		}
	}
	dashed(p, plotter.XYs{{X: low}, {X: high}})
	band(br.Forward.ResidualSD*1e6, vg.Points(3), vg.Points(2))
	if e := br.E74; e != nil && e.Factor.OK() && br.Sensitivity.OK() {
		band(math.Abs(e.Factor.Value*br.Sensitivity.Value)*1e6, vg.Points(6), vg.Points(2), vg.Points(1), vg.Points(2))
	}
	for i, s := range order {
		sc, err := plotter.NewScatter(points[s])
		if err != nil {
			continue
		}
		k := i % len(glyphs)
		sc.GlyphStyle = draw.GlyphStyle{Color: colours[k], Radius: vg.Points(1.7), Shape: glyphs[k]}
		p.Add(sc)
		marks = append(marks, mark{seriesName(s.run, s.stepping), k})
	}
	widened(&p.Y, 1e-6)
	roomy(p)
	return marks, p, every
}

func seriesName(run int, s calibration.Stepping) string {
	words := map[calibration.Stepping]string{calibration.Up: "rising", calibration.Down: "falling", calibration.AtZero: "zero"}[s]
	if run == 0 {
		if s == calibration.AtZero {
			return "means of the steps"
		}
		return words
	}
	return fmt.Sprintf("run %d %s", run, words)
}

// legend names the marks of a plot, in as many lines as they need.
func (b *book) legend(marks []mark) {
	const size, pitch, room = 7.0, 3.8, 4.5
	if len(marks) == 0 {
		return
	}
	b.Need(pitch)
	x := layout.Margin
	for _, m := range marks {
		name, points := drawing.Fit(m.name, drawing.Regular, size, size, b.Width()-room)
		width := room + layout.TextWidth(name, drawing.Regular, points) + 4
		if x > layout.Margin && x+width > layout.Margin+b.Width() {
			x, b.Y = layout.Margin, b.Y+pitch
			b.Need(pitch)
		}
		b.glyph(drawing.At(x+1.6, b.Y+pitch/2), m.glyph)
		b.Page.Text(drawing.TextStyle{Size: points, Level: drawing.Middle}, drawing.At(x+room, b.Y+pitch/2), name)
		x += width
	}
	b.Y += pitch
	b.Space(1)
}

// glyph draws on the page what the plots draw for a series.
func (b *book) glyph(at drawing.Point, k int) {
	const r = 0.6 // mm: 1.7 points
	c := colours[k]
	pen := drawing.Pen{Width: 0.18, Colour: c}
	off := func(dx, dy float64) drawing.Point { return drawing.At(at.X+dx, at.Y+dy) }
	const h = 0.866
	switch k {
	case 0:
		b.Page.Circle(drawing.Pen{}, c, at, r)
	case 1:
		b.Page.Circle(pen, drawing.None, at, r)
	case 2:
		b.Page.Polygon(pen, drawing.None, off(0, -r), off(h*r, r/2), off(-h*r, r/2))
	case 3:
		b.Page.Rectangle(pen, drawing.None, off(-r, -r), 2*r, 2*r)
	case 4:
		b.Page.Line(pen, off(-r, -r), off(r, r))
		b.Page.Line(pen, off(-r, r), off(r, -r))
	case 5:
		b.Page.Line(pen, off(-r, 0), off(r, 0))
		b.Page.Line(pen, off(0, -r), off(0, r))
	case 6:
		b.Page.Polygon(drawing.Pen{}, c, off(0, -r), off(h*r, r/2), off(-h*r, r/2))
	case 7:
		b.Page.Rectangle(drawing.Pen{}, c, off(-r, -r), 2*r, 2*r)
	}
}

// byStep draws one figure of the steps as points on a line; nil when no step has it.
func (b *book) byStep(br *calibration.Bridge, up string, least float64, of func(*calibration.Step) (float64, bool)) *plot.Plot {
	var xy plotter.XYs
	for k := range br.Steps {
		if y, ok := of(&br.Steps[k]); ok {
			xy = append(xy, plotter.XY{X: b.onAxis(br.Steps[k].Load, br), Y: y})
		}
	}
	if len(xy) == 0 {
		return nil
	}
	p := base(b.loadAxis(br), up)
	line, points, err := plotter.NewLinePoints(xy)
	if err != nil {
		return nil
	}
	line.Color, line.Width = drawing.Accent, vg.Points(1)
	points.Color, points.Radius, points.Shape = drawing.Accent, vg.Points(1.5), draw.CircleGlyph{}
	p.Add(line, points)
	p.X.Min, p.X.Max = math.Min(p.X.Min, 0), math.Max(p.X.Max, 0)
	widened(&p.Y, least)
	roomy(p)
	return p
}

func (b *book) hysteresisPlot(br *calibration.Bridge) *plot.Plot {
	p := b.byStep(br, "reversibility, %", 1e-6, func(s *calibration.Step) (float64, bool) {
		return 100 * s.Reversibility.Value, s.Reversibility.OK()
	})
	if p != nil {
		p.Y.Min = math.Min(p.Y.Min, 0)
	}
	return p
}

func (b *book) interpolationPlot(br *calibration.Bridge) *plot.Plot {
	p := b.byStep(br, "interpolation error, %", 1e-6, func(s *calibration.Step) (float64, bool) {
		return 100 * s.Interpolation.Value, s.Interpolation.OK()
	})
	if p != nil {
		p.Y.Min, p.Y.Max = math.Min(p.Y.Min, 0), math.Max(p.Y.Max, 0)
	}
	return p
}

// uncertaintyPlot is W of each step, and dashed the bound in use.
func (b *book) uncertaintyPlot(br *calibration.Bridge) *plot.Plot {
	p := b.byStep(br, "expanded uncertainty W, %", 1e-6, func(s *calibration.Step) (float64, bool) {
		return 100 * s.Uncertainty.Expanded.Value, s.Uncertainty.Expanded.OK()
	})
	if p == nil {
		return nil
	}
	for _, sign := range []float64{-1, 1} {
		least, most := math.Inf(1), 0.0
		for k := range br.Steps {
			if f := br.Steps[k].Load * sign; f > 0 {
				least, most = math.Min(least, f), math.Max(most, f)
			}
		}
		if most == 0 {
			continue
		}
		var xy plotter.XYs
		const n = 60
		for i := range n + 1 {
			f := least * math.Pow(most/least, float64(i)/n)
			xy = append(xy, plotter.XY{X: b.onAxis(sign*f, br), Y: 200 * br.InUse.At(f) / f})
		}
		dashed(p, xy, vg.Points(3), vg.Points(2))
	}
	p.Y.Min = math.Min(p.Y.Min, 0)
	return p
}

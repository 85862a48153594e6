package sheet

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

const curveHeight = 50.0 // mm

// curves is the chapter of zero and span against temperature, and of output
// against load.
func (b *book) curves() {
	d, r := b.d.Design, b.d.Result
	if len(r.Bridges) == 0 {
		b.Heading("Curves", 8)
		b.Paragraph("No curve: the design has no bridge.", 8, drawing.Regular)
		return
	}
	b.Chapter("5  Curves")
	b.Mark("curves")
	if d.Temperature.HasRange {
		with := "uniform temperature"
		if d.Temperature.Across.Set || d.Temperature.Along.Set {
			with = "the stated gradient included"
		}
		b.Paragraph("Zero: output at no load, counted from every grid at the reference temperature, "+with+
			"; grids of one lot taken alike. Span: sensitivity over that at the reference temperature, uniform temperature. "+b.bandWords()+b.standing(), 8, drawing.Regular)
	} else {
		b.Paragraph("No curve against temperature: the design gives no temperature range. "+b.standing(), 8, drawing.Regular)
	}
	b.Paragraph("Departure: of the output from the straight line through zero and rated output, in % of rated output; nominal, the bridge circuit alone. "+
		"Hysteresis and creep of the part and the bond are not predicted.", 8, drawing.Regular)
	for i := range r.Bridges {
		br := &r.Bridges[i]
		b.Heading("Bridge "+br.Name+", "+layout.Component(br.Measures), curveHeight+2)
		if d.Temperature.HasRange {
			b.Pair(b.zeroCurve(i), b.spanCurve(i), curveHeight, "Span "+layout.Dash+": no output for the measured load.")
			b.Need(curveHeight + 4)
		}
		if len(br.Line) == 0 {
			b.Paragraph("Output "+layout.Dash+": no output for the measured load.", 8, drawing.Regular)
			continue
		}
		b.Pair(b.loadCurve(i), b.departureCurve(i), curveHeight, "")
	}
}

// line is the line of bridge i against the load in % of rated, y of each point.
func (b *book) line(i int, y func(predict.LoadPoint) float64) plotter.XYs {
	br := &b.d.Result.Bridges[i]
	var xy plotter.XYs
	for _, p := range br.Line {
		xy = append(xy, plotter.XY{X: 100 * p.Load / b.d.Result.Model.Rated[br.Target], Y: y(p)})
	}
	return xy
}

func (b *book) loadCurve(i int) *plot.Plot {
	xy := b.line(i, func(p predict.LoadPoint) float64 { return p.Output * 1e3 })
	return b.curve(xy, nil, b.loadAxis(i), "output, mV/V", 1e-9)
}

func (b *book) departureCurve(i int) *plot.Plot {
	xy := b.line(i, func(p predict.LoadPoint) float64 {
		if math.Abs(p.Departure) < 1e-9 { // what rounding leaves
			return 0
		}
		return 100 * p.Departure
	})
	return b.curve(xy, nil, b.loadAxis(i), "departure, % of rated", 1e-4)
}

func (b *book) loadAxis(i int) string {
	br := &b.d.Result.Bridges[i]
	return layout.Component(br.Measures) + ", % of " + b.drawn().Rounded(b.d.Result.Model.Rated[br.Target], br.Measures.Kind(), 5)
}

func (b *book) temperatureAxis() string {
	return "temperature, " + quantity.Temperature.Unit(b.w.Sys)
}

func (b *book) temperature(kelvin float64) float64 {
	k := quantity.Temperature
	t, err := quantity.Convert(kelvin, k, k.Unit(b.w.Sys))
	if err != nil {
		return math.NaN()
	}
	return t
}

// bands are the 95 % bands of bridge i's curves, nil when they are not known.
func (b *book) bands(i int) []uncertainty.Band {
	if b.d.Uncertainty == nil {
		return nil
	}
	return b.d.Uncertainty.Bridges[i].Bands
}

func (b *book) zeroCurve(i int) *plot.Plot {
	var xy plotter.XYs
	for _, p := range b.d.Result.Bridges[i].Temperature.Rows {
		v := p.Zero * 1e6
		if math.Abs(v) < 1e-6 {
			v = 0
		}
		xy = append(xy, plotter.XY{X: b.temperature(p.Kelvin), Y: v})
	}
	var half []float64
	for _, band := range b.bands(i) {
		half = append(half, band.Zero*1e6)
	}
	return b.curve(xy, half, b.temperatureAxis(), "zero, µV/V", 0.01)
}

func (b *book) spanCurve(i int) *plot.Plot {
	var xy plotter.XYs
	for _, p := range b.d.Result.Bridges[i].Temperature.Rows {
		if !p.Span.OK() {
			return nil
		}
		xy = append(xy, plotter.XY{X: b.temperature(p.Kelvin), Y: p.Span.Value})
	}
	var half []float64
	for _, band := range b.bands(i) {
		half = append(half, band.Span)
	}
	return b.curve(xy, half, b.temperatureAxis(), "span ratio S(T)/S(T0)", 1e-5)
}

// curve is one line with a point where it is computed, between the dashed limits
// of its 95 % band where the half-widths are known. A range of values below
// `least` is widened to it: what rounding leaves is a straight line.
func (b *book) curve(xy plotter.XYs, half []float64, across, up string, least float64) *plot.Plot {
	p := drawing.NewPlot()
	p.X.Label.Text, p.Y.Label.Text = across, up
	line, points, err := plotter.NewLinePoints(xy)
	if err != nil {
		return p // a plot without data: the rows are finite, or the dossier would not stand
	}
	line.Color, line.Width = drawing.Accent, vg.Points(1.1)
	points.Color, points.Radius = drawing.Accent, vg.Points(1.4)
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = drawing.Mist, drawing.Mist
	grid.Vertical.Width, grid.Horizontal.Width = vg.Points(0.4), vg.Points(0.4)
	p.Add(grid)
	for _, sign := range []float64{-1, 1} {
		if len(half) != len(xy) {
			break
		}
		limit := make(plotter.XYs, len(xy))
		for i := range xy {
			limit[i] = plotter.XY{X: xy[i].X, Y: xy[i].Y + sign*half[i]}
		}
		edge, err := plotter.NewLine(limit)
		if err != nil {
			break
		}
		edge.Color, edge.Width, edge.Dashes = drawing.Grey, vg.Points(0.7), []vg.Length{vg.Points(3), vg.Points(2)}
		p.Add(edge)
	}
	p.Add(line, points)
	if p.Y.Max-p.Y.Min < least {
		mid := (p.Y.Max + p.Y.Min) / 2
		p.Y.Min, p.Y.Max = mid-least/2, mid+least/2
	}
	return p
}

// bandWords says what the dashed lines are.
func (b *book) bandWords() string {
	if b.d.Uncertainty == nil {
		return ""
	}
	return "Dashed: the 95 % band under the stated tolerances, first order. "
}

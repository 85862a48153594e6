package sheet

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"gridwright/internal/drawing"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

const curveHeight = 50.0 // mm

// curves is the chapter of zero and span against temperature.
func (b *book) curves() {
	d, r := b.d.Design, b.d.Result
	if !d.Temperature.HasRange || len(r.Bridges) == 0 {
		b.heading("Zero and span against temperature", 8)
		b.paragraph("No curve: the design gives no temperature range or no bridge.", 8, drawing.Regular)
		return
	}
	b.chapter("5  Curves")
	with := "uniform temperature"
	if d.Temperature.Across.Set || d.Temperature.Along.Set {
		with = "the stated gradient included"
	}
	b.paragraph("Zero: output at no load, counted from every grid at the reference temperature, "+with+
		"; grids of one lot taken alike. Span: sensitivity over that at the reference temperature, uniform temperature. "+b.standing(), 8, drawing.Regular)
	for i := range r.Bridges {
		br := &r.Bridges[i]
		b.heading("Bridge "+br.Name+", "+component(br.Measures), curveHeight+2)
		b.space(1.5)
		b.page.Plot(b.zeroCurve(br), margin, b.y, b.width()/2-3, curveHeight)
		right := margin + b.width()/2 + 3
		if p := b.spanCurve(br); p != nil {
			b.page.Plot(p, right, b.y, b.width()/2-3, curveHeight)
		} else {
			b.page.Text(drawing.TextStyle{Size: 8}, drawing.At(right, b.y+curveHeight/2), "Span "+dash+": no output for the measured load.")
		}
		b.y += curveHeight
		b.space(2)
	}
}

func (b *book) temperature(kelvin float64) float64 {
	k := quantity.Temperature
	t, err := quantity.Convert(kelvin, k, k.Unit(b.w.sys))
	if err != nil {
		return math.NaN()
	}
	return t
}

func (b *book) zeroCurve(br *predict.Bridge) *plot.Plot {
	var xy plotter.XYs
	for _, p := range br.Temperature.Rows {
		v := p.Zero * 1e6
		if math.Abs(v) < 1e-6 {
			v = 0
		}
		xy = append(xy, plotter.XY{X: b.temperature(p.Kelvin), Y: v})
	}
	return b.curve(xy, "zero, µV/V", 0.01)
}

func (b *book) spanCurve(br *predict.Bridge) *plot.Plot {
	var xy plotter.XYs
	for _, p := range br.Temperature.Rows {
		if !p.Span.OK() {
			return nil
		}
		xy = append(xy, plotter.XY{X: b.temperature(p.Kelvin), Y: p.Span.Value})
	}
	return b.curve(xy, "span ratio S(T)/S(T0)", 1e-5)
}

// curve is one line with a point where it is computed. A range of values below
// `least` is widened to it: what rounding leaves is a straight line.
func (b *book) curve(xy plotter.XYs, label string, least float64) *plot.Plot {
	p := drawing.NewPlot()
	p.X.Label.Text = "temperature, " + quantity.Temperature.Unit(b.w.sys)
	p.Y.Label.Text = label
	line, points, err := plotter.NewLinePoints(xy)
	if err != nil {
		return p // a plot without data: the rows are finite, or the dossier would not stand
	}
	line.Color, line.Width = drawing.Accent, vg.Points(1.1)
	points.Color, points.Radius = drawing.Accent, vg.Points(1.4)
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = drawing.Mist, drawing.Mist
	grid.Vertical.Width, grid.Horizontal.Width = vg.Points(0.4), vg.Points(0.4)
	p.Add(grid, line, points)
	if p.Y.Max-p.Y.Min < least {
		mid := (p.Y.Max + p.Y.Min) / 2
		p.Y.Min, p.Y.Max = mid-least/2, mid+least/2
	}
	return p
}

package variant

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"gridwright/internal/drawing"
)

// Panel is one plot of a figure.
type Panel struct {
	Across, Up string // names of the axes, with units
	Lines      []Line
	Points     bool         // points instead of lines
	Limit      *float64     // a level that a requirement sets
	Feasible   [][2]float64 // ranges of x that meet everything
	Chosen     *float64     // x that was chosen
}

// Line is one curve; NaN in Y is a gap.
type Line struct {
	Name string // "" when there is only one
	X, Y []float64
}

const (
	panelWidth, panelHeight = 180.0, 75.0 // mm
	edge                    = 10.0
)

// colours of the lines of one panel; dashes tell them apart without colour.
var colours = []drawing.Colour{drawing.Accent, drawing.Ink, drawing.Grey}

var dashes = [][]vg.Length{nil, {vg.Points(5), vg.Points(2)}, {vg.Points(1.5), vg.Points(1.5)}}

// PlotName says whether a plot can be written under a name.
func PlotName(name string) error {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".svg", ".pdf":
		return nil
	}
	return fmt.Errorf("%s ends neither in .svg nor in .pdf; name a file that does", name)
}

// Plot draws panels below each other and writes them as SVG or, by the ending of the
// name, as PDF.
func Plot(name, title string, panels []Panel) ([]byte, error) {
	if err := PlotName(name); err != nil {
		return nil, err
	}
	s := drawing.NewScene(panelWidth+2*edge, 2*edge+8+float64(len(panels))*(panelHeight+4))
	s.Title = title
	s.Text(drawing.TextStyle{Font: drawing.Bold, Size: 9}, drawing.At(edge, edge+3), clipped(title))
	for i, p := range panels {
		drawn, err := p.plot()
		if err != nil {
			return nil, err
		}
		s.Plot(drawn, edge, edge+8+float64(i)*(panelHeight+4), panelWidth, panelHeight)
	}
	var b bytes.Buffer
	if strings.EqualFold(filepath.Ext(name), ".svg") {
		err := s.WriteSVG(&b)
		return b.Bytes(), err
	}
	doc := drawing.Document{Title: title, Creator: "gridwright"}
	doc.Add(s)
	err := doc.WritePDF(&b)
	return b.Bytes(), err
}

// clipped keeps a title to the width of the page.
func clipped(s string) string {
	if r := []rune(s); len(r) > 100 {
		return string(r[:99]) + "…"
	}
	return s
}

func (p Panel) plot() (*plot.Plot, error) {
	out := drawing.NewPlot()
	out.X.Label.Text, out.Y.Label.Text = p.Across, p.Up
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = drawing.Mist, drawing.Mist
	grid.Vertical.Width, grid.Horizontal.Width = vg.Points(0.4), vg.Points(0.4)
	out.Add(grid)
	any := false
	for i, l := range p.Lines {
		named := false
		for _, part := range l.parts() {
			any = true
			if p.Points || len(part) == 1 {
				dots, err := plotter.NewScatter(part)
				if err != nil {
					return nil, err
				}
				dots.Color, dots.Radius = colours[i%len(colours)], vg.Points(1.5)
				out.Add(dots)
				continue
			}
			line, err := plotter.NewLine(part)
			if err != nil {
				return nil, err
			}
			line.Color, line.Width, line.Dashes = colours[i%len(colours)], vg.Points(1.1), dashes[i/len(colours)%len(dashes)]
			out.Add(line)
			if l.Name != "" && !named {
				out.Legend.Add(l.Name, line)
				named = true
			}
		}
	}
	if !any {
		return out, nil
	}
	if p.Limit != nil {
		out.Y.Min, out.Y.Max = math.Min(out.Y.Min, *p.Limit), math.Max(out.Y.Max, *p.Limit)
	}
	level(out)
	if n := len(p.Lines); n > 1 { // room for the legend
		out.Y.Max += 0.07 * float64(n) * (out.Y.Max - out.Y.Min)
	}
	if p.Limit != nil {
		if err := across(out, *p.Limit); err != nil {
			return nil, err
		}
	}
	for _, f := range p.Feasible {
		bar, err := plotter.NewLine(plotter.XYs{{X: f[0], Y: out.Y.Min}, {X: f[1], Y: out.Y.Min}})
		if err != nil {
			return nil, err
		}
		bar.Color, bar.Width = drawing.Accent, vg.Points(4)
		out.Add(bar)
	}
	if p.Chosen != nil {
		mark, err := plotter.NewLine(plotter.XYs{{X: *p.Chosen, Y: out.Y.Min}, {X: *p.Chosen, Y: out.Y.Max}})
		if err != nil {
			return nil, err
		}
		mark.Color, mark.Width, mark.Dashes = drawing.Grey, vg.Points(0.7), dashes[1]
		out.Add(mark)
	}
	return out, nil
}

// across draws a dashed line at a level.
func across(out *plot.Plot, y float64) error {
	line, err := plotter.NewLine(plotter.XYs{{X: out.X.Min, Y: y}, {X: out.X.Max, Y: y}})
	if err != nil {
		return err
	}
	line.Color, line.Width, line.Dashes = drawing.Ink, vg.Points(0.7), dashes[1]
	out.Add(line)
	return nil
}

// level widens a range that is nothing but rounding, so that it shows as a straight
// line.
func level(out *plot.Plot) {
	for _, a := range []*plot.Axis{&out.X, &out.Y} {
		size := math.Max(math.Abs(a.Min), math.Abs(a.Max))
		if least := math.Max(1e-6*size, 1e-12); a.Max-a.Min < least {
			mid := (a.Max + a.Min) / 2
			half := math.Max(0.01*size, 1e-9)
			a.Min, a.Max = mid-half, mid+half
		}
	}
}

// parts are the pieces of a line between its gaps.
func (l Line) parts() []plotter.XYs {
	var out []plotter.XYs
	var part plotter.XYs
	end := func() {
		if len(part) > 0 {
			out, part = append(out, part), nil
		}
	}
	for i, y := range l.Y {
		if math.IsNaN(y) || math.IsInf(y, 0) {
			end()
			continue
		}
		part = append(part, plotter.XY{X: l.X[i], Y: y})
	}
	end()
	return out
}

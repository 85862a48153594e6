package cli

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/variant"
)

// sweepCurve collects what is plotted: one number a variant and figure.
type sweepCurve struct {
	s     *variant.Sweep
	sys   quantity.System
	x     []float64
	y     [][]float64 // figure by figure
	scale []float64
}

// sweepPlot begins a plot; nil when none is wanted.
func (e *env) sweepPlot(f *sweepFlags, s *variant.Sweep, inputs []string) (*sweepCurve, error) {
	if f.plot == "" {
		return nil, nil
	}
	if err := variant.PlotName(f.plot); err != nil {
		return nil, inputf("--plot: %v", err)
	}
	if len(f.figures) == 0 {
		var keys []string
		for _, g := range variant.Figures(s.Base.Design) {
			keys = append(keys, g.Key)
		}
		return nil, inputf("--plot wants to know what to plot; write --figure KEY, one or more of: %s", strings.Join(keys, ", "))
	}
	if len(s.Figures) > mostPanels {
		return nil, inputf("--plot draws at most %d figures; name fewer with --figure", mostPanels)
	}
	if f.out != "" && f.out != "-" && filepath.Clean(f.out) == filepath.Clean(f.plot) {
		return nil, inputf("-o and --plot both name %s; write to two files", f.plot)
	}
	if err := e.refuse(f.plot, inputs); err != nil {
		return nil, err
	}
	c := &sweepCurve{s: s, y: make([][]float64, len(s.Figures))}
	if e.units == "us" {
		c.sys = quantity.US
	}
	for _, g := range s.Figures {
		c.scale = append(c.scale, g.Scale(c.sys))
	}
	return c, nil
}

const mostPanels = 6

func (c *sweepCurve) add(_ int, r variant.Row) {
	if c == nil {
		return
	}
	c.x = append(c.x, r.At[0])
	for k := range c.y {
		y := math.NaN()
		if r.Err == nil {
			if f := r.Figures[k]; f.OK() {
				y = predict.Some(f.Value * c.scale[k]).Value
			}
		}
		c.y[k] = append(c.y[k], y)
	}
}

// mostLines of a panel can be told apart.
const mostLines = 6

// panels are the plots of the figures against the first value, with a line for each of
// some of the second's.
func (c *sweepCurve) panels() []variant.Panel {
	first := c.s.Axes[0]
	var out []variant.Panel
	for k, g := range c.s.Figures {
		up := g.Key
		if unit := g.Unit(c.sys); unit != "" {
			up += ", " + unit
		}
		p := variant.Panel{Across: first.Header(), Up: up, Points: c.s.List != nil}
		if c.s.List != nil || len(c.s.Axes) == 1 {
			p.Lines = []variant.Line{{X: c.x, Y: c.y[k]}}
			out = append(out, p)
			continue
		}
		second := c.s.Axes[1]
		shown := min(second.Count, mostLines)
		for n := range shown {
			j := 0
			if shown > 1 {
				j = n * (second.Count - 1) / (shown - 1)
			}
			l := variant.Line{Name: strings.TrimSpace(fmt.Sprintf("%.5g %s", second.At(j), second.Unit))}
			if n == 0 {
				l.Name = second.Value.Path + " " + l.Name
			}
			for i := range first.Count {
				l.X, l.Y = append(l.X, first.At(i)), append(l.Y, c.y[k][i*second.Count+j])
			}
			p.Lines = append(p.Lines, l)
		}
		out = append(out, p)
	}
	return out
}

package boundary

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"

	"gridwright/internal/drawing"
)

var update = flag.Bool("update", false, "draw docs/boundary-convergence.svg")

// series is J and the greatest stress over Gθ' of a rectangle h × t, h ≥ t
// (Timoshenko and Goodier, Theory of Elasticity, art. 109, from memory; the series is
// checked against the printed table in package published):
//
//	J = ht³/3·[1 − (192/π⁵n) Σ tanh(kπn/2)/k⁵],  τ = t·[1 − (8/π²) Σ 1/(k² cosh(kπn/2))]
//
// k odd, n = h/t.
func series(h, t float64) (j, stress float64) {
	n := h / t
	s, c := 0.0, 0.0
	for k := 1.0; k < 400; k += 2 {
		s += math.Tanh(k*math.Pi*n/2) / math.Pow(k, 5)
		c += 1 / (k * k * math.Cosh(min(k*math.Pi*n/2, 700)))
	}
	return h * t * t * t / 3 * (1 - 192/math.Pow(math.Pi, 5)/n*s), t * (1 - 8/(math.Pi*math.Pi)*c)
}

// J and mid-face stress of rectangles from 1:1 to 1:20 against the series.
func TestRectangleSeries(t *testing.T) {
	for _, n := range []float64{1, 1.25, 1.5, 2, 3, 4, 5, 8, 10, 20} {
		s := solution(t, Outline{Outer: RoundedRectangle(nil, n, 1, 0)}, Accuracy{J: 1e-7, Stress: 1e-6})
		j, stress := series(n, 1)
		near(t, fmt.Sprintf("J at h/t %g", n), s.J, j, 1e-6)
		// edge 1 is the short face +y, half its length below its middle
		near(t, fmt.Sprintf("stress at mid-face at h/t %g", n), s.Shear(0, 1+n/2)[Torsion], stress, 1e-6)
		if s.JError > 1e-7 || s.StressError > 1e-6 {
			t.Errorf("h/t %g: errors of %g and %g are stated", n, s.JError, s.StressError)
		}
	}
}

type convergence struct {
	name     string
	unknowns []float64
	err      []float64
	rate     float64 // error falls as unknowns to the power −rate
}

func converge(t *testing.T, name string, o Outline, from, to int, measure func(*Solution) float64, exact float64) convergence {
	c := convergence{name: name}
	var x, y []float64
	for p := from; p <= to; p++ {
		s := solution(t, o, Accuracy{Points: p, Reach: 3})
		e := math.Abs(measure(s)/exact - 1)
		c.unknowns, c.err = append(c.unknowns, float64(s.Unknowns)), append(c.err, max(e, 1e-15))
		x, y = append(x, math.Log(float64(s.Unknowns))), append(y, math.Log(max(e, 1e-15)))
	}
	_, slope := stat.LinearRegression(x, y, nil, false)
	c.rate = -slope
	return c
}

// The error against the number of unknowns, as points are added to the same panels:
// for the rectangle 2:1 against its series, for an L with a re-entrant corner against
// a solution of many more unknowns.
func TestConvergence(t *testing.T) {
	l := Outline{Outer: Polygon([]complex128{0, 2, 2 + 1i, 1 + 1i, 1 + 2i, 2i})}
	fine := solution(t, l, Accuracy{Points: 30, Reach: 0.8})
	// the outer face z = 0, 1.5 from the corner at the origin: away from all corners
	beside := func(s *Solution) float64 { return s.Shear(0, 1.5)[Torsion] }
	j, stress := series(2, 1)
	rectangle := Outline{Outer: RoundedRectangle(nil, 2, 1, 0)}
	all := []convergence{
		converge(t, "rectangle 2:1, J", rectangle, 4, 14, func(s *Solution) float64 { return s.J }, j),
		converge(t, "rectangle 2:1, stress at mid-face", rectangle, 4, 14, func(s *Solution) float64 { return s.Shear(0, 2)[Torsion] }, stress),
		converge(t, "L section, J", l, 4, 14, func(s *Solution) float64 { return s.J }, fine.J),
		converge(t, "L section, stress on a face", l, 4, 14, beside, beside(fine)),
	}
	for _, c := range all {
		t.Logf("%s: unknowns to the power −%.1f; %.0f unknowns %.1g, %.0f unknowns %.1g", c.name, c.rate, c.unknowns[0], c.err[0], c.unknowns[len(c.unknowns)-1], c.err[len(c.err)-1])
		rate, least := 12.0, 1e-9
		if strings.Contains(c.name, "stress") {
			rate, least = 7, 5e-6
		}
		if c.rate < rate {
			t.Errorf("%s converges only as unknowns to the power −%.2f", c.name, c.rate)
		}
		if last := c.err[len(c.err)-1]; last > least {
			t.Errorf("%s: error of %g with %.0f unknowns", c.name, last, c.unknowns[len(c.unknowns)-1])
		}
	}
	if *update {
		draw(t, all)
	}
}

func draw(t *testing.T, all []convergence) {
	p := drawing.NewPlot()
	p.Title.Text = "torsion: error against unknowns, as points are added to the same panels"
	p.X.Label.Text, p.Y.Label.Text = "unknowns on the whole outline", "relative error"
	p.X.Scale, p.Y.Scale = plot.LogScale{}, plot.LogScale{}
	p.X.Tick.Marker = plot.ConstantTicks{{Value: 30, Label: "30"}, {Value: 50, Label: "50"}, {Value: 70, Label: "70"}, {Value: 100, Label: "100"}, {Value: 150, Label: "150"}, {Value: 200, Label: "200"}}
	var powers plot.ConstantTicks
	for k := 0; k <= 13; k++ {
		tick := plot.Tick{Value: math.Pow(10, -float64(k))}
		if k%2 == 0 {
			tick.Label = fmt.Sprintf("1e-%d", k)
		}
		powers = append(powers, tick)
	}
	powers[0].Label = "1"
	p.Y.Tick.Marker = powers
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 28, 200, 1e-13, 1
	p.Legend.Top = true
	for i, c := range all {
		var xy plotter.XYs
		for k := range c.unknowns {
			xy = append(xy, plotter.XY{X: c.unknowns[k], Y: max(c.err[k], 1e-13)})
		}
		line, marks, err := plotter.NewLinePoints(xy)
		if err != nil {
			t.Fatal(err)
		}
		if i%2 == 1 {
			line.Dashes = []vg.Length{vg.Points(3), vg.Points(2)}
		}
		if i >= 2 {
			marks.Shape = vgdraw.CircleGlyph{} // filled: the L
		}
		marks.Radius = vg.Points(2)
		p.Add(line, marks)
		p.Legend.Add(fmt.Sprintf("%s: power −%.1f", c.name, c.rate), line, marks)
	}
	s := drawing.NewScene(150, 100)
	s.Plot(p, 5, 5, 140, 90)
	if err := s.Err(); err != nil {
		t.Fatal(err)
	}
	if m := s.Missing(); len(m) > 0 {
		t.Fatalf("the fonts lack %q", m)
	}
	f, err := os.Create(filepath.Join("..", "..", "docs", "boundary-convergence.svg"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := s.WriteSVG(f); err != nil {
		t.Fatal(err)
	}
}

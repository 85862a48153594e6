package pick

import (
	"context"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"gridwright/internal/drawing"
)

var update = flag.Bool("update", false, "measure the time of a search against the number of grids and draw docs/pick-time.svg")

// The plot of time against the number of grids, measured: 2 to 8 rosettes that are
// placed, torque and two bendings, up to two grids an arm, the proof included. The
// number of wirings grows as the eighth power of the grids in the end; what is
// measured has a part that does not grow, so that the law is fitted from 15 grids.
func TestTimePlot(t *testing.T) {
	if !*update {
		t.Skip("measures only with -update")
	}
	var points plotter.XYs
	var x, y []float64
	for n := 2; n <= 8; n++ {
		d := read(t, rosettes(n, false))
		best, searched := time.Hour, int64(0)
		for range 5 {
			start := time.Now()
			out, err := Search(context.Background(), d, Options{Series: 2})
			if err != nil {
				t.Fatal(err)
			}
			expect(t, fmt.Sprintf("proof with %d grids", 3*n), out.Proof, Exhaustive)
			best, searched = min(best, time.Since(start)), out.Searched
		}
		points = append(points, plotter.XY{X: float64(3 * n), Y: best.Seconds()})
		if 3*n >= 15 {
			x, y = append(x, math.Log(float64(3*n))), append(y, math.Log(best.Seconds()))
		}
		t.Logf("%2d grids: %9d wirings, %v", 3*n, searched, best)
	}
	a, k := stat.LinearRegression(x, y, nil, false)
	t.Logf("from 15 grids on: time = %.3g s · grids^%.2f", math.Exp(a), k)

	p := drawing.NewPlot()
	p.Title.Text = fmt.Sprintf("pick, torque and two bendings, up to two grids an arm: time as grids to the power %.1f", k)
	p.X.Label.Text, p.Y.Label.Text = "grids placed", "time with proof, two cores (s)"
	p.X.Min, p.X.Max = 5, 26
	p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, plot.LogTicks{Prec: -1}
	p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, plot.ConstantTicks{{Value: 6, Label: "6"}, {Value: 9, Label: "9"}, {Value: 12, Label: "12"}, {Value: 15, Label: "15"}, {Value: 18, Label: "18"}, {Value: 21, Label: "21"}, {Value: 24, Label: "24"}}
	p.Y.Min, p.Y.Max = 1e-4, 10
	marks, err := plotter.NewScatter(points)
	if err != nil {
		t.Fatal(err)
	}
	marks.Radius = vg.Points(2)
	line, err := plotter.NewLine(plotter.XYs{{X: 12, Y: math.Exp(a) * math.Pow(12, k)}, {X: 26, Y: math.Exp(a) * math.Pow(26, k)}})
	if err != nil {
		t.Fatal(err)
	}
	p.Add(line, marks)
	s := drawing.NewScene(150, 95)
	s.Plot(p, 5, 5, 140, 85)
	if err := s.Err(); err != nil {
		t.Fatal(err)
	}
	if m := s.Missing(); len(m) > 0 {
		t.Fatalf("the fonts lack %q", m)
	}
	path := filepath.Join("..", "..", "docs", "pick-time.svg")
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := s.WriteSVG(f); err != nil {
		t.Fatal(err)
	}
}

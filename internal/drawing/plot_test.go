package drawing

import (
	"math"
	"testing"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"pgregory.net/rapid"
)

func TestPlotStaysInItsRectangle(t *testing.T) {
	s := NewScene(200, 200)
	s.Place(demoPlot(t), At(30, 40))
	if s.Err() != nil {
		t.Fatal(s.Err())
	}
	corner := At(30, 40)
	found := map[string]bool{}
	boxes := s.TextBoxes()
	for i, b := range boxes {
		found[b.Text] = true
		if !b.Within(corner, 90, 60) {
			t.Errorf("%q is outside: %v", b.Text, b.Corners)
		}
		for _, o := range boxes[:i] {
			if b.Overlaps(o) {
				t.Errorf("%q overlaps %q", b.Text, o.Text)
			}
		}
	}
	for _, want := range []string{"Zero against temperature", "temperature (°C)", "zero Δ(V/E) (µV/V), ε in µε", "−10", "60", "bridge T"} {
		if !found[want] {
			t.Errorf("text %q is missing", want)
		}
	}
	if m := s.Missing(); len(m) > 0 {
		t.Errorf("the fonts lack %q", m)
	}
	for _, it := range s.items {
		if st, ok := it.(stroke); ok {
			for _, p := range st.path.points {
				if p.X < 30-1e-6 || p.X > 120+1e-6 || p.Y < 40-1e-6 || p.Y > 100+1e-6 {
					t.Fatalf("line through %v", p)
				}
			}
		}
	}
}

// A value lands where its axis says: without axes the data fill the canvas
// (but for half a millimetre that gonum/plot keeps for the axis lines), y up,
// in proportion.
func TestPlotScale(t *testing.T) {
	p := NewPlot()
	p.HideAxes()
	line, err := plotter.NewLine(plotter.XYs{{X: 0, Y: 0}, {X: 4, Y: 1}, {X: 10, Y: 5}})
	if err != nil {
		t.Fatal(err)
	}
	p.Add(line)
	s := NewScene(100, 100)
	s.Plot(p, 10, 20, 60, 40)
	got := s.items[len(s.items)-1].(stroke).path.points
	if len(got) != 3 || got[0].distance(At(10, 60)) > 0.5 || got[2].distance(At(70, 20)) > 0.5 {
		t.Fatalf("line through %v", got)
	}
	span := got[2].minus(got[0])
	if want := got[0].plus(At(0.4*span.X, 0.2*span.Y)); got[1].distance(want) > 1e-9 {
		t.Errorf("(4, 1) at %v, want %v", got[1], want)
	}
}

// The text stands in the rectangle that gonum/plot keeps for it, in every
// alignment, turned or not.
func TestPlotTextIsWhereItIsMeasured(t *testing.T) {
	for _, turn := range []float64{0, math.Pi / 2, -math.Pi / 2} {
		for _, x := range []draw.XAlignment{draw.XLeft, draw.XCenter, draw.XRight} {
			for _, y := range []draw.YAlignment{draw.YBottom, draw.YCenter, draw.YTop} {
				style := PlotText(Regular, 9)
				style.Rotation, style.XAlign, style.YAlign = turn, x, y
				const text = "first line\nε"
				s := NewScene(100, 100)
				c := newCanvas(s, 0, 0, 100, 100)
				at := vg.Point{X: 50 * vg.Millimeter, Y: 50 * vg.Millimeter}
				style.Handler.Draw(c, text, style, at)
				if len(s.boxes) != 2 || s.boxes[0].Overlaps(s.boxes[1]) {
					t.Fatalf("%d lines, or on each other", len(s.boxes))
				}
				want := style.Rectangle(text)
				corner := At(50+want.Min.X.Dots(25.4)-1e-9, 50-want.Max.Y.Dots(25.4)-1e-9)
				size := want.Size()
				for _, b := range s.boxes {
					if !b.Within(corner, size.X.Dots(25.4)+2e-9, size.Y.Dots(25.4)+2e-9) {
						t.Errorf("turn %v, align %v %v: %q at %v, kept %v from %v", turn, x, y, b.Text, b.Corners, size, corner)
					}
				}
			}
		}
	}
}

func TestCanvas(t *testing.T) {
	s := NewScene(100, 100)
	c := newCanvas(s, 10, 20, 60, 40)
	at := func(x, y float64) vg.Point {
		return vg.Point{X: vg.Length(x) * vg.Millimeter, Y: vg.Length(y) * vg.Millimeter}
	}
	last := func() *Path { return s.items[len(s.items)-1].(stroke).path }

	var arc vg.Path
	arc.Move(at(10, 5))
	arc.Arc(at(5, 5), 5*vg.Millimeter, 0, math.Pi/2)
	c.Stroke(arc)
	pts := last().points
	if end := pts[len(pts)-1]; end.distance(At(15, 50)) > 1e-6 { // (5, 10) mm up from the lower left corner (10, 60)
		t.Errorf("arc ends at %v", end)
	}

	var quad vg.Path
	quad.Move(at(0, 0))
	quad.QuadTo(at(10, 20), at(20, 0))
	c.Stroke(quad)
	for _, q := range last().pieces(1e-4)[0] {
		// The parabola through (0,0), (10,10), (20,0): y = x (20 - x)/10.
		x, y := q.X-10, 60-q.Y
		if !near(y, x*(20-x)/10, 1e-6) {
			t.Fatalf("quadratic curve through (%v, %v)", x, y)
		}
	}

	// Turned, shifted, scaled, and all undone by Pop.
	c.Push()
	c.Translate(at(30, 10))
	c.Rotate(math.Pi / 2)
	c.Scale(2, 2)
	c.SetLineWidth(vg.Points(1))
	var line vg.Path
	line.Move(at(0, 0))
	line.Line(at(5, 0))
	c.Stroke(line)
	pts = last().points
	if pts[0].distance(At(40, 50)) > 1e-6 || pts[1].distance(At(40, 40)) > 1e-6 {
		t.Errorf("turned line %v", pts)
	}
	if w := s.items[len(s.items)-1].(stroke).pen.Width; !near(w, 2*25.4/72, 1e-9) {
		t.Errorf("scaled pen %v mm", w)
	}
	style := PlotText(Bold, 7)
	face := style.Handler.Cache().Lookup(style.Font, style.Font.Size)
	c.FillString(face, at(0, 0), "Ω")
	text := s.items[len(s.items)-1].(lettering)
	if text.font != Bold || !near(text.size, 14, 1e-9) || !near(text.angle, math.Pi/2, 1e-12) || text.origin.distance(At(40, 50)) > 1e-6 {
		t.Errorf("text %+v", text)
	}
	c.Pop()
	c.Stroke(line)
	if pts = last().points; pts[0].distance(At(10, 60)) > 1e-6 {
		t.Errorf("after Pop the line starts at %v", pts[0])
	}
	if s.Err() != nil {
		t.Error(s.Err())
	}
}

// gonum/plot measures in the fonts that the scene sets.
func TestPlotMeasuresAsTheScene(t *testing.T) {
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		style := PlotText(f, 7.5)
		const text = "zero Δ(V/E) (µV/V), ε in µε AV"
		want := widthOf(text, f, 7.5)
		if got := float64(style.Width(text)) * 25.4 / 72; !near(got, want, 1e-9) {
			t.Errorf("font %d: plot %v mm, scene %v mm", f, got, want)
		}
	}
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      []string
	}{
		{-10, 60, []string{"−10", "0", "10", "20", "30", "40", "50", "60"}},
		{0, 1, []string{"0.0", "0.2", "0.4", "0.6", "0.8", "1.0"}},
		{-0.3, 0.3, []string{"−0.3", "−0.2", "−0.1", "0.0", "0.1", "0.2", "0.3"}},
		{0, 1500, []string{"0", "200", "400", "600", "800", "1000", "1200", "1400"}},
		{1e6, 1e6 + 1, []string{"1000000.0", "1000000.2", "1000000.4", "1000000.6", "1000000.8", "1000001.0"}},
		{0, 3e7, []string{"0", "5e+06", "1e+07", "1.5e+07", "2e+07", "2.5e+07", "3e+07"}},
		{-2e-7, 1e-7, []string{"−2e−07", "−1.5e−07", "−1e−07", "−5e−08", "0", "5e−08", "1e−07"}},
		{5, 5, nil},
		{math.NaN(), 1, nil},
		{0, math.Inf(1), nil},
	} {
		var got []string
		for _, k := range (Ticks{About: 5}).Ticks(c.low, c.high) {
			got = append(got, k.Label)
		}
		if len(got) != len(c.want) {
			t.Errorf("%v … %v: %q, want %q", c.low, c.high, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v … %v: %q, want %q", c.low, c.high, got, c.want)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e6, 1e6).Draw(t, "low")
		high := low + rapid.Float64Range(1e-3, 1e6).Draw(t, "span")
		ticks := Ticks{About: 5}.Ticks(low, high)
		if len(ticks) < 3 || len(ticks) > 9 {
			t.Fatalf("%d ticks in %v … %v", len(ticks), low, high)
		}
		slack := 1e-6 * (high - low)
		seen := map[string]bool{}
		for _, k := range ticks {
			if k.Value < low-slack || k.Value > high+slack {
				t.Fatalf("tick %v outside %v … %v", k.Value, low, high)
			}
			if seen[k.Label] {
				t.Fatalf("two ticks %q in %v … %v", k.Label, low, high)
			}
			seen[k.Label] = true
		}
	})
}

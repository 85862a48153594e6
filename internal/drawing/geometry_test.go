package drawing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestArcFollowsItsCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := At(rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y"))
		r := rapid.Float64Range(0.1, 100).Draw(t, "r")
		start := rapid.Float64Range(-7, 7).Draw(t, "start")
		sweep := rapid.Float64Range(-7, 7).Draw(t, "sweep")
		p := new(Path).Arc(c, r, start, sweep)
		if first := p.points[0]; first.distance(c.Polar(r, start)) > 1e-9 {
			t.Fatalf("starts at %v", first)
		}
		if last := p.points[len(p.points)-1]; last.distance(c.Polar(r, start+sweep)) > 1e-9 {
			t.Fatalf("ends at %v", last)
		}
		const tolerance = 1e-3
		points := p.pieces(tolerance)[0]
		for i, q := range points {
			if math.Abs(q.distance(c)-r) > 5e-6*r+1e-9 {
				t.Fatalf("%v off the circle by %v of %v", q, q.distance(c)-r, r)
			}
			if i > 0 {
				chord := q.plus(points[i-1]).times(0.5)
				if off := r - chord.distance(c); off > tolerance+5e-6*r {
					t.Fatalf("chord off the circle by %v", off)
				}
			}
		}
		// The turn from piece to piece has the sign of the sweep: with y down
		// a counterclockwise turn has a negative cross product.
		if math.Abs(sweep) > 0.1 {
			a, b := points[0].minus(c), points[1].minus(c)
			if cross := a.X*b.Y - a.Y*b.X; cross*sweep >= 0 {
				t.Fatalf("sweep %v turns the wrong way", sweep)
			}
		}
	})
}

// inside is the even-odd rule by a ray to the right, written apart from the
// one that hatches.
func inside(p Point, polygons [][]Point) bool {
	in := false
	for _, polygon := range polygons {
		for i := range polygon {
			a, b := polygon[i], polygon[(i+1)%len(polygon)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}

func edgeDistance(p Point, polygons [][]Point) float64 {
	best := math.Inf(1)
	for _, polygon := range polygons {
		for i := range polygon {
			best = math.Min(best, segmentDistance(p, polygon[i], polygon[(i+1)%len(polygon)]))
		}
	}
	return best
}

func segmentDistance(p, a, b Point) float64 {
	ab := b.minus(a)
	t := 0.0
	if l := ab.dot(ab); l > 0 {
		t = math.Max(0, math.Min(1, p.minus(a).dot(ab)/l))
	}
	return p.distance(a.plus(ab.times(t)))
}

func TestHatchStaysInside(t *testing.T) {
	coordinate := rapid.Float64Range(0, 60)
	rapid.Check(t, func(t *rapid.T) {
		var polygons [][]Point
		for range rapid.IntRange(1, 3).Draw(t, "pieces") {
			var polygon []Point
			for range rapid.IntRange(3, 8).Draw(t, "corners") {
				polygon = append(polygon, At(coordinate.Draw(t, "x"), coordinate.Draw(t, "y")))
			}
			polygons = append(polygons, polygon)
		}
		spacing := rapid.Float64Range(0.5, 5).Draw(t, "spacing")
		angle := rapid.Float64Range(-4, 4).Draw(t, "angle")
		for _, l := range hatchLines(polygons, spacing, angle) {
			for _, end := range l {
				if d := edgeDistance(end, polygons); d > 1e-6 {
					t.Fatalf("line ends %v mm off the outline", d)
				}
			}
			for i := 1; i < 20; i++ {
				q := l[0].plus(l[1].minus(l[0]).times(float64(i) / 20))
				if !inside(q, polygons) && edgeDistance(q, polygons) > 1e-6 {
					t.Fatalf("%v of line %v is outside", q, l)
				}
			}
			direction, want := l[0].toward(l[1]), At(0, 0).Polar(1, angle)
			if math.Abs(direction.X*want.Y-direction.Y*want.X) > 1e-6 && l[0].distance(l[1]) > 1e-3 {
				t.Fatalf("line %v is not at %v rad", l, angle)
			}
		}
	})
}

// Lines times spacing is the area: exactly for a rectangle hatched along a
// side, nearly for a ring.
func TestHatchCoversTheArea(t *testing.T) {
	total := func(polygons [][]Point, spacing, angle float64) (sum float64) {
		for _, l := range hatchLines(polygons, spacing, angle) {
			sum += l[0].distance(l[1])
		}
		return sum * spacing
	}
	// Corners on the grid of lines are the hard case: each row once.
	rectangle := [][]Point{{At(0, 0), At(30, 0), At(30, 20), At(0, 20)}, {At(10, 5), At(20, 5), At(20, 15), At(10, 15)}}
	for _, angle := range []float64{0, math.Pi / 2, math.Pi, -math.Pi / 2} {
		if got := total(rectangle, 1, angle); !near(got, 500, 1e-6) {
			t.Errorf("frame at %v rad: %v mm², want 500", angle, got)
		}
	}
	ring := CirclePath(At(40, 40), 30).And(CirclePath(At(40, 40), 20)).pieces(flatness)
	want := math.Pi * (30*30 - 20*20)
	for _, angle := range []float64{0, 0.3, math.Pi / 4, 2} {
		if got := total(ring, 0.1, angle); math.Abs(got/want-1) > 2e-3 {
			t.Errorf("ring at %v rad: %v mm², want %v", angle, got, want)
		}
	}
}

// lineItems are the straight lines of the scene and its filled triangles.
func lineItems(s *Scene) (lines [][2]Point, heads [][]Point) {
	for _, it := range s.items {
		st, ok := it.(stroke)
		if !ok {
			continue
		}
		switch {
		case st.pen.draws() && len(st.path.points) == 2:
			lines = append(lines, [2]Point{st.path.points[0], st.path.points[1]})
		case !st.pen.draws() && len(st.path.points) == 3:
			heads = append(heads, st.path.points)
		}
	}
	return lines, heads
}

// strikes tells whether a line runs through a text box (not along its edge).
func strikes(b TextBox, from, to Point) bool {
	return b.Overlaps(TextBox{Corners: [4]Point{from, to, to.plus(sideways(from, to)), from.plus(sideways(from, to))}})
}

// sideways gives a line the thickness of 0.01 mm.
func sideways(from, to Point) Point {
	d := from.toward(to)
	return Point{-d.Y, d.X}.times(0.01)
}

func TestDimensionGeometry(t *testing.T) {
	coordinate := rapid.Float64Range(20, 180)
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension{
			From:    At(coordinate.Draw(t, "x1"), coordinate.Draw(t, "y1")),
			To:      At(coordinate.Draw(t, "x2"), coordinate.Draw(t, "y2")),
			Through: At(coordinate.Draw(t, "x3"), coordinate.Draw(t, "y3")),
			Along:   rapid.SampledFrom([]Along{Aligned, Horizontal, Vertical}).Draw(t, "along"),
			Text:    rapid.SampledFrom([]string{"5", "12.5 mm", "1234.5 mm ± 0.1 mm"}).Draw(t, "text"),
			Before:  rapid.Bool().Draw(t, "before"),
		}
		if rapid.Bool().Draw(t, "short") {
			d.To = d.From.plus(d.To.minus(d.From).times(0.05))
		}
		p, ok := d.plan()
		if !ok {
			t.Skip("coincident")
		}
		s := NewScene(200, 200)
		box := s.Dimension(d)
		if s.Err() != nil {
			t.Fatal(s.Err())
		}
		if len(s.TextBoxes()) != 1 {
			t.Fatalf("%d texts", len(s.TextBoxes()))
		}

		// The arrows end on the feet of the perpendiculars from From and To.
		lines, heads := lineItems(s)
		if len(heads) != 2 {
			t.Fatalf("%d arrow heads", len(heads))
		}
		for i, point := range [2]Point{d.From, d.To} {
			tip := heads[i][0]
			if off := tip.minus(point).dot(p.u); math.Abs(off) > 1e-6 {
				t.Fatalf("tip off its point by %v mm along the line", off)
			}
			if off := tip.minus(d.Through).dot(Point{-p.u.Y, p.u.X}); math.Abs(off) > 1e-6 {
				t.Fatalf("tip off the dimension line by %v mm", off)
			}
		}
		// The distance shown is the one asked for.
		want := d.From.distance(d.To)
		switch d.Along {
		case Horizontal:
			want = math.Abs(d.From.X - d.To.X)
		case Vertical:
			want = math.Abs(d.From.Y - d.To.Y)
		}
		if got := heads[0][0].distance(heads[1][0]); !near(got, want, 1e-6) {
			t.Fatalf("arrows %v mm apart, points %v", got, want)
		}
		// Heads point at each other when outside, away from each other inside.
		base := heads[0][1].plus(heads[0][2]).times(0.5)
		if outside := base.minus(heads[0][0]).dot(p.u) < 0; outside != (want < 2*arrowLength+1) {
			t.Fatalf("arrows outside %v over %v mm", outside, want)
		}

		// The text reads from the bottom or from the right.
		reading := box.Corners[1].minus(box.Corners[0])
		if reading.X < -1e-6 || (math.Abs(reading.X) <= 1e-6 && reading.Y > 0) {
			t.Fatalf("text reads toward %v", reading)
		}
		// No line of the dimension goes through it, no arrow touches it, and
		// where there is room it stands between the extension lines.
		for _, l := range lines {
			if strikes(box, l[0], l[1]) {
				t.Fatalf("line %v goes through the text %v", l, box.Corners)
			}
		}
		for _, h := range heads {
			if box.Overlaps(TextBox{Corners: [4]Point{h[0], h[1], h[2], h[0]}}) && p.textOutside {
				t.Fatalf("arrow %v touches the text", h)
			}
		}
		lo, hi := box.extent(p.u)
		from, to := p.start.dot(p.u), p.end.dot(p.u)
		between := lo >= from-1e-9 && hi <= to+1e-9
		if width := hi - lo; between == p.textOutside || (width+2*textClearance <= want) != between {
			t.Fatalf("text of %v mm over %v mm: between is %v", width, want, between)
		}
		if p.textOutside {
			before := hi <= from
			// u runs from From to To, so before means on From's side.
			if before != d.Before {
				t.Fatalf("text on the wrong side: before %v", before)
			}
		}
	})
}

func TestAngleDimensionGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := AngleDimension{
			Centre: At(100, 100),
			Radius: rapid.Float64Range(4, 60).Draw(t, "radius"),
			From:   rapid.Float64Range(-7, 7).Draw(t, "from"),
			Text:   rapid.SampledFrom([]string{"5°", "−120.5°", "φ = 45° ± 1°"}).Draw(t, "text"),
		}
		sweep := rapid.Float64Range(0.02, 6.28).Draw(t, "sweep")
		if rapid.Bool().Draw(t, "clockwise") {
			sweep = -sweep
		}
		d.To = d.From + sweep
		d.Inner = rapid.SampledFrom([]float64{0, d.Radius * 0.6, d.Radius * 1.4}).Draw(t, "inner")
		s := NewScene(200, 200)
		box := s.AngleDimension(d)
		if s.Err() != nil {
			t.Fatal(s.Err())
		}
		lines, heads := lineItems(s)
		if len(heads) != 2 {
			t.Fatalf("%d arrow heads", len(heads))
		}
		for i, a := range [2]float64{d.From, d.To} {
			if tip := heads[i][0]; tip.distance(d.Centre.Polar(d.Radius, a)) > 1e-6 {
				t.Fatalf("tip %d at %v", i, tip)
			}
		}
		// Seen from the arc's middle, its arrows point away from it when they
		// stand inside and toward it when they stand outside.
		toMiddle := d.Centre.Polar(d.Radius, (d.From+d.To)/2)
		for i, h := range heads {
			base := h[1].plus(h[2]).times(0.5)
			outside := base.distance(toMiddle) > h[0].distance(toMiddle)
			if want := d.Radius*math.Abs(sweep) < 2*arrowLength+1; outside != want && math.Abs(sweep) < math.Pi {
				t.Fatalf("head %d outside is %v", i, outside)
			}
		}
		// The text stands on the bisector, outside the arc.
		size := dimensionSize * 25.4 / 72
		bisector := d.Centre.Polar(1, (d.From+d.To)/2).minus(d.Centre)
		_, ascent, descent := Measure("x", Regular, dimensionSize)
		middle := box.Corners[0].plus(box.Corners[2]).times(0.5).plus(At(0, (ascent-descent)/2-CapHeight(Regular, dimensionSize)/2)).minus(d.Centre)
		if off := middle.X*bisector.Y - middle.Y*bisector.X; math.Abs(off) > 1e-6*size || middle.dot(bisector) < 0 {
			t.Fatalf("text %v mm off the bisector", off)
		}
		for _, c := range append(box.Corners[:], box.Corners[0].plus(box.Corners[1]).times(0.5), box.Corners[2].plus(box.Corners[3]).times(0.5)) {
			if c.distance(d.Centre) < d.Radius+textClearance-1e-6 {
				t.Fatalf("text reaches the arc: %v mm from a centre of radius %v", c.distance(d.Centre), d.Radius)
			}
		}
		if d.Inner <= d.Radius {
			for _, l := range lines {
				if strikes(box, l[0], l[1]) {
					t.Fatalf("extension line %v goes through the text %v", l, box.Corners)
				}
			}
		}
	})
}

func TestLeader(t *testing.T) {
	tip := At(100, 100)
	for _, knee := range []Point{At(120, 80), At(80, 80), At(80, 120), At(120, 120), At(100, 70)} {
		for _, dot := range []bool{false, true} {
			s := NewScene(200, 200)
			box := s.Leader(Leader{Tip: tip, Knee: knee, Text: "grid A1", Dot: dot})
			if s.Err() != nil {
				t.Fatal(s.Err())
			}
			lines, heads := lineItems(s)
			for _, l := range lines {
				if strikes(box, l[0], l[1]) {
					t.Errorf("knee %v: line %v goes through the text", knee, l)
				}
			}
			if dot == (len(heads) == 1) {
				t.Errorf("knee %v: %d arrow heads", knee, len(heads))
			}
			if len(heads) == 1 && heads[0][0] != tip {
				t.Errorf("arrow ends at %v", heads[0][0])
			}
			lo, hi := box.Bounds()
			if right := lo.X > knee.X; right != (knee.X >= tip.X) || (!right && hi.X > knee.X) {
				t.Errorf("knee %v: text from %v to %v", knee, lo.X, hi.X)
			}
		}
	}
}

// An arrow that turns counterclockwise from the right by a quarter ends on
// top and points left.
func TestArcArrowSense(t *testing.T) {
	s := NewScene(100, 100)
	s.ArcArrow(Thin, At(50, 50), 30, 0, math.Pi/2)
	s.ArcArrow(Thin, At(50, 50), 30, 0, -math.Pi/2)
	_, heads := lineItems(s)
	for i, want := range []Point{At(50, 20), At(50, 80)} {
		tip, base := heads[i][0], heads[i][1].plus(heads[i][2]).times(0.5)
		if tip.distance(want) > 1e-9 || !(base.X > tip.X) {
			t.Errorf("head %d: tip %v, base %v", i, tip, base)
		}
		if !near(base.distance(At(50, 50)), 30, 1e-9) {
			t.Errorf("head %d: base off the arc", i)
		}
	}
}

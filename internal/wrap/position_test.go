package wrap

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gridwright/internal/drawing"
)

// TestPositions reads 60 random templates back from their PDF files, lays their
// tiles together, and finds every line where the part has it: at π(D+t)φ/360°
// around, at its station along, within 0.05 mm; and no line of its kind
// elsewhere.
func TestPositions(t *testing.T) {
	const within = 0.05
	tiledPieces, seamed, stacked := 0, 0, 0
	for seed := range uint64(60) {
		d, o := randomCase(t, seed)
		b, err := build(d, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		paper := o.Thickness
		if paper == 0 {
			paper = 0.1e-3
		}
		diameter := d.Design.Part.Section.Dimensions[0].SI
		girth := math.Pi * (diameter + paper) * 1e3
		u := func(phi float64) float64 { // rad
			phi = math.Mod(phi, 2*math.Pi)
			if phi < -1e-12 {
				phi += 2 * math.Pi
			}
			return girth * phi / (2 * math.Pi)
		}
		found := map[string]bool{}
		for _, s := range assemble(t, b) {
			p := s.piece
			if p.tiles() > 1 {
				tiledPieces++
			}
			if p.up.n > 1 {
				stacked++
			}
			what := fmt.Sprintf("seed %d, strip %d", seed, p.number)
			height := (p.high - p.low) * 1e3
			all := func(name string, pen drawing.Pen, upright bool, at, from, to float64) {
				t.Helper()
				if c := s.covered(pen, upright, at, from, to, within); c < 0.999 {
					t.Errorf("%s: %s at %.3f mm: %.3f of it drawn", what, name, at, c)
				}
			}
			all("reference line", referencePen, true, 0, 0, height)
			all("reference line", referencePen, true, girth, 0, height)
			all("cut line", cutPen, true, 0, 0, height)
			all("cut line", cutPen, true, girth+p.flap, 0, height)
			all("cut line", cutPen, false, 0, 0, girth+p.flap)
			all("cut line", cutPen, false, height, 0, girth+p.flap)
			var us, vs []float64
			if p.low <= 0 && p.high >= 0 {
				vs = append(vs, -p.low*1e3)
			}
			for i, pl := range d.Design.Placements {
				if !slices.ContainsFunc(p.backings, func(r rect) bool { return r.placement == i }) {
					continue
				}
				found[pl.Name] = true
				at, v := u(pl.Around.SI), (pl.Station.SI-p.low)*1e3
				us, vs = append(us, at), append(vs, v)
				all("centre line of "+pl.Name, stationPen, true, at, 0, height)
				all("station of "+pl.Name, stationPen, false, v, 0, girth)
				if at < 1e-9 {
					us = append(us, girth)
					all("centre line of "+pl.Name, stationPen, true, girth, 0, height)
				}
				if len(p.panel.images(p.backings[slices.IndexFunc(p.backings, func(r rect) bool { return r.placement == i })])) > 1 {
					seamed++
				}
				// Corners of the backing, each at its own φ on the surface.
				g := d.Design.Gauges[pl.Gauge]
				sin, cos := math.Sincos(pl.Direction.SI)
				for _, c := range [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
					along, across := c[0]*g.Backing.Length.SI/2, c[1]*g.Backing.Width.SI/2
					dx, ds := along*cos-across*sin, along*sin+across*cos
					corner := drawing.At(girth*(pl.Around.SI+ds/(diameter/2))/(2*math.Pi), v+dx*1e3)
					corner.X -= girth * math.Floor(corner.X/girth)
					near := func(q drawing.Point) bool {
						gap := math.Abs(math.Remainder(q.X-corner.X, girth))
						return math.Hypot(gap, q.Y-corner.Y) < within
					}
					if !slices.ContainsFunc(s.lines, func(l readLine) bool { return l.pen.is(backingPen) && (near(l.a) || near(l.b)) }) {
						t.Errorf("%s: no corner of the outline of %s at %.3f, %.3f mm", what, pl.Name, corner.X, corner.Y)
					}
				}
			}
			for i, g := range d.Result.Grids {
				if !slices.ContainsFunc(p.grids, func(r rect) bool { return r.name == g.Name }) {
					continue
				}
				state := d.Result.State.Grids[i]
				at := drawing.At(u(state.Around), (state.Station-p.low)*1e3)
				// Two lines of its pen cross there, along the grid and across it.
				sin, cos := math.Sincos(math.Atan2(state.Sin, state.Cos))
				along, across := false, false
				for _, l := range s.lines {
					if !l.pen.is(gridCentrePen) || l.length() < 0.1 || !l.through(at, within) {
						continue
					}
					// Around the part the paper is longer than the surface.
					ds, dx := (l.b.X-l.a.X)/l.length()*diameter/(diameter+paper), (l.b.Y-l.a.Y)/l.length()
					dev := 0.05 / l.length() // the file has hundredths of a point
					along = along || math.Abs(ds*cos-dx*sin) < dev
					across = across || math.Abs(ds*sin+dx*cos) < dev
				}
				if !along || !across {
					t.Errorf("%s: no centre lines of %s at %.3f, %.3f mm: along %v, across %v", what, g.Name, at.X, at.Y, along, across)
				}
			}
			for _, l := range s.lines {
				if !l.pen.is(stationPen) {
					continue
				}
				near := func(all []float64, v float64) bool {
					return slices.ContainsFunc(all, func(x float64) bool { return math.Abs(x-v) <= within })
				}
				if l.upright() && !near(us, l.a.X) || l.level() && !near(vs, l.a.Y) || !l.upright() && !l.level() && l.length() > 0.1 {
					t.Errorf("%s: a centre line from %.3f to %.3f where nothing is placed", what, l.a, l.b)
				}
			}
			for _, l := range s.lines {
				if l.pen.is(referencePen) && l.upright() && l.length() > 20 && math.Abs(l.a.X) > within && math.Abs(l.a.X-girth) > within {
					if !slices.ContainsFunc(p.grids, func(r rect) bool { return r.length*1e3 > 15 }) {
						t.Errorf("%s: a reference line at %.3f mm", what, l.a.X)
					}
				}
			}
		}
		if len(found) != len(d.Design.Placements) {
			t.Errorf("seed %d: %d of %d placements drawn", seed, len(found), len(d.Design.Placements))
		}
	}
	t.Logf("%d strips in tiles, %d in rows, %d outlines over the seam", tiledPieces, stacked, seamed)
	if tiledPieces < 10 || seamed < 5 || stacked < 1 {
		t.Error("the random designs do not reach what is to be tested")
	}
}

// TestCheckBars: every page has one level and one upright bar of 100 mm, and the
// size of its paper (ISO 216; ANSI/ASME Y14.1).
func TestCheckBars(t *testing.T) {
	for seed := range uint64(30) {
		d, o := randomCase(t, seed)
		b, err := build(d, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		want := [2]float64{210, 297}
		if o.Paper == "letter" {
			want = [2]float64{215.9, 279.4}
		}
		for i, p := range readPDF(t, &b.doc) {
			short, long := min(p.width, p.height), max(p.width, p.height)
			if math.Abs(short-want[0]) > 0.005 || math.Abs(long-want[1]) > 0.005 {
				t.Errorf("seed %d, page %d: %.2f × %.2f mm", seed, i+1, p.width, p.height)
			}
			level, upright := 0, 0
			for _, l := range p.lines {
				if math.Abs(l.length()-100) > 0.01 || !l.pen.is(drawing.Outline) {
					continue
				}
				if l.level() {
					level++
				}
				if l.upright() {
					upright++
				}
			}
			if level != 1 || upright != 1 {
				t.Errorf("seed %d, page %d: %d level and %d upright bars of 100 mm", seed, i+1, level, upright)
			}
			says := 0
			for _, x := range b.pages[i].TextBoxes() {
				if len(x.Text) >= 24 && x.Text[:24] == "measure: must be 100\u00a0mm"[:24] {
					says++
				}
			}
			if says != 2 {
				t.Errorf("seed %d, page %d: %d bars say what to measure", seed, i+1, says)
			}
			// Nothing is drawn where printers leave the paper blank.
			for _, l := range p.lines {
				for _, q := range []drawing.Point{l.a, l.b} {
					if q.X < edge-0.01 || q.Y < edge-0.01 || q.X > p.width-edge+0.01 || q.Y > p.height-edge+0.01 {
						t.Errorf("seed %d, page %d: a line to %.2f", seed, i+1, q)
					}
				}
			}
		}
	}
}

// TestCompass: the arrow to +x points up the page and that of φ to the right, as
// the lines are laid out, and the edges say the same.
func TestCompass(t *testing.T) {
	arrows := 0
	for seed := range uint64(30) {
		d, o := randomCase(t, seed)
		b, err := build(d, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		pages := readPDF(t, &b.doc)
		before := 0
		if !b.shared {
			before = len(b.cover)
		}
		for _, s := range b.slots {
			p := pages[before+s.page]
			in := func(q drawing.Point) bool {
				return q.X >= s.block.x && q.X <= s.block.x+s.block.width && q.Y >= s.block.y && q.Y <= s.block.y+s.block.height
			}
			// The head of an arrow: three corners, the tip farthest from the others.
			head := func(beside drawing.Point) (tip, direction drawing.Point) {
				best := math.Inf(1)
				for _, f := range p.fills {
					if len(f) != 3 {
						continue
					}
					for i, q := range f {
						m := drawing.At((f[(i+1)%3].X+f[(i+2)%3].X)/2, (f[(i+1)%3].Y+f[(i+2)%3].Y)/2)
						length := math.Hypot(q.X-m.X, q.Y-m.Y)
						if gap := math.Hypot(q.X-beside.X, q.Y-beside.Y); math.Abs(length-2.5) < 0.02 && gap < best {
							best, tip, direction = gap, q, drawing.At((q.X-m.X)/length, (q.Y-m.Y)/length)
						}
					}
				}
				return tip, direction
			}
			for _, x := range p.texts {
				if !in(x.at) {
					continue
				}
				switch x.text {
				case "+x":
					arrows++
					if _, u := head(x.at); u.Y > -0.99 {
						t.Errorf("seed %d, page %d: the arrow to +x points to %v, y down", seed, before+s.page+1, u)
					}
				case "+φ":
					if _, u := head(x.at); u.X < 0.99 {
						t.Errorf("seed %d, page %d: the arrow of φ points to %v, y down", seed, before+s.page+1, u)
					}
				case "cut; this edge toward +x", "cut; this edge toward −x":
					edges := []float64{}
					for _, l := range p.lines {
						if l.pen.is(cutPen) && l.level() && in(l.a) && in(l.b) {
							edges = append(edges, l.a.Y)
						}
					}
					if len(edges) == 0 || x.text[len(x.text)-2] == '+' && x.at.Y > slices.Min(edges)+0.1 || x.text[len(x.text)-2] != '+' && x.at.Y < slices.Max(edges)-0.1 {
						t.Errorf("seed %d, page %d: %q stands at %.1f, the edges at %.1f", seed, before+s.page+1, x.text, x.at.Y, edges)
					}
				}
			}
		}
	}
	if arrows < 30 {
		t.Errorf("%d arrows to +x on 30 templates", arrows)
	}
}

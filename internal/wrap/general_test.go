package wrap

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// side of an invented part: its name on the template, its length on the surface and
// how far it turns, mm and rad, all from the dimensions by plane geometry.
type side struct {
	title        string
	length, turn float64
}

// onSide is a gauge of an invented part, across mm from the middle of a side.
type onSide struct {
	name   string
	side   int
	across float64
	x      float64
}

type invented struct {
	text   string
	convex bool
	sides  []side
	gauges []onSide
}

// inventedPart is a part that is not round, with gauges on some of its sides.
func inventedPart(r *rand.Rand) invented {
	between := func(lo, hi float64) float64 { return math.Round(1e3*(lo+(hi-lo)*r.Float64())) / 1e3 }
	var p invented
	var section string
	keys := map[int]string{} // of the sides that bear gauges; "" where φ says it
	phi := map[int]float64{}
	switch r.IntN(6) {
	case 0, 1: // rectangle, box
		w, h, c := between(16, 70), between(16, 70), 0.0
		if r.IntN(3) > 0 {
			c = between(1, 4)
		}
		wall := between(2, 6)
		section = fmt.Sprintf("{shape: rectangle, width: %g mm, height: %g mm, corner-radius: %g mm}", w, h, c)
		if r.IntN(2) == 0 {
			section = fmt.Sprintf("{shape: box, width: %g mm, height: %g mm, wall: %g mm, corner-radius: %g mm}", w, h, wall, c)
		}
		p.convex = true
		for k, name := range []string{"+y", "+z", "−y", "−z"} {
			keys[len(p.sides)] = strings.ReplaceAll(name, "−", "-")
			p.sides = append(p.sides, side{name, [2]float64{h, w}[k%2] - 2*c, 0})
			if c > 0 {
				p.sides = append(p.sides, side{fmt.Sprintf("curve at %d°", 45+90*k), math.Pi / 2 * c, math.Pi / 2})
			}
		}
	case 2: // two flats
		radius := between(12, 34)
		a := radius * between(0.6, 0.9)
		half := math.Acos(a / radius)
		section = fmt.Sprintf("{shape: flatted-round, outside-diameter: %.6f mm, flats: [{normal: 0°, across: %.6f mm}, {normal: 180°, across: %.6f mm}]}", 2*radius, a, a)
		p.convex = true
		for k, name := range []string{"+y", "−y"} {
			keys[2*k], keys[2*k+1] = strings.ReplaceAll(name, "−", "-"), ""
			phi[2*k+1] = 90 + 180*float64(k)
			p.sides = append(p.sides, side{name, 2 * radius * math.Sin(half), 0},
				side{fmt.Sprintf("curve at %d°", 90+180*k), radius * (math.Pi - 2*half), math.Pi - 2*half})
		}
	case 3: // polygon of equal sides
		n, across := 3+r.IntN(6), between(24, 70)
		section = fmt.Sprintf("{shape: regular-polygon, sides: %d, across-flats: %g mm, turned: 7°}", n, across)
		p.convex = true
		for k := range n {
			keys[k] = fmt.Sprint(k + 1)
			p.sides = append(p.sides, side{fmt.Sprintf("edge %d", k+1), across * math.Tan(math.Pi/float64(n)), 0})
		}
	case 4: // angle
		a, b, t, s := between(34, 70), between(34, 70), between(12, 16), between(12, 16)
		section = fmt.Sprintf("{shape: polygon, outline: [[0 mm, 0 mm], [%g mm, 0 mm], [%g mm, %g mm], [%g mm, %g mm], [%g mm, %g mm], [0 mm, %g mm]]}", a, a, t, s, t, s, b, b)
		for k, l := range []float64{a, t, a - s, b - t, s, b} {
			keys[k] = fmt.Sprint(k + 1)
			p.sides = append(p.sides, side{[]string{"−z", "edge 2", "edge 3", "edge 4", "edge 5", "−y"}[k], l, 0})
		}
	case 5: // keyway at the top: the round surface is seen whole from below
		radius := between(14, 30)
		width, depth := radius*between(0.4, 0.6), radius*0.25
		mouth := math.Asin(width / 2 / radius)
		section = fmt.Sprintf("{shape: keyed-round, outside-diameter: %.6f mm, key-width: %.6f mm, key-depth: %.6f mm, key-at: 90°}", 2*radius, width, depth)
		turn := 2 * (math.Pi - mouth)
		p.sides = []side{{"curve at 270°", radius * turn, turn}}
		keys[0], phi[0] = "", 270
	}
	var b strings.Builder
	fmt.Fprintf(&b, "gridwright: 1\ntitle: invented part\npart:\n  material: 42CrMo4+QT\n  section: %s\nloads:\n  torque: {rated: 10 N·m, use: measure}\n", section)
	b.WriteString("gauges:\n  G: {pattern: tee, grid: {length: 2 mm, width: 1.5 mm}, resistance: 350 Ω, gauge-factor: 2.1}\nplacements:\n")
	for k, s := range p.sides {
		key, bears := keys[k]
		if !bears || r.IntN(3) == 0 && k > 0 {
			continue
		}
		g := onSide{fmt.Sprintf("P%d", k), k, 0, between(-30, 30)}
		if key == "" {
			fmt.Fprintf(&b, "  %s: {gauge: G, station: %g mm, around: %g°}\n", g.name, g.x, phi[k])
		} else {
			if room := s.length/2 - 2; room > 0 {
				g.across = between(-room, room)
			}
			fmt.Fprintf(&b, "  %s: {gauge: G, station: %g mm, face: %s, across: %g mm}\n", g.name, g.x, key, g.across)
		}
		p.gauges = append(p.gauges, g)
	}
	p.text = b.String()
	return p
}

func predictedText(t testing.TB, text string) *dossier.Dossier {
	t.Helper()
	plan, err := designfile.Read("invented.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	result, err := predict.Of(plan)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return &dossier.Dossier{File: "invented.yaml", Digest: strings.Repeat("0123456789abcdef", 4), Design: plan, Result: result}
}

// TestGeneralPositions reads the templates of 40 parts that are not round back from
// their PDF files. Flat faces have their true length, curves are as long as the
// middle of the paper, the folds lie between them, and every gauge at its place on its
// face, all within 0.05 mm of plane geometry on the dimensions.
func TestGeneralPositions(t *testing.T) {
	const within = 0.05
	strips, faces := 0, 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 11))
		part := inventedPart(r)
		d := predictedText(t, part.text)
		paper := []float64{0.05, 0.1, 0.3}[r.IntN(3)] // mm
		o := Options{Paper: []string{"a4", "letter"}[r.IntN(2)], Thickness: paper / 1e3, Sys: []quantity.System{quantity.SI, quantity.US}[r.IntN(2)]}
		b, err := build(d, o)
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, part.text)
		}
		textsApart(t, fmt.Sprintf("seed %d", seed), b)
		long := func(s side) float64 { return s.length + s.turn*paper/2 }
		drawn := map[string]bool{}
		for _, s := range assemble(t, b) {
			p := s.piece
			h := p.height()
			what := fmt.Sprintf("seed %d, strip %d of %s", seed, p.number, d.Design.Part.Section.Shape)
			upright := func(name string, pen drawing.Pen, at float64) {
				t.Helper()
				if c := s.covered(pen, true, at, 0, h, within); c < 0.999 {
					t.Errorf("%s: %s at %.3f mm: %.3f of it drawn", what, name, at, c)
				}
			}
			base := make([]float64, len(part.sides)) // where each side begins
			width := 0.0
			mine := map[int]bool{}
			if p.panel.closed {
				strips++
				if !part.convex {
					t.Fatalf("%s: one strip round a part that is not convex", what)
				}
				first := -1
				for k, x := range part.sides {
					if x.title == p.panel.faces[0].title {
						first = k
					}
				}
				for k := range part.sides {
					i := (first + k) % len(part.sides)
					base[i], mine[i] = width, true
					if k > 0 {
						upright("fold before "+part.sides[i].title, foldPen, width)
					}
					width += long(part.sides[i])
				}
				if len(p.folds()) != len(part.sides)-1 {
					t.Errorf("%s: %d folds between %d sides", what, len(p.folds()), len(part.sides))
				}
			} else {
				faces++
				for k, x := range part.sides {
					if x.title == p.panel.name {
						mine[k], width = true, long(x)
					}
				}
			}
			upright("left edge", cutPen, 0)
			upright("right edge", cutPen, width+p.flap)
			low := math.Inf(1)
			for _, x := range p.backings {
				low = min(low, x.x*1e3)
			}
			for _, g := range part.gauges {
				if !mine[g.side] {
					continue
				}
				ours := false
				for _, x := range p.backings {
					ours = ours || x.name == g.name
				}
				if !ours {
					continue
				}
				drawn[g.name] = true
				x := part.sides[g.side]
				upright("middle of "+g.name, stationPen, base[g.side]+long(x)/2+g.across)
				if c := s.covered(stationPen, false, g.x-p.low*1e3, 0, width, within); c < 0.999 {
					t.Errorf("%s: station of %s: %.3f of it drawn", what, g.name, c)
				}
			}
			for _, l := range s.lines {
				if l.pen.is(stationPen) && l.upright() {
					ok := false
					for _, g := range part.gauges {
						ok = ok || mine[g.side] && math.Abs(l.a.X-base[g.side]-long(part.sides[g.side])/2-g.across) < within
					}
					if !ok {
						t.Errorf("%s: a centre line at %.3f mm, where no gauge is", what, l.a.X)
					}
				}
			}
		}
		if len(drawn) != len(part.gauges) {
			t.Errorf("seed %d: %d of %d gauges drawn\n%s", seed, len(drawn), len(part.gauges), part.text)
		}
	}
	t.Logf("%d strips round a part, %d of one face", strips, faces)
	if strips < 12 || faces < 12 {
		t.Error("the invented parts do not reach what is to be tested")
	}
}

// angle is an invented angle section with gauges on two of its faces.
const angle = `gridwright: 1
title: Invented angle
part:
  material: 42CrMo4+QT
  section: {shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 14 mm], [14 mm, 14 mm], [14 mm, 50 mm], [0 mm, 50 mm]]}
loads:
  torque: {rated: 10 N·m, use: measure}
gauges:
  G: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.1}
placements:
  A: {gauge: G, face: 1, across: 5 mm}
  B: {gauge: G, station: 2 mm, face: 4, across: -7.5 mm}
`

// TestFaces: an angle section gets a strip for each of the two faces that carry a
// gauge, which say what meets their edges and are not glued round.
func TestFaces(t *testing.T) {
	b, err := build(predictedText(t, angle), Options{})
	if err != nil {
		t.Fatal(err)
	}
	text := said(b)
	for _, want := range []string{"middle of face −z", "middle of edge 4", "edge to edge 3", "edge to edge 5", "edge to −y", "edge to edge 2", "across", "A 5.00 mm", "B −7.50 mm"} {
		if !strings.Contains(strings.ReplaceAll(text, "\u00A0", " "), want) {
			t.Errorf("%q does not stand on the template", want)
		}
	}
	x := map[string]float64{}
	for _, p := range b.pages {
		for _, b := range p.TextBoxes() {
			lo, _ := b.Bounds()
			x[b.Text] = lo.X
		}
	}
	if !(x["edge to edge 3"] < x["edge to edge 5"]) || !(x["edge to −y"] < x["edge to edge 2"]) {
		t.Errorf("the edges stand at %v: seen from outside with +x up, φ grows to the right", x)
	}
	if strings.Contains(text, "glue") || strings.Contains(text, "360°") {
		t.Error("a face is not glued to its other end")
	}
}

// TestEllipse: the template of an ellipse is longer than its girth by π t, whatever
// its axes, for the paper's middle turns once round with it.
func TestEllipse(t *testing.T) {
	text := strings.Replace(angle, "{shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 14 mm], [14 mm, 14 mm], [14 mm, 50 mm], [0 mm, 50 mm]]}", "{shape: ellipse, width: 50 mm, height: 20 mm}", 1)
	text = strings.Replace(text, "face: 1, across: 5 mm", "around: 0°", 1)
	text = strings.Replace(text, "face: 4, across: -7.5 mm", "around: 90°", 1)
	d := predictedText(t, text)
	const paper = 0.3e-3
	b, err := build(d, Options{Thickness: paper})
	if err != nil {
		t.Fatal(err)
	}
	p := &b.panels[0]
	if got, want := p.paperAt(p.girth)-p.girth, math.Pi*paper; math.Abs(got-want) > 1e-7 {
		t.Errorf("longer by %v m, want %v", got, want)
	}
	// A quarter round, the normal has turned a quarter: Ramanujan's second formula
	// gives the girth to 1e-6 here.
	a, c := 25.0, 10.0
	h := (a - c) * (a - c) / ((a + c) * (a + c))
	girth := math.Pi * (a + c) * (1 + 3*h/(10+math.Sqrt(4-3*h)))
	s := assemble(t, b)[0]
	at := girth/4 + 0.3/2*math.Pi/2
	if c := s.covered(stationPen, true, at, 0, s.piece.height(), 0.02); c < 0.999 {
		t.Errorf("the gauge at 90° is not at %.3f mm", at)
	}
}

// TestGeneralBytes: two runs on a part that is not round give the same file.
func TestGeneralBytes(t *testing.T) {
	for seed := range uint64(8) {
		text := inventedPart(rand.New(rand.NewPCG(seed, 13))).text
		var one, two bytes.Buffer
		for _, w := range []*bytes.Buffer{&one, &two} {
			b, err := build(predictedText(t, text), Options{})
			if err != nil {
				t.Fatal(err)
			}
			if err := b.doc.WritePDF(w); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(one.Bytes(), two.Bytes()) {
			t.Errorf("seed %d: two runs differ", seed)
		}
	}
}

// TestSeamOffGauges: the strip of a square part begins at an edge, so that a gauge in
// the middle of +y, where φ = 0 is, lies whole on it, and the reference line with it.
func TestSeamOffGauges(t *testing.T) {
	text := strings.Replace(angle, "{shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 14 mm], [14 mm, 14 mm], [14 mm, 50 mm], [0 mm, 50 mm]]}", "{shape: rectangle, width: 30 mm, height: 30 mm}", 1)
	text = strings.Replace(text, "face: 1, across: 5 mm", "face: +y, across: 0 mm", 1)
	text = strings.Replace(text, "face: 4, across: -7.5 mm", "face: -z, across: 0 mm", 1)
	b, err := build(predictedText(t, text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range b.panels[0].backings {
		if n := len(b.panels[0].images(r)); n != 1 {
			t.Errorf("%s is drawn in %d parts", r.name, n)
		}
	}
	s := assemble(t, b)[0]
	for _, pen := range []drawing.Pen{referencePen, stationPen} {
		if c := s.covered(pen, true, 15, 0, s.piece.height(), 0.02); c < 0.999 {
			t.Errorf("φ = 0 and the gauge there are not in the middle of the first face: %.3f", c)
		}
	}
	for _, u := range []float64{30, 60, 90} {
		if c := s.covered(foldPen, true, u, 0, s.piece.height(), 0.02); c < 0.999 {
			t.Errorf("no fold at %v mm", u)
		}
	}
	said := said(b)
	for _, want := range []string{"+y", "+z", "−y", "−z", "φ = 0", "where −z ends and +y begins"} {
		if !strings.Contains(strings.ReplaceAll(said, "\n", " "), want) {
			t.Errorf("%q does not stand on the template", want)
		}
	}
}

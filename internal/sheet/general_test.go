package sheet

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
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// generalSection is a random section that is not round, with the faces that its
// gauges may be placed on.
func (r *invented) generalSection(d float64) (text string, faces []string) {
	sides := []string{"+y", "+z", "-y", "-z"}
	edges := func(n int) (all []string) {
		for i := range n {
			all = append(all, fmt.Sprint(i+1))
		}
		return all
	}
	points := func(p ...float64) string {
		var all []string
		for i := 0; i < len(p); i += 2 {
			all = append(all, fmt.Sprintf("[%.3f mm, %.3f mm]", p[i]*d, p[i+1]*d))
		}
		return "[" + strings.Join(all, ", ") + "]"
	}
	switch r.IntN(9) {
	case 0:
		return fmt.Sprintf("{shape: rectangle, width: %.3f mm ± 0.05 mm, height: %.3f mm}", d, d*r.between(0.15, 2)), sides
	case 1:
		return fmt.Sprintf("{shape: box, width: %.3f mm, height: %.3f mm ± 0.2 mm, wall: %.3f mm, corner-radius: %.3f mm}", d, d*r.between(0.5, 2), d*r.between(0.04, 0.2), d*r.between(0.02, 0.2)), sides
	case 2:
		return fmt.Sprintf("{shape: flatted-round, outside-diameter: %.3f mm, flats: [{normal: 0°, across: %.3f mm}, {normal: 100°, across: %.3f mm ± 0.1 mm}]}", d, d*r.between(0.3, 0.45), d*r.between(0.3, 0.45)), edges(2)
	case 3:
		n := 3 + r.IntN(8)
		return fmt.Sprintf("{shape: regular-polygon, sides: %d, across-flats: %.3f mm, turned: %.1f°}", n, d, r.between(-90, 90)), edges(n)
	case 4:
		return fmt.Sprintf("{shape: ellipse, width: %.3f mm, height: %.3f mm}", d, d*r.between(0.4, 2)), nil
	case 5:
		return fmt.Sprintf("{shape: keyed-round, outside-diameter: %.3f mm, key-width: %.3f mm, key-depth: %.3f mm, key-at: %.1f°, inside-diameter: %.3f mm}", d, d*0.25, d*0.12, r.between(0, 360), d*0.2), edges(3)
	case 6: // angle
		t := r.between(0.2, 0.4)
		return "{shape: polygon, outline: " + points(0, 0, 1, 0, 1, t, t, t, t, 1.3, 0, 1.3) + "}", edges(6)
	case 7: // channel with its web at the left
		t := r.between(0.12, 0.25)
		return "{shape: polygon, outline: " + points(0, 0, 0.8, 0, 0.8, t, t, t, t, 1-t, 0.8, 1-t, 0.8, 1, 0, 1) + "}", edges(8)
	}
	var p []float64 // a circle drawn in sides, with a square hole
	n := 40 + r.IntN(40)
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		p = append(p, cos/2, sin/2)
	}
	return "{shape: polygon, outline: " + points(p...) + ", holes: [" + points(-0.1, -0.1, 0.1, -0.1, 0.1, 0.1, -0.1, 0.1) + "]}", nil
}

// generalDesign is the text of a random design of a part that is not round.
func generalDesign(seed, attempt uint64) string {
	r := &invented{Rand: rand.New(rand.NewPCG(seed, 100+attempt))}
	d := math.Exp(r.between(math.Log(10), math.Log(300))) // mm
	text, faces := r.generalSection(d)
	r.printf("gridwright: 1\ntitle: %s\npart:\n  number: %s\n  material: 42CrMo4+QT\n  section: %s\n", r.anyText(), r.anyText(), text)
	half := d * r.between(1, 6)
	if r.some(0.7) {
		r.printf("  straight-length: {from: %.2f mm, to: %.2f mm}\n", -half, half)
	}
	r.printf("loads:\n  torque: {rated: %.4g N·m, use: measure}\n  bending-y: {rated: %.4g N·m, use: measure}\n", 2e6*math.Pow(d/1e3, 3), 2e6*math.Pow(d/1e3, 3))
	size := d * r.between(0.01, 0.06)
	r.printf("gauges:\n  G:\n    pattern: rectangular-rosette\n    grid: {length: %.3f mm, width: %.3f mm}\n    centres: [[0 mm, %.3f mm], [0 mm, 0 mm], [0 mm, %.3f mm]]\n    resistance: 350 Ω\n    gauge-factor: 2.07\n", size, size*r.between(0.3, 1), -1.2*size, 1.2*size)
	r.printf("placements:\n")
	var grids []string
	for i := range 1 + r.IntN(8) {
		name := r.name("P", i)
		place := fmt.Sprintf("around: %.2f°", []float64{0, 90, 180, 270, r.between(-180, 360)}[r.IntN(5)])
		if len(faces) > 0 && r.some(0.7) {
			place = fmt.Sprintf("face: %s, across: %.3f mm", faces[r.IntN(len(faces))], []float64{0, r.between(-0.2, 0.2) * d}[r.IntN(2)])
		}
		r.printf("  %s: {gauge: G, station: %.2f mm, %s, direction: %.1f°}\n", name, []float64{0, r.between(-half, half)}[r.IntN(2)], place, []float64{0, 45, 90, r.between(-180, 180)}[r.IntN(4)])
		for k := range 3 {
			grids = append(grids, fmt.Sprintf("%s%d", name, k+1))
		}
	}
	r.bridges(grids, []string{"torque", "bending-y"})
	return r.b.String()
}

// generalDossier predicts a random design of a part that is not round; designs whose
// grids reach over an edge, which the reader refuses, are drawn anew.
func generalDossier(t testing.TB, seed uint64) *dossier.Dossier {
	t.Helper()
	var last error
	for attempt := range uint64(200) {
		text := generalDesign(seed, attempt)
		plan, err := designfile.Read("random.yaml", []byte(text))
		if err != nil {
			last = err
			continue
		}
		result, err := predict.Of(plan)
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, text)
		}
		return &dossier.Dossier{File: "random.yaml", Digest: strings.Repeat("0123456789abcdef", 4), Design: plan, Result: result}
	}
	t.Fatalf("seed %d: no design: %v", seed, last)
	return nil
}

// TestGeneralTextsApart: no two texts overlap and none leaves its box on the pages and
// figures of parts that are not round, and two runs give the same bytes.
func TestGeneralTextsApart(t *testing.T) {
	shapes := map[string]int{}
	for seed := range uint64(36) {
		d := generalDossier(t, seed)
		shapes[d.Design.Part.Section.Shape]++
		opt := Options{Paper: []string{"a4", "letter"}[seed%2], Sys: []quantity.System{quantity.SI, quantity.US}[seed/2%2]}
		b, err := build(d, opt)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for i, p := range b.Pages {
			apart(t, fmt.Sprintf("seed %d, page %d", seed, i+1), p, drawing.At(10, 8), b.Paper.Width-20, b.Paper.Height-16)
		}
		figures, err := Figures(d, opt)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for _, f := range figures {
			apart(t, fmt.Sprintf("seed %d, figure %s", seed, f.Name), f.Scene, drawing.At(-1e-6, -1e-6), f.Scene.Width+2e-6, f.Scene.Height+2e-6)
		}
		if seed < 6 {
			var one, two bytes.Buffer
			if _, err := Write(&one, d, opt); err != nil {
				t.Fatal(err)
			}
			if _, err := Write(&two, generalDossier(t, seed), opt); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(one.Bytes(), two.Bytes()) {
				t.Errorf("seed %d: two runs differ", seed)
			}
		}
	}
	if len(shapes) < 7 {
		t.Errorf("only the shapes %v", shapes)
	}
}

// TestGeneralDeveloped reads grids back from the developed surface: each at its
// station and its arc length, at true size and direction.
func TestGeneralDeveloped(t *testing.T) {
	for seed := range uint64(25) {
		d := generalDossier(t, seed)
		girth := d.Result.State.Section.Perimeter(0)
		for _, l := range developedSurfaces(d, layout.Words{}, 182, surfaceHeight) {
			shapes := gridShapes(svgShapes(t, l.scene))
			if len(shapes) != len(l.grids) {
				t.Fatalf("seed %d: %d grids drawn, want %d", seed, len(shapes), len(l.grids))
			}
			k := statedScale(t, l.scene)
			// The reference line: the upright line in the colour of grids.
			var origin float64
			for _, p := range svgShapes(t, l.scene) {
				if p.Stroke == "#1f4e79" && len(p.points) == 2 && p.points[0].X == p.points[1].X && math.Abs(p.points[0].Y-p.points[1].Y) > l.scale.mm(l.high-l.low) {
					origin = p.points[0].X
					break
				}
			}
			zero := l.at(0, 0).Y
			for i, g := range l.grids {
				r := d.Result.State.Grids[gridIndex(t, d, g.name)]
				c := mean(shapes[i].points)
				x, s := (zero-c.Y)/k/1e3, (c.X-origin)/k/1e3
				tol := 2e-4 / k / 1e3
				if math.Abs(x-r.Station) > tol || math.Abs(math.Remainder(s-r.Coordinate.S, girth)) > tol {
					t.Errorf("seed %d, %s: drawn at x %.6f, s %.6f m; is at %.6f, %.6f", seed, g.name, x, s, r.Station, r.Coordinate.S)
				}
				p := shapes[i].points
				e := drawing.At(p[1].X-p[0].X, p[1].Y-p[0].Y)
				if math.Abs(math.Hypot(e.X, e.Y)/k/1e3-r.Length) > 2*tol {
					t.Errorf("seed %d, %s: drawn %.4f mm long on paper", seed, g.name, math.Hypot(e.X, e.Y))
				}
				if off := (e.X*r.Cos + e.Y*r.Sin) / math.Hypot(e.X, e.Y); math.Abs(off) > 1e-3/math.Hypot(e.X, e.Y) {
					t.Errorf("seed %d, %s: drawn %.4f off its direction", seed, g.name, off)
				}
			}
		}
	}
}

// boxed is an invented box with a gauge on each face, 5 mm from its middle, +φ.
const boxed = `gridwright: 1
title: Invented box
part:
  material: 42CrMo4+QT
  section: {shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}
  straight-length: {from: -60 mm, to: 60 mm}
loads:
  torque: {rated: 100 N·m, use: measure}
gauges:
  G: {pattern: single, grid: {length: 3 mm, width: 4 mm}, resistance: 350 Ω, gauge-factor: 2.1}
placements:
  A: {gauge: G, station: -30 mm, face: +y, across: 5 mm}
  B: {gauge: G, station: -10 mm, face: +z, across: 5 mm}
  C: {gauge: G, station: 10 mm, face: -y, across: 5 mm}
  D: {gauge: G, station: 30 mm, face: -z, across: 5 mm}
`

func predictedText(t testing.TB, text string) *dossier.Dossier {
	t.Helper()
	plan, err := designfile.Read("box.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	d, err := predict.Of(plan)
	if err != nil {
		t.Fatal(err)
	}
	return &dossier.Dossier{File: "box.yaml", Digest: strings.Repeat("0", 64), Design: plan, Result: d}
}

// TestBoxFaces: from φ = 0 in the middle of +y, to the right, the edges of a box lie
// where its dimensions put them, and each face's name above its middle.
func TestBoxFaces(t *testing.T) {
	d := predictedText(t, boxed)
	l := developedSurface(d, layout.Words{}, nil, 182, surfaceHeight)
	k := statedScale(t, l.scene)
	flat, corner := [2]float64{40 - 12, 60 - 12}, 6*math.Pi/2
	at := flat[0] / 2
	var want []float64
	for i := range 4 {
		want = append(want, at, at+corner)
		at += corner + flat[(i+1)%2]
	}
	origin := l.at(0, 0).X
	for _, w := range want {
		found := false
		for _, p := range svgShapes(t, l.scene) {
			found = found || p.Width == "0.25" && len(p.points) == 2 && p.points[0].X == p.points[1].X && math.Abs(p.points[0].X-origin-w*k) < 1e-3
		}
		if !found {
			t.Errorf("no edge at %.3f mm", w)
		}
	}
	for name, middle := range map[string]float64{
		"+z": flat[0]/2 + corner + flat[1]/2,
		"−y": flat[0]/2 + 2*corner + flat[1] + flat[0]/2,
		"−z": flat[0]/2 + 3*corner + flat[1] + flat[0] + flat[1]/2,
	} {
		if c := boxOf(t, l.scene, name); math.Abs(c.X-origin-middle*k) > 0.05 {
			t.Errorf("%s stands at %.2f mm, want %.2f", name, (c.X-origin)/k, middle)
		}
	}
	// Each gauge is dimensioned from the middle of its face, where a circle stands on
	// the axis 5 mm below the surface: its path begins at its right.
	axis := l.at(l.low, 0).Y + 5
	for _, middle := range []float64{0, flat[0]/2 + corner + flat[1]/2, flat[0] + 2*corner + flat[1], 1.5*flat[0] + 3*corner + 1.5*flat[1]} {
		found := false
		for _, p := range svgShapes(t, l.scene) {
			found = found || p.Fill == "#ffffff" && math.Abs(p.points[0].X-0.8-origin-middle*k) < 1e-3 && math.Abs(p.points[0].Y-axis) < 1e-3
		}
		if !found {
			t.Errorf("no dimension begins at %.3f mm", middle)
		}
	}
	for _, name := range []string{"+y +5.00 mm", "+z +5.00 mm", "−y +5.00 mm", "−z +5.00 mm"} {
		boxOf(t, l.scene, strings.Replace(name, " mm", "\u00A0mm", 1))
	}
}

// TestBoxSection: in the sense of growing φ the faces +y, +z, −y, −z run toward +z, −y,
// −z, +y; a grid 5 mm from the middle of each stands there, just outside.
func TestBoxSection(t *testing.T) {
	d := predictedText(t, boxed)
	s := sectionView(d, layout.Words{})
	k := statedScale(t, s)
	var bars []shape
	for _, p := range svgShapes(t, s) {
		if p.Width == "1" && p.Stroke == "#1f4e79" {
			bars = append(bars, p)
		}
	}
	c := drawing.At(sectionWidth/2, viewTop+(viewHeight-viewTop)/2)
	for i, want := range [4][2]float64{{30*k + 0.75, 5 * k}, {-5 * k, 20*k + 0.75}, {-30*k - 0.75, -5 * k}, {5 * k, -20*k - 0.75}} {
		m := mean(bars[i].points)
		if math.Abs(m.X-c.X-want[0]) > 1e-3 || math.Abs(c.Y-m.Y-want[1]) > 1e-3 {
			t.Errorf("grid %d at y %.3f, z %.3f mm of paper, want %v", i, m.X-c.X, c.Y-m.Y, want)
		}
		a, b := bars[i].points[0], bars[i].points[len(bars[i].points)-1]
		if long := math.Hypot(a.X-b.X, a.Y-b.Y); math.Abs(long-4*k) > 2e-3 {
			t.Errorf("grid %d is %.3f mm long, want %.3f", i, long, 4*k)
		}
	}
}

// TestAngleOutline: the outline of an angle, seen from +x with y to the right and z up,
// has its corners where the design has them, about the centroid of its two legs.
func TestAngleOutline(t *testing.T) {
	d := predictedText(t, strings.NewReplacer("{shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}",
		"{shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 12 mm], [16 mm, 12 mm], [16 mm, 60 mm], [0 mm, 60 mm]]}",
		"face: +y, across: 5 mm", "face: 1", "face: +z, across: 5 mm", "face: 3", "face: -y, across: 5 mm", "face: 4", "face: -z, across: 5 mm", "face: 6").Replace(boxed))
	s := sectionView(d, layout.Words{})
	k := statedScale(t, s)
	var got []drawing.Point
	for _, p := range svgShapes(t, s) {
		if p.Width == "0.5" && len(p.points) > 4 {
			got = p.points
		}
	}
	want := [][2]float64{{0, 0}, {40, 0}, {40, 12}, {16, 12}, {16, 60}, {0, 60}}
	if len(got) < len(want) {
		t.Fatalf("%d corners", len(got))
	}
	for i, w := range want {
		if math.Abs(got[i].X-got[0].X-w[0]*k) > 1e-3 || math.Abs(got[0].Y-got[i].Y-w[1]*k) > 1e-3 {
			t.Errorf("corner %d at %v, want %v from %v at %g", i, got[i], w, got[0], k)
		}
	}
	// Upright leg 16 × 60 and the rest of the level one, 24 × 12.
	y := (16*60*8.0 + 24*12*28) / (16*60 + 24*12)
	z := (16*60*30.0 + 24*12*6) / (16*60 + 24*12)
	found := false
	for _, p := range svgShapes(t, s) { // the axis +y
		found = found || p.Width == "0.18" && len(p.points) == 2 && math.Abs(p.points[0].Y-(got[0].Y-z*k)) < 1e-3 && math.Abs(p.points[1].Y-p.points[0].Y) < 1e-6
	}
	if !found {
		t.Errorf("no axis at z %.3f mm", z)
	}
	said := ""
	for _, b := range s.TextBoxes() {
		said += strings.ReplaceAll(b.Text, "\u00A0", " ") + "\n"
	}
	if words := fmt.Sprintf("centroid C at y %.2f, z %.2f", y, z); !strings.Contains(said, words) {
		t.Errorf("%q is not said in\n%s", words, said)
	}
}

// TestBoxSide: seen toward +y, a grid on −y is in front and drawn solid at its true
// size, 5 mm below the middle; that on +y is behind and dashed, 5 mm above; those on
// +z and −z stand as bars above and below.
func TestBoxSide(t *testing.T) {
	d := predictedText(t, boxed)
	s := sideView(d, layout.Words{}, 110)
	k := statedScale(t, s)
	var b bytes.Buffer
	if err := s.WriteSVG(&b); err != nil {
		t.Fatal(err)
	}
	var axis float64
	var outlines, bars []shape
	for _, p := range svgShapes(t, s) {
		switch {
		case p.Width == "0.18" && len(p.points) == 2:
			axis = p.points[0].Y
		case p.Stroke == "#1f4e79" && strings.HasSuffix(p.D, "Z"):
			outlines = append(outlines, p)
		case p.Stroke == "#1f4e79" && p.Width == "0.9":
			bars = append(bars, p)
		}
	}
	if len(outlines) != 4 || len(bars) != 2 {
		t.Fatalf("%d outlines, %d bars", len(outlines), len(bars))
	}
	if up := axis - mean(outlines[0].points).Y; math.Abs(up-5*k) > 0.01 {
		t.Errorf("the grid on +y is %.3f mm above the axis, want %.3f", up, 5*k)
	}
	if up := axis - mean(outlines[2].points).Y; math.Abs(up+5*k) > 0.01 {
		t.Errorf("the grid on −y is %.3f mm above the axis, want %.3f", up, -5*k)
	}
	if n := strings.Count(b.String(), `stroke-dasharray="0.9 0.6"`); n != 1 {
		t.Errorf("%d grids dashed, want the one on +y", n)
	}
	for i, want := range []float64{20*k + 0.7, -20*k - 0.7} {
		if up := axis - mean(bars[i].points).Y; math.Abs(up-want) > 1e-3 {
			t.Errorf("bar %d is %.3f mm above the axis, want %.3f", i, up, want)
		}
	}
}

// TestSeen: in a channel whose web is at the left, open to +y, seen from −y: the web's
// outside is in front, its inside and what faces +y is not.
func TestSeen(t *testing.T) {
	d := predictedText(t, strings.NewReplacer("{shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}",
		"{shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 12 mm], [12 mm, 12 mm], [12 mm, 48 mm], [40 mm, 48 mm], [40 mm, 60 mm], [0 mm, 60 mm]]}",
		"face: +y, across: 5 mm", "face: 1", "face: +z, across: 5 mm", "face: 4", "face: -y, across: 5 mm", "face: 8", "face: -z, across: 5 mm", "face: 7").Replace(boxed))
	for i, want := range []bool{true, false, true, true} {
		if got := seen(d.Result.State.Section, d.Result.State.Placements[i].Coordinate.S); got != want {
			t.Errorf("placement %d: seen %v, want %v", i, got, want)
		}
	}
}

package pick

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gridwright/internal/check"
	"gridwright/internal/designfile"
)

// Parts are invented.
const (
	boxPart   = "{shape: box, width: 60 mm, height: 40 mm, wall: 2 mm, corner-radius: 3 mm}"
	barPart   = "{shape: rectangle, width: 60 mm, height: 12 mm}"
	hexPart   = "{shape: regular-polygon, sides: 6, across-flats: 40 mm}"
	flatPart  = "{shape: flatted-round, outside-diameter: 30 mm, flats: [{normal: 0°, across: 12 mm}, {normal: 180°, across: 12 mm}]}"
	anglePart = "{shape: polygon, outline: [[0 mm, 0 mm], [50 mm, 0 mm], [50 mm, 8 mm], [8 mm, 8 mm], [8 mm, 50 mm], [0 mm, 50 mm]]}"
	keyPart   = "{shape: keyed-round, outside-diameter: 40 mm, key-width: 10 mm, key-depth: 5 mm}"
)

// onFaces names where the gauges of a candidate stand.
func onFaces(c *Candidate) string {
	var out []string
	for _, p := range designfile.Describe(c.Design).Placements {
		switch {
		case p.Face == "":
			out = append(out, p.Around)
		case p.Across == "0 mm":
			out = append(out, p.Face)
		default:
			out = append(out, p.Face+" "+p.Across)
		}
	}
	return strings.Join(out, ", ")
}

// Torque of a box from pairs at ±45°: opposite each other on the middles of the
// wide faces, in a full bridge. By Bredt's formulas, with A₀ the area in the middle
// line of the wall and p that line's length (any text on strength of materials),
//
//	τ = T/(2 A₀ t),  J = 4A₀² t/p
//
// and the shear grows toward the outside by the twist of the wall itself, T/J·t, and
// to the foil h above it by 2h T/J; the output is F·γ/2.
func TestBoxTorqueOnTheWideFaces(t *testing.T) {
	for _, c := range []struct{ section, faces string }{
		{boxPart, "+z, -z"},
		{"{shape: box, width: 40 mm, height: 60 mm, wall: 2 mm, corner-radius: 3 mm}", "+y, -y"},
	} {
		w := winner(t, text(c.section, []string{"torque: 300 N·m measure", "bending-y: 200 N·m reject", "bending-z: 200 N·m reject"}, []string{"pair"}, ""))
		expect(t, "faces", onFaces(w), c.faces)
		expect(t, "torque bridge", arms(w.Design, "T"), "A2, A1, B2, B1")
		middle := 58.0*38 - (4-math.Pi)*2*2 // mm², corners of radius 2 mm in the middle line
		line := 2*(58.0+38) - (8-2*math.Pi)*2
		tau := 300 / (2 * middle * 1e-6 * 0.002) * (1 + line/(2*middle)*(2+2*0.05))
		want := 2.08 * tau / (205e9 / (2 * 1.29)) / 2
		if got := w.Metrics.Output; math.Abs(got/want-1) > 0.005 {
			t.Errorf("output %g, thin wall %g", got, want)
		}
		if !w.Metrics.Opposite || w.Metrics.Full != 1 || !strings.Contains(w.Why, "shear pairs (pair) on the faces "+strings.Replace(c.faces, ",", " and", 1)[:2]) {
			t.Errorf("%+v\n%s", w.Metrics, w.Why)
		}
	}
}

// Bending: two gauges on the faces farthest from the axis, a half bridge of
// F·ε/2 each … (1 − νKt)/(1 − 0.285Kt), ε = M·c/(E·I), I = b·h³/12 of a rectangle.
func TestBendingOnTheFarFaces(t *testing.T) {
	const b, h = 0.060, 0.040
	section := "{shape: rectangle, width: 60 mm, height: 40 mm}"
	for _, c := range []struct {
		load, faces, arms string
		strain            float64
	}{
		{"bending-y", "+z, -z", "A1, B1, 350 Ω, 350 Ω", 200 * (h / 2) / (205e9 * b * h * h * h / 12)},
		{"bending-z", "+y, -y", "B1, A1, 350 Ω, 350 Ω", 200 * (b / 2) / (205e9 * h * b * b * b / 12)},
	} {
		w := winner(t, text(section, []string{c.load + ": 200 N·m measure", "axial: 10 kN reject"}, []string{"single"}, "pick: {at-most: 2}\n"))
		expect(t, c.load+" faces", onFaces(w), c.faces)
		b := &w.Result.Bridges[0]
		expect(t, c.load+" arms", arms(w.Design, b.Name), c.arms)
		want := 2.1 / (1 - 0.285*0.005) * (1 - 0.29*0.005) * c.strain / 2
		if got := b.Sensitivity[b.Target] * 200; math.Abs(got/want-1) > 1e-6 {
			t.Errorf("%s: output %g, by hand %g", c.load, got, want)
		}
	}
	// A flat bar: about its weak axis on the wide faces.
	w := winner(t, text(barPart, []string{"bending-y: 30 N·m measure", "bending-z: 30 N·m reject", "axial: 1 kN reject"}, []string{"single"}, ""))
	expect(t, "flat bar", onFaces(w), "+z, -z")
}

// Axial force from tees on opposite faces: blind to both bendings and to torque.
func TestAxialFromTeesOnFaces(t *testing.T) {
	w := winner(t, text(boxPart, []string{"axial: 30 kN measure", "bending-y: 200 N·m reject", "bending-z: 200 N·m reject", "torque: 100 N·m reject"}, []string{"tee"}, ""))
	expect(t, "faces", onFaces(w), "+z, -z")
	expect(t, "axial bridge", arms(w.Design, "N"), "A1, A2, B1, B2")
	area := (60*40 - (4-math.Pi)*9) - (56*36 - (4-math.Pi)*1) // mm², outer radius 3, inner 1
	strain := 30e3 / (area * 1e-6 * 205e9)
	b := &w.Result.Bridges[0]
	want := 2.1 / (1 - 0.285*0.005) * strain * 1.29 * (1 - 0.005) / 2
	if got := b.Sensitivity[b.Target] * 30e3; math.Abs(got/want-1) > 1e-8 {
		t.Errorf("output %g, by hand %g", got, want)
	}
	if !(w.Metrics.Crosstalk.Value < 1e-6) {
		t.Errorf("crosstalk %+v", w.Metrics.Crosstalk)
	}
}

// A hexagonal shaft: opposite faces. The greatest shear, at the middle of a face, is
// T/(0.188 d³) of the distance d across the flats (textbooks on strength of
// materials, from memory; a grid of 3 mm at 45° on faces of 23 mm averages 1 % less).
func TestHexagonTorque(t *testing.T) {
	w := winner(t, text(hexPart, []string{"torque: 300 N·m measure", "bending-y: 200 N·m reject", "bending-z: 200 N·m reject"}, []string{"pair"}, ""))
	expect(t, "faces", onFaces(w), "+y, -y")
	expect(t, "torque bridge", arms(w.Design, "T"), "A2, A1, B2, B1")
	want := 2.08 * 300 / (0.188 * math.Pow(0.040, 3)) / (205e9 / (2 * 1.29)) / 2
	if got := w.Metrics.Output; math.Abs(got/want-1) > 0.02 {
		t.Errorf("output %g, handbook %g", got, want)
	}
}

// A shaft with two flats: pairs on the flats, where the shear is greatest, not on
// the round between them; the reason names that.
func TestTwoFlats(t *testing.T) {
	out := find(t, read(t, text(flatPart, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, []string{"pair"}, "")), Options{})
	expect(t, "faces", onFaces(&out.Candidates[0]), "+y, -y")
	expect(t, "then", onFaces(&out.Candidates[1]), "90°, 270°")
	if a, b := out.Candidates[0].Metrics.Output, out.Candidates[1].Metrics.Output; !(a > 1.2*b) || !strings.Contains(out.Candidates[1].Why, "least rated output") {
		t.Errorf("flats %g, round %g: %s", a, b, out.Candidates[1].Why)
	}
}

// An angle section: gauges on its faces, none right at the re-entrant corner where
// the shear has no bound, and the words say which face. A gauge too wide for every
// face is refused with both widths.
func TestAngleSection(t *testing.T) {
	loads := []string{"torque: 30 N·m measure", "bending-y: 100 N·m reject"}
	out := find(t, read(t, text(anglePart, loads, []string{"pair"}, "")), Options{All: true})
	if !out.Met {
		t.Fatal(out.Nearest)
	}
	for _, c := range out.Candidates {
		for _, p := range c.Design.Placements {
			// Faces 3 and 4 meet at the re-entrant corner.
			if (p.Face == "3" || p.Face == "4") && math.Abs(p.Across.SI) > 0.012 {
				t.Errorf("candidate %d: face %s at %g m", c.Rank, p.Face, p.Across.SI)
			}
		}
	}
	if !strings.Contains(out.Candidates[0].Why, "face ") {
		t.Error(out.Candidates[0].Why)
	}
	gaugeTexts["wide"] = strings.Replace(gaugeTexts["pair"], "grid:", "backing: {length: 60 mm, width: 60 mm}, grid:", 1)
	out = find(t, read(t, text(anglePart, loads, []string{"wide"}, "")), Options{})
	if out.Met || len(out.Candidates) != 0 || !strings.Contains(out.Nearest, "the longest face or curve is 50.0 mm and the smallest backing is 60.0 mm") {
		t.Errorf("too wide: %s", out.Nearest)
	}
}

// No gauge stands on the floor of a keyway or on a corner radius, whatever room
// there is.
func TestNoGaugeInSlotsAndOnCorners(t *testing.T) {
	gaugeTexts["tiny"] = "pattern: shear-pair, grid: {length: 1 mm, width: 0.8 mm}, resistance: 350 Ω, gauge-factor: 2.08"
	for _, section := range []string{keyPart, "{shape: box, width: 60 mm, height: 40 mm, wall: 9 mm, corner-radius: 10 mm}"} {
		out := find(t, read(t, text(section, []string{"torque: 100 N·m measure"}, []string{"tiny"}, "pick: {at-most: 1}\n")), Options{All: true})
		for _, c := range out.Candidates {
			p := c.Design.Placements[0]
			keyed := strings.Contains(section, "keyed")
			if keyed == (p.Face != "") {
				t.Errorf("%s: %s", section, onFaces(&c))
			}
		}
		if len(out.Candidates) < 2 {
			t.Errorf("%s: %d candidates", section, len(out.Candidates))
		}
	}
}

// Shear force from pairs: its shear is none at the middle of the faces that it
// points at, so that it takes the other two, or places off the middle.
func TestShearForceOfABox(t *testing.T) {
	loads := []string{"torque: 300 N·m measure", "shear-z: 2 kN measure"}
	w := winner(t, text(boxPart, loads, []string{"pair"}, ""))
	expect(t, "faces", onFaces(w), "+y, +z, -y")
	expect(t, "shear bridge", arms(w.Design, "Vz"), "A2, A1, C1, C2")
	// With those two faces kept out it is pairs off the middle of the others.
	out := find(t, read(t, text(boxPart, loads, []string{"pair"}, "pick: {keep-out: [[-20°, 20°], [160°, 200°]]}\nrequire: {crosstalk: {at-most: 1 %}}\n")), Options{})
	if !out.Met {
		t.Fatal(out.Nearest)
	}
	off := 0
	for _, p := range out.Candidates[0].Design.Placements {
		if p.Face == "+y" || p.Face == "-y" {
			t.Errorf("face %s is kept out", p.Face)
		}
		if p.Across.SI != 0 {
			off++
		}
	}
	if off < 2 {
		t.Errorf("%s", onFaces(&out.Candidates[0]))
	}
}

// A circle that is drawn as a polygon is a shaft: the same arrangement as on the
// round one, and its output to what 48 sides leave.
func TestDrawnCircle(t *testing.T) {
	var points []string
	const n = 48
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / n)
		points = append(points, fmt.Sprintf("[%.6f mm, %.6f mm]", 15*cos, 15*sin))
	}
	loads := []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject", "bending-z: 50 N·m reject"}
	drawn := winner(t, text("{shape: polygon, outline: ["+strings.Join(points, ", ")+"]}", loads, []string{"pair"}, ""))
	turned := winner(t, text(shaft, loads, []string{"pair"}, ""))
	expect(t, "arms", arms(drawn.Design, "T"), arms(turned.Design, "T"))
	expect(t, "places", onFaces(drawn), "0°, 180°")
	if a, b := drawn.Metrics.Output, turned.Metrics.Output; math.Abs(a/b-1) > 0.01 {
		t.Errorf("drawn %g, round %g", a, b)
	}
}

// Every candidate on faces, spliced into the text and read again, predicts the same
// and shows no overlap, no gauge off the part and none in a sector kept out.
func TestFaceCandidatesReadBack(t *testing.T) {
	for _, c := range []struct {
		section, gauge string
		loads          []string
	}{
		{boxPart, "rosette", []string{"torque: 300 N·m measure", "bending-y: 200 N·m measure", "shear-z: 1 kN reject"}},
		{hexPart, "pair", []string{"torque: 300 N·m measure", "bending-y: 200 N·m reject"}},
		{flatPart, "pair", []string{"torque: 100 N·m measure", "bending-z: 50 N·m reject"}},
		{anglePart, "tee", []string{"axial: 20 kN measure", "bending-y: 50 N·m reject"}},
		{keyPart, "pair", []string{"torque: 100 N·m measure", "axial: 10 kN reject"}},
	} {
		base := text(c.section, c.loads, []string{c.gauge}, "pick: {at-most: 3, keep-out: [[100°, 130°]]}\nrequire: {crosstalk: {at-most: 2 %}}\n")
		out := find(t, read(t, base), Options{})
		if len(out.Candidates) < 2 {
			t.Fatalf("%s: %d candidates: %s", c.section, len(out.Candidates), out.Nearest)
		}
		for _, one := range out.Candidates {
			spliced, err := designfile.Splice([]byte(base), designfile.Describe(one.Design))
			if err != nil {
				t.Fatal(err)
			}
			again := find1(t, string(spliced))
			for i := range one.Result.Bridges {
				a, b := &one.Result.Bridges[i], &again.Bridges[i]
				for j := range a.Sensitivity {
					if math.Abs(a.Sensitivity[j]-b.Sensitivity[j]) > 1e-7*math.Abs(a.Sensitivity[a.Target]) {
						t.Fatalf("%s, candidate %d: sensitivity %d of %s is %g, read back %g\n%s", c.section, one.Rank, j, a.Name, a.Sensitivity[j], b.Sensitivity[j], spliced)
					}
				}
			}
			if one.Rank > 1 {
				continue
			}
			for _, f := range check.Of(again) {
				if slices.Contains([]string{"overlap", "outline", "keep-out"}, f.Rule) && f.Level == check.Fail {
					t.Errorf("%s, candidate %d (%s): %s", c.section, one.Rank, onFaces(&one), f.Message)
				}
			}
		}
	}
}

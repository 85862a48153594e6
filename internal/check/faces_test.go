package check

import (
	"math"
	"strings"
	"testing"

	"gridwright/internal/predict"
)

// bar is an invented square bar with a shear pair in the middle of two opposite faces.
const bar = `
gridwright: 1
title: invented square bar of the tests
part:
  material: {name: invented steel, youngs-modulus: 200 GPa, poisson-ratio: 0.3, density: 7850 kg/m³, expansion: 11 ppm/K, yield: 700 MPa}
  section: {shape: rectangle, width: 30 mm, height: 30 mm}
  straight-length: {from: -150 mm, to: 150 mm}
loads:
  torque:    {rated: 500 N·m, use: measure}
  bending-y: {rated: 100 N·m, use: reject}
gauges:
  S: {pattern: shear-pair, grid: {length: 2 mm, width: 2 mm}, backing: {length: 6 mm, width: 10 mm}, resistance: 350 Ω, gauge-factor: 2, max-strain: 3000 µε}
placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}
placements:
  A: {gauge: S, face: +z}
  B: {gauge: S, face: -z}
bridges:
  T: {measures: torque, arms: [A2, A1, B2, B1]}
`

// hollow is an invented box with a single grid along each wide face.
const hollow = `
gridwright: 1
title: invented box of the tests
part:
  material: {name: invented steel, youngs-modulus: 200 GPa, poisson-ratio: 0.3, density: 7850 kg/m³, expansion: 11 ppm/K, yield: 700 MPa}
  section: {shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}
  straight-length: {from: -250 mm, to: 250 mm}
loads:
  bending-y: {rated: 300 N·m, use: measure}
  axial:     {rated: 0 N, use: reject}
gauges:
  S: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2, max-strain: 3000 µε}
placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}
placements:
  A: {gauge: S, face: +z}
  B: {gauge: S, face: -z}
bridges:
  By: {measures: bending-y, arms: [A1, B1, 350 Ω, 350 Ω]}
`

// Torsion of a square bar of side a: J = 0.140577 a⁴, greatest shear T/(0.208174 a³), by
// the series of Timoshenko and Goodier, Theory of Elasticity, art. 109 (digits from memory).
const squareJ, squareW = 0.140577, 0.208174

// Restrained warping of a channel by Vlasov's theory (from memory): flanges b and web h
// to the middle lines, one thickness t,
//
//	Iω = b³h²t/12 · (3b + 2h)/(6b + h),  J = t³(2b + h)/3,  λ = √(E Iω/GJ)
//
// The program's estimate is of walls of a thickness, hence the tolerance.
var channelDecay = func() float64 {
	const b, h, t = 30.0, 60.0, 3.0
	i := b * b * b * h * h * t / 12 * (3*b + 2*h) / (6*b + h)
	return 1e-3 * math.Sqrt(2.6*i/(t*t*t*(2*b+h)/3))
}()

var channel = []string{"{shape: rectangle, width: 30 mm, height: 30 mm}",
	"{shape: polygon, outline: [[0 mm, 0 mm], [31.5 mm, 0 mm], [31.5 mm, 3 mm], [3 mm, 3 mm], [3 mm, 60 mm], [31.5 mm, 60 mm], [31.5 mm, 63 mm], [0 mm, 63 mm]]}",
	"A: {gauge: S, face: +z}", "A: {gauge: S, face: -y, across: 10 mm}", "B: {gauge: S, face: -z}", "B: {gauge: S, face: -y, across: -10 mm}", "rated: 500 N·m", "rated: 10 N·m"}

// thinPlate is k π²E/12(1−ν²)(t/b)² of a plate of 198 mm by 1 mm held along both edges
// (Timoshenko and Gere, Theory of Elastic Stability; from memory), and thinShear the
// stress of 1000 N·m in a box of 200 mm by Bredt's formula.
var (
	thinPlate = 4 * math.Pi * math.Pi * 200e9 / 12 / 0.91 / 200 / 200
	thinMises = math.Sqrt(3) * 1000 / (2 * 0.199 * 0.199 * 0.001)
)

var badFaces = []badDesign{
	// half a backing of 10 mm at 6 mm from the middle of a face of 30 mm, 11 mm beyond 15 mm
	{"a backing over the edge", bar, []string{"A: {gauge: S, face: +z}", "A: {gauge: S, face: +z, across: -12 mm}"},
		"edge", "", Warning, 0.002, 0, 1e-9, "face: +z, across: -10 mm", true},
	{"grids over each other on a face", bar, []string{"B: {gauge: S, face: -z}", "B: {gauge: S, face: +z, across: 7 mm}"},
		"overlap", "", Fail, 0.003, 0, 1e-9, "move placement B to station: 6 mm", true},
	{"two gauges on a face, along it taken", bar, []string{"B: {gauge: S, face: -z}", "B: {gauge: S, face: -z}\n  C: {gauge: S, face: +z, across: 9 mm}"},
		"overlap", "", Fail, 0.001, 0, 1e-9, "", true},
	{"stand-off on a flat", bar, []string{"gauge-factor: 2,", "gauge-factor: 2, stand-off: 0.1 mm,"},
		"stand-off", "", Note, 2 * 0.1e-3 * squareW / squareJ / 0.030, nan, 1e-4, "", false},
	{"blind on two faces", hollow, []string{"bending-y", "torque"},
		"blind", "By", Fail, 0, 0, 1e-9, "", true},
	{"bending grids on the neutral faces", hollow, []string{"face: +z", "face: +y", "face: -z", "face: -y"},
		"blind", "By", Fail, 0, 0, 1e-6, "face: +z for arms 1 and 3 and at face: -z", false},
	// a grid of one face alone sees axial force: the other is wanted on the face opposite
	{"one grid on a face", hollow, []string{"[A1, B1, 350 Ω, 350 Ω]", "[A1, 350 Ω, 350 Ω, 350 Ω]", "  B: {gauge: S, face: -z}\n", "", "rated: 0 N", "rated: 10 kN"},
		"crosstalk", "By", Fail, 10e3 / 540.823e-6 / (300 * 0.020 / 134395e-12), 0.05, 1e-3, "bond B: {gauge: S, station: 0 mm, face: -z, across: 0 mm, direction: 0°}", true},
	// keyway floor and sides meet without a fillet; a twentieth of the diameter, 39.5 mm as
	// the outline is sampled
	{"a keyway with sharp corners", bar, []string{"{shape: rectangle, width: 30 mm, height: 30 mm}", "{shape: keyed-round, outside-diameter: 40 mm, key-width: 12 mm, key-depth: 5 mm, key-at: 90°}",
		"face: +z", "around: 0°", "face: -z", "around: 180°"},
		"re-entrant", "", Note, 0.002, nan, 0.02, "features", false},
	{"a channel held at its ends", bar, channel,
		"warping", "", Warning, 0.150 - 0.001*math.Sqrt2, channelDecay, 0.12, "straight-length", true},
	{"a thin box", hollow, []string{"{shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}", "{shape: box, width: 200 mm, height: 200 mm, wall: 1 mm}",
		"axial:     {rated: 0 N, use: reject}", "torque: {rated: 1000 N·m, use: reject}", "rated: 300 N·m", "rated: 0.001 N·m", "-250 mm, to: 250 mm", "-900 mm, to: 900 mm"},
		"buckling", "", Warning, 200, 200 * math.Sqrt(thinPlate/thinMises), 0.02, "thicken the wall", false},
	{"a keep-out sector over a face", bar, []string{"gauges:", "pick: {keep-out: [[80°, 85°]]}\ngauges:"},
		// half a backing of 10 mm at 15 mm from the axis
		"keep-out", "", Fail, 85*deg - (90*deg - math.Atan2(5, 15)), 0, 1e-9, "face: +z, across: ", true},
	{"a spinning bar", hollow, []string{"loads:", "  speed: 3000 rpm\n  transmission: telemetry\nloads:"},
		"rotation", "By", Note, nan, nan, 1, "running speed", false},
	{"the end of a bar", bar, []string{"face: +z}", "face: +z, station: 140 mm}", "face: -z}", "face: -z, station: 140 mm}"},
		"end", "", Warning, 0.010 - 0.001*math.Sqrt2, 0.030 * math.Sqrt2, 1e-9, "move placements A and B to station: ", true},
	// fully plastic design is far away: twice yield at rated load is not
	{"a box that yields", hollow, []string{"rated: 300 N·m", "rated: 6000 N·m"},
		"overload", "", Fail, 700e6 / (6000 * 0.020 / 134395e-12), 1, 1e-3, "wall: ", true},
}

// Gauges on adjacent faces never overlap, however near the edge; on one face they do.
func TestFacesArePartedByEdges(t *testing.T) {
	text := with(t, bar, "A: {gauge: S, face: +z}", "A: {gauge: S, face: +z, across: 11.5 mm}", "B: {gauge: S, face: -z}", "B: {gauge: S, face: -y, across: -11.5 mm}")
	// developed, their middles lie 7 mm apart and the backings of 10 mm would overlap
	if f := find(judged(t, read(t, text)), "overlap", ""); f != nil {
		t.Errorf("across an edge: %s", f.Message)
	}
	text = with(t, bar, "A: {gauge: S, face: +z}", "A: {gauge: S, face: +z, across: -3 mm}", "B: {gauge: S, face: -z}", "B: {gauge: S, face: +z, across: 3 mm}")
	if f := find(judged(t, read(t, text)), "overlap", ""); f == nil {
		t.Error("on one face: no overlap")
	}
}

// An outline of 200 short sides is one curve: gauges on neighbouring sides do overlap.
func TestDrawnCurveIsOneFace(t *testing.T) {
	var points []string
	for k := range 200 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 200)
		points = append(points, "["+mm(0.025*cos)+", "+mm(0.025*sin)+"]")
	}
	text := with(t, bar, "{shape: rectangle, width: 30 mm, height: 30 mm}", "{shape: polygon, outline: ["+strings.Join(points, ", ")+"]}",
		"A: {gauge: S, face: +z}", "A: {gauge: S, around: 80°}", "B: {gauge: S, face: -z}", "B: {gauge: S, around: 90°}")
	findings := judged(t, read(t, text))
	if f := find(findings, "overlap", ""); f == nil {
		t.Error("no overlap")
	} else {
		// 10° of a radius of 25 mm between the middles of backings 10 mm wide
		number(t, "depth", f.Value, 0.010-10*deg*0.025, 1e-2)
	}
	if f := find(findings, "edge", ""); f != nil {
		t.Errorf("an edge on a curve: %s", f.Message)
	}
}

// A solution that is not accurate is a warning with the worse of both errors.
func TestAccuracy(t *testing.T) {
	r, err := predict.Of(read(t, bar))
	if err != nil {
		t.Fatal(err)
	}
	if find(Of(r), "accuracy", "") != nil {
		t.Fatal("a square bar is solved well")
	}
	r.Section.StressError = 4e-3
	f := find(Of(r), "accuracy", "")
	if f == nil || f.Level != Warning {
		t.Fatal("no warning")
	}
	number(t, "value", f.Value, 4e-3, 1e-12)
	number(t, "limit", f.Limit, 1e-3, 1e-12)
}

// The inside of a box whose hole has sharp corners may bear more than the outside; the
// note states the stress of a search along the hole.
func TestHoleIsJudged(t *testing.T) {
	d := read(t, with(t, hollow, "axial:     {rated: 0 N, use: reject}", "torque: {rated: 600 N·m, use: reject}"))
	findings := judged(t, d)
	f := find(findings, "bore", "")
	if f == nil || f.Level != Note || !strings.Contains(f.Message, "hole") {
		t.Fatalf("found\n%s", words(findings))
	}
	// weaker, it yields there first
	yield := *f.Value * 0.99
	d.Part.Material.Yield.SI = yield
	f = find(judged(t, d), "bore", "")
	if f == nil || f.Level != Fail {
		t.Fatal("the hole yields and nothing is said")
	}
	if f.Apply == nil || !strings.Contains(f.Remedy, "mm") {
		t.Errorf("remedy %q", f.Remedy)
	}
}

// A remedy that would lay a grid over an edge is no remedy: a rosette that fills its
// face is never turned.
func TestRemediesKeepGridsOnTheirFaces(t *testing.T) {
	d := read(t, with(t, bar, "width: 30 mm, height: 30 mm", "width: 8 mm, height: 30 mm",
		"pattern: shear-pair, grid: {length: 2 mm, width: 2 mm}, backing: {length: 6 mm, width: 10 mm}", "pattern: single, grid: {length: 9 mm, width: 2 mm}",
		"[A2, A1, B2, B1]", "[A1, B1, 350 Ω, 350 Ω]", "rated: 500 N·m", "rated: 5 N·m"))
	for _, f := range judged(t, d) {
		if f.Apply == nil {
			continue
		}
		c := d.Clone()
		if err := f.Apply(c); err != nil {
			t.Fatal(err)
		}
		r, err := predict.Of(c)
		if err != nil {
			t.Fatal(err)
		}
		if !lies(r) {
			t.Errorf("%s lays a grid over an edge", f.Remedy)
		}
	}
	turned := d.Clone()
	set(&turned.Placements[0].Direction, 90*deg, "90°")
	r, err := predict.Of(turned)
	if err != nil {
		t.Fatal(err)
	}
	if lies(r) {
		t.Error("a grid of 9 mm across a face of 8 mm lies on it")
	}
}

// Defaults named for placements on faces are those that hold there.
func TestPlacementTolerancesOnFaces(t *testing.T) {
	f := find(judged(t, read(t, with(t, bar, "placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}\n", ""))), "placement-tolerance", "")
	if f == nil || strings.Contains(f.Message, "around") || !strings.Contains(f.Message, "station") {
		t.Errorf("%+v", f)
	}
}

package pick

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/section"
)

var sectionParts = []string{
	boxPart, barPart, hexPart, flatPart, anglePart, keyPart,
	"{shape: ellipse, width: 40 mm, height: 25 mm}",
	"{shape: rectangle, width: 40 mm, height: 40 mm, corner-radius: 3 mm}",
	"{shape: regular-polygon, sides: 5, across-flats: 40 mm, turned: 13°}",
}

func chart(t testing.TB, part string, loads []string, more string) *problem {
	t.Helper()
	p, err := newProblem(read(t, text(part, loads, []string{"pair"}, more)))
	if err != nil {
		t.Fatal(err)
	}
	p.chart()
	return p
}

// A symmetry of the section moves arc lengths as it moves points, and the torsion
// shear is the same at a place and its image.
func TestSymmetriesMovePoints(t *testing.T) {
	counts := map[string]int{boxPart: 4, hexPart: 12, anglePart: 2, keyPart: 2, sectionParts[7]: 8, sectionParts[8]: 10}
	for _, part := range sectionParts {
		p := chart(t, part, []string{"torque: 100 N·m measure"}, "")
		if want, known := counts[part]; known {
			expect(t, part+" symmetries", len(p.symmetries), want)
		}
		c := p.section.Properties()
		girth := p.section.Perimeter(0)
		rapid.Check(t, func(t *rapid.T) {
			s := rapid.Float64Range(0, girth).Draw(t, "s")
			e := &p.symmetries[rapid.IntRange(0, len(p.symmetries)-1).Draw(t, "element")]
			y, z := p.section.Point(section.Coordinate{S: s})
			gotY, gotZ := p.section.Point(section.Coordinate{S: e.image(s)})
			m := e.matrix()
			y, z = y-c.CentroidY, z-c.CentroidZ
			y, z = m[0][0]*y+m[0][1]*z+c.CentroidY, m[1][0]*y+m[1][1]*z+c.CentroidZ
			if math.Hypot(gotY-y, gotZ-z) > 1e-8 {
				t.Fatalf("%s: %+v brings %g m to (%g, %g), not (%g, %g)", part, e, s, gotY, gotZ, y, z)
			}
		})
	}
}

// Places of a gauge hold its backing, come with all their images, and lead back to
// themselves by what a design file says of them.
func TestSpots(t *testing.T) {
	for _, part := range sectionParts {
		p := chart(t, part, []string{"torque: 100 N·m measure", "shear-z: 1 kN reject"}, "")
		girth := p.section.Perimeter(0)
		for _, turned := range []int{0, 45, 90} {
			spots := p.spots(0, turned)
			for i := range spots {
				s := &spots[i]
				pl := design.Placement{Gauge: 0, Face: s.face, FaceIndex: s.index, Across: si(s.across, ""), Around: si(s.angle*deg, "")}
				if d := apart(p.along(&pl), s.at, girth); d > 1e-8 {
					t.Errorf("%s: %s is %g m off", part, s.words(), d)
				}
				if s.face != "" {
					if at, err := section.FaceNamed(p.section, s.face); err != nil || at != s.index {
						t.Errorf("%s: face %s is %d, %v", part, s.face, at, err)
					}
				}
				for _, e := range p.symmetries {
					if !slices.ContainsFunc(spots, func(o spot) bool { return apart(o.at, e.image(s.at), girth) < 1e-6 }) {
						t.Errorf("%s: %s has no image by %+v", part, s.words(), e)
					}
				}
			}
			if len(spots) == 0 && turned == 0 {
				t.Errorf("%s: no place", part)
			}
		}
	}
}

// What is folded loses nothing: every placement set of the whole list, folded by
// nothing, has one among those that are kept with the same best bridges.
func TestFoldedSetsAreTheSame(t *testing.T) {
	const square = "{shape: rectangle, width: 40 mm, height: 40 mm}"
	for _, c := range []struct {
		part  string
		loads []string
		more  string
		group int // of the symmetries that keep the problem
	}{
		{square, []string{"torque: 100 N·m measure"}, "", 8},
		{square, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, "", 4},
		{square, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject", "bending-z: 50 N·m reject"}, "", 8},
		{square, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject", "bending-z: 40 N·m reject"}, "", 4},
		{hexPart, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, "", 4},
		{anglePart, []string{"torque: 30 N·m measure", "bending-y: 50 N·m reject"}, "", 1},
		{square, []string{"torque: 100 N·m measure"}, "pick: {keep-out: [[80°, 100°]]}\n", 1},
		{square, []string{"torque: 100 N·m measure"}, "temperature: {gradient: {across: 2 K, toward: 90°}}\n", 2},
		{"{shape: rectangle, width: 40 mm ± 0.1 mm, height: 40 mm ± 0.2 mm}", []string{"torque: 100 N·m measure"}, "", 4},
	} {
		more := c.more
		if !strings.Contains(more, "pick:") {
			more += "pick: {at-most: 2}\n"
		}
		p := chart(t, c.part, c.loads, more)
		group := p.preserving()
		expect(t, c.part+strings.Join(c.loads, ", ")+c.more, len(group), c.group)
		best := func(group []symmetryOf) (figures [][2]float64) {
			p.folded = 0
			layouts := p.faceLayouts(group)
			p.shared = &shared{problem: p, layouts: layouts}
			s := &search{problem: p, layouts: layouts, results: make([]*wired, len(layouts)), series: 2}
			if err := s.run(context.Background(), true); err != nil {
				t.Fatal(err)
			}
			for i := range layouts {
				f := [2]float64{float64(len(layouts[i].placements)), 0}
				for k := range s.results[i].sets {
					f[1] = math.Max(f[1], s.results[i].sets[k].output)
				}
				figures = append(figures, f)
			}
			return figures
		}
		kept := best(group)
		folded := p.folded
		all := best(group[:1])
		// Turns of the pattern that mirror it are folded by nothing in both.
		if c.group > 1 && folded == 0 || len(kept)+folded != len(all)+p.folded {
			t.Errorf("%s: %d kept and %d folded, of %d", c.part, len(kept), folded, len(all))
		}
		for _, a := range all {
			if !slices.ContainsFunc(kept, func(b [2]float64) bool { return a[0] == b[0] && sameTo(a[1], b[1], math.Max(1e-5, 3*p.tie)) }) {
				t.Errorf("%s: a set of %g gauges with output %g is lost", c.part, a[0], a[1])
			}
		}
	}
}

// A section turned by 90° with its loads: the same figures, on the faces turned.
func TestTurnedSectionTurnsTheAnswer(t *testing.T) {
	upright := find(t, read(t, text("{shape: box, width: 60 mm, height: 40 mm, wall: 4 mm}", []string{"bending-y: 200 N·m measure", "shear-z: 1 kN reject", "axial: 5 kN reject"}, []string{"tee"}, "")), Options{})
	aside := find(t, read(t, text("{shape: box, width: 40 mm, height: 60 mm, wall: 4 mm}", []string{"bending-z: 200 N·m measure", "shear-y: 1 kN reject", "axial: 5 kN reject"}, []string{"tee"}, "")), Options{})
	expect(t, "searched", aside.Searched, upright.Searched)
	expect(t, "upright", onFaces(&upright.Candidates[0]), "+z, -z")
	expect(t, "aside", onFaces(&aside.Candidates[0]), "+y, -y")
	if a, b := upright.Candidates[0].Metrics, aside.Candidates[0].Metrics; !sameTo(a.Output, b.Output, 1e-6) || a.Jumpers != b.Jumpers || a.Full != b.Full {
		t.Errorf("%+v\n%+v", a, b)
	}
}

// The tolerances of a placement set out of all placements together are those of its
// own, the section's dimensions included.
func TestSharedTolerances(t *testing.T) {
	part := "{shape: box, width: 60 mm ± 0.1 mm, height: 40 mm ± 0.1 mm, wall: 4 mm ± 0.1 mm, corner-radius: 6 mm}"
	d := read(t, text(part, []string{"torque: 300 N·m measure", "bending-y: 200 N·m measure", "shear-z: 1 kN reject"}, []string{"pair"}, "pick: {at-most: 2, stations: [0 mm, 30 mm]}\n"))
	p, err := newProblem(d)
	if err != nil {
		t.Fatal(err)
	}
	layouts, err := p.layouts()
	if err != nil {
		t.Fatal(err)
	}
	all := &shared{problem: p, layouts: layouts}
	for _, i := range []int{0, len(layouts) / 2, len(layouts) - 1} {
		g, err := p.survey(&layouts[i])
		if err != nil {
			t.Fatal(err)
		}
		own, err := newTolerances(g.model, g.state)
		if err != nil {
			t.Fatal(err)
		}
		got, err := all.of(&layouts[i])
		if err != nil {
			t.Fatal(err)
		}
		expect(t, "inputs", len(got.inputs), len(own.inputs))
		weights := make([]float64, g.grids)
		for k := range weights {
			weights[k] = float64(k%4) - 1.3
		}
		for target := range p.rated {
			a, j := own.crosstalk95(weights, target)
			b, k := got.crosstalk95(weights, target)
			if j != k || math.Abs(a/b-1) > 1e-6 || math.Abs(own.gradientZero(weights, target)-got.gradientZero(weights, target)) > 1e-12 {
				t.Errorf("set %d, load %d: %g of %d, on its own %g of %d", i, target, b, k, a, j)
			}
		}
	}
}

// What an error of a placement on a face does is the difference of two predictions.
func TestErrorsOnFaces(t *testing.T) {
	w := winner(t, text(boxPart, []string{"torque: 300 N·m measure", "bending-y: 200 N·m reject", "bending-z: 200 N·m reject"}, []string{"pair"}, ""))
	seen := map[string]bool{}
	for _, e := range w.Robust {
		seen[e.Kind] = true
		if e.Placement != "A" || e.Kind == StationError {
			continue
		}
		got, step := e.PerDegree, deg
		if e.Kind == AcrossError {
			got, step = e.PerTenth, 1e-4
			if e.PerDegree != nil || e.Limit != 0.5e-3 {
				t.Errorf("%+v", e)
			}
		}
		worst := 0.0
		for _, side := range []float64{1, -1} {
			d := w.Design.Clone()
			pl := &d.Placements[0]
			if e.Kind == AcrossError {
				pl.Across.SI += side * step
			} else {
				pl.Direction.SI += side * step
			}
			r, err := predict.Of(d)
			if err != nil {
				t.Fatal(err)
			}
			a, b := &w.Result.Bridges[0], &r.Bridges[0]
			for j := range a.Sensitivity {
				if j != a.Target {
					rated := math.Abs(w.Design.Loads[j].Rated.SI / w.Design.Loads[a.Target].Rated.SI)
					worst = math.Max(worst, rated*math.Abs(b.Sensitivity[j]/b.Sensitivity[b.Target]-a.Sensitivity[j]/a.Sensitivity[a.Target]))
				}
			}
		}
		if math.Abs(got.Crosstalk-worst) > 1e-9+1e-6*worst {
			t.Errorf("%s: %g, by two predictions %g", e.Kind, got.Crosstalk, worst)
		}
	}
	if !seen[AcrossError] || seen[AroundError] || !seen[DirectionError] || !seen[StationError] {
		t.Errorf("kinds %v", seen)
	}
}

// A grid at 45° on the middle of a face and one at −45° there are mirror images: the
// second is folded into the first, one at 0° is not.
func TestMirroredPatternsFold(t *testing.T) {
	p, err := newProblem(read(t, text(barPart, []string{"torque: 100 N·m measure", "shear-z: 1 kN reject"}, []string{"single"}, "")))
	if err != nil {
		t.Fatal(err)
	}
	p.chart()
	fold := &folder{p: p, group: p.preserving(), seen: map[string]bool{}}
	for _, c := range []struct {
		turned int
		first  bool
	}{{45, true}, {315, false}, {0, true}, {90, true}} {
		at, ok := p.spotAt(p.section.Around(math.Pi / 2).S)
		if !ok || at.face != "+z" {
			t.Fatalf("%+v", at)
		}
		l := layout{rings: []ring{{gauge: 0, turn: c.turned, spots: []spot{at}}}}
		if fold.first(&l) != c.first {
			t.Errorf("turned %d°: first %v", c.turned, !c.first)
		}
	}
}

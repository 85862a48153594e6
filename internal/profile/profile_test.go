package profile

import (
	"bytes"
	"math"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

func number(v float64) design.Number { return design.Number{Value: quantity.Exact(v), Set: true} }

func of(t *testing.T, shape string, counts []int, dims ...float64) *Profile {
	t.Helper()
	p := design.Part{}
	p.Section.Shape, p.Section.Counts = shape, counts
	for _, d := range dims {
		p.Section.Dimensions = append(p.Section.Dimensions, number(d))
	}
	p.Material.Poisson = number(0.3)
	out, err := Of(p)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Abs(want)) {
		t.Errorf("%s = %.8g, want %.8g within %g", what, got, want, tol)
	}
}

// Torsion of a rectangle of 2 : 1 is greatest in the middle of the longer side,
// T/(0.246 w h²) (Timoshenko and Goodier, Theory of Elasticity, art. 109, three digits
// printed); bending on the faces farthest away, 6M/(w h²).
func TestPlacesOfARectangle(t *testing.T) {
	p := of(t, "rectangle", nil, 0.04, 0.02, 0)
	for _, c := range []struct {
		load   design.Component
		want   float64
		within float64
		faces  []string
	}{
		{design.Torque, 1 / (0.246 * 0.04 * 0.02 * 0.02), 2e-3, []string{"+z", "-z"}},
		{design.BendingY, 6 / (0.04 * 0.02 * 0.02), 1e-9, []string{"+z", "-z"}},
		{design.BendingZ, 6 / (0.02 * 0.04 * 0.04), 1e-9, []string{"+y", "-y"}},
	} {
		b := p.bestOf(c.load)
		near(t, c.load.String(), b.Stress, c.want, c.within)
		if len(b.Places) != len(c.faces) {
			t.Fatalf("%v: %d places", c.load, len(b.Places))
		}
		for i, at := range b.Places {
			if at.Name != c.faces[i] || at.Across != 0 {
				t.Errorf("%v: place %d is face %s across %g", c.load, i, at.Name, at.Across)
			}
		}
	}
}

// The forces of the picture act through the shear centre: their shear has no moment
// about it along a closed thin wall, and of a symmetric section they are the section's
// own. Surface shear of an angle's torque goes round in one sense.
func TestShearIsWithoutTwist(t *testing.T) {
	p := of(t, "polygon", []int{6}, 0, 0, .04, 0, .04, .008, .008, .008, .008, .04, 0, .04)
	q := p.Properties
	off := q.ShearCentreY - q.CentroidY
	if math.Abs(off) < 1e-3 {
		t.Fatal("the shear centre of an angle is not its centroid")
	}
	for _, s := range []float64{0.01, 0.05, 0.1} {
		c := section.Coordinate{S: s}
		var u section.Unit
		p.Section.Surface(c, 0, &u)
		got := p.Shear(c)
		near(t, "Vz", got.ShearZ, u[design.ShearZ].Shear+off*u[design.Torque].Shear, 1e-9)
		near(t, "Vy", got.ShearY, u[design.ShearY].Shear-(q.ShearCentreZ-q.CentroidZ)*u[design.Torque].Shear, 1e-9)
	}
	// mirror about the diagonal: y and z change places, and the sense around
	for k := range 20 {
		c := section.Coordinate{S: p.Section.Perimeter(0) * float64(k) / 20}
		a := p.Shear(c)
		best := math.Inf(1)
		var b Point
		for i := range 4000 {
			m := p.Shear(section.Coordinate{S: p.Section.Perimeter(0) * float64(i) / 4000})
			if d := math.Hypot(m.Y-a.Z, m.Z-a.Y); d < best {
				best, b = d, m
			}
		}
		if scale := 0.0047; best < 1e-5 && math.Abs(a.ShearY+b.ShearZ)*1e-6 > 0.02*scale {
			t.Errorf("at %g, %g: Vy %g, mirrored Vz %g", a.Y, a.Z, a.ShearY, b.ShearZ)
		}
	}
}

// A keyway's floor and sides are no places for grids, a re-entrant corner gives no row.
func TestKeywayIsNoPlace(t *testing.T) {
	p := of(t, "keyed-round", nil, 0.04, 0.012, 0.005, math.Pi/2, 0)
	for _, b := range p.Best {
		for _, at := range b.Places {
			if at.Name != "" {
				t.Errorf("%v on the keyway's face %s", b.Load, at.Name)
			}
		}
	}
	joints := section.Joints(p.Section, 0)
	for _, row := range p.Around(5000) {
		if p.singular(joints, row.At.S) {
			t.Errorf("a row at the corner %g, %g", row.Y, row.Z)
		}
	}
}

// A round section: torsion alike all round, b/J; bending at the ends of the diameter.
func TestRoundIsAlikeAllRound(t *testing.T) {
	p := of(t, "round", nil, 0.04)
	b := p.bestOf(design.Torque)
	if !b.Even || p.Solved {
		t.Error("torsion of a round section is even")
	}
	near(t, "torque", b.Stress, 16/(math.Pi*math.Pow(0.04, 3)), 1e-12)
	b = p.bestOf(design.BendingY)
	near(t, "bending", b.Stress, 32/(math.Pi*math.Pow(0.04, 3)), 1e-6)
	if len(b.Places) != 2 || math.Abs(b.Places[1].Around-math.Pi/2) > 0.01 {
		t.Errorf("places %+v", b.Places)
	}
}

// Every shape is drawn within its page, the same bytes each time, no text over another.
func TestPictures(t *testing.T) {
	for _, c := range []struct {
		shape  string
		counts []int
		dims   []float64
	}{
		{"round", nil, []float64{0.04}}, {"round-tube", nil, []float64{0.06, 0.044}},
		{"box", nil, []float64{0.06, 0.04, 0.003, 0.006}}, {"rectangle", nil, []float64{0.2, 0.01, 0}},
		{"flatted-round", []int{2}, []float64{0.04, 0, 0.017, math.Pi, 0.017}}, {"regular-polygon", nil, []float64{6, 0.036, 0}},
		{"ellipse", nil, []float64{0.04, 0.025}}, {"keyed-round", nil, []float64{0.04, 0.012, 0.005, 1, 0}},
		{"polygon", []int{6}, []float64{0, 0, .04, 0, .04, .008, .008, .008, .008, .04, 0, .04}},
	} {
		p := of(t, c.shape, c.counts, c.dims...)
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			w := layout.Words{Sys: sys}
			s := p.Scene("Invented part with a rather long name to be drawn, number 4711", w)
			if err := s.Err(); err != nil {
				t.Fatalf("%s: %v", c.shape, err)
			}
			boxes := s.TextBoxes()
			for i, a := range boxes {
				if !a.Within(drawing.At(0, -1), s.Width, s.Height+1) {
					t.Errorf("%s: a text leaves the picture", c.shape)
				}
				for _, b := range boxes[:i] {
					if a.Overlaps(b) {
						t.Errorf("%s, %v: texts overlap", c.shape, sys)
					}
				}
			}
			var one, two bytes.Buffer
			for _, to := range []*bytes.Buffer{&one, &two} {
				if err := p.Document("Invented part", w, drawing.Letter).WritePDF(to); err != nil {
					t.Fatal(err)
				}
			}
			if !bytes.Equal(one.Bytes(), two.Bytes()) {
				t.Errorf("%s: two pictures differ", c.shape)
			}
		}
	}
}

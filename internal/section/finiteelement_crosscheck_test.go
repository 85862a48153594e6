//go:build crosscheck

package section

import (
	"math"
	"testing"

	"gridwright/internal/design"
)

// bar is a prismatic part of which finite elements make a solid model. All of its
// faces are divided into twelve or twenty-four equal elements, so that the places at
// which strains are compared are corners of elements.
type bar struct {
	name   string
	script string // of the mesh, in testdata
	fixed  []setting
	coarse []setting
	fine   []setting // half the size across the section
	// at least five depths; of the box ten, as rigid ends hold its outline in shape and
	// keep it from warping, which under torque dies out more slowly: at three depths
	// from an end 0.9 % of the shear is left, at five 0.2 %
	length float64
	layers float64 // elements along it, all alike
	shape  string
	counts []int
	dims   []float64
	// solid has no hole, so that the mean rotation of the section is the circulation
	// of the displacement round its outline over twice its area.
	solid bool
}

// elements is how many of them lie along a face.
func (b *bar) elements(f Face, size []setting) int {
	name := "divisions"
	if b.rounded(f) {
		name = "corner"
	}
	for _, v := range size {
		if v.name == name {
			return int(v.value)
		}
	}
	return 0
}

// rounded tells the rounded corner of a box from its faces.
func (b *bar) rounded(f Face) bool { return b.shape == "box" && !f.Straight }

// setting is a number of a mesh script by its name there.
type setting struct {
	name  string
	value float64
}

const degree = math.Pi / 180

var bars = []bar{
	{
		name: "box 60 × 40 × 3, radius 6", script: "box.geo",
		coarse: []setting{{"divisions", 12}, {"corner", 4}, {"through", 1}},
		fine:   []setting{{"divisions", 24}, {"corner", 8}, {"through", 2}},
		length: 0.700, layers: 20,
		shape: "box", dims: []float64{0.060, 0.040, 0.003, 0.006},
	},
	{
		name: "shaft of 40 with flats at ±15", script: "two-flats.geo",
		coarse: []setting{{"divisions", 12}},
		fine:   []setting{{"divisions", 24}},
		length: 0.220, layers: 8, solid: true,
		shape: "flatted-round", counts: []int{2}, dims: []float64{0.040, 0, 0.015, 180 * degree, 0.015},
	},
	{
		// no symmetry: product of inertia, shear centre and the order of everything count
		name: "shaft of 40 with flats at 15 toward 20° and at 12 toward 170°", script: "two-flats.geo",
		fixed:  []setting{{"normal1", 20}, {"across1", 0.015}, {"normal2", 170}, {"across2", 0.012}},
		coarse: []setting{{"divisions", 12}},
		fine:   []setting{{"divisions", 24}},
		length: 0.220, layers: 8, solid: true,
		shape: "flatted-round", counts: []int{2}, dims: []float64{0.040, 20 * degree, 0.015, 170 * degree, 0.012},
	},
}

// Elasticity of the models. Nothing depends on E but the size of the numbers.
const (
	youngs  = 210e9
	poisson = 0.3
)

// The surface strains of a solid model at mid-length and one layer beyond, at five
// points of each face, for a unit of each load at mid-length through the centroid,
// against those of the section: within 0.3 % of the largest of that strain for that
// load, and of a strain that the load does not make, shear of a bending moment or
// strain along the part of a torque, within 0.3 % of the largest of any.
//
// The model is meshed by Gmsh and solved by CalculiX, with elements of 20 nodes fully
// integrated: those of reduced integration let the disturbance of the ends through.
// Halving the elements across the section changes the strains of the model by less
// than 0.3 %; along it a displacement is at most of the third degree.
func TestSurfaceStrainAgainstASolidModel(t *testing.T) {
	for _, b := range bars {
		t.Run(b.name, func(t *testing.T) {
			s := general(t, b.shape, b.counts, poisson, b.dims...)
			if five := 5 * s.Properties().Depth; b.length < five {
				t.Fatalf("the bar is %g m long, less than five depths of %g m", b.length, five/5)
			}
			beyond := b.length / b.layers
			coarse := b.solve(t, s, b.coarse)
			fine := b.solve(t, s, b.fine)
			marks := b.marks(s, 0, beyond)
			for c := design.Axial; c <= design.BendingZ; c++ {
				var want, got, rough []strain
				for _, m := range marks {
					want = append(want, m.predicted(s, c))
					got = append(got, fine.strain(t, &m, c))
					rough = append(rough, coarse.strain(t, &m, c))
				}
				scale := scaleOf(want)
				worst, middle, change := 0.0, 0.0, 0.0
				for i, m := range marks {
					d := got[i].off(want[i], scale)
					if worst = max(worst, d); m.across == 0 {
						middle = max(middle, d)
					}
					if !(d <= 0.003) {
						t.Errorf("%v: at x = %g, y = %.4g, z = %.4g the strains along, around and shear are %.5g; the solid model's %.5g", c, m.x, m.y, m.z, want[i], got[i])
					}
					change = max(change, got[i].off(rough[i], scale))
				}
				t.Logf("%-9v mid-face within %.3f %%, all points within %.3f %%; half the element changes the model by %.3f %%", c, 100*middle, 100*worst, 100*change)
				if !(change <= 0.003) {
					t.Errorf("%v: half the element changes the solid model by %.2g; its mesh is too coarse to judge by", c, change)
				}
			}
			b.twist(t, s, fine, beyond)
		})
	}
}

// twist compares the rate of twist of a torque and, of a solid section, those of
// forces through the centroid, which show how far the shear centre is from it.
func (b *bar) twist(t *testing.T, s Section, m *model, beyond float64) {
	p := s.Properties()
	rate := func(c design.Component) float64 {
		return (b.rotation(t, s, m, beyond, c) - b.rotation(t, s, m, -beyond, c)) / (2 * beyond)
	}
	shearModulus := youngs / (2 * (1 + poisson))
	j := 1 / (shearModulus * rate(design.Torque))
	t.Logf("J %.6g m⁴, the solid model's %.3f %% off", p.J, 100*(j/p.J-1))
	near(t, "J of the solid model", j, p.J, 1e-3)
	if !b.solid {
		return
	}
	// θ' of Vy is z_s/(GJ), of Vz −y_s/(GJ)
	y, z := -rate(design.ShearZ)*shearModulus*j, rate(design.ShearY)*shearModulus*j
	wantY, wantZ := p.ShearCentreY-p.CentroidY, p.ShearCentreZ-p.CentroidZ
	t.Logf("shear centre from the centroid %.4f mm, %.4f mm; the solid model's %.4f mm, %.4f mm", 1e3*wantY, 1e3*wantZ, 1e3*y, 1e3*z)
	if d := math.Hypot(y-wantY, z-wantZ); !(d <= 1e-4*p.Depth) {
		t.Errorf("the shear centre is %g m from the solid model's", d)
	}
}

// mark is a point of the surface at which strains are compared.
type mark struct {
	x      float64
	at     Coordinate
	across float64 // share of the length of its face, from its middle
	y, z   float64
	ty, tz float64                            // unit tangent of the outline toward growing φ
	length float64                            // of the face, m
	point  func(share float64) (y, z float64) // of the face, from the mark
}

// marks are the middle of each face and four points more, at stations.
func (b *bar) marks(s Section, stations ...float64) []mark {
	var out []mark
	for i, f := range s.Faces() {
		if b.rounded(f) {
			continue
		}
		for _, across := range []float64{-1. / 4, -1. / 6, 0, 1. / 6, 1. / 4} {
			m := mark{at: s.OnFace(i, across*f.Length), across: across, length: f.Length}
			m.point = func(share float64) (y, z float64) { return s.Point(s.OnFace(i, (across+share)*f.Length)) }
			m.y, m.z = s.Point(m.at)
			d := 1e-4 * f.Length
			y0, z0 := s.Point(Coordinate{S: m.at.S - d})
			y1, z1 := s.Point(Coordinate{S: m.at.S + d})
			l := math.Hypot(y1-y0, z1-z0)
			m.ty, m.tz = (y1-y0)/l, (z1-z0)/l
			for _, x := range stations {
				m.x = x
				out = append(out, m)
			}
		}
	}
	return out
}

// strain of the surface: along the part, around it, and the shear γ between.
type strain [3]float64

// off is the largest difference of two strains over the scale of each.
func (a strain) off(b, scale strain) float64 {
	d := 0.0
	for k := range a {
		d = max(d, math.Abs(a[k]-b[k])/scale[k])
	}
	return d
}

// scaleOf is the largest of each strain, or of all where a load makes none.
func scaleOf(of []strain) strain {
	var s strain
	for _, e := range of {
		for k := range e {
			s[k] = max(s[k], math.Abs(e[k]))
		}
	}
	most := max(s[0], s[1], s[2])
	for k := range s {
		if s[k] < 1e-6*most {
			s[k] = most
		}
	}
	return s
}

// predicted is the strain of a unit of a load by the section.
func (m *mark) predicted(s Section, c design.Component) strain {
	var u Unit
	s.Surface(m.at, m.x, &u)
	return strain{u[c].Axial / youngs, -poisson * u[c].Axial / youngs, u[c].Shear * 2 * (1 + poisson) / youngs}
}

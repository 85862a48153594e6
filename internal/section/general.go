package section

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"sync"

	"gridwright/internal/boundary"
	"gridwright/internal/design"
)

// General is any section by the equations of package boundary. Its points are in
// the axes of its dimensions, whose origin need not be the centroid; angles are seen
// from the centroid; arc length starts where the ray of φ = 0 leaves the outer loop
// last and grows counterclockwise, with φ wherever the loop can be seen whole from
// the centroid.
//
// Internal pressure and rotation are not computed: see Bears and Spins.
type General struct {
	shape    string
	openEnds bool
	counts   []int
	build    builder

	poisson  float64
	outline  boundary.Outline
	solution *boundary.Solution
	response *boundary.Response // nil where every Set solves anew
	nominal  []float64          // dimensions of the response, or those last set
	reach    []float64          // what the response serves
	exact    *boundary.Solution

	origin                   float64 // arc length of S = 0 along the outer loop
	area, iy, iz, iyz, delta float64
	shear                    [2]boundary.Fields // shear force y, z: its share of each field
	offset                   [2]float64         // the torque of each about the centroid, without twist, per newton
	across                   float64            // greatest distance across; of a response that of its base
	walk                     boundary.Walk
}

// builder appends a shape's outline for its numbers to what o has room for.
type builder func(d []float64, counts []int, o *boundary.Outline) error

func newGeneral(shape string, open bool, counts []int, build builder) *General {
	return &General{shape: shape, openEnds: open, counts: slices.Clone(counts), build: build}
}

// Loosest errors that Set accepts; each is reported in Properties in any case.
const (
	loosestJ      = 1e-3
	loosestStress = 1e-2
)

// Set solves the section for new dimensions, to 1e-6 of J and 1e-4 of the stress
// where the outline allows. A section made by Propagate takes the response instead,
// as long as the dimensions stay within two and a half times the spread.
func (g *General) Set(d []float64, poisson float64) error {
	if !(poisson > -1 && poisson <= 0.5) {
		return fmt.Errorf("Poisson's ratio %g is outside -1 to 0.5", poisson)
	}
	for _, v := range d {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("a dimension of %g", v)
		}
	}
	if err := g.build(d, g.counts, &g.outline); err != nil {
		return err
	}
	g.poisson = poisson
	if g.response != nil && g.near(d) {
		if err := g.response.Set(d, &g.outline, g.solution); err != nil {
			return err
		}
	} else {
		s, err := solved(g.shape, g.counts, d, &g.outline)
		if err != nil {
			return err
		}
		if g.response == nil {
			g.nominal = append(g.nominal[:0], d...)
		}
		g.exact = s
		g.across = depth(s.Loops()[0])
	}
	g.resolve()
	return nil
}

// near tells whether the response serves dimensions.
func (g *General) near(d []float64) bool {
	for i, v := range d {
		if math.Abs(v-g.nominal[i]) > 2.5*g.reach[i] {
			return false
		}
	}
	g.exact = nil
	return true
}

// now is the solution of the present dimensions.
func (g *General) now() *boundary.Solution {
	if g.exact != nil {
		return g.exact
	}
	return g.solution
}

// resolve computes what depends on the outline and Poisson's ratio. A shear force V
// is carried by A = (Vy Iy − Vz Iyz)/Δ and B = (Vz Iz − Vy Iyz)/Δ, Δ = Iy Iz − Iyz²,
// each with its share κ = ν/(1+ν) of the fields that turn.
func (g *General) resolve() {
	s := g.now()
	p := &s.Properties
	g.area, g.iy, g.iz, g.iyz = p.Area, p.Iy, p.Iz, p.Iyz
	g.delta = g.iy*g.iz - g.iyz*g.iyz
	k := g.poisson / (1 + g.poisson)
	for i, v := range [2][2]float64{{1, 0}, {0, 1}} {
		a, b := (v[0]*g.iy-v[1]*g.iyz)/g.delta, (v[1]*g.iz-v[0]*g.iyz)/g.delta
		g.shear[i] = boundary.Fields{boundary.PullY: a, boundary.PullZ: b, boundary.TurnY: k * a, boundary.TurnZ: k * b}
		g.offset[i] = dot(&g.shear[i], &s.Moment)
	}
	g.origin = 0
	g.origin = g.along(0)
}

func dot(a, b *boundary.Fields) float64 {
	return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3] + a[4]*b[4]
}

// Properties of the section about its centroid. The shear centre is that of
// elasticity: a force through it makes no mean twist. It depends on ν.
func (g *General) Properties() Properties {
	s := g.now()
	p := &s.Properties
	return Properties{
		Area: p.Area, Iy: p.Iy, Iz: p.Iz, Iyz: p.Iyz, J: s.J,
		CentroidY: real(p.Centroid), CentroidZ: imag(p.Centroid),
		ShearCentreY: real(p.Centroid) + g.offset[1], ShearCentreZ: imag(p.Centroid) - g.offset[0],
		JError: s.JError, StressError: s.StressError, Depth: g.across,
	}
}

// depth is the greatest distance across the outer loop, between ends and quarter
// points of its sides.
func depth(outer boundary.Loop) float64 {
	best := 0.0
	for i := range outer {
		for _, t := range [4]float64{0, 0.25, 0.5, 0.75} {
			p := outer[i].At(t)
			for j := i; j < len(outer); j++ {
				for _, u := range [4]float64{0, 0.25, 0.5, 0.75} {
					best = max(best, cmplx.Abs(p-outer[j].At(u)))
					if outer[j].Straight() && u == 0 {
						break
					}
				}
			}
			if outer[i].Straight() {
				break
			}
		}
	}
	return best
}

// Bears is nil for every component but internal pressure.
func (g *General) Bears(c design.Component) error {
	if c == design.Pressure {
		return errors.New("the stress of internal pressure is computed for round tubes only")
	}
	return nil
}

// Spins says that rotation is not computed.
func (g *General) Spins() error {
	return errors.New("the stress of rotation is computed for round sections only")
}

// Rotation is not computed; Spins says so.
func (g *General) Rotation(float64, float64) Stress { return Stress{} }

// Propagate makes sections whose Set takes a second-order response about the
// dimensions as they are set.
func (g *General) Propagate(spread []float64) (func() Section, error) {
	if g.exact == nil {
		return nil, errors.New("a section has to be set before it is varied")
	}
	base := g.exact
	build := func(d []float64) (boundary.Outline, error) {
		var o boundary.Outline
		err := g.build(d, g.counts, &o)
		return o, err
	}
	at := slices.Clone(g.nominal)
	r, err := boundary.Expand(base, at, spread, build)
	if err != nil {
		return nil, err
	}
	if r.JError > loosestJ || r.StressError > loosestStress {
		return nil, fmt.Errorf("within its tolerances the stress of the section changes too abruptly for propagation (%.2g of it is not followed); smaller tolerances", r.StressError)
	}
	reach, across := slices.Clone(spread), g.across
	return func() Section {
		c := newGeneral(g.shape, g.openEnds, g.counts, g.build)
		c.response, c.solution, c.nominal, c.reach, c.across = r, r.Solution(), at, reach, across
		return c
	}, nil
}

// cache keeps the solutions of a run: many parts of the program ask for the same
// section, and Poisson's ratio costs nothing.
var cache struct {
	sync.Mutex
	kept []kept
}

type kept struct {
	shape    string
	counts   []int
	dims     []float64
	solution *boundary.Solution
}

const mostKept = 64

func solved(shape string, counts []int, d []float64, o *boundary.Outline) (*boundary.Solution, error) {
	cache.Lock()
	for i, k := range cache.kept {
		if k.shape == shape && slices.Equal(k.counts, counts) && slices.Equal(k.dims, d) {
			copy(cache.kept[1:i+1], cache.kept[:i])
			cache.kept[0] = k
			cache.Unlock()
			return k.solution, nil
		}
	}
	cache.Unlock()
	s, err := boundary.Solve(o, boundary.Accuracy{})
	if err != nil {
		return nil, err
	}
	if s.JError > loosestJ || s.StressError > loosestStress {
		return nil, fmt.Errorf("the shear stress of this %s is known to %.2g of its greatest only, with %d unknowns; rounder corners or thicker walls", shape, max(s.StressError, s.JError), s.Unknowns)
	}
	cache.Lock()
	defer cache.Unlock()
	cache.kept = append([]kept{{shape, slices.Clone(counts), slices.Clone(d), s}}, cache.kept...)
	if len(cache.kept) > mostKept {
		cache.kept = cache.kept[:mostKept]
	}
	return s, nil
}

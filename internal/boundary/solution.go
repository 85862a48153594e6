package boundary

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"sort"
)

// Accuracy is what a solution is refined to.
type Accuracy struct {
	J      float64 // relative, of the torsion constant; 0 takes 1e-6
	Stress float64 // of the greatest stress of its kind, away from re-entrant corners; 0 takes 1e-4
	// MostUnknowns ends the refinement; 0 takes 2000.
	MostUnknowns int
	// Points and Reach fix the discretisation instead when Points is not 0: points
	// of each panel, and a panel's greatest length in its distance from a corner.
	Points int
	Reach  float64
}

// Solution of an outline. Its stress fields know neither load nor Poisson's ratio.
type Solution struct {
	Properties Properties
	J          float64 // torsion constant, m⁴
	// JError and StressError compare the last two discretisations: relative to J,
	// and to the greatest stress of its kind away from re-entrant corners.
	JError, StressError float64
	Unknowns            int
	// Moment is the torque about the centroid of each field, ∫(y τz − z τy) dA;
	// that of Torsion is J. m⁴ for Torsion, m⁵ for the others.
	Moment Fields
	// Force is ∫τ dA of each field along y and z, as its surface stress gives it;
	// what it should be follows from equilibrium alone, so it measures the solution.
	Force [5][2]float64

	loops   []Loop // about the centroid
	starts  [][]float64
	lengths []float64
	panels  []panel
	of      [][][]int // panels of each side of each loop
	density [][5]float64
	over    []float64 // 1/shape at each point

	// Of a solution that a Response fills: the densities of a panel are computed
	// when they are first asked for, and stand when the stamp is the present one.
	response *Response
	stamp    uint64
	stamps   []uint64
}

// Solve checks an outline, which may reorient its loops, and solves its five
// problems to the accuracy asked for. Where the most unknowns do not reach it the
// errors say so; an outline that is no section is an error.
func Solve(o *Outline, want Accuracy) (*Solution, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	if want.J == 0 {
		want.J = 1e-6
	}
	if want.Stress == 0 {
		want.Stress = 1e-4
	}
	if want.MostUnknowns == 0 {
		want.MostUnknowns = 2000
	}
	if want.Points != 0 {
		if want.Points < 1 || want.Points > mostPoints || !(want.Reach > 0.01) {
			return nil, fmt.Errorf("%d points on a panel of reach %g; 1 to %d and more than 0.01 are possible", want.Points, want.Reach, mostPoints)
		}
		s := prepared(o, want.Points, 0, want.Reach)
		return s, s.solve()
	}
	var last *Solution
	for level, step := range steps {
		s := prepared(o, step.points, level, step.reach)
		if s.Unknowns > want.MostUnknowns {
			break
		}
		if last != nil && s.Unknowns == last.Unknowns {
			continue // the panels were short enough already: nothing to compare
		}
		if err := s.solve(); err != nil {
			return nil, err
		}
		if last != nil {
			s.compare(last)
			if s.JError <= want.J && s.StressError <= want.Stress && s.J > 0 {
				return s, nil
			}
		}
		last = s
	}
	if last == nil || last.JError == 0 {
		return nil, fmt.Errorf("an outline of so many corners and details takes more than %d unknowns; leave out what is small", want.MostUnknowns)
	}
	if !(last.J > 0) {
		return nil, fmt.Errorf("%d unknowns do not resolve the corners of this outline; blunt its sharpest", last.Unknowns)
	}
	return last, nil
}

// steps of refinement: more points on the same panels, then shorter panels.
var steps = []struct {
	points int
	reach  float64
}{{7, 3}, {10, 3}, {14, 3}, {18, 3}, {18, 1.5}, {24, 1.5}, {24, 0.8}}

// prepared is the solution of an outline still to be solved.
func prepared(o *Outline, count, level int, reach float64) *Solution {
	s := &Solution{Properties: PropertiesOf(o)}
	s.place(o)
	s.panels = layout(s.loops, reach)
	s.Unknowns = points(s.loops, s.panels, count, level)
	return s
}

// place takes the loops of an outline, moved to the centroid, and their lengths.
// It reuses what the solution holds when the loops have as many sides as before.
func (s *Solution) place(o *Outline) {
	n := 1 + len(o.Holes)
	if len(s.loops) != n {
		s.loops, s.starts, s.lengths = make([]Loop, n), make([][]float64, n), make([]float64, n)
	}
	for i := range n {
		l := o.Outer
		if i > 0 {
			l = o.Holes[i-1]
		}
		if len(s.loops[i]) != len(l) {
			s.loops[i], s.starts[i] = make(Loop, len(l)), make([]float64, len(l)+1)
		}
		for j := range l {
			s.loops[i][j] = l[j].moved(-s.Properties.Centroid)
			s.starts[i][j+1] = s.starts[i][j] + l[j].Length()
		}
		s.lengths[i] = s.starts[i][len(l)]
	}
}

// solve fills the densities for the panels that the solution has.
func (s *Solution) solve() error {
	s.index()
	q := newEquation(s.loops, s.panels, s.Unknowns, s.Properties.Area)
	density, ok := q.solve()
	if !ok {
		return errors.New("the boundary equations of this outline have no unique solution")
	}
	s.density = density
	s.integrate(q)
	return nil
}

func (s *Solution) index() {
	s.over = make([]float64, s.Unknowns)
	for k := range s.panels {
		p := &s.panels[k]
		for j, x := range gauss(p.count).x {
			s.over[p.first+j] = 1 / p.shape(x)
		}
	}
	s.of = make([][][]int, len(s.loops))
	for i := range s.of {
		s.of[i] = make([][]int, len(s.loops[i]))
	}
	for k := range s.panels {
		p := &s.panels[k]
		s.of[p.loop][p.side] = append(s.of[p.loop][p.side], k)
	}
	for _, l := range s.of {
		for _, list := range l {
			sort.Slice(list, func(a, b int) bool { return s.panels[list[a]].lo < s.panels[list[b]].lo })
		}
	}
}

// integrate finds torque and force of each field from its tangential stress:
//
//	∫(y τz − z τy) dA = ½∮ r² τ ds − ½∫ r² curl τ dA
//	∫τz dA = ∮ y τ ds − ∫ y curl τ dA,  ∫τy dA = −∮ z τ ds + ∫ z curl τ dA
func (s *Solution) integrate(q *equation) {
	s.Moment = Fields{}
	s.Force = [5][2]float64{}
	for i, z := range q.at {
		y, z := real(z), imag(z)
		half := (y*y + z*z) / 2 * q.weight[i]
		for f := range s.Moment {
			s.Moment[f] += half * s.density[i][f]
			s.Force[f][0] -= z * q.weight[i] * s.density[i][f]
			s.Force[f][1] += y * q.weight[i] * s.density[i][f]
		}
	}
	p := &s.Properties
	s.Moment[Torsion] -= p.Iy + p.Iz
	s.Moment[TurnY] += p.HalfZ
	s.Moment[TurnZ] -= p.HalfY
	s.Force[TurnY][0] -= p.Iy
	s.Force[TurnY][1] += p.Iyz
	s.Force[TurnZ][0] += p.Iyz
	s.Force[TurnZ][1] -= p.Iz
	s.J = s.Moment[Torsion]
}

// chance is the part of the stress' error that J is never believed to be better than.
const chance = 5e-3

// compare sets the errors from a coarser solution of the same outline.
func (s *Solution) compare(coarse *Solution) {
	var largest, change Fields
	for k := range s.panels {
		p := &s.panels[k]
		if p.singular[0] || p.singular[1] {
			continue
		}
		samples := [...]float64{0.5, 0.15, 0.85}
		for n, u := range samples {
			t, _ := p.at(u)
			var a, b Fields
			q := coarse.panelAt(p.loop, p.side, t)
			if p.drawn && q.drawn { // its sides have no stress of their own, only the curve has
				if n > 0 {
					break
				}
				a, b = s.mean(p), coarse.mean(q)
			} else {
				s.at(p, u, &a)
				coarse.at(q, q.inverse(t), &b)
			}
			for f := range a {
				largest[f] = max(largest[f], math.Abs(a[f]))
				change[f] = max(change[f], math.Abs(a[f]-b[f]))
			}
		}
	}
	flexure := max(largest[PullY], largest[PullZ])
	s.StressError = 0
	for f := range largest {
		scale := flexure
		if f == Torsion {
			scale = largest[f]
		}
		if scale > 0 {
			s.StressError = max(s.StressError, change[f]/scale)
		}
	}
	// two discretisations may agree in J by chance: a small part of the stress' error
	// is counted as well
	s.JError = math.Abs(s.J-coarse.J)/math.Abs(s.J) + chance*s.StressError
	s.JError = max(s.JError, 1e-15)
}

// mean is the stress averaged over a straight panel.
func (s *Solution) mean(p *panel) (f Fields) {
	side := &s.loops[p.loop][p.side]
	length := side.Length() * (p.hi - p.lo)
	for j, w := range gauss(p.count).w {
		for i, d := range s.nodes(p)[j] {
			f[i] += w * d / length
		}
	}
	return f
}

// at is the tangential stress at u of a panel: the density as it was interpolated
// by the equations, over the stretch. At a re-entrant corner, where elasticity has
// no finite answer, it is that of a point beside it.
func (s *Solution) at(p *panel, u float64, out *Fields) {
	if p.singular[0] {
		u = max(u, 1e-4)
	}
	if p.singular[1] {
		u = min(u, 1-1e-4)
	}
	g := gauss(p.count)
	nodes := s.nodes(p)
	if p.drawn {
		// a straight line through the density: what the side's points do besides is
		// how its ends, which the curve does not have, show
		*out = Fields{}
		length := s.loops[p.loop][p.side].Length() * (p.hi - p.lo)
		for j, x := range g.x {
			c := g.w[j] * (1 + 3*(2*u-1)*(2*x-1)) / length
			for i, d := range nodes[j] {
				out[i] += c * d
			}
		}
		return
	}
	var l [mostPoints]float64
	g.basis(u, l[:])
	var f Fields
	for j := range g.x {
		c := l[j] * s.over[p.first+j]
		d := &nodes[j]
		for i := range f {
			f[i] += c * d[i]
		}
	}
	t, dt := p.at(u)
	over := p.shape(u) / dt
	if !(dt > 0) { // at an end whose shape is the stretch: their limit
		const beside = 1e-5
		u = min(max(u, beside), 1-beside)
		_, dt = p.at(u)
		over = p.shape(u) / dt
	}
	over /= cmplx.Abs(s.loops[p.loop][p.side].Velocity(t))
	for i := range f {
		out[i] = f[i] * over
	}
}

// Shear is the tangential stress of the five fields at an arc length of a loop, m
// from its first point, along the loop's own sense: counterclockwise for the outer
// one, clockwise for a hole. Lengths beyond the loop go on round it.
func (s *Solution) Shear(loop int, length float64) Fields {
	side, t := s.Locate(loop, length)
	var f Fields
	p := s.panelAt(loop, side, t)
	s.at(p, p.inverse(t), &f)
	return f
}

func (s *Solution) panelAt(loop, side int, t float64) *panel {
	list := s.of[loop][side]
	for _, k := range list {
		if t <= s.panels[k].hi {
			return &s.panels[k]
		}
	}
	return &s.panels[list[len(list)-1]]
}

// nodes are the densities at the points of a panel.
func (s *Solution) nodes(p *panel) [][5]float64 {
	if s.response != nil && s.stamps[p.index] != s.stamp {
		s.response.fill(p, s.density[p.first:p.first+p.count])
		s.stamps[p.index] = s.stamp
	}
	return s.density[p.first : p.first+p.count]
}

// Perimeter of a loop, m.
func (s *Solution) Perimeter(loop int) float64 { return s.lengths[loop] }

// Loops of the outline about the centroid: the outer one, counterclockwise, and
// the holes, clockwise.
func (s *Solution) Loops() []Loop { return s.loops }

// Start is the arc length at which a side of a loop begins.
func (s *Solution) Start(loop, side int) float64 { return s.starts[loop][side] }

// Wrap brings an arc length into the loop, from 0 to less than its perimeter.
func (s *Solution) Wrap(loop int, length float64) float64 {
	total := s.lengths[loop]
	if length >= 0 && length < total {
		return length
	}
	length = math.Mod(length, total)
	if length < 0 {
		length += total
	}
	if length >= total {
		length = 0
	}
	return length
}

// Locate is the side and its parameter at an arc length of a loop.
func (s *Solution) Locate(loop int, length float64) (side int, t float64) {
	length = s.Wrap(loop, length)
	starts := s.starts[loop]
	lo, hi := 0, len(starts)-1
	for hi-lo > 1 {
		if m := (lo + hi) / 2; starts[m] <= length {
			lo = m
		} else {
			hi = m
		}
	}
	return lo, min(max(s.loops[loop][lo].parameter(length-starts[lo]), 0), 1)
}

package boundary

import (
	"errors"
	"fmt"
	"math"
)

// Response is how a solution changes with the numbers that shape its outline: the
// Taylor series to the second order of its densities and moments, from solutions
// on the same panels at steps to both sides of the nominal numbers,
//
//	q(x) = q₀ + Σ gᵢδᵢ + ½ Σ hᵢⱼ δᵢδⱼ,  δ = x − x₀
//
// hᵢⱼ of different numbers only up to mostCross numbers. It serves a propagation
// of tolerances, within about twice the steps; nominal figures come from Solve.
type Response struct {
	base  *Solution
	at    []float64
	moved []int // the numbers that vary
	first [][][5]float64
	// second of every pair i ≤ j of moved numbers, in the order of pair; nil where
	// a cross term is left out
	second      [][][5]float64
	moment1     []Fields
	moment2     []Fields
	coefficient []float64 // δᵢ and then δᵢδⱼ, of the numbers last set
	// JError and StressError are the difference at the corner x₀ + steps between the
	// series and a solution there, relative to J and to the greatest stress.
	JError, StressError float64
}

const mostCross = 6

// Expand makes the response about a base solution of build(at). steps says how far
// each number may go, 0 for one that stays. Every outline must have the sides of
// the base in the base's order.
func Expand(base *Solution, at, steps []float64, build func([]float64) (Outline, error)) (*Response, error) {
	if len(steps) != len(at) {
		return nil, errors.New("a step for every number of the outline is needed")
	}
	r := &Response{base: base, at: append([]float64(nil), at...)}
	for i, h := range steps {
		if h < 0 || math.IsNaN(h) || math.IsInf(h, 0) {
			return nil, fmt.Errorf("a step of %g", h)
		}
		if h > 0 {
			r.moved = append(r.moved, i)
		}
	}
	x := make([]float64, len(at))
	solve := func(step func(i int) float64) (*Solution, error) {
		copy(x, at)
		for _, i := range r.moved {
			x[i] += step(i) * steps[i]
		}
		o, err := build(x)
		if err != nil {
			return nil, err
		}
		return base.alike(&o)
	}
	only := func(pairs ...float64) func(int) float64 {
		return func(i int) float64 {
			for k := 0; k < len(pairs); k += 2 {
				if int(pairs[k]) == i {
					return pairs[k+1]
				}
			}
			return 0
		}
	}
	n := len(base.density)
	plus := make([]*Solution, len(r.moved))
	r.second = make([][][5]float64, len(r.moved)*(len(r.moved)+1)/2)
	r.moment2 = make([]Fields, len(r.second))
	for a, i := range r.moved {
		h := steps[i]
		up, err := solve(only(float64(i), 1))
		if err != nil {
			return nil, err
		}
		down, err := solve(only(float64(i), -1))
		if err != nil {
			return nil, err
		}
		plus[a] = up
		g, c := make([][5]float64, n), make([][5]float64, n)
		for k := range n {
			for f := range g[k] {
				p, m, z := up.density[k][f], down.density[k][f], base.density[k][f]
				g[k][f] = (p - m) / (2 * h)
				c[k][f] = (p - 2*z + m) / (2 * h * h)
			}
		}
		var mg, mc Fields
		for f := range mg {
			p, m, z := up.Moment[f], down.Moment[f], base.Moment[f]
			mg[f], mc[f] = (p-m)/(2*h), (p-2*z+m)/(2*h*h)
		}
		r.first, r.moment1 = append(r.first, g), append(r.moment1, mg)
		r.second[pair(a, a)], r.moment2[pair(a, a)] = c, mc
	}
	if len(r.moved) <= mostCross {
		for b, j := range r.moved {
			for a, i := range r.moved[:b] {
				both, err := solve(only(float64(i), 1, float64(j), 1))
				if err != nil {
					return nil, err
				}
				// what both steps do beyond each alone and the curvature of each
				c := make([][5]float64, n)
				area := steps[i] * steps[j]
				for k := range n {
					for f := range c[k] {
						c[k][f] = (both.density[k][f] - plus[a].density[k][f] - plus[b].density[k][f] + base.density[k][f]) / area
					}
				}
				var m Fields
				for f := range m {
					m[f] = (both.Moment[f] - plus[a].Moment[f] - plus[b].Moment[f] + base.Moment[f]) / area
				}
				r.second[pair(a, b)], r.moment2[pair(a, b)] = c, m
			}
		}
	}
	corner, err := solve(func(int) float64 { return 1 })
	if err != nil {
		return nil, err
	}
	return r, r.judge(corner, x, build)
}

// judge sets the errors of the response from a solution at x.
func (r *Response) judge(exact *Solution, x []float64, build func([]float64) (Outline, error)) error {
	o, err := build(x)
	if err != nil {
		return err
	}
	s := r.Solution()
	if err := r.Set(x, &o, s); err != nil {
		return err
	}
	s.compare(exact)
	r.JError, r.StressError = s.JError, s.StressError
	return nil
}

func pair(a, b int) int { return b*(b+1)/2 + a }

// alike solves an outline on the panels of s.
func (s *Solution) alike(o *Outline) (*Solution, error) {
	out := &Solution{Properties: PropertiesOf(o), Unknowns: s.Unknowns, of: s.of, over: s.over}
	out.place(o)
	if err := s.sameSides(out.loops); err != nil {
		return nil, err
	}
	out.panels = append([]panel(nil), s.panels...)
	for k := range out.panels {
		out.panels[k].bound(&out.loops[out.panels[k].loop][out.panels[k].side])
	}
	q := newEquation(out.loops, out.panels, out.Unknowns, out.Properties.Area)
	var ok bool
	if out.density, ok = q.solve(); !ok {
		return nil, errors.New("the boundary equations of this outline have no unique solution")
	}
	out.integrate(q)
	return out, nil
}

func (s *Solution) sameSides(loops []Loop) error {
	same := len(loops) == len(s.loops)
	for i := 0; same && i < len(loops); i++ {
		same = len(loops[i]) == len(s.loops[i])
		for j := 0; same && j < len(loops[i]); j++ {
			same = loops[i][j].Straight() == s.loops[i][j].Straight()
		}
	}
	if !same {
		return errors.New("within its tolerances the section gains or loses a side; a smaller tolerance keeps its shape")
	}
	return nil
}

// Solution makes scratch space that Set fills; each worker keeps its own.
func (r *Response) Solution() *Solution {
	b := r.base
	s := &Solution{Unknowns: b.Unknowns, JError: b.JError, StressError: b.StressError, panels: b.panels, of: b.of, over: b.over,
		density: make([][5]float64, len(b.density)), stamps: make([]uint64, len(b.panels))}
	own := *r
	own.coefficient = make([]float64, len(r.moved)+len(r.second))
	s.response = &own
	return s
}

// Set gives a solution the outline built from the numbers x, and the series' J and
// moments; its stress is summed where it is asked for. Area, centroid and second
// moments are exact. It allocates nothing once the solution has been set before.
func (r *Response) Set(x []float64, o *Outline, s *Solution) error {
	s.Properties = PropertiesOf(o)
	s.place(o)
	if err := r.base.sameSides(s.loops); err != nil {
		return err
	}
	c := s.response.coefficient
	n := len(r.moved)
	for a, i := range r.moved {
		c[a] = x[i] - r.at[i]
	}
	for b := range n {
		for a := range b + 1 {
			c[n+pair(a, b)] = c[a] * c[b]
		}
	}
	s.Moment = r.base.Moment
	for f := range s.Moment {
		for a := range n {
			s.Moment[f] += c[a] * r.moment1[a][f]
		}
		for k := range r.moment2 {
			s.Moment[f] += c[n+k] * r.moment2[k][f]
		}
	}
	s.J = s.Moment[Torsion]
	s.stamp++
	return nil
}

// fill sums the series at the points of a panel.
func (r *Response) fill(p *panel, out [][5]float64) {
	copy(out, r.base.density[p.first:p.first+p.count])
	n := len(r.moved)
	for a := range n {
		addScaled(out, r.coefficient[a], r.first[a][p.first:])
	}
	for k, second := range r.second {
		if second != nil {
			addScaled(out, r.coefficient[n+k], second[p.first:])
		}
	}
}

func addScaled(out [][5]float64, c float64, of [][5]float64) {
	if c == 0 {
		return
	}
	for j := range out {
		d := &of[j]
		o := &out[j]
		o[0] += c * d[0]
		o[1] += c * d[1]
		o[2] += c * d[2]
		o[3] += c * d[3]
		o[4] += c * d[4]
	}
}

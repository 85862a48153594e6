package pick

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/section"
)

// symmetryOf is one turn or mirror image that leaves the section as it is: what it
// makes of an arc length s is sign·s + shift. Arc length is the same on both.
type symmetryOf struct {
	mirror bool
	angle  float64 // of the turn, or of the mirror axis, rad
	sign   float64
	shift  float64
}

func (e *symmetryOf) image(s float64) float64 { return e.sign*s + e.shift }

// matrix of the element on y and z, by rows.
func (e *symmetryOf) matrix() [2][2]float64 {
	if e.mirror {
		sin, cos := math.Sincos(2 * e.angle)
		return [2][2]float64{{cos, sin}, {sin, -cos}}
	}
	sin, cos := math.Sincos(e.angle)
	return [2][2]float64{{cos, -sin}, {sin, cos}}
}

// maxTurns bounds the turns that are used of a section with very many, as a circle
// drawn as a polygon.
const maxTurns = 24

// symmetriesOf lists the turns and mirror images of a section, that which leaves
// everything first. Of a section with more than maxTurns turns, the most of them
// that are equally spaced.
func symmetriesOf(s section.Section) []symmetryOf {
	girth := s.Perimeter(0)
	all := s.Symmetries()
	n := all.Rotations
	if n == 0 {
		n = maxTurns
		for k := range n {
			all.Mirrors = append(all.Mirrors, float64(k)*math.Pi/float64(n))
		}
	}
	for d := min(n, maxTurns); ; d-- {
		if n%d == 0 {
			n = d
			break
		}
	}
	var out []symmetryOf
	for k := range n {
		part := float64(k) / float64(n)
		out = append(out, symmetryOf{angle: part * 2 * math.Pi, sign: 1, shift: part * girth})
	}
	first := -1.0
	for _, a := range all.Mirrors {
		// Mirrors a half pitch apart belong to the turns.
		if first >= 0 {
			steps := (a - first) * float64(n) / math.Pi
			if math.Abs(steps-math.Round(steps)) > 1e-6 {
				continue
			}
		}
		at := a
		if s.Meets(at) != nil {
			if at += math.Pi; s.Meets(at) != nil {
				continue
			}
		}
		if first < 0 {
			first = a
		}
		out = append(out, symmetryOf{mirror: true, angle: a, sign: -1, shift: 2 * s.Around(at).S})
	}
	return out
}

// preserving are the symmetries of the section that leave the problem as it is: its
// loads but for their signs, the sectors kept out, the hot side of a gradient, and
// what the tolerances of the dimensions are. Placement sets that one of them brings
// onto each other have the same figures.
func (p *problem) preserving() (out []symmetryOf) {
	alike, lists := p.alikeDimensions()
	for i, e := range p.symmetries {
		m := e.matrix()
		straight := math.Abs(m[0][1]) < 1e-9
		switch {
		case i == 0:
		case len(p.design.Pick.KeepOut) > 0,
			!p.keepsLoads(m, design.ShearY, design.ShearZ), !p.keepsLoads(m, design.BendingY, design.BendingZ),
			!alike && (lists || !straight):
			continue
		}
		if t := p.design.Temperature; t.Toward.Set && t.Across.SI != 0 {
			sin, cos := math.Sincos(t.Toward.SI)
			if math.Hypot(m[0][0]*cos+m[0][1]*sin-cos, m[1][0]*cos+m[1][1]*sin-sin) > 1e-9 {
				continue
			}
		}
		out = append(out, e)
	}
	return out
}

// keepsLoads reports whether an element brings the loads y and z of one kind onto
// loads of the file of the same size and use, signs aside.
func (p *problem) keepsLoads(m [2][2]float64, y, z design.Component) bool {
	one, hasY := p.design.Load(y)
	two, hasZ := p.design.Load(z)
	if !hasY && !hasZ || math.Abs(m[0][1]) < 1e-9 {
		return true
	}
	same := hasY && hasZ && one.Measure == two.Measure && math.Abs(one.Rated.SI) == math.Abs(two.Rated.SI)
	return same && math.Abs(m[0][0]) < 1e-9 // y and z change places
}

// alikeDimensions reports whether all dimensions that have a tolerance have the
// same, and whether the shape is given by lists.
func (p *problem) alikeDimensions() (alike, lists bool) {
	tolerance := 0.0
	for _, d := range p.design.Part.Section.Dimensions {
		switch u := d.Standard(); {
		case u == 0 || u == tolerance:
		case tolerance == 0:
			tolerance = u
		default:
			return false, len(p.design.Part.Section.Counts) > 0
		}
	}
	return true, len(p.design.Part.Section.Counts) > 0
}

// orbits lists what the groups among the symmetries make of one spot, as sets of
// indexes into spots, of at most size: the spot alone, and by a mirror image, by
// turns, or by both. Each set stands once.
func (p *problem) orbits(spots []spot, size int) (out [][]int) {
	girth := p.section.Perimeter(0)
	find := func(s float64) int {
		return slices.IndexFunc(spots, func(o spot) bool { return apart(o.at, s, girth) < 1e-6 })
	}
	var turns, mirrors []symmetryOf
	for _, e := range p.symmetries {
		if e.mirror {
			mirrors = append(mirrors, e)
		} else {
			turns = append(turns, e)
		}
	}
	seen := map[string]bool{}
	for n := 1; n <= min(len(turns), maxPositions); n++ {
		if len(turns)%n != 0 {
			continue
		}
		for axis := -1; axis < len(mirrors); axis++ {
			for i := range spots {
				starts := []float64{spots[i].at}
				if axis >= 0 {
					starts = append(starts, mirrors[axis].image(spots[i].at))
				}
				var set []int
				whole := true
				for _, s := range starts {
					for k := range n {
						j := find(turns[k*len(turns)/n].image(s))
						whole = whole && j >= 0
						if !slices.Contains(set, j) {
							set = append(set, j)
						}
					}
				}
				slices.Sort(set)
				if key := fmt.Sprint(set); whole && len(set) <= size && !seen[key] {
					seen[key] = true
					out = append(out, set)
				}
			}
		}
	}
	return out
}

// unions adds to sets what two of them that share nothing make together, up to size.
func unions(sets [][]int, size int) [][]int {
	out := slices.Clone(sets)
	seen := map[string]bool{}
	for _, s := range sets {
		seen[fmt.Sprint(s)] = true
	}
	for i, a := range sets {
		for _, b := range sets[i+1:] {
			if len(a)+len(b) > size || slices.ContainsFunc(b, func(k int) bool { return slices.Contains(a, k) }) {
				continue
			}
			both := slices.Concat(a, b)
			slices.Sort(both)
			if key := fmt.Sprint(both); !seen[key] {
				seen[key] = true
				out = append(out, both)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b []int) int {
		if c := len(a) - len(b); c != 0 {
			return c
		}
		return slices.Compare(a, b)
	})
	return out
}

package pick

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
)

// maxFree bounds the sets of free angles of one gauge type and number.
const maxFree = 300

// maxMixtures bounds the placement sets of two gauge types.
const maxMixtures = 3000

// free lists sets of n positions at free angles, for parts whose sectors kept out
// leave no room for equal spacing: of the multiples of 15° that are free (of 5°
// where none is) all sets, or of 30°, 45°, 60° or 90° where these are too many.
func (p *problem) free(gauge, turn, n int, station design.Number) (out []layout) {
	if n < 2 || len(p.design.Pick.KeepOut) == 0 || !p.variesAround() || turn%90 != 0 && turn != 45 {
		return nil
	}
	single := func(angle int) layout {
		l := layout{rings: []ring{{gauge: gauge, turn: turn, angles: []float64{float64(angle)}, station: station}}}
		l.place()
		return l
	}
	if one := single(0); !p.fitsAlong(one.placements) || p.overlap(one.placements) {
		return nil
	}
	var angles []int
	for _, step := range []int{15, 5, 30, 45, 60, 90} {
		if step > 15 && choose(len(angles), n) <= maxFree {
			break
		}
		if step == 5 && len(angles) >= n {
			continue
		}
		angles = nil
		for a := 0; a < 360; a += step {
			if one := single(a); p.fitsAround(one.placements) {
				angles = append(angles, a)
			}
		}
	}
	if len(angles) < n || choose(len(angles), n) > maxFree {
		return nil
	}
	chosen := make([]float64, 0, n)
	var add func(from int)
	add = func(from int) {
		if len(chosen) == n {
			l := layout{rings: []ring{{gauge: gauge, turn: turn, angles: slices.Clone(chosen), free: true, station: station}}}
			if l.place(); !p.overlap(l.placements) {
				out = append(out, l)
			}
			return
		}
		for i := from; i < len(angles); i++ {
			chosen = append(chosen, float64(angles[i]))
			add(i + 1)
			chosen = chosen[:len(chosen)-1]
		}
	}
	add(0)
	return out
}

// mixtures lists the placement sets of two gauge types: a ring of 1, 2 or 4 of
// each, at one station or at two, patterns as they are, the start angle of the one
// every 45°, the other from the same angle or half of the smaller pitch on.
func (p *problem) mixtures() (out []layout) {
	types := p.gauges()
	slices.SortFunc(types, func(a, b int) int { return cmp.Compare(p.design.Gauges[a].Name, p.design.Gauges[b].Name) })
	stations := p.stationsAscending()
	for i, g := range types {
		for _, h := range types[i+1:] {
			for _, s := range stations {
				for _, t := range stations {
					for _, n := range []int{1, 2, 4} {
						for _, m := range []int{1, 2, 4} {
							d := p.design
							if n+m > p.atMost() || p.tooMany(n*len(d.Gauges[g].Directions)+m*len(d.Gauges[h].Directions)) {
								continue
							}
							out = append(out, p.mixture(ring{gauge: g, station: s}, ring{gauge: h, station: t}, n, m)...)
						}
					}
				}
			}
		}
	}
	if len(out) > maxMixtures {
		p.left = fmt.Sprintf("of %d placement sets of two gauge types the first %d are taken", len(out), maxMixtures)
		out = out[:maxMixtures]
	}
	return out
}

// mixture lists the placement sets of n gauges on the one ring and m on the other
// that fit.
func (p *problem) mixture(one, two ring, n, m int) (out []layout) {
	set := func(r ring, start float64, n int) ring {
		r.angles = nil
		for i := range n {
			r.angles = append(r.angles, math.Mod(start+float64(i)*360/float64(n), 360))
		}
		slices.Sort(r.angles)
		return r
	}
	for start := 0.0; start < 360/float64(n)-1e-9; start += 45 {
		for _, on := range []float64{0, 180 / float64(max(n, m))} {
			l := layout{rings: []ring{set(one, start, n), set(two, start+on, m)}}
			l.place()
			if p.fitsAlong(l.placements) && p.fitsAround(l.placements) && !p.overlap(l.placements) {
				out = append(out, l)
			}
		}
		if !p.variesAround() {
			break
		}
	}
	return out
}

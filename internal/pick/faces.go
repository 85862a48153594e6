package pick

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// maxFaceSets bounds the placement sets of one gauge type on a part that is not
// round.
const maxFaceSets = 3000

// faceLayouts lists the placement sets of a part that is not round: on the spots of
// each gauge and turn of its pattern the sets that the symmetries of the section
// make of one or two of them, at one station or alike at two, and those of two gauge
// types. Of sets that one of group brings onto each other the first is taken.
func (p *problem) faceLayouts(group []symmetryOf) []layout {
	fold := &folder{p: p, group: group, seen: map[string]bool{}}
	var out []layout
	for _, g := range p.gauges() {
		for _, turned := range p.turns(g) {
			spots := p.spots(g, turned)
			p.places = max(p.places, len(spots))
			for _, at := range p.ringStations() {
				size := min(p.atMost()/len(at), maxPositions)
				for _, set := range unions(p.orbits(spots, size), size) {
					if p.tooMany(len(set) * len(at) * len(p.design.Gauges[g].Directions)) {
						continue
					}
					var l layout
					for _, s := range at {
						l.rings = append(l.rings, p.faceRing(g, turned, s, spots, set))
					}
					if l.place(); p.fits(l.placements) && fold.first(&l) {
						out = append(out, l)
					}
				}
			}
		}
	}
	if len(out) > maxFaceSets {
		// Fewer gauges first, so that what is left out takes more.
		slices.SortStableFunc(out, func(a, b layout) int { return cmp.Compare(len(a.placements), len(b.placements)) })
		p.left = fmt.Sprintf("of %d placement sets of one gauge type the first %d are taken, those of fewer gauges first", len(out), maxFaceSets)
		out = out[:maxFaceSets]
	}
	mixed := p.faceMixtures(fold)
	p.folded = fold.folded
	return append(out, mixed...)
}

// chart finds where gauges may stand on a part that is not round, and its symmetries.
func (p *problem) chart() {
	p.stretches = p.runs()
	p.symmetries = symmetriesOf(p.section)
	p.peaks = p.torsionPeaks()
}

// fits reports whether placements have room along the part and round it.
func (p *problem) fits(placements []design.Placement) bool {
	return p.fitsAlong(placements) && p.fitsAround(placements) && !p.overlap(placements)
}

func (p *problem) faceRing(g, turned int, station design.Number, spots []spot, set []int) ring {
	r := ring{gauge: g, turn: turned, station: station}
	for _, i := range set {
		r.spots = append(r.spots, spots[i])
		r.angles = append(r.angles, spots[i].angle)
	}
	return r
}

// faceMixtures lists the placement sets of two gauge types on the middles of
// straight faces, and on curves, 1, 2 or 4 of each, patterns as they are.
func (p *problem) faceMixtures(fold *folder) (out []layout) {
	types := p.gauges()
	slices.SortFunc(types, func(a, b int) int { return cmp.Compare(p.design.Gauges[a].Name, p.design.Gauges[b].Name) })
	sets := map[int][][]int{}
	spots := map[int][]spot{}
	for _, g := range types {
		spots[g] = slices.DeleteFunc(p.spots(g, 0), func(s spot) bool { return s.face != "" && !s.middle })
		sets[g] = slices.DeleteFunc(unions(p.orbits(spots[g], 4), 4), func(s []int) bool { return len(s) == 3 })
	}
	stations := p.stationsAscending()
	for i, g := range types {
		for _, h := range types[i+1:] {
			for _, s := range stations {
				for _, t := range stations {
					for _, a := range sets[g] {
						for _, b := range sets[h] {
							d := p.design
							if len(a)+len(b) > p.atMost() || p.tooMany(len(a)*len(d.Gauges[g].Directions)+len(b)*len(d.Gauges[h].Directions)) {
								continue
							}
							l := layout{rings: []ring{p.faceRing(g, 0, s, spots[g], a), p.faceRing(h, 0, t, spots[h], b)}}
							if l.place(); p.fits(l.placements) && fold.first(&l) {
								out = append(out, l)
							}
						}
					}
				}
			}
		}
	}
	if len(out) > maxMixtures {
		slices.SortStableFunc(out, func(a, b layout) int { return cmp.Compare(len(a.placements), len(b.placements)) })
		p.left = fmt.Sprintf("of %d placement sets of two gauge types the first %d are taken", len(out), maxMixtures)
		out = out[:maxMixtures]
	}
	return out
}

// folder takes one of the placement sets that a group of symmetries brings onto
// each other.
type folder struct {
	p      *problem
	group  []symmetryOf
	seen   map[string]bool
	folded int
}

// first reports whether no set that is the same but for a symmetry came before, and
// marks the layout with what it shares with all sets that turn onto it.
func (f *folder) first(l *layout) bool {
	for i := range l.rings {
		l.rings[i].class = f.p.class(l.rings[i].spots)
	}
	along := []float64{1}
	if !f.p.variesAlong() {
		along = append(along, -1) // the mirror image in a cross section turns the sign of torque alone
	}
	least := ""
	for _, e := range f.group {
		for _, x := range along {
			var key strings.Builder
			for i := range l.rings {
				r := &l.rings[i]
				fmt.Fprintf(&key, "%d %v %v %s;", r.gauge, r.station.SI, f.p.imageOf(&e, r.spots), f.p.pattern(r.gauge, r.turn, x, e.sign))
			}
			if k := key.String(); least == "" || k < least {
				least = k
			}
		}
	}
	if f.seen[least] {
		f.folded++
		return false
	}
	f.seen[least] = true
	return true
}

// imageOf lists where an element brings spots, µm of arc length, ascending.
func (p *problem) imageOf(e *symmetryOf, spots []spot) []int {
	girth := p.section.Perimeter(0)
	out := make([]int, len(spots))
	whole := int(math.Round(girth * 1e6))
	for i := range spots {
		out[i] = int(math.Round(wrapped(e.image(spots[i].at), girth)*1e6)) % whole
	}
	slices.Sort(out)
	return out
}

// class names the spots of a ring up to the symmetries of the section.
func (p *problem) class(spots []spot) string {
	var least []int
	for i := range p.symmetries {
		if at := p.imageOf(&p.symmetries[i], spots); least == nil || slices.Compare(at, least) < 0 {
			least = at
		}
	}
	var b strings.Builder
	for _, x := range least {
		fmt.Fprintf(&b, "%08d ", x)
	}
	return b.String()
}

// pattern is everything of a turned pattern that the part sees, whatever the numbers
// of its grids; along and around −1 mirror it that way.
func (p *problem) pattern(g, turned int, along, around float64) string {
	source := &p.design.Gauges[g]
	sin, cos := math.Sincos(float64(turned) * deg)
	round := func(x float64) float64 { return math.Round(x*1e8)/1e8 + 0 }
	hand := along * around
	if !p.variesAlong() {
		along = 0
	}
	var grids []string
	for k, dir := range source.Directions {
		a := math.Mod(hand*(math.Round(dir/deg*1e6)/1e6+float64(turned)), 180)
		if a < 0 {
			a += 180
		}
		x, y := source.Centres[k][0].SI, source.Centres[k][1].SI
		grids = append(grids, fmt.Sprint(a+0, round(along*(x*cos-y*sin)), round(around*(x*sin+y*cos)),
			source.GaugeFactor[k].SI, source.Transverse[k].SI, source.Resistance[k].SI))
	}
	slices.Sort(grids)
	return fmt.Sprint(grids)
}

// faceWords say where a ring stands.
func (r *ring) faceWords() string {
	words := make([]string, len(r.spots))
	faces := true
	for i := range r.spots {
		words[i] = r.spots[i].words()
		faces = faces && r.spots[i].middle
	}
	if !faces {
		return " at " + list(words)
	}
	for i := range r.spots {
		words[i] = r.spots[i].face
	}
	if len(words) == 1 {
		return " on face " + words[0]
	}
	return " on the faces " + list(words)
}

// faceSpace says what was searched on a part that is not round.
func (s *search) faceSpace() string {
	mixed := 0
	for i := range s.layouts {
		if l := &s.layouts[i]; len(l.rings) > 1 && l.rings[0].gauge != l.rings[1].gauge {
			mixed++
		}
	}
	words := fmt.Sprintf("%s on up to %s round the part: middles of straight faces that hold the backing, places of greatest torsion shear, middles of curved runs and every 45° on them", plural(len(s.layouts), "placement set"), plural(s.places, "place"))
	if s.shears() {
		words += ", pairs to either side of the middles because of the shear forces"
	}
	words += "; sets that the symmetries of the section make of one or two of these, at one station or alike at two, patterns turned to every multiple of 45° (of mirror images along a part without shear forces the one)"
	if mixed > 0 {
		words += fmt.Sprintf("; two gauge types at middles of faces and on curves, 1, 2 or 4 of each (%s)", plural(mixed, "set"))
	}
	return words
}

// faceSymmetry says what was folded together on a part that is not round.
func (s *search) faceSymmetry() string {
	turns, mirrors := 0, 0
	for i := range s.symmetries {
		if s.symmetries[i].mirror {
			mirrors++
		} else {
			turns++
		}
	}
	return fmt.Sprintf("; the section has %s and %s, and of placement sets that those of them which leave the loads as they are bring onto each other one is taken (%d more not searched again)", plural(turns, "turn"), plural(mirrors, "mirror image"), s.folded)
}

// noFace says why nothing fits on a part that is not round.
func (s *search) noFace() string {
	longest := 0.0
	for _, r := range s.stretches {
		if r.holdsPlace {
			longest = math.Max(longest, 2*r.half)
		}
	}
	least := math.Inf(1)
	for _, g := range s.gauges() {
		least = math.Min(least, math.Min(2*s.reachAround(g, 0), 2*s.reachAround(g, 90)))
	}
	length := func(x float64) string { return quantity.Format(x, quantity.Length, quantity.SI, 3) }
	if least > longest {
		return fmt.Sprintf("no gauge fits: the longest face or curve is %s and the smallest backing is %s wide; offer a smaller gauge, or write a smaller `backing` where it is cut", length(longest), length(least))
	}
	return "no gauge fits: every face lies in a sector kept out, or every backing overlaps another or reaches beyond the straight length; widen `pick.keep-out`, `pick.stations` or the straight length, or offer a smaller gauge"
}

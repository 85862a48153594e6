package wrap

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/dossier"
	"gridwright/internal/section"
)

// face is a straight face or a curve on a panel, between two arc lengths of it.
type face struct {
	title    string
	from, to float64 // m from the panel's left edge, on the surface
	curved   bool
}

// knot is an arc length of a panel's surface and where it lies on the paper, m.
// Between knots the paper follows straight.
type knot struct{ s, u float64 }

// paperAt is the place on the paper of an arc length of the panel, m.
func (p *panel) paperAt(s float64) float64 {
	n := len(p.knots)
	if n == 0 {
		return s * p.stretch
	}
	k, _ := slices.BinarySearchFunc(p.knots, s, func(k knot, s float64) int {
		if k.s < s {
			return -1
		}
		return 1
	})
	k = min(max(k, 1), n-1)
	a, b := p.knots[k-1], p.knots[k]
	return a.u + (s-a.s)/(b.s-a.s)*(b.u-a.u)
}

// onPaper are the knots of runs that follow each other from s = 0, for paper of
// thickness t. Along a curve the paper's middle turns with the surface t/2 farther
// out, so that it is longer than the surface by t/2 times the angle turned; a flat
// face is as long as it is, and a fold adds nothing.
func onPaper(sec section.Section, runs []section.Run, t float64) []knot {
	knots := []knot{{}}
	for _, r := range runs {
		last := knots[len(knots)-1]
		if r.Straight {
			knots = append(knots, knot{last.s + r.Length, last.u + r.Length})
			continue
		}
		// A curve drawn in straight sides turns at their joints: spread over it.
		const pieces = 256
		hair := 1e-9 * sec.Perimeter(0)
		normal := func(k int) float64 {
			return sec.Normal(section.Coordinate{S: r.From + min(max(r.Length*float64(k)/pieces, hair), r.Length-hair)})
		}
		turned := 0.0
		before := normal(0)
		for k := 1; k <= pieces; k++ {
			now := normal(k)
			turned += math.Remainder(now-before, 2*math.Pi)
			before = now
			s := r.Length * float64(k) / pieces
			knots = append(knots, knot{last.s + s, last.u + s + t/2*turned})
		}
	}
	return knots
}

// joined is the whole girth of a convex part that is not round, its faces in one
// strip from an edge that no gauge reaches over, or from φ = 0 of a smooth curve.
func joined(d *dossier.Dossier, t float64) panel {
	sec := d.Result.State.Section
	runs, girth := section.Runs(sec), sec.Perimeter(0)
	backings, grids := rects(d)
	first := 0
	clear := func(k int) bool {
		return !slices.ContainsFunc(backings, func(r rect) bool {
			_, half := r.reach()
			return math.Abs(math.Remainder(r.s-runs[k].From, girth)) < half
		})
	}
	// The edge before φ = 0 if it is free, else the first one after it that is.
	zero := slices.IndexFunc(runs, func(r section.Run) bool { return on(-r.From, girth) < r.Length })
	for k := range runs {
		if i := (max(zero, 0) + k) % len(runs); clear(i) {
			first = i
			break
		}
	}
	runs = append(slices.Clone(runs[first:]), runs[:first]...)
	start := runs[0].From
	p := panel{girth: girth, closed: true, knots: onPaper(sec, runs, t), datum: on(-start, girth), phi: sec.Meets(0) == nil}
	p.stretch = p.paperAt(girth) / girth
	at := 0.0
	for _, r := range runs {
		p.faces = append(p.faces, face{r.Title(), at, at + r.Length, !r.Straight})
		at += r.Length
	}
	move := func(all []rect) (out []rect) {
		for _, r := range all {
			r.s = on(r.s-start, girth)
			out = append(out, r)
		}
		return out
	}
	p.backings, p.grids = move(backings), move(grids)
	for _, k := range keptOut(d) {
		from := on(k.from-start, girth)
		to := from + k.to - k.from
		p.keepOut = append(p.keepOut, sector{from, min(to, girth)})
		if to > girth {
			p.keepOut = append(p.keepOut, sector{0, to - girth})
		}
	}
	return p
}

// apartPanels are the faces and curves that carry gauges, one strip each; the
// reference line of a strip is the middle of its face.
func apartPanels(d *dossier.Dossier, t float64) []panel {
	sec := d.Result.State.Section
	runs, girth := section.Runs(sec), sec.Perimeter(0)
	backings, grids := rects(d)
	sectors := keptOut(d)
	var all []panel
	for i, r := range runs {
		p := panel{name: r.Title(), girth: r.Length, curved: !r.Straight, datum: r.Length / 2, knots: onPaper(sec, []section.Run{r}, t)}
		p.stretch = p.paperAt(r.Length) / r.Length
		p.faces = []face{{r.Title(), 0, r.Length, !r.Straight}}
		p.left, p.right = runs[(i+len(runs)-1)%len(runs)].Title(), runs[(i+1)%len(runs)].Title()
		mine := map[int]bool{}
		for _, b := range backings {
			if s := on(b.s-r.From, girth); s < r.Length || len(runs) == 1 {
				b.s, b.across = s, s-r.Length/2
				mine[b.placement] = true
				p.backings = append(p.backings, b)
			}
		}
		for _, g := range grids {
			if mine[g.placement] {
				g.s = on(g.s-r.From, girth)
				p.grids = append(p.grids, g)
			}
		}
		for _, k := range sectors {
			for turn := -1.0; turn <= 1; turn++ {
				from, to := max(k.from-r.From+turn*girth, 0), min(k.to-r.From+turn*girth, r.Length)
				if to > from {
					p.keepOut = append(p.keepOut, sector{from, to})
				}
			}
		}
		if len(p.backings) > 0 {
			all = append(all, p)
		}
	}
	return all
}

// on brings an arc length into [0, girth).
func on(s, girth float64) float64 {
	if s = math.Mod(s, girth); s < 0 {
		s += girth
	}
	if girth-s < 1e-9*girth {
		return 0
	}
	return s
}

// rects are gauges and grids with their arc lengths from the reference line, in
// [0, girth).
func rects(d *dossier.Dossier) (backings, grids []rect) {
	sec := d.Result.State.Section
	girth := sec.Perimeter(0)
	for i, pl := range d.Design.Placements {
		station, phi, direction := pl.AsBonded(d.Design.Tolerance)
		g, at := &d.Design.Gauges[pl.Gauge], &d.Result.State.Placements[i]
		r := rect{name: pl.Name, gauge: g.Name, placement: i, x: station.SI, s: on(at.Coordinate.S, girth), around: phi.SI,
			direction: direction.SI, length: g.Backing.Length.SI, width: g.Backing.Width.SI}
		if pl.Face != "" {
			r.around = at.Around
			r.face = section.FaceTitle(sec, pl.FaceIndex)
			r.across = math.Remainder(at.Coordinate.S-sec.OnFace(pl.FaceIndex, 0).S, girth)
		}
		r.around = on(r.around, 2*math.Pi)
		backings = append(backings, r)
	}
	for i, g := range d.Result.Grids {
		state := &d.Result.State.Grids[i]
		grids = append(grids, rect{name: g.Name, placement: d.Result.Model.Grids[i].Ref.Placement, x: state.Station, s: on(state.Coordinate.S, girth), around: on(state.Around, 2*math.Pi),
			direction: math.Atan2(state.Sin, state.Cos), length: state.Length, width: state.Width})
	}
	return backings, grids
}

// keptOut are the sectors to keep free by arc length from the reference line; to is
// beyond the girth where one lies over it.
func keptOut(d *dossier.Dossier) (all []sector) {
	sec := d.Result.State.Section
	girth := sec.Perimeter(0)
	for _, k := range d.Design.Pick.KeepOut {
		from, to := on(sec.Around(k.From.SI).S, girth), on(sec.Around(k.To.SI).S, girth)
		switch sweep := k.To.SI - k.From.SI; {
		case sweep >= 2*math.Pi:
			from, to = 0, girth
		case to <= from:
			to += girth
		}
		all = append(all, sector{from, to})
	}
	return all
}

// generalPanels are the panels of a part that is not round: one strip of all its
// faces where it is convex and the strip fits a page, else one for each face that
// carries a gauge.
func generalPanels(d *dossier.Dossier, t float64, o Options) ([]panel, error) {
	if len(d.Design.Placements) == 0 {
		return nil, errNothing
	}
	sec := d.Result.State.Section
	if section.Convex(sec) {
		paper, err := o.paper()
		if err != nil {
			return nil, err
		}
		p := joined(d, t)
		long := p.paperAt(p.girth)*1e3 + flapOf(p.paperAt(p.girth)*1e3)
		paper.Width, paper.Height = max(paper.Width, paper.Height), min(paper.Width, paper.Height)
		if len(p.faces) == 1 || long <= areaOf(paper).roomAcross() {
			return []panel{p}, nil
		}
	}
	return apartPanels(d, t), nil
}

// place is where a gauge is, in words: the angle on a round part, on another the face
// and how far from its middle.
func (b *book) place(p *panel, r rect) string {
	switch {
	case p.round():
		return degrees(r.around)
	case !p.closed:
		return b.w.place(r.s - p.datum)
	case r.face == "":
		return degrees(r.around)
	}
	return fmt.Sprintf("%s %s", r.face, b.w.place(r.across))
}

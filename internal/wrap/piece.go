package wrap

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gridwright/internal/drawing"
)

// All in mm on the paper.
const (
	edge         = 8.0  // of a page that printers leave blank
	gutter       = 10.0 // left, for the upright check bar
	headHeight   = 11.0
	barHeight    = 9.0 // above the title strip, for the level check bar
	stripHeight  = 16.0
	sideBorder   = 7.0  // left and right of a piece, for register marks
	topBorder    = 13.0 // for the names of centre lines
	footBorder   = 8.0
	narrowest    = 90.0 // of the room for a piece, so that names find a place beside a small one
	axialMargin  = 15.0 // of a piece beyond its gauges
	overlap      = 10.0 // of neighbouring tiles
	apart        = 20.0 // of bare part between pieces that stand on their own
	registerAway = 4.0  // from the edge of a piece
	maxPages     = 60
)

// piece is what is cut out in one: a strip of a panel with a group of gauges.
type piece struct {
	panel     *panel
	number    int     // from 1
	low, high float64 // stations, m
	backings  []rect
	grids     []rect
	width     float64 // of the panel on the paper
	flap      float64 // beyond it, to be glued
	across    tiling
	up        tiling
	beyond    bool // a gauge reaches past the straight length
}

func (p *piece) length() float64 { return p.width + p.flap }
func (p *piece) height() float64 { return (p.high - p.low) * 1e3 }
func (p *piece) u(s float64) float64 {
	if p.panel.knots != nil {
		return p.panel.paperAt(s) * 1e3
	}
	return s * 1e3 * p.panel.stretch
}
func (p *piece) v(x float64) float64  { return (x - p.low) * 1e3 }
func (p *piece) tiles() int           { return p.across.n * p.up.n }
func (p *piece) shows(x float64) bool { return x > p.low-1e-9 && x < p.high+1e-9 }

func (p *piece) corner(r rect, u, v float64) drawing.Point {
	x, s := r.corner(u, v)
	return drawing.At(p.u(s), p.v(x))
}

// outline of a rectangle, from corner to corner.
func (p *piece) outline(r rect) (c [4]drawing.Point) {
	for k, uv := range [4][2]float64{{1, -1}, {1, 1}, {-1, 1}, {-1, -1}} {
		c[k] = p.corner(r, uv[0], uv[1])
	}
	return c
}

// tiling cuts a length into n windows that overlap.
type tiling struct {
	n     int
	seams []float64 // where neighbours are joined: the middle of their overlap
	total float64
}

// tiled is the tiling of a length with windows of at most room, so that no
// overlap lies on what is busy, if one more window than needed can do that; else
// with as few windows as can be.
func tiled(total, room float64, busy []sector) tiling {
	if total <= room {
		return tiling{n: 1, total: total}
	}
	n := int(min(math.Ceil((total-overlap)/(room-overlap)-1e-9), 1e6))
	if n > maxPages {
		return tiling{n: n, total: total}
	}
	few, clear := seams(n, total, room, busy)
	if !clear {
		if more, clear := seams(n+1, total, room, busy); clear {
			return tiling{n + 1, more, total}
		}
	}
	return tiling{n, few, total}
}

// seams of n windows, each as near as can be to where equal windows have it, off
// what is busy where it can be; clear tells that all are.
func seams(n int, total, room float64, busy []sector) (at []float64, clear bool) {
	const keep, step = overlap/2 + 1, 0.5
	free := func(s float64) bool {
		for _, b := range busy {
			if s+keep > b.from && s-keep < b.to {
				return false
			}
		}
		return true
	}
	clear = true
	last := -overlap / 2 // as if a seam were there
	for k := 1; k < n; k++ {
		most := last + room - overlap
		if k == 1 {
			most = room - overlap/2
		}
		least := max(total-overlap/2-float64(n-k)*(room-overlap), last+overlap)
		wanted := min(max(float64(k)*(total-overlap)/float64(n)+overlap/2, least), most)
		best, found := wanted, false
		for d := 0.0; !found && d < room; d += step {
			for _, s := range []float64{wanted - d, wanted + d} {
				if s >= least && s <= most && free(s) {
					best, found = s, true
					break
				}
			}
		}
		clear = clear && found
		at, last = append(at, best), best
	}
	return at, clear
}

// window k, from 0.
func (t tiling) window(k int) (from, to float64) {
	from, to = 0, t.total
	if k > 0 {
		from = t.seam(k) - overlap/2
	}
	if k < t.n-1 {
		to = t.seam(k+1) + overlap/2
	}
	return from, to
}

// seam k, from 1 to n−1, is where window k is joined to the one before.
func (t tiling) seam(k int) float64 { return t.seams[k-1] }

// narrowest is the smallest distance between the cuts of the tiling.
func (t tiling) narrowest() float64 {
	last, least := 0.0, t.total
	for _, s := range t.seams {
		last, least = s, min(least, s-last)
	}
	return min(least, t.total-last)
}

// area is the room of a page for pieces.
type area struct{ x, y, width, height float64 }

func areaOf(paper drawing.PaperSize) area {
	a := area{x: edge + gutter, y: edge + headHeight}
	a.width = paper.Width - edge - a.x
	a.height = paper.Height - edge - stripHeight - barHeight - a.y
	return a
}

// roomAcross and roomUp are what is left of it for the piece itself.
func (a area) roomAcross() float64 { return a.width - 2*sideBorder }
func (a area) roomUp() float64     { return a.height - topBorder - footBorder }

// pieces cuts the panels into pieces for pages of that area: one a panel where
// its gauges lie together or one page holds them all, else one a group.
func (b *book) pieces(a area) []*piece {
	var all []*piece
	for i := range b.panels {
		p := &b.panels[i]
		if len(p.backings) == 0 {
			continue
		}
		whole := b.piece(p, p.backings, a)
		if whole.up.n == 1 {
			all = append(all, whole)
			continue
		}
		for _, g := range groups(p.backings) {
			all = append(all, b.piece(p, g, a))
		}
	}
	for i, p := range all {
		p.number = i + 1
	}
	return all
}

// piece with some gauges of a panel.
func (b *book) piece(p *panel, backings []rect, a area) *piece {
	c := &piece{panel: p, backings: backings, low: math.Inf(1), high: math.Inf(-1), width: p.girth * 1e3 * p.stretch}
	if p.knots != nil {
		c.width = p.paperAt(p.girth) * 1e3
	}
	for _, r := range backings {
		half, _ := r.reach()
		c.low, c.high = min(c.low, r.x-half), max(c.high, r.x+half)
	}
	for _, g := range p.grids {
		if slices.ContainsFunc(backings, func(r rect) bool { return r.placement == g.placement }) {
			half, _ := g.reach()
			c.grids = append(c.grids, g)
			c.low, c.high = min(c.low, g.x-half), max(c.high, g.x+half)
		}
	}
	low, high := c.low, c.high
	c.low, c.high = c.low-axialMargin/1e3, c.high+axialMargin/1e3
	// Beyond the straight length the paper does not lie on the part.
	if span := b.d.Design.Part.StraightLength; span.Set {
		c.low, c.high = min(max(c.low, span.From.SI), low), max(min(c.high, span.To.SI), high)
		c.beyond = low < span.From.SI-1e-9 || high > span.To.SI+1e-9
	}
	if p.closed {
		c.flap = flapOf(c.width)
	}
	var us, vs []sector
	for _, r := range append(slices.Clone(c.backings), c.grids...) {
		for _, i := range p.images(r) {
			axial, around := i.reach()
			us = append(us, sector{c.u(i.s - around), c.u(i.s + around)})
			vs = append(vs, sector{c.v(i.x - axial), c.v(i.x + axial)})
		}
	}
	c.across = tiled(c.length(), a.roomAcross(), us)
	c.up = tiled(c.height(), a.roomUp(), vs)
	return c
}

// flapOf a strip, mm.
func flapOf(width float64) float64 { return min(max(0.12*width, 4), 10) }

// groups are gauges between which the part is bare so far that a strip for each
// group takes less paper.
func groups(backings []rect) (all [][]rect) {
	sorted := slices.Clone(backings)
	from := func(r rect) float64 { half, _ := r.reach(); return r.x - half }
	slices.SortStableFunc(sorted, func(a, b rect) int { return cmp.Compare(from(a), from(b)) })
	end := math.Inf(-1)
	for _, r := range sorted {
		half, _ := r.reach()
		if r.x-half > end+(2*axialMargin+apart)/1e3 {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], r)
		end = max(end, r.x+half)
	}
	return all
}

// slot is where a tile of a piece goes.
type slot struct {
	piece    *piece
	col, row int // of the tile; rows count from the low stations up
	page     int // from 0
	block    area
}

// pack puts pieces of one tile on shelves side by side, and tiles below each
// other. free is the height left on the last page.
func pack(pieces []*piece, a area) (slots []slot, pages int, free float64) {
	x, y, shelf := 0.0, 0.0, 0.0
	page, used := 0, false
	turn := func() {
		if used {
			page++
		}
		x, y, shelf, used = 0, 0, 0, false
	}
	for _, p := range pieces {
		if p.tiles() > 1 {
			for row := range p.up.n {
				from, to := p.up.window(row)
				h := to - from + topBorder + footBorder
				for col := range p.across.n {
					if x, y, shelf = 0, y+shelf, 0; y+h > a.height+1e-9 {
						turn()
					}
					slots = append(slots, slot{p, col, row, page, area{a.x, a.y + y, a.width, h}})
					shelf, used = h, true
				}
			}
			x, y, shelf = 0, y+shelf, 0
			continue
		}
		w, h := min(max(p.length()+2*sideBorder, narrowest), a.width), p.height()+topBorder+footBorder
		if x+w > a.width+1e-9 {
			x, y, shelf = 0, y+shelf, 0
		}
		if y+h > a.height+1e-9 {
			turn()
		}
		slots = append(slots, slot{p, 0, 0, page, area{a.x + x, a.y + y, w, h}})
		x, shelf, used = x+w, max(shelf, h), true
	}
	if used {
		page++
	}
	return slots, page, a.height - y - shelf
}

// choose picks the way that the paper lies: the one that takes fewer pages, then
// fewer tiles, upright before across.
func (b *book) choose(paper drawing.PaperSize) error {
	least, tiles := math.MaxInt, 0
	for _, p := range []drawing.PaperSize{paper, {Width: paper.Height, Height: paper.Width}} {
		a := areaOf(p)
		pieces := b.pieces(a)
		if len(pieces) == 0 {
			return fmt.Errorf("nothing is placed, so there is nothing to mark")
		}
		count := 0
		for _, c := range pieces {
			if c.across.n > maxPages || c.up.n > maxPages {
				count = maxPages + 1
				break
			}
			count += c.tiles()
		}
		if count > maxPages {
			continue
		}
		slots, pages, free := pack(pieces, a)
		trial := *b
		trial.paper, trial.area, trial.list, trial.slots = p, a, pieces, slots
		trial.cover = nil
		blocks := trial.info(a.width)
		tall := 0.0
		for _, s := range blocks {
			tall += s.Height
		}
		trial.shared = pages == 1 && tall <= free
		if !trial.shared {
			trial.cover = flow(blocks, a.height)
			pages += len(trial.cover)
		} else {
			trial.cover = [][]*drawing.Scene{blocks}
			trial.coverAt = a.height - free
		}
		if pages < least || pages == least && count < tiles {
			least, tiles = pages, count
			doc, warnings := b.doc, b.warnings
			*b = trial
			b.doc, b.warnings = doc, warnings
		}
	}
	if least > maxPages {
		return fmt.Errorf("the template would take more than %d pages of %g × %g mm", maxPages, paper.Width, paper.Height)
	}
	return nil
}

// flow puts blocks on pages of a height.
func flow(blocks []*drawing.Scene, height float64) (pages [][]*drawing.Scene) {
	left := 0.0
	for _, s := range blocks {
		if len(pages) == 0 || s.Height > left {
			pages, left = append(pages, nil), height
		}
		pages[len(pages)-1] = append(pages[len(pages)-1], s)
		left -= s.Height
	}
	return pages
}

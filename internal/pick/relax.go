package pick

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gridwright/internal/design"
)

// Change is one change of a problem with which a search meets every requirement.
type Change struct {
	Words  string         // what to do, with figures, e.g. "allow crosstalk up to 0.31 % (now 0.05 %)"
	Path   string         // the key of the design file that changes
	Design *design.Design // the changed problem, without the placements of an answer; a search of it meets everything
	Amount float64        // by how much limits are relaxed, relative: new/old − 1 for an upper one, old/new − 1 for a lower one; 0 when none is
	Gauges int            // of the first candidate then

	class, edits int
}

// The classes of changes, the smallest first: what costs nothing on the part
// before what does, and what changes the problem last.
const (
	relaxLittle = iota // a limit to at most its double, or to half at least
	fixedArms
	otherGauge
	moreGauges
	otherStation
	otherPattern
	otherLeads
	relaxMuch
	placeAnew
	freeSector
	dropLoad
)

// Changes are ranked by, in this order: fewer changes at once; a limit relaxed to at most
// its double, a lower one to half, the least relative amount first; fixed arms; another
// gauge of the file; more gauges; another station; another pattern of an offered grid;
// other leads; a limit relaxed farther, the least first; gauges placed anew; a sector
// freed; a load taken out; then fewer gauges.

// Bounds of the search for a change.
const (
	changeSearches = 250
	changeTime     = 5 * time.Second
)

// relaxer searches for changes of one problem without solution.
type relaxer struct {
	ctx      context.Context
	searches int
	found    []Change
}

// smallestChange looks for the changes that make a problem solvable whose search
// came out as out: by searching changed problems, single changes first, two at
// once only when no single one serves. It returns a sentence on the smallest, and
// those found, smallest first: all single ones, of pairs the first few. Every one of them was searched and met all
// requirements. The time and number of searches are bounded; the sentence says
// when the bound was reached.
func smallestChange(ctx context.Context, d *design.Design, out *Outcome) (string, []Change) {
	within, cancel := context.WithTimeout(ctx, changeTime)
	defer cancel()
	r := &relaxer{ctx: within}
	d = d.Clone()
	d.Bridges = nil
	r.relax(d, out, edit{})
	singles := edits(d)
	outcomes := make([]*Outcome, len(singles))
	for i := range singles {
		if e := &singles[i]; e.class == moreGauges && slices.ContainsFunc(r.found, func(c Change) bool { return c.class == moreGauges }) {
			continue // fewer do
		}
		outcomes[i] = r.try(&singles[i])
	}
	if len(r.found) == 0 {
		r.pairs(singles, outcomes)
	}
	slices.SortStableFunc(r.found, func(a, b Change) int {
		if c := cmp.Or(cmp.Compare(a.edits, b.edits), cmp.Compare(a.class, b.class)); c != 0 {
			return c
		}
		if !same(a.Amount, b.Amount) {
			return cmp.Compare(a.Amount, b.Amount)
		}
		return cmp.Compare(a.Gauges, b.Gauges)
	})
	return r.words(), r.found
}

// words are the sentence on what was found.
func (r *relaxer) words() string {
	bound := ""
	if r.over() {
		bound = fmt.Sprintf("; the search for changes was ended after %v or %d searches, so that smaller ones may exist", changeTime, changeSearches)
	}
	if len(r.found) == 0 {
		return "no change that was tried gives a solution: limits relaxed, fixed arms, the file's other gauges, one or two gauges more, another station, another pattern of an offered grid, other leads, gauges placed anew, a sector freed, a load taken out, nor two of these at once" + bound
	}
	return r.found[0].Words + bound
}

func (r *relaxer) over() bool { return r.searches >= changeSearches || r.ctx.Err() != nil }

// search looks for an arrangement for a changed problem; nil when there is none,
// the bound is reached, or the problem cannot be searched.
func (r *relaxer) search(d *design.Design) *Outcome {
	if r.over() {
		return nil
	}
	r.searches++
	out, err := Search(r.ctx, d, Options{})
	if err != nil {
		return nil
	}
	return out
}

// keep records a change whose search meets everything.
func (r *relaxer) keep(e edit, out *Outcome) {
	if e.class == relaxLittle && e.amount > 1 {
		e.class = relaxMuch
	}
	r.found = append(r.found, Change{
		Words: e.words, Path: e.path, Design: e.design, Amount: e.amount,
		Gauges: out.Candidates[0].Metrics.Gauges, class: e.class, edits: e.edits,
	})
}

// try searches the problem with one edit and keeps it when it serves.
func (r *relaxer) try(e *edit) *Outcome {
	out := r.search(e.design)
	if out != nil && out.Met {
		r.keep(*e, out)
	}
	return out
}

// enoughPairs is how many pairs of changes are looked for.
const enoughPairs = 3

// pairs tries two edits at once, in the order of changes, and when none serve
// edits with limits relaxed.
func (r *relaxer) pairs(singles []edit, outcomes []*Outcome) {
	var both []edit
	for i := range singles {
		a := &singles[i]
		for _, b := range edits(a.design) {
			if b.class < a.class || b.path == a.path && b.class != otherPattern {
				continue // the same two the other way round, or one that undoes the other
			}
			both = append(both, b.after(a))
		}
	}
	slices.SortStableFunc(both, func(a, b edit) int { return cmp.Compare(a.class, b.class) })
	for i := range both {
		if r.try(&both[i]); len(r.found) >= enoughPairs {
			break
		}
	}
	if len(r.found) > 0 {
		return
	}
	for i, out := range outcomes {
		if out != nil {
			r.relax(singles[i].design, out, singles[i])
		}
	}
}

// relax finds the least that limits have to give way for: each limit alone that
// the candidates of an outcome miss, and those that one of them misses together.
func (r *relaxer) relax(d *design.Design, out *Outcome, before edit) {
	var nearest []*Candidate
	for i := range out.Candidates {
		if m := &out.Candidates[i].Metrics; m.NoBridge == 0 && m.Thermal {
			nearest = append(nearest, &out.Candidates[i])
		}
	}
	alone := map[string]bool{}
	for i := range limits {
		l := &limits[i]
		if r.relaxOne(d, l, nearest, before) {
			alone[l.key] = true
		}
	}
	tried := map[string]bool{}
	for _, c := range nearest {
		e := edit{design: d.Clone(), class: relaxLittle, edits: 0}
		var keys, words []string
		for i := range limits {
			l := &limits[i]
			if at, ok := l.misses(d, c); ok {
				amount := l.relaxTo(e.design, at)
				e.amount += amount
				e.edits++
				keys, words = append(keys, l.key), append(words, l.sentence(d, e.design))
			}
		}
		key := strings.Join(keys, ", ")
		if len(keys) < 2 || tried[key] || slices.ContainsFunc(keys, func(k string) bool { return alone[k] }) {
			continue
		}
		tried[key] = true
		e.words, e.path = strings.Join(words, ", and "), "require"
		e = e.after(&before)
		r.try(&e)
	}
}

// relaxOne finds the least value of one limit with which a search meets
// everything, to half a percent or the third digit.
func (r *relaxer) relaxOne(d *design.Design, l *limit, nearest []*Candidate, before edit) bool {
	start, ok := l.start(d, nearest)
	if !ok {
		return false
	}
	try := func(value float64) (edit, *Outcome) {
		e := edit{design: d.Clone(), path: "require." + l.key, class: relaxLittle, edits: 1}
		e.amount = l.relaxTo(e.design, value)
		e.words = l.sentence(d, e.design)
		e = e.after(&before)
		return e, r.search(e.design)
	}
	best, out := try(start)
	if out == nil || !out.Met {
		return false
	}
	// Between a value that serves and one that does not: first just below the one
	// that serves, for figures lie apart and it is often the least; then by halves.
	const fine = 0.005
	serves, fails := l.value(best.design), l.value(d)
	next := serves + (fails-serves)*fine
	for math.Abs(serves-fails) > fine*math.Abs(serves) {
		if next = l.outward(next); !l.less(next, serves) {
			next = l.closer(serves)
		}
		if !l.less(fails, next) {
			break
		}
		e, found := try(next)
		if r.over() && (found == nil || !found.Met) {
			break
		}
		if found == nil || !found.Met {
			fails = next
		} else {
			best, out, serves = e, found, next
			if f, ok := l.best(found); ok && l.less(l.outward(f), serves) {
				if tight, again := try(f); again != nil && again.Met {
					best, out, serves = tight, again, l.value(tight.design)
				}
			}
		}
		next = (serves + fails) / 2
	}
	r.keep(best, out)
	return true
}

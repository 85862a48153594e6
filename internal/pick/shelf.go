package pick

import "slices"

// shelf keeps, on each set of grids and for full and half bridges apart, the
// wirings for one load that no other on the same grids beats in every figure.
// Whether a wiring is kept does not depend on the order in which they come.
type shelf struct {
	index map[slot]int32
	items []wiring
	next  []int32 // the next item on the same grids, −1 for none
	dead  []bool
}

type slot struct {
	mask uint64
	full bool
}

func newShelf() *shelf { return &shelf{index: map[slot]int32{}} }

// put keeps a wiring. When strict, all that are not beaten in output, crosstalk
// and gradient are kept, else the best alone.
func (s *shelf) put(w wiring, strict bool) {
	key := slot{w.mask(), w.shape.full()}
	head, seen := s.index[key]
	if !seen {
		head = -1
	}
	last := int32(-1)
	for at := head; at >= 0; at = s.next[at] {
		old := &s.items[at]
		beaten, beats := !w.better(old), w.better(old)
		if strict {
			beaten, beats = old.dominates(&w), w.dominates(old)
		}
		if beaten {
			return
		}
		if beats {
			s.dead[at] = true
			if last < 0 {
				head = s.next[at]
			} else {
				s.next[last] = s.next[at]
			}
			continue
		}
		last = at
	}
	n := int32(len(s.items))
	s.items = append(s.items, w)
	s.next = append(s.next, head)
	s.dead = append(s.dead, false)
	s.index[key] = n
}

// wants reports whether a wiring whose excess can only grow may be the best on its
// grids.
func (s *shelf) wants(w *wiring) bool {
	at, seen := s.index[slot{w.mask(), w.shape.full()}]
	return !seen || w.better(&s.items[at])
}

// take puts all of another shelf.
func (s *shelf) take(o *shelf, strict bool) {
	if len(s.items) == 0 {
		*s = *o
		return
	}
	for i := range o.items {
		if !o.dead[i] {
			s.put(o.items[i], strict)
		}
	}
}

// kept lists what the shelf has, in an order of its own.
func (s *shelf) kept() []*wiring {
	var out []*wiring
	for i := range s.items {
		if !s.dead[i] {
			out = append(out, &s.items[i])
		}
	}
	slices.SortFunc(out, func(a, b *wiring) int { return first(a.before(b)) })
	return out
}

// dominates reports whether no figure of w is worse than that of o, which is on
// the same grids; of two that are equal one dominates.
func (w *wiring) dominates(o *wiring) bool {
	if w.output < o.output || w.crosstalk95 > o.crosstalk95 || w.gradient > o.gradient {
		return false
	}
	equal := w.output == o.output && w.crosstalk95 == o.crosstalk95 && w.gradient == o.gradient
	return !equal || w.before(o)
}

// better compares two wirings of the same grids.
func (w *wiring) better(o *wiring) bool {
	switch {
	case w.matched != o.matched:
		return w.matched
	case w.excess != o.excess:
		return w.excess < o.excess
	case w.output != o.output:
		return w.output > o.output
	}
	return w.before(o)
}

// before orders wirings that are as good: shorter arms first, then by their grids.
func (w *wiring) before(o *wiring) bool {
	a, b := &w.shape, &o.shape
	switch {
	case a.longest() != b.longest():
		return a.longest() < b.longest()
	case a.merged() != b.merged():
		return a.merged()
	case w.up() != o.up():
		return w.up() < o.up()
	case w.down() != o.down():
		return w.down() < o.down()
	case w.plus != o.plus:
		return w.plus[0] < o.plus[0] || w.plus[0] == o.plus[0] && w.plus[1] < o.plus[1]
	case w.minus != o.minus:
		return w.minus[0] < o.minus[0] || w.minus[0] == o.minus[0] && w.minus[1] < o.minus[1]
	}
	return a.full() && !b.full()
}

func first(yes bool) int {
	if yes {
		return -1
	}
	return 1
}

package sheet

import (
	"cmp"
	"math"
	"slices"

	"gridwright/internal/drawing"
)

const (
	markSize = 6.5 // points, of the texts of running dimensions and names
	rowPitch = 3.1 // mm between such texts that stand beside each other
)

// mark is one place on a running dimension: where on the paper, and what is
// written there.
type mark struct {
	at   float64
	text string
}

// merged sorts marks and joins those at one place with the same text.
func merged(marks []mark) []mark {
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.at, b.at) })
	return slices.CompactFunc(marks, func(a, b mark) bool { return math.Abs(a.at-b.at) < 1e-6 && a.text == b.text })
}

// spread moves sorted positions apart to at least pitch, within lo and hi, each
// as near to its own as it can be. ok is false when there is no room for all.
func spread(at []float64, pitch, lo, hi float64) (moved []float64, ok bool) {
	n := len(at)
	if n == 0 {
		return nil, true
	}
	if float64(n-1)*pitch > hi-lo+1e-9 {
		return nil, false
	}
	// Clusters of texts that touch stand about the mean of their places.
	type cluster struct {
		sum float64 // of place less offset in the cluster
		n   int
	}
	start := func(c cluster) float64 {
		return min(max(c.sum/float64(c.n), lo), hi-float64(c.n-1)*pitch)
	}
	var all []cluster
	for _, p := range at {
		all = append(all, cluster{p, 1})
		for len(all) > 1 {
			a, b := all[len(all)-2], all[len(all)-1]
			if start(a)+float64(a.n)*pitch <= start(b) {
				break
			}
			all = all[:len(all)-1]
			all[len(all)-1] = cluster{a.sum + b.sum - float64(a.n*b.n)*pitch, a.n + b.n}
		}
	}
	for _, c := range all {
		for i := range c.n {
			moved = append(moved, start(c)+float64(i)*pitch)
		}
	}
	// The edges may have pushed clusters into each other; there is room for all.
	for i := 1; i < n; i++ {
		moved[i] = max(moved[i], moved[i-1]+pitch)
	}
	for i := n - 1; i >= 0; i-- {
		moved[i] = min(moved[i], hi-float64(n-1-i)*pitch)
	}
	return moved, true
}

// thin leaves out marks, evenly, until the rest have room; left is how many went.
func thin(marks []mark, pitch, lo, hi float64) (kept []mark, at []float64, left int) {
	kept, hi = marks, max(hi, lo) // one text always has room
	for {
		places := make([]float64, len(kept))
		for i, m := range kept {
			places[i] = m.at
		}
		if moved, ok := spread(places, pitch, lo, hi); ok {
			return kept, moved, len(marks) - len(kept)
		}
		room := max(int((hi-lo)/pitch), 1)
		step := float64(len(marks)) / float64(room)
		kept = nil
		for i := range room {
			kept = append(kept, marks[int(float64(i)*step)])
		}
	}
}

// chain is a running dimension along a level line: marks that count from one
// origin, and the height of its axis.
type chain struct {
	origin, axis float64
	marks        []mark
}

// runningAcross draws running dimensions along level lines: from y an extension line
// to the axis, where an arrow stands, and below the axes the text, reading upward.
// Each origin is marked by a small circle. It returns how many texts had no room.
func runningAcross(s *drawing.Scene, chains []chain, y, lo, hi float64) (left int) {
	var all []mark
	lowest := math.Inf(-1)
	of := map[mark]*chain{}
	for i := range chains {
		c := &chains[i]
		c.marks = merged(c.marks)
		lowest = max(lowest, c.axis)
		for _, m := range c.marks {
			of[m] = c
		}
		all = append(all, c.marks...)
	}
	kept, at, left := thin(merged(all), rowPitch, lo, hi)
	if len(kept) == 0 {
		return left
	}
	for _, c := range chains {
		if len(c.marks) == 0 {
			continue
		}
		if from, to := min(c.origin, c.marks[0].at), max(c.origin, c.marks[len(c.marks)-1].at); to > from {
			s.Line(drawing.Thin, drawing.At(from, c.axis), drawing.At(to, c.axis))
		}
		s.Circle(drawing.Thin, drawing.Paper, drawing.At(c.origin, c.axis), 0.8)
	}
	for i, m := range kept {
		c := of[m]
		if c.axis-y > 1 {
			s.Line(drawing.Hair, drawing.At(m.at, y+0.6), drawing.At(m.at, c.axis))
		}
		if d := m.at - c.origin; math.Abs(d) > 2.6 {
			s.Arrow(drawing.Thin, drawing.At(m.at-math.Copysign(2.4, d), c.axis), drawing.At(m.at, c.axis))
		}
		s.Polyline(drawing.Hair, drawing.At(m.at, c.axis), drawing.At(m.at, lowest+1), drawing.At(at[i], lowest+3))
		s.Text(drawing.TextStyle{Size: markSize, Align: drawing.Right, Level: drawing.Middle, Angle: math.Pi / 2}, drawing.At(at[i], lowest+3.5), m.text)
	}
	return left
}

// runningUp draws a running dimension along an upright line left of x: texts
// stand left of the axis. Where the origin is not shown (NaN), the axis is drawn
// from mark to mark without one.
func runningUp(s *drawing.Scene, marks []mark, origin, x, axis, lo, hi float64) (left int) {
	marks = merged(marks)
	kept, at, left := thin(marks, rowPitch, lo, hi)
	if len(kept) == 0 {
		return left
	}
	from, to := marks[0].at, marks[len(marks)-1].at
	if !math.IsNaN(origin) {
		from, to = min(origin, from), max(origin, to)
		s.Circle(drawing.Thin, drawing.Paper, drawing.At(axis, origin), 0.8)
	}
	if to > from {
		s.Line(drawing.Thin, drawing.At(axis, from), drawing.At(axis, to))
	}
	for i, m := range kept {
		if x-axis > 1 {
			s.Line(drawing.Hair, drawing.At(x-0.6, m.at), drawing.At(axis, m.at))
		}
		if d := m.at - origin; math.Abs(d) > 2.6 { // false for NaN
			s.Arrow(drawing.Thin, drawing.At(axis, m.at-math.Copysign(2.4, d)), drawing.At(axis, m.at))
		}
		s.Polyline(drawing.Hair, drawing.At(axis, m.at), drawing.At(axis-1, m.at), drawing.At(axis-3, at[i]))
		s.Text(drawing.TextStyle{Size: markSize, Align: drawing.Right, Level: drawing.Middle}, drawing.At(axis-3.5, at[i]), m.text)
	}
	return left
}

// namer writes names beside what they name, where nothing else is written.
type namer struct {
	scene   *drawing.Scene
	scratch *drawing.Scene
	lo, hi  drawing.Point // where names may stand
	taken   []drawing.TextBox
}

func newNamer(s *drawing.Scene, lo, hi drawing.Point) *namer {
	return &namer{scene: s, scratch: drawing.NewScene(s.Width, s.Height), lo: lo, hi: hi, taken: slices.Clone(s.TextBoxes())}
}

// keepClear keeps names off a rectangle about a centre.
func (n *namer) keepClear(centre drawing.Point, width, height, angle float64) {
	n.taken = append(n.taken, drawing.TextBox{Corners: turned(centre, width, height, angle)})
}

// turned are the corners of a turned rectangle, counterclockwise as seen.
func turned(c drawing.Point, width, height, angle float64) [4]drawing.Point {
	sin, cos := math.Sincos(angle)
	at := func(u, v float64) drawing.Point { return drawing.At(c.X+u*cos-v*sin, c.Y-u*sin-v*cos) }
	w, h := width/2, height/2
	return [4]drawing.Point{at(-w, -h), at(w, -h), at(w, h), at(-w, h)}
}

// name writes a text near a point, with a line to it where it stands apart: in
// the given direction or against it if there is room near by, else in the
// nearest free place; false when none is free.
func (n *namer) name(s string, style drawing.TextStyle, at drawing.Point, reach, first float64) bool {
	style.Align, style.Level = drawing.Centre, drawing.Middle
	for step := range 4 {
		for _, a := range []float64{first, first + math.Pi} {
			if n.try(s, style, at, reach, a, step) {
				return true
			}
		}
	}
	for step := range 16 {
		for i := range 16 { // first, then to both sides of it by turns
			turn := float64((i+1)/2) * math.Pi / 8
			if i%2 == 1 {
				turn = -turn
			}
			if n.try(s, style, at, reach, first+turn, step) {
				return true
			}
		}
	}
	return false
}

// try writes the text in a direction if that place is free.
func (n *namer) try(s string, style drawing.TextStyle, at drawing.Point, reach, angle float64, step int) bool {
	width, _, _ := drawing.Measure(s, style.Font, style.Size)
	tall := drawing.LineHeight(style.Font, style.Size)
	sin, cos := math.Sincos(angle)
	half := min(width/2/max(math.Abs(cos), 1e-9), tall/2/max(math.Abs(sin), 1e-9))
	out := 1.6 * float64(step) // mm
	spot := at.Polar(reach+0.5+half+out, angle)
	box := n.scratch.Text(style, spot, s)
	if !box.Within(n.lo, n.hi.X-n.lo.X, n.hi.Y-n.lo.Y) || n.blocked(box) {
		return false
	}
	if step > 0 {
		n.scene.Line(drawing.Hair, at.Polar(reach, angle), at.Polar(reach+0.4+out, angle))
	}
	n.taken = append(n.taken, n.scene.Text(style, spot, s))
	return true
}

func (n *namer) blocked(box drawing.TextBox) bool {
	return slices.ContainsFunc(n.taken, box.Overlaps)
}

package predict

import (
	"math"

	"gridwright/internal/section"
)

// Worst is the greatest value of a stress along one loop of a section.
type Worst struct {
	Value float64
	At    section.Coordinate
	// Left is what is not counted on either side of a re-entrant corner, m; 0 where
	// there is none.
	Left float64
}

// Samples around the girth, and of one side at the least; a short side of a curve
// drawn in straight sides takes its ends and its middle.
const (
	roundSamples = 360
	girthSamples = 480
	sideSamples  = 12
	drawnSamples = 2
)

// ReentrantShare of the greatest dimension is left out beside a re-entrant corner,
// at most a quarter of the side: the stress of a sharp one has no bound, that of the
// real fillet belongs to a stress concentration.
const ReentrantShare = 0.05

// WorstOf searches a loop for the greatest value of a stress: side by side, corners
// included, refined about the greatest sample. Beside a re-entrant corner the stretch
//
//	Left = min(ReentrantShare · greatest dimension, ¼ of the side)
//
// does not count; Left is the longest of them.
func WorstOf(s section.Section, loop int, stress func(section.Coordinate) float64) Worst {
	at := func(x float64) float64 { return stress(section.Coordinate{Loop: loop, S: x}) }
	girth := s.Perimeter(loop)
	joints := section.Joints(s, loop)
	if len(joints) == 0 {
		h := girth / roundSamples
		x, v := sampled(at, 0, girth-h, roundSamples-1)
		if c, top := peak(at, x-h, x+h, refinements); top > v {
			x, v = c, top
		}
		return Worst{Value: v, At: section.Coordinate{Loop: loop, S: x}}
	}
	out := Worst{Value: -1}
	margin := ReentrantShare * s.Properties().Depth
	for i, from := range joints {
		to := joints[(i+1)%len(joints)]
		lo, hi := from.At.S, to.At.S
		if i == len(joints)-1 {
			hi += girth
		}
		n := max(sideSamples, int(girthSamples*(hi-lo)/girth))
		if len(joints) > 1 && from.Smooth() && to.Smooth() && (hi-lo) < girth/100 {
			n = drawnSamples
		}
		side := hi - lo
		if from.Reentrant() {
			lo += out.leave(margin, side)
		}
		if to.Reentrant() {
			hi -= out.leave(margin, side)
		}
		x, v := sampled(at, lo, hi, n)
		if v > out.Value*(1-1e-2) { // a sample is closer than this to its peak
			h := (hi - lo) / float64(n)
			if c, top := peak(at, math.Max(lo, x-h), math.Min(hi, x+h), refinements); top > v {
				x, v = c, top
			}
		}
		if v > out.Value {
			out.Value, out.At = v, section.Coordinate{Loop: loop, S: math.Mod(x, girth)}
		}
	}
	return out
}

const refinements = 45 // of a golden section: to rounding

// leave is what is left out at one end of a side.
func (w *Worst) leave(margin, side float64) float64 {
	d := math.Min(margin, side/4)
	w.Left = math.Max(w.Left, d)
	return d
}

// sampled is the greatest of n+1 values from lo to hi, the first of equal ones.
func sampled(f func(float64) float64, lo, hi float64, n int) (x, v float64) {
	v = -1
	for k := range n + 1 {
		c := lo + (hi-lo)*float64(k)/float64(n)
		if y := f(c); y > v {
			x, v = c, y
		}
	}
	return x, v
}

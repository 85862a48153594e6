package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// resized are the options of another dimension of the section, one for each
// dimension that makes good true: the nearest to the present one, to 0.1 mm on
// the safe side. The inner dimension comes first: it leaves the outside, and so
// the fit to other parts, as it is.
func (j *judge) resized(good func(*predict.Result) bool) []option {
	shape, _ := section.Find(j.d.Part.Section.Shape)
	var out []option
	for i := len(shape.Dimensions) - 1; i >= 0; i-- {
		if d := &shape.Dimensions[i]; d.Whole || d.Kind != quantity.Length || j.d.Part.Section.Dimensions[i].SI == 0 {
			continue // no length, or a detail that the part does not have
		}
		x, ok := j.dimensionFor(i, good)
		if !ok {
			continue
		}
		key := shape.Dimensions[i].Key
		text := mm(x)
		out = append(out, option{
			text: fmt.Sprintf("make the section with %s: %s (now %s)", key, text, show(j.d.Part.Section.Dimensions[i].SI, quantity.Length)),
			apply: func(d *design.Design) error {
				if i >= len(d.Part.Section.Dimensions) {
					return fmt.Errorf("the section has no dimension %s", key)
				}
				set(&d.Part.Section.Dimensions[i], x, text)
				return nil
			},
		})
	}
	return out
}

// dimensionFor finds the value of a dimension nearest to the present one for
// which good holds, rounded away from the present one to 0.1 mm. It looks
// between an eighth and eight times the present value, as far as the section
// exists: steps that grow bracket the answer, bisection refines it.
func (j *judge) dimensionFor(i int, good func(*predict.Result) bool) (float64, bool) {
	try := func(x float64) bool {
		c := j.d.Clone()
		c.Part.Section.Dimensions[i].SI = x
		r, err := predict.Of(c)
		return err == nil && lies(r) && good(r)
	}
	now := j.d.Part.Section.Dimensions[i].SI
	high, low := j.bound(i, now, now*8), j.bound(i, now, now/8)
	const steps = 10
	up, down := now, now
	for n := 1.0; n <= steps; n++ {
		share := n * n / (steps * steps)
		for _, side := range []struct{ from, to *float64 }{{&up, &high}, {&down, &low}} {
			next := now + (*side.to-now)*share
			if next == *side.from {
				continue
			}
			if !try(next) {
				*side.from = next
				continue
			}
			from, to := *side.from, next
			for math.Abs(to-from) > 1e-5 {
				if mid := (from + to) / 2; try(mid) {
					to = mid
				} else {
					from = mid
				}
			}
			x := math.Floor(to*1e4) / 1e4
			if next > now {
				x = math.Ceil(to*1e4) / 1e4
			}
			return x, j.possible(i, x) && try(x)
		}
	}
	return 0, false
}

// bound is the last value of dimension i from now toward far for which the
// section is possible, to 0.01 mm.
func (j *judge) bound(i int, now, far float64) float64 {
	if j.possible(i, far) {
		return far
	}
	for math.Abs(far-now) > 1e-5 {
		if mid := (now + far) / 2; j.possible(i, mid) {
			now = mid
		} else {
			far = mid
		}
	}
	return now
}

// possible reports whether the section exists with dimension i changed to x and
// every grid still wraps less than half of it.
func (j *judge) possible(i int, x float64) bool {
	p := j.d.Part
	p.Section.Dimensions = append([]design.Number(nil), p.Section.Dimensions...)
	p.Section.Dimensions[i].SI = x
	if !j.round() {
		return section.Possible(p) == nil // whether the grids stay on their faces is seen when it is tried
	}
	s, err := section.Of(p)
	if err != nil {
		return false
	}
	for k := range j.r.State.Grids {
		g := &j.r.State.Grids[k]
		if _, around := reach(g.Length, g.Width, g.Sin, g.Cos); around > s.Perimeter(0)/2 {
			return false
		}
	}
	return true
}

package sizing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// plane solves a problem of two axes.
func (s *solver) plane(out *Outcome) error {
	first, second := *s.Axes[0], *s.Axes[1]
	first.Count, second.Count = steps2+1, steps2+1
	var at [][]float64
	for i := range first.Count {
		for j := range second.Count {
			at = append(at, []float64{first.At(i), second.At(j)})
		}
	}
	points, err := s.many(at, true)
	if err != nil {
		return err
	}
	if err := s.survey(points); err != nil {
		return err
	}
	out.Curve = points
	best, err := s.zoom(points)
	if err != nil {
		return err
	}
	for j := 0; j < second.Count; j += 4 {
		y := second.At(j)
		row := make([]Point, first.Count)
		for i := range row {
			row[i] = points[i*second.Count+j]
		}
		one := func(x ...float64) Point { return s.one(x[0], y) }
		out.Bands = append(out.Bands, Band{y, s.intervals(row, func(p *Point) float64 { return p.Least }, one)})
	}
	if !best.Meets() {
		out.Nearest = &best
		return s.ctx.Err()
	}
	out.Best = &best
	out.Chosen, err = s.roundBoth(best)
	return err
}

// zoom closes in on the best point from the best few of a grid, by ever smaller grids:
// the smallest of several factors has ridges on which a step along one axis is no gain.
func (s *solver) zoom(points []Point) (Point, error) {
	order := slices.Clone(points)
	slices.SortStableFunc(order, func(p, q Point) int { return cmp.Compare(q.score, p.score) })
	best := order[0]
	for _, from := range order[:4] {
		here := from
		w := (s.Axes[0].To - s.Axes[0].From) / steps2
		h := (s.Axes[1].To - s.Axes[1].From) / steps2
		for range 16 {
			if math.IsInf(here.score, -1) {
				break
			}
			var at [][]float64
			for i := -3; i <= 3; i++ {
				for j := -3; j <= 3; j++ {
					x := clamp(here.X[0]+w*float64(i)/3, s.Axes[0].From, s.Axes[0].To)
					y := clamp(here.X[1]+h*float64(j)/3, s.Axes[1].From, s.Axes[1].To)
					at = append(at, []float64{x, y})
				}
			}
			near, err := s.many(at, false)
			if err != nil {
				return best, err
			}
			for _, p := range near {
				if p.score > here.score {
					here = p
				}
			}
			w, h = w*0.55, h*0.55
		}
		if here.score > best.score {
			best = here
		}
	}
	return best, nil
}

func clamp(x, low, high float64) float64 { return math.Max(low, math.Min(high, x)) }

// roundBoth looks for multiples of both steps, first about the best point and then as
// far as there are not too many.
func (s *solver) roundBoth(best Point) (*Point, error) {
	for _, reach := range []float64{6, 25} {
		var at [][]float64
		kx, ky := math.Round(best.X[0]/s.Steps[0]), math.Round(best.X[1]/s.Steps[1])
		for i := kx - reach; i <= kx+reach; i++ {
			for j := ky - reach; j <= ky+reach; j++ {
				x, y := multiple(i, s.Steps[0]), multiple(j, s.Steps[1])
				if x >= s.Axes[0].From && x <= s.Axes[0].To && y >= s.Axes[1].From && y <= s.Axes[1].To {
					at = append(at, []float64{x, y})
				}
			}
		}
		if p, err := s.choose(at); p != nil || err != nil {
			return p, err
		}
	}
	return nil, nil
}

// multiple is k steps as the decimal number that is meant.
func multiple(k, step float64) float64 {
	x, err := strconv.ParseFloat(strconv.FormatFloat(k*step, 'g', 12, 64), 64)
	if err != nil {
		return k * step
	}
	return x
}

// EvenStep is a step of 1, 2 or 5 times a power of ten, of which a range has 500 or
// somewhat more.
func EvenStep(low, high float64) float64 {
	raw := (high - low) / 500
	power := math.Floor(math.Log10(raw))
	step := 1.0
	for _, m := range []float64{2, 5, 10} {
		if m*math.Pow(10, power) <= raw*(1+1e-9) {
			step = m
		}
	}
	x, err := strconv.ParseFloat(strconv.FormatFloat(step*math.Pow(10, power), 'g', 1, 64), 64)
	if err != nil {
		return step * math.Pow(10, power)
	}
	return x
}

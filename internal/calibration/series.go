package calibration

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/predict"
)

// sameStep is how near two loads are that count as one step, of the largest load.
const sameStep = 2e-3

// mounting is what stays the same within series that are repeats of each other.
type mounting struct {
	position float64
	number   int
}

// series is one run of one bridge: the reduced output at each step, NaN where none.
type series struct {
	run           int
	at            mounting
	rising        []float64
	falling       []float64
	rises, falls  bool
	before, after float64 // zero readings, reduced; NaN where none
}

// ladder is what the figures of a bridge are made of.
type ladder struct {
	steps  []float64 // loads, ascending
	series []series
	notes  []string
	top    int // of the step with the greatest |load|
}

// point is one reading of the fit.
type point struct {
	row         int // of Data.Readings
	load, value float64
}

// points are the readings of bridge b with no load but its own, loaded only.
func (d *Data) points(b, target int, reduced [][]float64) []point {
	var out []point
	for i := range d.Readings {
		r := &d.Readings[i]
		if r.Shunt < 0 && !math.IsNaN(reduced[i][b]) && r.Loads[target] != 0 && r.alone(target) {
			out = append(out, point{i, r.Loads[target], reduced[i][b]})
		}
	}
	return out
}

// ladderOf sorts the readings of a bridge into steps and series. Loads that differ
// by less than 0.2 % of the largest are one step; their outputs are taken to its
// mean load in proportion.
func (d *Data) ladderOf(b, target int, reduced [][]float64) *ladder {
	points := d.points(b, target, reduced)
	if len(points) == 0 {
		return nil
	}
	l := &ladder{}
	loads := make([]float64, 0, len(points))
	largest := 0.0
	for _, p := range points {
		loads = append(loads, p.load)
		largest = math.Max(largest, math.Abs(p.load))
	}
	slices.Sort(loads)
	var edges []float64 // highest load of each step
	moved := false
	for i := 0; i < len(loads); {
		j := i + 1
		for j < len(loads) && loads[j]-loads[i] <= sameStep*largest && loads[j]*loads[i] > 0 {
			j++
		}
		sum := 0.0
		for _, v := range loads[i:j] {
			sum += v
		}
		mean := sum / float64(j-i)
		if loads[j-1]-loads[i] <= 1e-9*largest {
			mean = loads[i]
		} else {
			moved = true
		}
		l.steps, edges = append(l.steps, mean), append(edges, loads[j-1])
		i = j
	}
	if l.steps[0] < 0 && l.steps[len(l.steps)-1] > 0 {
		l.notes = append(l.notes, "loads of both signs are evaluated together")
	}
	if moved {
		l.notes = append(l.notes, "loads of one step differ between the series: outputs were taken to the mean load of the step in proportion")
	}
	for k := range l.steps {
		if math.Abs(l.steps[k]) > math.Abs(l.steps[l.top]) {
			l.top = k
		}
	}
	stepOf := func(load float64) int {
		k, _ := slices.BinarySearch(edges, load)
		return k
	}
	byRun := map[int]int{}
	type tally struct{ up, down []int }
	var tallies []tally
	for _, p := range points {
		r := &d.Readings[p.row]
		s, ok := byRun[r.Run]
		if !ok {
			s = len(l.series)
			byRun[r.Run] = s
			at := mounting{r.Position, r.Mounting}
			l.series = append(l.series, series{run: r.Run, at: at, rising: make([]float64, len(l.steps)), falling: make([]float64, len(l.steps)), before: math.NaN(), after: math.NaN()})
			tallies = append(tallies, tally{make([]int, len(l.steps)), make([]int, len(l.steps))})
		} else if l.series[s].at != (mounting{r.Position, r.Mounting}) {
			l.notes = append(l.notes, fmt.Sprintf("run %d has more than one position: that of its first reading counts", r.Run))
		}
		k := stepOf(p.load)
		x := p.value * l.steps[k] / p.load
		if r.Stepping == Down {
			l.series[s].falling[k] += x
			tallies[s].down[k]++
			l.series[s].falls = true
		} else {
			l.series[s].rising[k] += x
			tallies[s].up[k]++
			l.series[s].rises = true
		}
	}
	_, rows := d.runs()
	for s := range l.series {
		for k := range l.steps {
			l.series[s].rising[k] = quotient(l.series[s].rising[k], tallies[s].up[k])
			l.series[s].falling[k] = quotient(l.series[s].falling[k], tallies[s].down[k])
		}
		d.zerosOf(b, &l.series[s], rows[l.series[s].run], reduced)
	}
	slices.Sort(l.notes)
	l.notes = slices.Compact(l.notes)
	return l
}

func quotient(sum float64, n int) float64 {
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}

// zerosOf finds the zero readings before and after the loads of a series.
func (d *Data) zerosOf(b int, s *series, rows []int, reduced [][]float64) {
	loaded := false
	for _, i := range rows {
		r := &d.Readings[i]
		if r.Shunt >= 0 || math.IsNaN(reduced[i][b]) {
			continue
		}
		switch {
		case !r.unloaded():
			loaded = true
			s.after = math.NaN()
		case !loaded:
			s.before = reduced[i][b]
		case math.IsNaN(s.after):
			s.after = reduced[i][b]
		}
	}
}

// repeats are the first two rising series of the first mounting that has two.
func (l *ladder) repeats() (a, b *series) {
	for i := range l.series {
		if !l.series[i].rises {
			continue
		}
		for j := i + 1; j < len(l.series); j++ {
			if l.series[j].rises && l.series[j].at == l.series[i].at {
				return &l.series[i], &l.series[j]
			}
		}
	}
	return nil, nil
}

// mountings are the first rising series of each mounting.
func (l *ladder) mountings() []*series {
	var out []*series
	for i := range l.series {
		s := &l.series[i]
		if s.rises && !slices.ContainsFunc(out, func(o *series) bool { return o.at == s.at }) {
			out = append(out, s)
		}
	}
	return out
}

// mean output of each step over the mountings, or over all rising series where
// there is one mounting; NaN where a step has none.
func (l *ladder) mean() []float64 {
	use := l.mountings()
	if len(use) < 2 {
		use = nil
		for i := range l.series {
			if l.series[i].rises {
				use = append(use, &l.series[i])
			}
		}
	}
	out := make([]float64, len(l.steps))
	for k := range out {
		n := 0
		for _, s := range use {
			if !math.IsNaN(s.rising[k]) {
				out[k] += s.rising[k]
				n++
			}
		}
		out[k] = quotient(out[k], n)
	}
	return out
}

// Step is what the method says of one load, ratios of the output.
type Step struct {
	Load             float64
	Mean             predict.Figure // V/V
	Fitted           predict.Figure // V/V
	Repeatability    predict.Figure // b′
	Reproducibility  predict.Figure // b
	Interpolation    predict.Figure // fc, fa, with its sign
	Reversibility    predict.Figure // v, h; of e74 and plain as v
	Uncertainty      Budget
	reproducibilityN int     // series that Reproducibility is of
	scatter          float64 // standard deviation between mountings, V/V
}

// turns reports whether step k is the outermost of its sign, where a falling
// series begins.
func (l *ladder) turns(k int) bool {
	last := len(l.steps) - 1
	return k == 0 && l.steps[0] < 0 || k == last && l.steps[last] > 0
}

package diagnosis

import (
	"math"
	"slices"
)

// mode is a cause at one place where its parameter fits, or a cause without one.
type mode struct {
	cause     *cause
	theta, sd float64
	low, high float64 // where the parameter's density was integrated
	logZ      float64 // logarithm of prior weight times evidence
	share     float64
	chi2      float64
	y         []float64 // all figures
	spread    *gaussian
}

// Search limits.
const (
	screenLimit = 1000 // rough chi-square beyond which a cause is not worth a closer look
	screenRange = 300  // beyond the best cause's
	modesAtMost = 4    // starts for one cause
	prune       = 25   // logarithm of odds against the best cause without a parameter
)

// Chances of a zero that is off scale, under a cause that puts it there and one that
// does not.
var (
	logOff   = math.Log(0.9)
	logNoOff = math.Log(1e-4)
)

// fit evaluates one cause. Modes of a parameter whose peak lies below floor are left out.
func (w *worker) fit(c *cause, starts []float64, floor float64) ([]mode, error) {
	if c.parameter == nil {
		k, err := w.discrete(c)
		if err != nil {
			return nil, err
		}
		return []mode{k}, nil
	}
	var modes []mode
	for _, t := range starts {
		k, ok := w.continuous(c, t, floor)
		if !ok {
			continue
		}
		same := false
		for i := range modes {
			if k.theta >= modes[i].low && k.theta <= modes[i].high || modes[i].theta >= k.low && modes[i].theta <= k.high {
				if k.logZ > modes[i].logZ {
					modes[i] = k
				}
				same = true
				break
			}
		}
		if !same {
			modes = append(modes, k)
		}
	}
	return modes, nil
}

func (w *worker) discrete(c *cause) (mode, error) {
	k := mode{cause: c, y: make([]float64, len(w.b.figures))}
	if err := w.predict(c, 0, 0, true, k.y); err != nil {
		return k, err
	}
	j, err := w.jacobian(c, 0)
	if err != nil {
		return k, err
	}
	if k.spread, err = w.b.newGaussian(j); err != nil {
		return k, err
	}
	k.chi2 = k.spread.square(w.b.residual(k.y))
	k.logZ = w.b.logPrior(c) + k.spread.log(k.chi2) + w.b.offScaleLog(k.y)
	return k, nil
}

// residual of the used figures.
func (b *bench) residual(y []float64) []float64 {
	r := make([]float64, len(b.used))
	for i, f := range b.used {
		r[i] = b.data[i] - y[f]
	}
	return r
}

// offScaleLog is the logarithm of the chance of the zeros that stood off scale.
func (b *bench) offScaleLog(y []float64) float64 {
	l := 0.0
	for br, off := range b.offScale {
		if !off {
			continue
		}
		if math.Abs(y[br*b.row+len(b.m.Components)]) > b.opt.Range {
			l += logOff
		} else {
			l += logNoOff
		}
	}
	return l
}

// slope is one parameter's view of the posterior with the spread of figures held.
type slope struct {
	w      *worker
	c      *cause
	g      *gaussian
	offset []float64 // exact less small-signal figures, where last taken
	y      []float64
}

// minus is −log(likelihood × prior) without the likelihood's constant.
func (s *slope) minus(theta float64) float64 {
	p := s.c.parameter
	l := p.logPrior(theta)
	if theta < p.from || theta > p.to || math.IsInf(l, -1) {
		return math.Inf(1)
	}
	if err := s.w.predict(s.c, theta, 0, false, s.y); err != nil {
		return math.Inf(1)
	}
	for i := range s.y {
		s.y[i] += s.offset[i]
	}
	return 0.5*s.g.square(s.w.b.residual(s.y)) - s.w.b.offScaleLog(s.y) - l
}

// take fixes spread and offset at θ.
func (s *slope) take(theta float64) error {
	w := s.w
	if err := w.predict(s.c, theta, 0, true, s.offset); err != nil {
		return err
	}
	if err := w.predict(s.c, theta, 0, false, s.y); err != nil {
		return err
	}
	for i := range s.offset {
		s.offset[i] -= s.y[i]
	}
	j, err := w.jacobian(s.c, theta)
	if err != nil {
		return err
	}
	s.g, err = w.b.newGaussian(j)
	return err
}

// continuous climbs from a start to the nearest peak of the posterior and integrates
// the parameter out around it.
func (w *worker) continuous(c *cause, start, floor float64) (mode, bool) {
	b, p := w.b, c.parameter
	s := &slope{w: w, c: c, offset: make([]float64, len(b.figures)), y: make([]float64, len(b.figures))}
	theta := start
	step := (p.to - p.from) / 50
	if i, ok := slices.BinarySearch(p.scan, start); ok {
		if i > 0 {
			step = p.scan[i] - p.scan[i-1]
		}
		if i+1 < len(p.scan) {
			step = max(min(step, p.scan[i+1]-p.scan[i]), 1e-12)
		}
	}
	for round := range 2 {
		if err := s.take(theta); err != nil {
			return mode{}, false
		}
		theta, step = s.descend(theta, step)
		if round == 0 && b.logPrior(c)-s.minus(theta)+s.g.log(0) < floor-4*prune {
			return mode{}, false
		}
		step *= 4
	}
	lowest := s.minus(theta)
	if math.IsInf(lowest, 1) || b.logPrior(c)-lowest+s.g.log(0)+math.Log(p.to-p.from) < floor {
		return mode{}, false
	}
	k := mode{cause: c, spread: s.g}
	var mass float64
	k.low, k.high, mass, k.theta, k.sd = s.integrate(theta, lowest, step)
	k.y = make([]float64, len(b.figures))
	if err := w.predict(c, theta, 0, true, k.y); err != nil {
		return mode{}, false
	}
	k.chi2 = s.g.square(b.residual(k.y))
	k.logZ = b.logPrior(c) + s.g.log(0) - lowest + math.Log(mass)
	return k, !math.IsNaN(k.logZ)
}

// descend goes downhill from θ with steps that grow while they help and shrink by
// parabolas when they do not; it returns the lowest point and its last step.
func (s *slope) descend(theta, step float64) (float64, float64) {
	p := s.c.parameter
	inside := func(t float64) float64 { return min(max(t, p.from), p.to) }
	x, q := theta, s.minus(theta)
	tiny := 1e-7 * (p.to - p.from)
	for range 40 {
		l, r := inside(x-step), inside(x+step)
		ql, qr := s.minus(l), s.minus(r)
		switch {
		case ql < q && ql <= qr:
			x, q, step = l, ql, step*1.7
			continue
		case qr < q:
			x, q, step = r, qr, step*1.7
			continue
		}
		// x is lowest of three: a parabola's vertex, then closer
		if a := ql - 2*q + qr; a > 0 && !math.IsInf(a, 1) && l < x && x < r && x-l == r-x {
			t := x + 0.5*step*(ql-qr)/a
			if v := s.minus(t); v < q {
				x, q = t, v
			}
			if a < 0.02 { // steps within a tenth of a standard deviation
				break
			}
		}
		if step < tiny {
			break
		}
		step *= 0.25
	}
	return x, max(step, tiny)
}

// integrate takes exp(−minus) over the peak at θ by Simpson's rule, out to where it has
// fallen by e⁻⁸, to the range's end or to a valley before another peak.
func (s *slope) integrate(theta, lowest, step float64) (low, high, mass, mean, sd float64) {
	const fall = 8
	p := s.c.parameter
	reach := func(sign, end float64) float64 {
		d := step
		at := func(d float64) float64 {
			t := theta + sign*d
			if (end-t)*sign < 0 {
				return math.Inf(1)
			}
			return s.minus(t) - lowest
		}
		for range 60 {
			if at(d) <= 4*fall {
				break
			}
			d *= 0.5
		}
		last := at(d)
		for range 60 {
			if last >= fall {
				return d
			}
			next := d * 1.35
			v := at(next)
			if math.IsInf(v, 1) {
				if room := (end - theta) * sign; room > 0 && room < next {
					return room
				}
				return d
			}
			if v < last && last > 1 {
				return d
			}
			d, last = next, v
		}
		return d
	}
	low, high = theta-reach(-1, p.from), theta+reach(1, p.to)
	low, high = max(low, p.from), min(high, p.to)
	const n = 12 // on each side
	var m0, m1, m2 float64
	add := func(from, to float64) {
		h := (to - from) / n
		if !(h > 0) {
			return
		}
		for i := range n + 1 {
			weight := 2.0
			switch {
			case i == 0 || i == n:
				weight = 1
			case i%2 == 1:
				weight = 4
			}
			t := from + h*float64(i)
			f := weight * h / 3 * math.Exp(lowest-s.minus(t))
			d := t - theta
			m0, m1, m2 = m0+f, m1+f*d, m2+f*d*d
		}
	}
	add(low, theta)
	add(theta, high)
	mean = m1 / m0
	return low, high, m0, theta + mean, math.Sqrt(max(m2/m0-mean*mean, 0))
}

// logPrior is the prior weight of a cause.
func (b *bench) logPrior(c *cause) float64 { return b.priors[c.class] }

package calibration

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/predict"
)

// Figures of a bridge, ratios; the worst of all steps.
type Figures struct {
	Repeatability    predict.Figure
	Reproducibility  predict.Figure
	Interpolation    predict.Figure
	Zero             predict.Figure
	Reversibility    predict.Figure
	Creep            predict.Figure
	Resolution       predict.Figure // load of one step of the indicator, N, N·m or Pa
	LowerLimitFactor predict.Figure // N, N·m or Pa
	Definitions      []string       // of each figure, with source and status
}

const (
	noRepeat   = "no two rising series at the same mounting"
	noRotation = "all rising series are at one position; turn the part, or number the mountings"
	noReversal = "no series has falling steps"
	noStep     = "the step was not read in these series"
	notTop     = "the largest load is where the series turns"
)

// definitions of the figures by method. All are from memory and were not compared
// with the standard.
func definitions(m Method) []string {
	b := "reproducibility b = |Xmax − Xmin| / X̄ over the mountings"
	rep := "repeatability b′ = |X2 − X1| / mean of both, rising series of one mounting"
	fit := "interpolation fc = (X̄ − Xa) / Xa, Xa from the fit"
	rev := "reversibility v = mean of |X′ − X| / X, falling against rising"
	zero := "zero f0 = |i_after − i_before| / X_N, worst series"
	scheme := "scheme of ISO 376; fit through the means of the rising series, one of each mounting"
	switch m {
	case Torque:
		b = "reproducibility b = √(Σ(X − X̄)²/(n − 1)) / X̄ over the mountings"
		fit = "fitting error fa = (X̄ − Xa) / Xa, Xa from the fit"
		rev = "reversibility h = mean of |X′ − X| / X̄, falling against rising"
		scheme = "scheme of DIN 51309; fit through the means of the rising series, one of each mounting"
	case ForceE74:
		scheme = "repeatability, reproducibility, reversibility and zero as in the scheme of ISO 376; fit through every rising reading and lower limit factor 2.4 s by the scheme of ASTM E74"
	case Plain:
		scheme = "as in the scheme of ISO 376; fit through every loaded reading, rising and falling"
	}
	return []string{rep, b, fit, rev, zero, "creep c = |i(300 s) − i(30 s)| / X_N after the largest load is reached or removed", scheme + ", from memory"}
}

// figuresOf computes steps and figures of a ladder whose fit is f:
//
//	b′ = |X2 − X1| / ((X1 + X2)/2)
//	b  = (Xmax − Xmin) / X̄,   torque: √(Σ(X − X̄)²/(n−1)) / X̄
//	fc = (X̄ − Xa) / Xa
//	v  = mean over the series of |X′ − X| / X,   torque: / X̄
//	f0 = max |i_after − i_before| / X_N
//
// X: reduced output at a step, X′: falling, Xa: fitted, X_N: at the largest load.
// What the data lack is missing with the reason.
//
// Source: schemes of ISO 376 and DIN 51309, formulas from memory (whether b of
// torque is a standard deviation or a range differs between the torque standards).
func figuresOf(l *ladder, f *Polynomial, m Method) ([]Step, Figures) {
	mean := l.mean()
	one, two := l.repeats()
	mounts := l.mountings()
	out := Figures{Definitions: definitions(m), Repeatability: predict.None(noRepeat), Reproducibility: predict.None(noRotation),
		Interpolation: predict.None("no step was read rising"), Reversibility: predict.None(noReversal)}
	var steps []Step
	for k, load := range l.steps {
		s := Step{Load: load, Mean: predict.None(noStep), Fitted: predict.Some(f.At(load)),
			Repeatability: predict.None(noRepeat), Reproducibility: predict.None(noRotation), Interpolation: predict.None(noStep), Reversibility: predict.None(noReversal)}
		if !math.IsNaN(mean[k]) {
			s.Mean = predict.Some(mean[k])
			s.Interpolation = ratio(mean[k]-s.Fitted.Value, s.Fitted.Value)
		}
		if one != nil {
			s.Repeatability = predict.None(noStep)
			if x1, x2 := one.rising[k], two.rising[k]; !math.IsNaN(x1 + x2) {
				s.Repeatability = ratio(math.Abs(x2-x1), math.Abs(x1+x2)/2)
			}
		}
		if len(mounts) > 1 {
			s.reproducibility(mounts, k, m)
		}
		s.reversibility(l, k, mean[k], m)
		out.Repeatability = worst(out.Repeatability, s.Repeatability)
		out.Reproducibility = worst(out.Reproducibility, s.Reproducibility)
		out.Interpolation = worst(out.Interpolation, s.Interpolation)
		out.Reversibility = worst(out.Reversibility, s.Reversibility)
		steps = append(steps, s)
	}
	out.Zero = zeroError(l, mean[l.top])
	return steps, out
}

func (s *Step) reproducibility(mounts []*series, k int, m Method) {
	low, high, sum, n := math.Inf(1), math.Inf(-1), 0.0, 0
	for _, o := range mounts {
		if x := o.rising[k]; !math.IsNaN(x) {
			low, high, sum, n = math.Min(low, x), math.Max(high, x), sum+x, n+1
		}
	}
	if n < 2 {
		s.Reproducibility = predict.None(noStep)
		return
	}
	mean, ss := sum/float64(n), 0.0
	for _, o := range mounts {
		if x := o.rising[k]; !math.IsNaN(x) {
			ss += (x - mean) * (x - mean)
		}
	}
	s.reproducibilityN, s.scatter = n, math.Sqrt(ss/float64(n-1))
	if m == Torque {
		s.Reproducibility = ratio(s.scatter, math.Abs(mean))
		return
	}
	s.Reproducibility = ratio(high-low, math.Abs(mean))
}

func (s *Step) reversibility(l *ladder, k int, mean float64, m Method) {
	sum, n, falls := 0.0, 0, false
	for i := range l.series {
		o := &l.series[i]
		falls = falls || o.falls
		up, down := o.rising[k], o.falling[k]
		if math.IsNaN(up) || math.IsNaN(down) {
			continue
		}
		by := up
		if m == Torque {
			by = mean
		}
		if by != 0 {
			sum += math.Abs(down-up) / math.Abs(by)
			n++
		}
	}
	switch {
	case n > 0:
		s.Reversibility = predict.Some(sum / float64(n))
	case falls && l.turns(k):
		s.Reversibility = predict.None(notTop)
	case falls:
		s.Reversibility = predict.None(noStep)
	}
}

func zeroError(l *ladder, top float64) predict.Figure {
	out := predict.None("no series has a zero reading before and one after its loads")
	for i := range l.series {
		s := &l.series[i]
		if !math.IsNaN(s.before) && !math.IsNaN(s.after) {
			out = worst(out, ratio(math.Abs(s.after-s.before), math.Abs(top)))
		}
	}
	return out
}

// ratio is missing where it is divided by zero.
func ratio(a, b float64) predict.Figure {
	if b == 0 || math.IsNaN(b) {
		return predict.None("the output is zero")
	}
	return predict.Some(a / b)
}

// worst of two figures by magnitude; one that holds is worse than one that is
// missing.
func worst(a, b predict.Figure) predict.Figure {
	switch {
	case !b.OK():
		return a
	case !a.OK() || math.Abs(b.Value) > a.Value:
		return predict.Some(math.Abs(b.Value))
	}
	return a
}

// creep is the largest of |i300 − i30| over the holds in the data: readings of one
// load, at the largest load or at zero after it, that begin with its reading and
// go on for 300 s; i by straight line between the readings.
//
// Source: scheme of ISO 376, from memory.
func (d *Data) creep(b, target int, outputs [][]float64, top float64, largest float64) predict.Figure {
	const early, late = 30.0, 300.0
	timed := false
	out := predict.None("no load was watched for 300 s")
	order, rows := d.runs()
	for _, run := range order {
		var hold []int
		was := 0.0
		judge := func() {
			if len(hold) < 2 {
				return
			}
			load := d.Readings[hold[0]].Loads[target]
			if !(math.Abs(load) >= largest*(1-sameStep) || load == 0 && math.Abs(was) >= largest*(1-sameStep)) {
				return
			}
			t0 := d.Readings[hold[0]].Time
			at := func(t float64) float64 {
				for k := 1; k < len(hold); k++ {
					a, c := &d.Readings[hold[k-1]], &d.Readings[hold[k]]
					if a.Time-t0 <= t && t <= c.Time-t0 && c.Time > a.Time {
						return outputs[hold[k-1]][b] + (outputs[hold[k]][b]-outputs[hold[k-1]][b])*(t-(a.Time-t0))/(c.Time-a.Time)
					}
				}
				return math.NaN()
			}
			if c := at(late) - at(early); !math.IsNaN(c) {
				out = worst(out, ratio(math.Abs(c), math.Abs(top)))
			}
		}
		for _, i := range rows[run] {
			r := &d.Readings[i]
			if r.Shunt >= 0 || !r.alone(target) || math.IsNaN(outputs[i][b]) || math.IsNaN(r.Time) {
				continue
			}
			timed = true
			if len(hold) > 0 && d.Readings[hold[0]].Loads[target] != r.Loads[target] {
				judge()
				was = d.Readings[hold[0]].Loads[target]
				hold = hold[:0]
			}
			hold = append(hold, i)
		}
		judge()
	}
	if !timed {
		return predict.None("no column time: creep cannot be told")
	}
	return out
}

// E74 is what the scheme of ASTM E74 says of the range.
type E74 struct {
	SD       float64           // s_m, V/V
	Factor   predict.Figure    // lower limit factor, N, N·m or Pa
	Lower    [2]predict.Figure // lowest load of class AA and A
	Upper    float64
	Resolved bool // the factor was raised to the resolution
	Remark   string
}

// leastApplications of load that the scheme of ASTM E74 asks for (read in secondary
// texts).
const leastApplications = 30

// lowerLimit computes the lower limit factor and the verified ranges,
//
//	LLF = 2.4 s · mean(F/X),   at least the resolution
//	lowest load: class AA 2000 LLF, class A 400 LLF, at least the lowest applied
//
// s: residual standard deviation of the fit through all readings, X: outputs. A
// class whose lowest load is above the largest is missing.
//
// Source: ASTM E74, 8.5 and 7.1.2, read in secondary texts; that the lowest load is
// not below the lowest applied, from memory. The mean of F/X is over all readings.
func lowerLimit(points []point, f *Polynomial, resolution predict.Figure) E74 {
	out := E74{SD: f.ResidualSD}
	sum := 0.0
	low, high := math.Inf(1), 0.0
	for _, p := range points {
		if p.value == 0 {
			out.Factor = predict.None("a loaded reading shows no output")
			return out
		}
		sum += p.load / p.value / float64(len(points))
		low, high = math.Min(low, math.Abs(p.load)), math.Max(high, math.Abs(p.load))
	}
	llf := 2.4 * f.ResidualSD * math.Abs(sum)
	out.Upper = high
	if resolution.OK() && resolution.Value > llf {
		llf, out.Resolved = resolution.Value, true
	}
	var remarks []string
	if !resolution.OK() {
		remarks = append(remarks, "the resolution is not stated, so the factor was not compared with it")
	}
	if len(points) < leastApplications {
		remarks = append(remarks, fmt.Sprintf("%d readings; the scheme asks for at least %d", len(points), leastApplications))
	}
	out.Remark = strings.Join(remarks, "; ")
	out.Factor = predict.Some(llf)
	for i, times := range []float64{2000, 400} {
		from := math.Max(times*llf, low)
		out.Lower[i] = predict.Some(from)
		if from > high {
			out.Lower[i] = predict.None(fmt.Sprintf("%g times the lower limit factor is more than the largest load", times))
		}
	}
	return out
}

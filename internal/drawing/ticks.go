package drawing

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
)

// Ticks are about so many round values: multiples of 1, 2 or 5 times a power
// of ten. (P. Heckbert, "Nice numbers for graph labels", Graphics Gems, 1990;
// from memory.)
type Ticks struct{ About int }

// Ticks lists the round values in [low, high], written alike and with a
// proper minus sign; none where the range is empty or not finite.
func (t Ticks) Ticks(low, high float64) []plot.Tick {
	span := high - low
	if !(span > 0) || !finite(span) {
		return nil
	}
	step := niceStep(span / math.Max(float64(t.About), 1))
	first, last := math.Ceil(low/step-1e-9), math.Floor(high/step+1e-9)
	if !(last-first < 1000) || step == 0 {
		return nil
	}
	var ticks []plot.Tick
	for k := first; k <= last; k++ {
		value := k * step
		ticks = append(ticks, plot.Tick{Value: value, Label: tickLabel(value, step)})
	}
	return ticks
}

// niceStep is the multiple 1, 2, 5 or 10 of a power of ten nearest to raw,
// with the borders between them at their geometric means.
func niceStep(raw float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	switch f := raw / power; {
	case f < math.Sqrt(2):
		return power
	case f < math.Sqrt(10):
		return 2 * power
	case f < math.Sqrt(50):
		return 5 * power
	}
	return 10 * power
}

// tickLabel writes a multiple of step to the digit of the step, with an
// exponent where the step is a million or more, or less than a millionth.
func tickLabel(value, step float64) string {
	exponent := func(v float64) int { return int(math.Floor(math.Log10(math.Abs(v)) + 1e-9)) }
	e := exponent(step)
	format, precision := byte('f'), max(0, -e)
	if e >= 6 || e < -6 {
		format, precision = 'g', 1
		if value != 0 {
			precision = max(1, exponent(value)-e+1)
		}
	}
	label := strconv.FormatFloat(value, format, precision, 64)
	if strings.Trim(label, "-0.") == "" {
		return strings.TrimPrefix(label, "-")
	}
	return strings.ReplaceAll(label, "-", "−")
}

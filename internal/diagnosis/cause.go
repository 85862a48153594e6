package diagnosis

import (
	"fmt"
	"math"

	"gridwright/internal/model"
)

// class is a kind of cause. Its prior weight is shared by all causes of the class.
type class int

const (
	asDesigned class = iota
	wiresExchanged
	channelsExchanged
	gridsExchanged
	wrongGrid
	mirrored
	gridOpen
	gridShorted
	unbonded
	turned
	wrongAround
	wrongStation
	wrongFactor
	wrongSection
	wrongMaterial
	offAxis
	unitSlip
	signSlip
	instrumentFactor
	leadResistance
	classes
)

// priors are the weights of the classes before any reading: common sense of a bench,
// not statistics. They matter only where the data do not decide, and are divided by the
// number of causes of a class so that a design with many grids has no more faults of
// one kind than another.
var priors = [classes]float64{
	asDesigned:        0.70,
	wiresExchanged:    0.04,
	channelsExchanged: 0.005,
	gridsExchanged:    0.035,
	wrongGrid:         0.015,
	mirrored:          0.01,
	gridOpen:          0.01,
	gridShorted:       0.01,
	unbonded:          0.02,
	turned:            0.03,
	wrongAround:       0.02,
	wrongStation:      0.01,
	wrongFactor:       0.015,
	wrongSection:      0.02,
	wrongMaterial:     0.015,
	offAxis:           0.02,
	unitSlip:          0.03,
	signSlip:          0.01,
	instrumentFactor:  0.01,
	leadResistance:    0.01,
}

// cause is one thing that may have gone wrong. What it changes is any of: the inputs
// before they are resolved, the wiring of the bridges, the grids as they lie on the
// part, the readings.
type cause struct {
	class class
	id    string
	load  string // that was applied off axis

	model    *model.Model // another design with the same inputs; nil: the design
	inputs   func(x []float64, theta float64)
	bridges  func(br []model.Bridge, theta float64)
	grids    func(s *model.State, theta float64)
	readings func(y []float64, theta float64)
	leads    map[int][4]int // bridges whose ring is turned over: where each arm (from 0) then stands

	parameter *parameter
	says      func(theta, standard float64) string // in words of the bench
}

// parameter is the unknown of a continuous cause.
type parameter struct {
	from, to float64
	scan     []float64 // where the search starts, ascending
	logPrior func(theta float64) float64
	owns     []int // inputs whose tolerance the parameter replaces: it is the whole deviation

	quantity, unit string
	perUnit        float64 // published value = θ·perUnit
}

// modelOf is the model that a cause is computed with.
func (b *bench) modelOf(c *cause) *model.Model {
	if c.model != nil {
		return c.model
	}
	return b.m
}

func (c *cause) text(k *mode) string {
	return c.says(k.theta, k.sd)
}

func (c *cause) estimate(k *mode) *Estimate {
	p := c.parameter
	if p == nil {
		return nil
	}
	return &Estimate{Quantity: p.quantity, Value: k.theta * p.perUnit, Standard: k.sd * math.Abs(p.perUnit), Unit: p.unit}
}

// always says the same.
func always(format string, a ...any) func(float64, float64) string {
	s := fmt.Sprintf(format, a...)
	return func(float64, float64) string { return s }
}

// amount writes a deviation with its sign and expanded uncertainty.
func amount(v, sd float64, unit string) string {
	u := 2 * sd
	decimals := 0
	if u > 0 {
		decimals = min(max(1-int(math.Floor(math.Log10(u))), 0), 6)
	}
	gap := " "
	if unit == "°" || unit == "" {
		gap = ""
	}
	return fmt.Sprintf("%+.*f%s%s ± %.*f%s%s (k=2)", decimals, v, gap, unit, decimals, u, gap, unit)
}

// normal is the logarithm of the normal density.
func normal(x, sigma float64) float64 {
	x /= sigma
	return -0.5*x*x - math.Log(sigma) - 0.5*math.Log(2*math.Pi)
}

// logSum is log(eᵃ + eᵇ).
func logSum(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(a, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

// spread is the prior of a deviation that is usually about sigma but may be anything in
// the range, uniformly with the weight of the tail.
func spread(sigma, from, to, tail float64) func(float64) float64 {
	return func(x float64) float64 {
		if x < from || x > to {
			return math.Inf(-1)
		}
		return logSum(math.Log(1-tail)+normal(x, sigma), math.Log(tail/(to-from)))
	}
}

// angles is the prior of an angle: mostly a slip of some degrees, sometimes a mistake of
// a quarter or half turn, seldom anything else.
func angles(x float64) float64 {
	const deg = math.Pi / 180
	l := logSum(math.Log(0.7)+normal(x, 8*deg), math.Log(0.05/(2*math.Pi)))
	for _, at := range []float64{-90, 90, -180, 180} {
		l = logSum(l, math.Log(0.05)+normal(x-at*deg, 2*deg))
	}
	for _, at := range []float64{-45, 45} {
		l = logSum(l, math.Log(0.025)+normal(x-at*deg, 2*deg))
	}
	return l
}

// angleScan is fine where slips are, coarse elsewhere.
func angleScan() []float64 {
	const deg = math.Pi / 180
	var out []float64
	for a := -180.0; a <= 180; {
		out = append(out, a*deg)
		switch {
		case a >= -12 && a < 12:
			a++
		case a >= -24 && a < 24:
			a += 2
		default:
			a += 6
		}
	}
	return out
}

// even is n+1 places from..to.
func even(from, to float64, n int) []float64 {
	out := make([]float64, n+1)
	for i := range out {
		out[i] = from + (to-from)*float64(i)/float64(n)
	}
	return out
}

package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Form is the kind of a distribution.
type Form int

// The distributions of JCGM 101:2008, table 1, with what Quantity.Width is of them.
const (
	Rectangular Form = iota // half-width a
	Normal                  // standard uncertainty u
	Student                 // scale s, with Freedom degrees of freedom
	Arcsine                 // half-width a (U-shaped)
	Triangular              // half-width a
	Curvilinear             // trapezoid: half-width a of a rectangle whose limits are inexact by ±Inexact
)

var formNames = [...]string{"rectangular", "normal", "t", "arcsine", "triangular", "curvilinear trapezoid"}

func (f Form) String() string {
	if f < 0 || int(f) >= len(formNames) {
		return "no distribution"
	}
	return formNames[f]
}

// Quantity is one input quantity of a measurement model: best estimate and
// distribution about it.
type Quantity struct {
	Name     string
	Estimate float64
	Form     Form
	Width    float64 // see Form; 0: exact
	Inexact  float64 // of the limits of a curvilinear trapezoid, at most Width
	Freedom  float64 // degrees of freedom of the standard uncertainty; 0: infinitely many
}

// Standard is the standard uncertainty of the estimate,
//
//	rectangular a/√3    arcsine a/√2    triangular a/√6    normal u
//	curvilinear trapezoid √(a²/3 + d²/9)
//
// (JCGM 100:2008, 4.3; JCGM 101:2008, 6.4). A t-distribution gives its scale: the
// uncertainty that JCGM 100 works with, though its standard deviation is larger.
func (q Quantity) Standard() float64 {
	switch q.Form {
	case Rectangular:
		return q.Width / math.Sqrt(3)
	case Arcsine:
		return q.Width / math.Sqrt2
	case Triangular:
		return q.Width / math.Sqrt(6)
	case Curvilinear:
		return math.Sqrt(q.Width*q.Width/3 + q.Inexact*q.Inexact/9)
	}
	return q.Width
}

func (q Quantity) validate() error {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	switch {
	case !finite(q.Estimate):
		return fmt.Errorf("%s: its estimate is not a finite number", q.Name)
	case !finite(q.Width) || q.Width < 0:
		return fmt.Errorf("%s: its width is %g; it must be finite and not negative", q.Name, q.Width)
	case q.Form < 0 || int(q.Form) >= len(formNames):
		return fmt.Errorf("%s: no distribution %d", q.Name, int(q.Form))
	case math.IsNaN(q.Freedom) || q.Freedom < 0 || q.Form == Student && !(q.Freedom > 0):
		return fmt.Errorf("%s: %g degrees of freedom; a t-distribution needs more than 0", q.Name, q.Freedom)
	case q.Form == Curvilinear && !(q.Inexact >= 0 && q.Inexact <= q.Width):
		return fmt.Errorf("%s: limits inexact by %g; that must lie from 0 to the half-width %g", q.Name, q.Inexact, q.Width)
	}
	return nil
}

// source is the stream of random numbers of one block.
type source struct {
	pcg  *rand.PCG
	rand *rand.Rand
}

// newSource is the stream of a block: the same for a seed and block wherever it runs.
// The block's number is mixed (the finaliser of SplitMix64, Steele et al., OOPSLA 2014)
// so that neighbouring streams begin far apart.
func newSource(seed, block uint64) source {
	p := rand.NewPCG(seed, mix(block+0x9e3779b97f4a7c15))
	return source{p, rand.New(p)}
}

func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// unit is uniform in (0, 1).
func (s source) unit() float64 { return (float64(s.pcg.Uint64()>>12) + 0.5) * 0x1p-52 }

// draw takes one value of the quantity (JCGM 101:2008, 6.4).
func (q *Quantity) draw(s source) float64 {
	switch q.Form {
	case Rectangular:
		return q.Estimate + q.Width*(2*s.unit()-1)
	case Normal:
		return q.Estimate + q.Width*s.rand.NormFloat64()
	case Student:
		return q.Estimate + q.Width*student(s, q.Freedom)
	case Arcsine:
		return q.Estimate + q.Width*math.Sin(math.Pi*(s.unit()-0.5))
	case Triangular:
		return q.Estimate + q.Width*(s.unit()-s.unit())
	}
	low := q.Width + q.Inexact*(2*s.unit()-1) // below the estimate; the upper limit is as far above
	return q.Estimate + low*(2*s.unit()-1)
}

// student is t with ν degrees of freedom by the polar method (Bailey, Mathematics of
// Computation 62 (1994) 779; from memory, the tests check its quantiles).
func student(s source, freedom float64) float64 {
	for {
		u, v := 2*s.unit()-1, 2*s.unit()-1
		w := u*u + v*v
		if w < 1 && w > 0 {
			return u * math.Sqrt(freedom*math.Expm1(-2/freedom*math.Log(w))/w)
		}
	}
}

// Package diagnosis compares a calibration with the design and, where they differ,
// says what most likely happened on the bench: every cause of a list is ranked by
// the probability of the measured matrix, zero balances and shunt readings under it
// and under the stated tolerances, and causes that the data cannot tell apart are
// listed together with the cheapest measurement that would separate them.
//
// It supposes one cause at a time. It does not model two faults at once, creep,
// hysteresis, friction of the calibration rig, insulation leakage, gauges damaged so
// that they drift, or a part whose strain is disturbed by an end or a notch; what no
// cause explains is said to be unexplained.
package diagnosis

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// Measured is what a calibration found.
type Measured struct {
	Components []design.Component // columns of Sensitivity, loads of the design

	// Sensitivity is d(V/E)/dF of each bridge of the design to each of Components,
	// V/V per N, N·m or Pa; NaN where it was not measured.
	Sensitivity [][]float64

	// Standard is the standard uncertainty of each entry. Where Covariance has a
	// matrix for a bridge (components × components), that is used instead.
	Standard   [][]float64
	Covariance [][][]float64

	// LoadStandard is the relative standard uncertainty of the load standard for
	// each of Components, common to all bridges; nil: exact.
	LoadStandard []float64

	// Loads is the least and the greatest load applied of each of Components, SI, over
	// which the slope was taken; nil, or equal ends: slopes at no load.
	Loads [][2]float64

	Zero   []Reading   // V/E at no load, of each bridge; nil: none taken
	Shunts [][]Reading // change by each shunt of the design, of each bridge; nil: none taken

	Kelvin float64 // temperature of the part; 0: the design's reference temperature
}

// Reading is one figure, V/V. The zero value is a reading not taken.
type Reading struct {
	Taken    bool
	Value    float64
	Standard float64

	// OffScale is a reading that was tried and stood beyond the instrument's range or
	// did not settle; Value and Standard then mean nothing.
	OffScale bool
}

// Options of a diagnosis. The zero value is right.
type Options struct {
	// Range is the output beyond which an instrument is off scale, V/V; 0: 0.01.
	Range float64
}

// Diagnosis is the verdict. Causes stand in groups, the likelier first: group 1 is
// what the data cannot tell from the likeliest cause.
type Diagnosis struct {
	Agrees   bool
	Sentence string
	Causes   []Cause

	// SeparateBy is the cheapest measurement that tells the causes of group 1 apart,
	// "" when there is one alone.
	SeparateBy string

	ChiSquare   float64 // of the design as it stands
	Freedom     int     // degrees of freedom: figures compared
	Probability float64 // of a chi-square as large by chance

	// Unexplained is set when the data agree neither with the design nor with any cause
	// of the list.
	Unexplained bool
}

// Cause is one explanation.
type Cause struct {
	Text     string
	Share    float64   // posterior probability
	Estimate *Estimate // of a continuous cause
	Group    int       // from 1

	ChiSquare float64 // of the data under this cause, at its estimate

	id string
}

// Estimate of how far something is off: its whole deviation from the design, in which
// its own tolerance has a part.
type Estimate struct {
	Quantity string // what is estimated
	Value    float64
	Standard float64
	Unit     string
}

// Odds by which causes are judged; common sense, not measured.
const (
	groupOdds   = 100  // causes within this factor of the likeliest are not told apart
	groupSquare = 4    // nor are causes whose predictions differ by less than 2 standard deviations
	beatenOdds  = 20   // of all other causes against "as designed": strong evidence
	keptShare   = 1e-3 // less likely causes are not listed outside group 1
	significant = 0.05 // of the chi-square test of "as designed"
	unexplained = 1e-4 // the same for every cause
)

// Of compares the measured figures with the design and ranks the causes of a
// difference. Of every cause c with a parameter θ the observables y are taken as
//
//	y ~ N(η_c(θ), C_meas + J C_tol Jᵀ)
//
// η_c the prediction of the exact model, J its derivative by every input with a
// tolerance (central differences over ± one standard uncertainty, at the fitted θ; the
// input that θ stands for left out), C_tol the variances of the stated tolerances. θ is
// integrated out against its prior, so that causes with and without one compare fairly:
//
//	share_c ∝ prior_c ∫ p(y | c, θ) p(θ | c) dθ
//
// The design "agrees" when chi-square (y − η)ᵀC⁻¹(y − η) does not reject it at 95 %, the
// other causes together are not more than 20 times likelier, and no zero is off scale that
// should not be. C_meas holds the readings' own uncertainty, the load standard's, the
// tolerance of the shunt resistors and the resolution of the indicator. Readings are never taken as
// better than 1e-9 V/V and 1e-5 of the bridge's rated output. Measured figures that do
// not fit the design, are not finite or have no uncertainty are errors.
//
// Tolerances are those of d: where the file asks for those of common practice, they are to
// be filled in before (package uncertainty, Assume).
func Of(d *design.Design, measured Measured, opt Options) (*Diagnosis, error) {
	if opt.Range == 0 {
		opt.Range = 0.01
	}
	if !(opt.Range > 0) {
		return nil, fmt.Errorf("an instrument's range of %g V/V; it must be positive", opt.Range)
	}
	m, err := model.Compile(d)
	if err != nil {
		return nil, err
	}
	b, err := newBench(m, &measured, opt)
	if err != nil {
		return nil, err
	}
	modes, err := b.rank(b.causes())
	if err != nil {
		return nil, err
	}
	return b.verdict(modes), nil
}

// verdict turns ranked modes into the result.
func (b *bench) verdict(modes []mode) *Diagnosis {
	designed := 0
	for i := range modes {
		if modes[i].cause.class == asDesigned {
			designed = i
		}
	}
	none := &modes[designed]
	out := &Diagnosis{ChiSquare: none.chi2, Freedom: len(b.used)}
	out.Probability = 1
	if out.Freedom > 0 {
		out.Probability = distuv.ChiSquared{K: float64(out.Freedom)}.Survival(none.chi2)
	}
	out.Agrees = out.Probability >= significant && 1-none.share <= beatenOdds*none.share
	for br, off := range b.offScale {
		if off && math.Abs(none.y[br*b.row+len(b.m.Components)]) <= b.opt.Range {
			out.Agrees = false
		}
	}

	kept := b.group(modes, none)
	for _, k := range kept {
		if out.Agrees && k.group > 1 {
			continue // no cause is looked for
		}
		c := modes[k.mode].cause
		row := Cause{Text: c.text(&modes[k.mode]), Share: modes[k.mode].share, Group: k.group, ChiSquare: modes[k.mode].chi2, id: c.id}
		row.Estimate = c.estimate(&modes[k.mode])
		out.Causes = append(out.Causes, row)
	}
	if !out.Agrees {
		top := &modes[kept[0].mode]
		out.Unexplained = out.Freedom > 0 && distuv.ChiSquared{K: float64(out.Freedom)}.Survival(top.chi2) < unexplained
		out.SeparateBy = b.separate(modes, kept)
	}
	out.Sentence = b.sentence(out)
	return out
}

func (b *bench) sentence(d *Diagnosis) string {
	var why []string
	if d.Freedom > 0 {
		why = append(why, fmt.Sprintf("chi-square %.4g of %d figures, probability %.2g", d.ChiSquare, d.Freedom, d.Probability))
	}
	for br, off := range b.offScale {
		if off {
			why = append(why, "the zero of bridge "+b.m.Bridges[br].Name+" is off scale")
		}
	}
	test := " (" + strings.Join(why, "; ") + ")"
	if d.Agrees {
		return "The calibration agrees with the design under its tolerances" + test + "."
	}
	s := "The calibration does not agree with the design under its tolerances" + test + ". "
	if d.Causes[0].id == "as designed" {
		return s + "No cause of the list explains it better than the design itself: chance, a tolerance stated too small, or a reading to repeat."
	}
	if d.Unexplained {
		return s + "No single cause of the list explains it: look for two faults at once, a tolerance stated too small, or a wrong reading. The nearest: " + d.Causes[0].Text + "."
	}
	n := 0
	together := 0.0
	for _, c := range d.Causes {
		if c.Group == 1 {
			n++
			together += c.Share
		}
	}
	if n == 1 {
		return s + fmt.Sprintf("Most likely: %s (%s).", d.Causes[0].Text, percent(d.Causes[0].Share))
	}
	return s + fmt.Sprintf("Most likely: %s (%s), but the data do not tell this from %s of group 1 (%s together).", d.Causes[0].Text, percent(d.Causes[0].Share), others(n-1), percent(together))
}

func others(n int) string {
	if n == 1 {
		return "the other cause"
	}
	return fmt.Sprintf("the %d other causes", n)
}

func percent(share float64) string {
	switch {
	case share > 0.999:
		return "over 99.9 %"
	case share > 0.99:
		return fmt.Sprintf("%.1f %%", 100*share)
	case share > 0.1:
		return fmt.Sprintf("%.0f %%", 100*share)
	}
	return fmt.Sprintf("%.1g %%", 100*share)
}

// rated scales a component's figures to its rated load; a load without one to 1.
func rated(m *model.Model, j int) float64 {
	if r := math.Abs(m.Rated[j]); r > 0 {
		return r
	}
	return 1
}

// unitOf names the SI unit of a component.
func unitOf(c design.Component) string {
	switch c.Kind() {
	case quantity.Moment:
		return "N·m"
	case quantity.Stress:
		return "Pa"
	}
	return "N"
}

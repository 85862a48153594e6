package uncertainty

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/model"
)

const (
	notRun   = "no Monte Carlo was run"
	measured = "it is the measured load"
)

// figure k of Monte Carlo, or why there is none.
func figure(mc *MonteCarlo, k int, missing string) Figure {
	switch {
	case k < 0:
		return Figure{Missing: missing}
	case mc == nil:
		return Figure{Missing: notRun}
	}
	s := mc.Outputs[k]
	return Figure{Mean: s.Mean, Standard: s.Standard, Interval: s.Shortest, Symmetric: s.Symmetric, Quantile: s.Quantile, Stable: s.Stable}
}

func (l *layout) bridge(b int, inputs []Input, p *Propagation, first *FirstOrder, mc *MonteCarlo) Bridge {
	br, at := &l.r.Bridges[b], &l.bridges[b]
	temperature, spread := "the file gives no temperature range", "the file gives no spread of the thermal output"
	if unratable(br) {
		temperature, spread = blind, blind
	}
	out := Bridge{
		Name: br.Name, Target: br.Target,
		Sensitivity: figure(mc, at.sensitivity, ""), Balance: figure(mc, at.balance, ""),
		ZeroDrift: figure(mc, at.zero, temperature), SpanDrift: figure(mc, at.span, temperature), ZeroSpread: figure(mc, at.spread, spread),
	}
	out.FirstOrder = linear(p, first, at.sensitivity)
	out.FirstOrder.Blind = unratable(br)
	out.FirstOrder.compare(mc, at.sensitivity, p)
	for j, k := range at.crosstalk {
		none := blind
		if j == br.Target {
			none = measured
		}
		out.Crosstalk = append(out.Crosstalk, figure(mc, k, none))
		if k < 0 {
			out.FirstOrderCrosstalk = append(out.FirstOrderCrosstalk, Linear{Missing: none, Why: none})
			continue
		}
		c := linear(p, first, k)
		c.Quantile = math.Abs(c.Nominal) + oneSided95*c.Standard
		c.compareMagnitude(mc, k)
		out.FirstOrderCrosstalk = append(out.FirstOrderCrosstalk, c)
	}
	out.Tighten = tighten(out.FirstOrder, inputs)
	return out
}

// linear is output k of first order with its budget.
func linear(p *Propagation, first *FirstOrder, k int) Linear {
	out := Linear{Nominal: first.Value[k], Standard: first.Standard[k]}
	if out.Standard == 0 {
		return out
	}
	for i := range p.Inputs {
		part := first.Coefficient[k][i] * p.Inputs[i].Standard() / out.Standard
		if percent := 100 * part * part; percent > 1e-9 { // less is rounding
			out.Budget = append(out.Budget, Share{i, percent})
		}
	}
	slices.SortStableFunc(out.Budget, func(a, b Share) int { return cmp.Compare(b.Percent, a.Percent) })
	return out
}

// oneSided95 is the 95 % quantile of the normal distribution.
const oneSided95 = 1.6448536269514722

// compare with Monte Carlo by clause 8, and say what parts them.
func (l *Linear) compare(mc *MonteCarlo, k int, p *Propagation) {
	if mc == nil {
		l.Why = notRun
		return
	}
	s := mc.Outputs[k]
	if s.Standard == 0 && l.Standard == 0 || Validates(l.Nominal, l.Standard, s, validDigits) {
		l.Agrees = true
		return
	}
	low, high := departures(l.Nominal, l.Standard, s)
	delta := Tolerance(s.Standard, validDigits)
	why := []string{fmt.Sprintf("an end of the interval differs by %.2g of the standard uncertainty, more than δ, %.2g of it", math.Max(low, high)/s.Standard, delta/s.Standard)}
	if math.Abs(s.Mean-l.Nominal) > delta/2 {
		why = append(why, "the mean lies off the nominal value, which the first order does not see")
	}
	if math.Abs(s.Standard-l.Standard) > 0.05*s.Standard {
		why = append(why, "terms of higher order change the standard uncertainty")
	}
	if len(l.Budget) > 0 && l.Budget[0].Percent > 50 && p.Inputs[l.Budget[0].Input].Form == Rectangular {
		why = append(why, fmt.Sprintf("%s, a limit, has %.0f %% of the variance, so the distribution is not normal but nearly rectangular", p.Inputs[l.Budget[0].Input].Name, l.Budget[0].Percent))
	}
	if !s.Stable {
		why = append(why, fmt.Sprintf("%d trials leave it unstable", mc.Trials))
	}
	l.Why = strings.Join(why, "; ")
}

// validDigits of the standard uncertainty give the δ of clause 8: one, since Monte Carlo
// that is stable to two is then finer than δ/5.
const validDigits = 1

// compareMagnitude compares the 95 % quantile of |y|.
func (l *Linear) compareMagnitude(mc *MonteCarlo, k int) {
	if mc == nil {
		l.Why = notRun
		return
	}
	s := mc.Outputs[k]
	if s.Standard == 0 && l.Standard == 0 || math.Abs(l.Quantile-s.Quantile) <= Tolerance(s.Standard, validDigits) {
		l.Agrees = true
		return
	}
	switch size := math.Abs(l.Nominal); {
	case size <= 1e-9 && l.Standard <= 0.1*s.Quantile:
		l.Why = "the nominal crosstalk is zero and so is its slope in every input: what remains is of second order, which only Monte Carlo sees"
	case size <= 0.05*math.Max(l.Standard, s.Quantile/normal95):
		l.Why = "the nominal crosstalk is zero, and the magnitude of what scatters about zero is not linear in the inputs"
	case size < 3*math.Max(l.Standard, s.Standard):
		l.Why = "the crosstalk may change sign within its uncertainty, and its magnitude is then not linear in the inputs"
	default:
		l.Why = "the distribution is not normal or terms of higher order matter: the 95 % quantile differs by more than δ"
	}
}

// tighten finds the tolerance with the largest part of the variance.
func tighten(l Linear, inputs []Input) Tighten {
	var all []Tighten
	for _, s := range l.Budget {
		from := inputs[s.Input].From
		i := slices.IndexFunc(all, func(t Tighten) bool { return t.From == from })
		if i < 0 {
			all, i = append(all, Tighten{From: from}), len(all)
		}
		all[i].Inputs = append(all[i].Inputs, s.Input)
		all[i].Percent += s.Percent
	}
	if len(all) == 0 {
		return Tighten{}
	}
	best := slices.MaxFunc(all, func(a, b Tighten) int { return cmp.Compare(a.Percent, b.Percent) })
	// a quarter of its variance is left
	best.Standard = l.Standard * math.Sqrt(math.Max(0, 1-0.75*best.Percent/100))
	return best
}

// stated is the path of what states an input's tolerance.
func stated(m *model.Model, in *model.Input) string {
	path := in.Place.Path
	for i := range m.Design.Placements {
		p := &m.Design.Placements[i]
		rest, ok := strings.CutPrefix(path, "placements."+p.Name+".")
		if !ok {
			continue
		}
		for _, c := range []struct {
			key      string
			own      float64
			measured bool
			from     string // on a face the tolerance of the station holds along the face too
		}{
			{"station", p.Station.Tolerance, p.Measured.Station.Set, "station"},
			{"around", p.Around.Tolerance, p.Measured.Around.Set, "around"},
			{"across", p.Across.Tolerance, p.Measured.Across.Set, "station"},
			{"direction", p.Direction.Tolerance, p.Measured.Direction.Set, "direction"},
		} {
			if rest == c.key && c.own == 0 && !c.measured {
				return "placement-tolerance." + c.from
			}
		}
	}
	return path
}

func (l *layout) recoveredOf(first *FirstOrder, mc *MonteCarlo) Recovered {
	if len(l.recovered) == 0 {
		if c := l.r.Matrix.Condition; !c.OK() {
			return Recovered{Missing: c.Missing}
		}
		return Recovered{Missing: "the bridges cannot tell the measured loads apart"}
	}
	out := Recovered{Components: l.r.Matrix.Measured}
	for _, k := range l.recovered {
		mean := first.Value[k]
		if mc != nil {
			mean = mc.Outputs[k].Mean
		}
		out.Mean = append(out.Mean, mean)
		row := make([]float64, 0, len(l.recovered))
		for _, j := range l.recovered {
			row = append(row, first.Covariance[k][j])
		}
		out.FirstOrder = append(out.FirstOrder, row)
	}
	if mc != nil {
		out.Covariance = mc.Covariance
	}
	return out
}

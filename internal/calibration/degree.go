package calibration

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"gridwright/internal/predict"
)

// DegreeStep is one step of the choice of the degree.
type DegreeStep struct {
	Degree int            // m
	SD     float64        // s_m
	Ratio  predict.Figure // s_{m−1}/s_m
	Limit  float64        // C(n, m)
}

// ChooseDegree chooses the degree of the fit by the annex of the force standard:
// from the highest degree down, degree m is needed when
//
//	s_{m−1}/s_m > C(n, m) = √(1 + (F₀.₉₇₅(1, ν) − 1)/(ν + 1)),   s_m = √(SS_m/ν)
//
// n: different loads, the readings at each averaged; ν = n − m − 1, n − m without
// constant term. It is the F-test of the last coefficient at 97.5 %. Residuals at
// rounding count as none. The highest degree is lowered to what n carries.
//
// Source: ASTM E74, annex A1, formula from memory; the table of C(10, m) and
// C(11, m) recomputed.
func ChooseDegree(x, y []float64, highest int, constant bool) (int, []DegreeStep, error) {
	mx, my := averaged(x, y)
	extra := 0
	if constant {
		extra = 1
	}
	if k := distinct(mx, !constant); highest > k-1-extra {
		highest = k - 1 - extra
	}
	highest = min(highest, len(mx)-1-extra)
	if highest < 1 {
		if _, err := FitPolynomial(x, y, 1, constant); err != nil {
			return 0, nil, err
		}
		return 1, nil, nil
	}
	size := 0.0
	for _, v := range my {
		size = math.Max(size, math.Abs(v))
	}
	var steps []DegreeStep
	for m := 1; m <= highest; m++ {
		f, err := FitPolynomial(mx, my, m, constant)
		if err != nil {
			return 0, nil, err
		}
		nu := float64(f.Freedom)
		q := distuv.F{D1: 1, D2: nu}.Quantile(0.975)
		s := DegreeStep{Degree: m, SD: f.ResidualSD, Limit: math.Sqrt(1 + (q-1)/(nu+1)), Ratio: predict.None("no lower degree")}
		if m > 1 {
			before := steps[m-2].SD
			switch {
			case before <= atRounding*size:
				s.Ratio = predict.None("the lower degree leaves nothing but rounding")
			case f.ResidualSD <= atRounding*size:
				s.Ratio = predict.Some(before / (atRounding * size))
			default:
				s.Ratio = predict.Some(before / f.ResidualSD)
			}
		}
		steps = append(steps, s)
	}
	for m := highest; m > 1; m-- {
		if s := steps[m-1]; s.Ratio.OK() && s.Ratio.Value > s.Limit {
			return m, steps, nil
		}
	}
	return 1, steps, nil
}

// averaged is the mean y at each different x, ascending.
func averaged(x, y []float64) (mx, my []float64) {
	sum, n := map[float64]float64{}, map[float64]int{}
	for i := range x {
		sum[x[i]] += y[i]
		n[x[i]]++
	}
	for v := range sum {
		mx = append(mx, v)
	}
	slices.Sort(mx)
	for _, v := range mx {
		my = append(my, sum[v]/float64(n[v]))
	}
	return mx, my
}

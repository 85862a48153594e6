package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// CoverageFactor is k of an expanded uncertainty for a coverage probability p and
// degrees of freedom ν,
//
//	k = t_p(ν), the quantile of Student's t at (1+p)/2; of the normal distribution for ν = +Inf
//
// (JCGM 100:2008, G.3). ν is truncated to the integer below, as its G.4.1 allows; below 1
// degree of freedom, or p not between 0 and 1, there is none and ok is false.
func CoverageFactor(p, freedom float64) (k float64, ok bool) {
	if !(p > 0 && p < 1) || !(freedom >= 1) {
		return 0, false
	}
	q := (1 + p) / 2
	if math.IsInf(freedom, 1) {
		return distuv.UnitNormal.Quantile(q), true
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Floor(freedom)}.Quantile(q), true
}

package calibration

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Outlier is a reading that the others do not lead one to expect. It stays in the
// evaluation.
type Outlier struct {
	Line        int
	Bridge      string
	Matrix      bool    // off the matrix, not off the fit of the bridge's own load
	Residual    float64 // V/V
	Studentised float64
	Limit       float64
}

func (o Outlier) String() string {
	of := "fit"
	if o.Matrix {
		of = "matrix"
	}
	return fmt.Sprintf("line %d: bridge %s lies %+.3g mV/V off the %s, %.1f standard deviations of the other readings (limit %.1f); it was not left out",
		o.Line, o.Bridge, o.Residual*1e3, of, math.Abs(o.Studentised), o.Limit)
}

// outlying tests each residual e of a fit with leverage h against the others,
//
//	t = e / (s₍ᵢ₎ √(1 − h)),   s₍ᵢ₎² = (SS − e²/(1 − h)) / (ν − 1)
//
// and names those beyond the quantile of Student's t, ν − 1, at 1 − 0.05/(2n): 5 %
// for the whole fit (Bonferroni). Fits that leave nothing but rounding, less than
// 1e-13 of scale, are not tested.
//
// Source: externally studentised residuals, textbook regression.
func outlying(residuals, leverage []float64, freedom int, sumSquares, scale float64) (which []int, t []float64, limit float64) {
	n := len(residuals)
	if freedom < 2 || math.Sqrt(sumSquares/float64(freedom)) <= atRounding*scale {
		return nil, nil, 0
	}
	nu := float64(freedom - 1)
	limit = distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(1 - 0.05/(2*float64(n)))
	for i, e := range residuals {
		free := 1 - leverage[i]
		if free < 1e-9 {
			continue
		}
		rest := (sumSquares - e*e/free) / nu
		v := math.Copysign(1e12, e) // the others leave nothing
		if rest > 1e-24*sumSquares {
			v = e / math.Sqrt(rest*free)
		}
		if math.Abs(v) > limit {
			which, t = append(which, i), append(t, v)
		}
	}
	return which, t, limit
}

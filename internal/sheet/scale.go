package sheet

import (
	"fmt"
	"math"
)

// scale is a drawing's size over that of the part.
type scale float64

// round is the greatest scale of the drawing office, 1, 2 or 5 times a power of
// ten or its inverse (ISO 5455), that is not above the given one.
func round(most float64) scale {
	if !(most > 0) || math.IsInf(most, 0) {
		return 1
	}
	const hair = 1 + 1e-9
	decade := math.Pow(10, math.Floor(math.Log10(most)))
	for _, m := range []float64{10, 5, 2, 1} {
		if m*decade <= most*hair {
			return scale(m * decade)
		}
	}
	return scale(decade)
}

func (s scale) String() string {
	if s >= 1 {
		return fmt.Sprintf("%.4g:1", float64(s))
	}
	return fmt.Sprintf("1:%.4g", 1/float64(s))
}

// mm is a length of the part, m, as mm on the paper.
func (s scale) mm(metres float64) float64 { return metres * 1e3 * float64(s) }

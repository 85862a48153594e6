package published_test

import (
	"fmt"
	"testing"

	"gridwright/internal/calibration"
)

// Source: ASTM E74, annex A1, table of the factors C(n, m) (formula from memory, factors
// recomputed from quantiles of Student's t).

func TestE74FactorTable(t *testing.T) {
	for n, row := range map[int][]float64{10: {1.3726, 1.4547, 1.5815, 1.8010}, 11: {1.3153, 1.3726, 1.4547, 1.5815}} {
		var x, y []float64
		for i := range n {
			x, y = append(x, float64(i+1)), append(y, float64(i*i%7)) // the factors depend on n and m alone
		}
		_, steps, err := calibration.ChooseDegree(x, y, 5, true)
		if err != nil {
			t.Fatal(err)
		}
		for k, want := range row {
			printed(t, fmt.Sprintf("C(%d, %d)", n, k+2), steps[k+1].Limit, want, 5e-5)
		}
	}
}

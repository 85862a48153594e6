package boundary

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// rule is a Gauss-Legendre rule on 0 to 1 with the weights of barycentric
// interpolation at its points.
type rule struct {
	x, w, b []float64
}

const mostPoints = 32

var rules = func() (r [mostPoints + 1]rule) {
	for n := 1; n <= mostPoints; n++ {
		g := rule{make([]float64, n), make([]float64, n), make([]float64, n)}
		quad.Legendre{}.FixedLocations(g.x, g.w, 0, 1)
		slices.Reverse(g.x) // they come in falling order; the weights are symmetric
		for j := range g.b {
			g.b[j] = math.Sqrt(g.x[j] * (1 - g.x[j]) * g.w[j])
			if j%2 == 1 {
				g.b[j] = -g.b[j]
			}
		}
		r[n] = g
	}
	return r
}()

func gauss(n int) *rule { return &rules[n] }

// basis fills l with the values at u of the polynomials that are 1 at one point
// of the rule and 0 at the others.
func (r *rule) basis(u float64, l []float64) {
	sum := 0.0
	for j, x := range r.x {
		d := u - x
		if d == 0 {
			clear(l[:len(r.x)])
			l[j] = 1
			return
		}
		l[j] = r.b[j] / d
		sum += l[j]
	}
	sum = 1 / sum
	for j := range r.x {
		l[j] *= sum
	}
}

package pick

import (
	"fmt"
	"math"
)

// maxSeries is the greatest number of grids in series in an arm.
const maxSeries = 4

// divider is one half of a bridge, between the two supply corners: an arm of up
// grids over an arm of down grids, all of one resistance. In a ring at balance
//
//	V/E = Σ ± ΔR/R · w,   w = down/(up+down)² in the arm of up grids,
//	                      w = up/(up+down)² in the arm of down grids
//
// whatever the resistance, so that a divider of two arms gives
// up·down/(up+down)² times the difference of their mean ΔR/R.
type divider struct{ up, down int }

// grids that a divider takes.
func (d divider) grids() int { return d.up + d.down }

// weights of one grid of the up arm and of one of the down arm.
func (d divider) weights() (up, down float64) {
	n := float64(d.grids())
	return float64(d.down) / (n * n), float64(d.up) / (n * n)
}

// shape is how many grids the arms of a bridge have. A full bridge balances when
// its dividers are of one ratio: the first, up over down, has the up arm as arm 1;
// the second stands the other way round. A half bridge has two fixed arms in the
// ratio of its divider.
//
// Where both dividers are of m over m, all grids weigh 1/4m, and which of them
// share an arm is not told apart (see share).
type shape struct {
	first, second divider // second is zero in a half bridge
}

func (s shape) full() bool { return s.second.up > 0 }

// merged tells that the two dividers are not told apart.
func (s shape) merged() bool {
	return s.first.up == s.first.down && (!s.full() || s.second == s.first)
}

// longest arm.
func (s shape) longest() int {
	return max(s.first.up, s.first.down, s.second.up, s.second.down)
}

func (s shape) grids() int { return s.first.grids() + s.second.grids() }

// reversed tells that the second divider gives its output the other way round:
// dividers of unequal arms.
func (s shape) reversed() bool { return s.first.up != s.first.down }

// words of a shape: arm 1 over arm 2, arm 4 over arm 3.
func (s shape) words() string {
	if !s.full() {
		return fmt.Sprintf("half %d/%d", s.first.up, s.first.down)
	}
	return fmt.Sprintf("full %d/%d + %d/%d", s.first.up, s.first.down, s.second.up, s.second.down)
}

// distinct is how many wirings of a shape n grids have that answer small loads
// differently, the sign aside: with C for binomial coefficients,
//
//	half m/m          C(n,m) C(n−m,m) / 2
//	half a/b          C(n,a) C(n−a,b)
//	full m/m + m/m    C(n,2m) C(n−2m,2m) / 2
//	full a/a + b/b    C(n,a) C(n−a,a) C(n−2a,b) C(n−2a−b,b) / 2
//	full a/b + a/b    C(n,a) C(n−a,b) C(n−a−b,a) C(n−2a−b,b) / 2
//	full a/b + c/d    C(n,a) C(n−a,b) C(n−a−b,c) C(n−a−b−c,d)
//
// A number above limit is returned as limit + 1.
func (s shape) distinct(n int, limit int64) int64 {
	sizes := []int{s.first.up, s.first.down, s.second.up, s.second.down}
	symmetric := s.merged() || s.first == s.second || s.full() && !s.reversed()
	if s.full() && s.merged() {
		sizes = []int{2 * s.first.up, 2 * s.first.up}
	}
	total := 1.0
	for _, k := range sizes {
		total *= choose(n, k)
		n -= k
	}
	if symmetric {
		total /= 2
	}
	if total > float64(limit) {
		return limit + 1
	}
	return int64(math.Round(total))
}

// choose is the number of sets of k of n.
func choose(n, k int) float64 {
	if k > n || n < 0 {
		return 0
	}
	c := 1.0
	for i := 1; i <= k; i++ {
		c = c * float64(n-k+i) / float64(i)
	}
	return math.Round(c)
}

// shapes lists the shapes of bridges with up to series grids in an arm: those of
// equal arms first, then the others, shorter arms first.
func shapes(series int) []shape {
	var out []shape
	for m := 1; m <= series; m++ {
		d := divider{m, m}
		out = append(out, shape{first: d}, shape{d, d})
	}
	for longest := 2; longest <= series; longest++ {
		for a := 1; a <= longest; a++ {
			for b := 1; b <= a; b++ {
				d := divider{a, b}
				if a == longest && b < a {
					out = append(out, shape{first: d})
				}
				for _, c := range ratios(d, longest) {
					if s := (shape{d, c}); s.longest() == longest && !s.merged() {
						out = append(out, s)
					}
				}
			}
		}
	}
	return out
}

// ratios lists the dividers of the ratio of d with arms not longer than those of d
// that stand second to it.
func ratios(d divider, longest int) []divider {
	var out []divider
	for a := 1; a <= d.up && a <= longest; a++ {
		for b := 1; b <= a; b++ {
			if a*d.down == b*d.up {
				out = append(out, divider{a, b})
			}
		}
	}
	return out
}

package published_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Source: ASTM E1561, analysis of strain gage rosette data; the reduction formulas from
// memory. Rectangular, a, b, c at 0°, 45°, 90°:
//
//	ε1,2 = (a + c)/2 ± √((a − b)² + (b − c)²)/√2        tan 2θ = (2b − a − c)/(a − c)
//
// delta, a, b, c at 0°, 60°, 120°:
//
//	ε1,2 = (a + b + c)/3 ± √2/3·√((a − b)² + (b − c)² + (c − a)²)        tan 2θ = √3 (b − c)/(2a − b − c)
func TestE1561Forms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		u := rapid.Float64Range(-2000, 2000)
		a, b, c := u.Draw(rt, "a"), u.Draw(rt, "b"), u.Draw(rt, "c")
		same := func(what string, got, want float64) {
			if !(math.Abs(got-want) <= 1e-9*2000) {
				rt.Fatalf("%s = %g µε, want %g", what, got, want)
			}
		}
		r := reduced(t, plain(0, 45, 90), 200e9, 0.3, a, b, c)
		root := math.Sqrt((a-b)*(a-b)+(b-c)*(b-c)) / math.Sqrt2
		same("ε1", r.Max/micro, (a+c)/2+root)
		same("ε2", r.Min/micro, (a+c)/2-root)
		if root > 1 { // the tangent has no quadrant: the form checks the line through both
			s, k := math.Sincos(2 * r.FromGrid.Value)
			same("tan 2θ", s*(a-c)-k*(2*b-a-c), 0)
			same("quadrant", k*2*root, a-c)
		}
		r = reduced(t, plain(0, 60, 120), 200e9, 0.3, a, b, c)
		root = math.Sqrt2 / 3 * math.Sqrt((a-b)*(a-b)+(b-c)*(b-c)+(c-a)*(c-a))
		same("ε1", r.Max/micro, (a+b+c)/3+root)
		same("ε2", r.Min/micro, (a+b+c)/3-root)
		if root > 1 {
			s, k := math.Sincos(2 * r.FromGrid.Value)
			same("tan 2θ", s*(2*a-b-c)-k*math.Sqrt(3)*(b-c), 0)
			same("quadrant", k*2*root, (2*a-b-c)*2/3)
		}
	})
}

package predict_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// A gradient across without a direction is taken where it is worst: no stated
// direction moves the zero of that bridge more, and the sense adds to what the
// gradient along the part does.
func TestWorstDirectionOfAGradient(t *testing.T) {
	base := strings.Replace(heated, "gauge-factor: 2,", "gauge-factor: 2, thermal-output: {celsius: [-20, 2, -0.05], for-expansion: 11 ppm/K},", 1)
	base = strings.Replace(base, "A: {gauge: S, around: 90°}", "A: {gauge: S, station: 30 mm, around: 65°}", 1)
	with := func(gradient string) string {
		return strings.Replace(base, "loads:", "temperature: {gradient: {"+gradient+"}}\nloads:", 1)
	}
	for _, along := range []string{"", ", along: 40 K/m", ", along: -40 K/m"} {
		b := of(t, with("across: 3 K"+along)).Bridges[0]
		if !b.Temperature.Worst {
			t.Fatal("the direction is stated by nobody, yet not marked so")
		}
		worst := math.Abs(value(t, "zero", b.Temperature.ZeroGradient))
		most := 0.0
		for a := 0; a < 360; a++ {
			s := of(t, with(fmt.Sprintf("across: 3 K, toward: %d°%s", a, along))).Bridges[0]
			if s.Temperature.Worst {
				t.Fatal("a stated direction is marked as taken")
			}
			most = math.Max(most, math.Abs(value(t, "zero", s.Temperature.ZeroGradient)))
		}
		// the polynomial bends: over 1.5 K by a part in a hundred at most
		if worst < most*(1-0.01) || worst > most*(1+0.01) {
			t.Errorf("along %q: worst %g, the most of all directions %g", along, worst, most)
		}
	}
}

package published_test

import (
	"fmt"
	"testing"

	"gridwright/internal/bridge"
)

// Source: the closed forms of the usual bridges of four equal arms, as any text on
// strain gauges gives them (common practice); values in mV/V for gauge factor 2 and
// Poisson's ratio 0.3, recomputed outside the program to ten decimals:
//
//	quarter x/(4+2x), half in bending x/2, half with a Poisson gauge x(1+ν)/(4+2x(1−ν)),
//	opposite pair x/(2+x), full in bending or torque x, column x(1+ν)/(2+x(1−ν)),  x = K ε
func TestBridgeClosedForms(t *testing.T) {
	const factor, poisson = 2.0, 0.3
	for _, c := range []struct {
		microstrain                                       float64
		quarter, bending, withPoisson, pair, full, column float64
	}{
		{1000, 0.4995004995, 1.0, 0.6495453183, 0.9990009990, 2.0, 1.2990906366},
		{3000, 1.4955134596, 3.0, 1.9459135815, 2.9910269192, 6.0, 3.8918271630},
	} {
		x := factor * c.microstrain * 1e-6
		for _, b := range []struct {
			name string
			arms [4]float64
			want float64
		}{
			{"quarter", bridgeArms(120, x, 0, 0, 0), c.quarter},
			{"half in bending", bridgeArms(120, x, -x, 0, 0), c.bending},
			{"half with Poisson gauge", bridgeArms(120, x, -poisson*x, 0, 0), c.withPoisson},
			{"opposite pair", bridgeArms(120, x, 0, x, 0), c.pair},
			{"full in bending or torque", bridgeArms(350, x, -x, x, -x), c.full},
			{"column", bridgeArms(350, x, -poisson*x, x, -poisson*x), c.column},
		} {
			what := fmt.Sprintf("%s at %g µε, mV/V", b.name, c.microstrain)
			bridgeNear(t, what, 1e3*bridgeSolve(t, bridge.Wiring{}, b.arms).Output, b.want, 0.5e-10)
			bridgeNear(t, what+" (closed form)", 1e3*bridge.Plain(b.arms), b.want, 0.5e-10)
		}
	}
}

package gauge

import "gridwright/internal/design"

// heatSinks are the power densities of a grid that its surroundings carry off in
// a transducer, W/m²: the upper end of the customary range for high accuracy
// (good, thick steel, 1.6 to 3.1 mW/mm²; fair, thin or stainless steel, 0.78 to
// 1.6; poor, filled plastic, 0.16 to 0.31). Common practice.
var heatSinks = map[string]float64{"good": 3100, "fair": 1600, "poor": 310}

// AllowedDensity is the power density that a gauge allows, W/m²: the stated one,
// or that of its class of heat sink; stated tells which. ok is false where the
// design states neither.
func AllowedDensity(g *design.Gauge) (limit float64, stated, ok bool) {
	if g.PowerDensity.Set {
		return g.PowerDensity.SI, true, true
	}
	limit, ok = heatSinks[g.HeatSink]
	return limit, false, ok
}

// Supplies are the voltages that instruments usually supply, V.
var Supplies = []float64{1, 2, 2.5, 3, 4, 5, 10}

// UsualSupply is the greatest of Supplies within a limit, V; ok is false where none
// is.
func UsualSupply(limit float64) (volts float64, ok bool) {
	for _, v := range Supplies {
		if v <= limit*(1+1e-12) {
			volts, ok = v, true
		}
	}
	return volts, ok
}

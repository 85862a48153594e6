package model_test

import (
	"fmt"
	"math"
	"strings"

	"pgregory.net/rapid"

	"gridwright/internal/design"
)

// randomPart draws a part with gauges, placements and bridges, as the independent model
// has it and as the text of a design file.
func randomPart(t *rapid.T) (*refPart, string) {
	real := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	yes := func(name string) bool { return rapid.Bool().Draw(t, name) }
	num := func(v float64) string { return fmt.Sprintf("%.17g", v) }
	p := &refPart{t0: 293.15}
	p.b = real("b", 0.005, 0.2)
	section := fmt.Sprintf("{shape: round, outside-diameter: %s m}", num(2*p.b))
	ends := "closed"
	if yes("tube") {
		p.a = p.b * real("a/b", 0.05, 0.95)
		section = fmt.Sprintf("{shape: round-tube, outside-diameter: %s m, inside-diameter: %s m}", num(2*p.b), num(2*p.a))
		if p.open = yes("open"); p.open {
			ends = "open"
		}
	}
	p.e, p.nu, p.alpha = real("E", 40e9, 250e9), real("nu", 0.1, 0.45), real("alpha", 0, 30e-6)
	p.ed = real("eDrift", -6e-4, 2e-4)
	mat := fmt.Sprintf("youngs-modulus: %s Pa, poisson-ratio: %s, expansion: %s 1/K, youngs-drift: %s 1/K", num(p.e), num(p.nu), num(p.alpha), num(p.ed))
	p.g, p.gd = p.e/(2*(1+p.nu)), p.ed
	if yes("own G") {
		p.g *= real("G", 0.8, 1.2)
		mat += ", shear-modulus: " + num(p.g) + " Pa"
	}
	if yes("own G drift") {
		p.gd = real("gDrift", -6e-4, 2e-4)
		mat += ", shear-drift: " + num(p.gd) + " 1/K"
	}
	var loads []string
	for c := design.Component(0); c < design.Components; c++ {
		if !yes(c.String()) && c != design.Torque {
			continue
		}
		rated := real("rated", 1, 2)
		unit := "N·m"
		switch c {
		case design.Axial, design.ShearY, design.ShearZ:
			rated *= 1e8 * p.b * p.b
			if c != design.Axial { // it bends the part on an arm of up to half a metre
				rated *= p.b
			}
			unit = "N"
		case design.Pressure:
			rated *= 1e6
			unit = "Pa"
		default:
			rated *= 1e7 * p.b * p.b * p.b
		}
		p.components, p.rated = append(p.components, c), append(p.rated, rated)
		loads = append(loads, fmt.Sprintf("%v: {rated: %s %s, use: measure}", c, num(rated), unit))
	}

	var out strings.Builder
	fmt.Fprintf(&out, "gridwright: 1\ntitle: random\npart: {material: {%s}, section: %s, ends: %s}\nloads: {%s}\n", mat, section, ends, strings.Join(loads, ", "))
	p.across, p.toward, p.dx = real("across", -5, 5), real("toward", -4, 4), real("along", -30, 30)
	fmt.Fprintf(&out, "temperature: {reference: 20 °C, range: [-10 °C, 60 °C], gradient: {across: %s K, toward: %s rad, along: %s K/m}}\n", num(p.across), num(p.toward), num(p.dx))

	patterns := []string{"single", "tee", "shear-pair", "rectangular-rosette", "delta-rosette", "custom"}
	angles := map[string][]float64{"single": {0}, "tee": {0, 90}, "shear-pair": {-45, 45}, "rectangular-rosette": {-45, 0, 45}, "delta-rosette": {-60, 0, 60}}
	var lots [][]refGrid
	out.WriteString("gauges:\n")
	for i := range rapid.IntRange(1, 3).Draw(t, "gauges") {
		pattern := rapid.SampledFrom(patterns).Draw(t, "pattern")
		var at []float64
		for _, a := range angles[pattern] {
			at = append(at, a*math.Pi/180)
		}
		var keys []string
		if pattern == "custom" {
			var text []string
			for range rapid.IntRange(1, 4).Draw(t, "grids") {
				a := real("direction of grid", -3.2, 3.2)
				at = append(at, a)
				text = append(text, num(a)+" rad")
			}
			keys = append(keys, "directions: ["+strings.Join(text, ", ")+"]")
		}
		keys = append(keys, "pattern: "+pattern)
		if yes("counterclockwise") {
			keys = append(keys, "numbered: counterclockwise")
			for k := range at {
				at[k] = -at[k]
			}
		}
		g := refGrid{length: p.b * real("L", 0.01, 0.9), width: p.b * real("W", 0.01, 0.9), drift: real("drift", -2e-4, 2e-4), fi: 2, lotAlpha: p.alpha}
		keys = append(keys, fmt.Sprintf("grid: {length: %s m, width: %s m}, gauge-factor-drift: %s 1/K", num(g.length), num(g.width), num(g.drift)))
		if yes("stand-off") {
			g.standOff = real("h", 1e-5, 3e-4)
			keys = append(keys, "stand-off: "+num(g.standOff)+" m")
			if yes("layer") {
				g.layer, g.layerNu, g.layerAlpha = true, 0.35, real("layer", 0, 9e-5)
				keys = append(keys, "stand-off-expansion: "+num(g.layerAlpha)+" 1/K")
				if yes("layer nu") {
					g.layerNu = real("layerNu", 0.2, 0.45)
					keys = append(keys, "stand-off-poisson: "+num(g.layerNu))
				}
			}
		}
		if yes("thermal") {
			unit := "celsius"
			if g.fahrenheit = yes("fahrenheit"); g.fahrenheit {
				unit = "fahrenheit"
			}
			scale := []float64{40, 3, 0.06, 3e-4, 3e-7}
			var text []string
			for n := range rapid.IntRange(1, 5).Draw(t, "coefficients") {
				c := real("c", -1, 1) * scale[n]
				g.poly = append(g.poly, c)
				text = append(text, num(c))
			}
			thermal := unit + ": [" + strings.Join(text, ", ") + "]"
			if yes("for factor") {
				g.fi = real("fi", 1.8, 2.2)
				thermal += ", for-factor: " + num(g.fi)
			}
			if yes("for expansion") {
				g.lotAlpha = real("lot alpha", 0, 30e-6)
				thermal += ", for-expansion: " + num(g.lotAlpha) + " 1/K"
			}
			keys = append(keys, "thermal-output: {"+thermal+"}")
		}
		var ohms, factors, kts, centres []string
		var lot []refGrid
		for k := range at {
			one := g
			one.angle = at[k]
			one.ohm, one.factor, one.kt = real("ohm", 100, 1000), real("factor", -3, 3), real("kt", -0.1, 0.1)
			if math.Abs(one.factor) < 0.1 {
				one.factor = 2
			}
			one.along, one.across = p.b*real("centre along", -0.5, 0.5), p.b*real("centre across", -0.5, 0.5)
			ohms, factors, kts = append(ohms, num(one.ohm)+" Ω"), append(factors, num(one.factor)), append(kts, num(100*one.kt)+" %")
			centres = append(centres, fmt.Sprintf("[%s m, %s m]", num(one.along), num(one.across)))
			lot = append(lot, one)
		}
		keys = append(keys, "resistance: ["+strings.Join(ohms, ", ")+"]", "gauge-factor: ["+strings.Join(factors, ", ")+"]",
			"transverse-sensitivity: ["+strings.Join(kts, ", ")+"]", "centres: ["+strings.Join(centres, ", ")+"]")
		fmt.Fprintf(&out, "  G%d: {%s}\n", i, strings.Join(keys, ", "))
		lots = append(lots, lot)
	}

	out.WriteString("placements:\n")
	var names []string
	for i := range rapid.IntRange(2, 4).Draw(t, "placements") {
		lot := rapid.IntRange(0, len(lots)-1).Draw(t, "lot")
		station, around, direction := real("station", -0.3, 0.3), real("around", -7, 7), real("direction", -4, 4)
		fmt.Fprintf(&out, "  P%c: {gauge: G%d, station: %s m, around: %s rad, direction: %s rad}\n", 'a'+i, lot, num(station), num(around), num(direction))
		for k, g := range lots[lot] {
			g.station, g.around, g.direction = station, around, direction
			p.grids = append(p.grids, g)
			names = append(names, fmt.Sprintf("P%c%d", 'a'+i, k+1))
		}
	}

	if yes("meter") {
		p.meter = real("Rm", 1e4, 1e6)
		fmt.Fprintf(&out, "instrument: {input-resistance: %s Ω}\n", num(p.meter))
	}

	// grids are given out to bridges in a random order
	order := rapid.Permutation(seq(len(names))).Draw(t, "order")
	out.WriteString("bridges:\n")
	for i := 0; i < 3 && (i == 0 || len(order) > 0); i++ {
		b := refBridge{measures: rapid.IntRange(0, len(p.components)-1).Draw(t, "measures")}
		first := rapid.IntRange(0, 3).Draw(t, "first arm")
		active := map[int]bool{first: true}
		kind := rapid.SampledFrom([]string{"quarter", "half", "opposite", "full"}).Draw(t, "kind")
		switch kind {
		case "half":
			active[(first+1)%4] = true
		case "opposite":
			active[(first+2)%4] = true
		case "full":
			active[0], active[1], active[2], active[3] = true, true, true, true
		}
		if len(active) > len(order) {
			active, kind = map[int]bool{first: true}, "quarter"
		}
		var text []string
		for k := range b.arms {
			arm := &b.arms[k]
			switch {
			case active[k]:
				count := 1
				if len(order) > len(active)+1 && yes("series") {
					count = 2
				}
				var series []string
				for range count {
					arm.grids = append(arm.grids, order[0])
					series = append(series, names[order[0]])
					order = order[1:]
				}
				delete(active, k)
				text = append(text, "["+strings.Join(series, ", ")+"]")
			default:
				arm.ohm, arm.tcr = real("fixed", 100, 1000), real("tcr", -1e-4, 1e-4)
				text = append(text, fmt.Sprintf("{value: %s Ω, tcr: %s 1/K}", num(arm.ohm), num(arm.tcr)))
			}
		}
		leads := ""
		switch w := rapid.IntRange(0, 3).Draw(t, "leads"); {
		case w == 1 && (kind == "half" || kind == "quarter"):
			b.wires, b.atInstrument = 3, true
			if kind == "quarter" && yes("two wires") {
				b.wires = 2
			}
		case w == 2:
			b.wires = 4
		case w == 3:
			b.wires = 6
		}
		if b.wires > 0 {
			b.each = real("each", 0.1, 20)
			b.follow = yes("follow")
			leads = fmt.Sprintf(", leads: {wires: %d, each: %s Ω, completion: %s, follow: %s}", b.wires, num(b.each),
				map[bool]string{true: "instrument", false: "part"}[b.atInstrument], map[bool]string{true: "part", false: "none"}[b.follow])
		}
		fmt.Fprintf(&out, "  B%d: {measures: %v, arms: [%s]%s}\n", i, p.components[b.measures], strings.Join(text, ", "), leads)
		p.bridges = append(p.bridges, b)
	}
	return p, out.String()
}

func seq(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

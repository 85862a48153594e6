package pick

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// loadWords names a component as a sentence does.
func loadWords(c design.Component) string {
	switch c {
	case design.Axial:
		return "axial force"
	case design.ShearY, design.ShearZ:
		return "shear force " + c.String()
	}
	return c.String()
}

// pull is one grid of a bridge under one load.
type pull struct {
	name   string
	place  int
	plus   bool    // in arms 1 and 3
	strain float64 // ΔR/R; positive when it stretches
	gives  float64 // what it adds to the output, on the scale of strain
}

// pulls lists the grids of a bridge under load j, at its rated value.
func pulls(r *predict.Result, b, j int) []pull {
	var out []pull
	m := r.Model
	for k, arm := range m.Bridges[b].Arms {
		for _, i := range arm.Grids {
			x := r.Grids[i].Change[j]
			if m.Rated[j] < 0 {
				x = -x
			}
			p := pull{name: m.Grids[i].Name, place: m.Grids[i].Ref.Placement, plus: k%2 == 0, strain: x, gives: x}
			if !p.plus {
				p.gives = -x
			}
			out = append(out, p)
		}
	}
	return out
}

// negligible is the share of the response to the measured load below which a
// grid does not feel another load.
const negligible = 1e-5

// own says how the grids of a bridge add up for the load that it measures.
func own(r *predict.Result, b int) string {
	bridge := &r.Bridges[b]
	var up, down, idle, against []string
	ps := pulls(r, b, bridge.Target)
	most := 0.0
	for _, p := range ps {
		most = math.Max(most, math.Abs(p.strain))
	}
	for _, p := range ps {
		switch {
		case math.Abs(p.strain) < negligible*most:
			idle = append(idle, p.name)
		case p.strain > 0:
			up = append(up, p.name)
		default:
			down = append(down, p.name)
		}
		if p.gives < -negligible*most {
			against = append(against, p.name)
		}
	}
	var parts []string
	if len(up) > 0 {
		parts = append(parts, fmt.Sprintf("%s %s", list(up), verb(len(up), "stretches", "stretch")))
	}
	if len(down) > 0 {
		parts = append(parts, fmt.Sprintf("%s %s", list(down), verb(len(down), "shortens", "shorten")))
	}
	s := fmt.Sprintf("%s: %s", loadWords(bridge.Measures), strings.Join(parts, " and "))
	switch {
	case len(against) > 0:
		s += fmt.Sprintf("; %s %s away from the output, the others add", list(against), verb(len(against), "takes", "take"))
	case len(up)+len(down) > 1:
		s += ", and all add"
	}
	if len(idle) > 0 {
		s += fmt.Sprintf("; %s nothing of it and %s the temperature", list(idle)+" "+verb(len(idle), "feels", "feel"), verb(len(idle), "balances", "balance"))
	}
	return s
}

// cancels says what becomes of load j in a bridge: which grids oppose which.
func cancels(r *predict.Result, b, j int) string {
	bridge := &r.Bridges[b]
	name := loadWords(r.Model.Components[j])
	scale := 0.0
	mine := pulls(r, b, bridge.Target)
	for _, p := range mine {
		scale += math.Abs(p.strain)
	}
	scale /= float64(len(mine))
	var felt []pull
	most := 0.0
	for _, p := range pulls(r, b, j) {
		most = math.Max(most, math.Abs(p.strain))
		if math.Abs(p.strain) > negligible*scale {
			felt = append(felt, p)
		}
	}
	if len(felt) == 0 {
		return name + ": its grids do not feel it"
	}
	adjacent, series, rest := pairUp(felt)
	var parts []string
	if len(adjacent) > 0 {
		parts = append(parts, fmt.Sprintf("%s %s and stand in adjacent arms", pairWords(adjacent), alike(adjacent)))
	}
	if len(series) > 0 {
		parts = append(parts, fmt.Sprintf("%s strain against each other and stand in arms of one sign", pairWords(series)))
	}
	if len(rest) > 0 {
		sum := 0.0
		var names []string
		for _, p := range rest {
			sum += p.gives
			names = append(names, p.name)
		}
		if math.Abs(sum) < 0.02*most {
			parts = append(parts, fmt.Sprintf("what %s feel adds up to nothing round the part", list(names)))
		} else if len(names) == 1 {
			parts = append(parts, "nothing opposes "+names[0])
		} else {
			parts = append(parts, list(names)+" do not balance each other")
		}
	}
	s := name + ": " + strings.Join(parts, "; ")
	left := bridge.Crosstalk[j]
	switch {
	case !left.OK():
		return s
	case left.Value < 1e-7:
		return s + ", so it cancels"
	case len(rest) == 0:
		return fmt.Sprintf("%s, so that %s of rated output is left", s, percent(left.Value))
	}
	return fmt.Sprintf("%s, and %s of rated output is left", s, percent(left.Value))
}

// pairUp pairs grids whose contributions cancel to 2 %: first those of one gauge
// in adjacent arms, then any in adjacent arms, then those in arms of one sign.
func pairUp(felt []pull) (adjacent, series [][2]pull, rest []pull) {
	used := make([]bool, len(felt))
	match := func(ok func(a, b *pull) bool, to *[][2]pull) {
		for i := range felt {
			for k := i + 1; k < len(felt) && !used[i]; k++ {
				a, b := &felt[i], &felt[k]
				if used[k] || math.Abs(a.gives+b.gives) > 0.02*math.Abs(a.gives) || !ok(a, b) {
					continue
				}
				used[i], used[k] = true, true
				*to = append(*to, [2]pull{*a, *b})
			}
		}
	}
	match(func(a, b *pull) bool { return a.plus != b.plus && a.place == b.place }, &adjacent)
	match(func(a, b *pull) bool { return a.plus != b.plus }, &adjacent)
	match(func(a, b *pull) bool { return a.plus == b.plus }, &series)
	for i := range felt {
		if !used[i] {
			rest = append(rest, felt[i])
		}
	}
	return adjacent, series, rest
}

// alike says what pairs do that strain alike.
func alike(pairs [][2]pull) string {
	up, down := 0, 0
	for _, p := range pairs {
		if p[0].strain > 0 {
			up++
		} else {
			down++
		}
	}
	switch {
	case down == 0:
		return "stretch alike"
	case up == 0:
		return "shorten alike"
	}
	return "strain alike, pair by pair,"
}

func pairWords(pairs [][2]pull) string {
	words := make([]string, len(pairs))
	for i, p := range pairs {
		words[i] = p[0].name + " and " + p[1].name
	}
	return strings.Join(words, ", ")
}

// list joins words with commas and "and".
func list(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

func verb(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// plural is "1 gauge", "2 gauges".
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

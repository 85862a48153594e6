package starter

import (
	"fmt"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// entry is what stands in the file for a key; a key without one is commented out
// with its example.
type entry struct {
	fixed   string // the value itself
	ask     string // what the user is to write, in a placeholder
	example string // instead of the key's own; in an entry that is commented out, its value
	open    bool   // the keys of the mapping stand in the file, each by its own entry
	leave   bool   // nothing stands in the file
}

const gaugeName = "G"

// plan is by path, with the names that this file gives.
func plan(o Options, shape section.Shape, rated map[design.Component]float64) map[string]entry {
	var loads []string
	for _, c := range o.Measure {
		loads = append(loads, c.String())
	}
	p := map[string]entry{
		"gridwright":                    {fixed: "1"},
		"title":                         {ask: "title", example: strings.ToUpper(o.Part[:1]) + o.Part[1:] + " measuring " + strings.Join(loads, " and ")},
		"part":                          {open: true},
		"part.material":                 {ask: "metal", example: exampleMetal},
		"part.section":                  {open: true},
		"part.section.shape":            {fixed: shape.Name},
		"part.straight-length":          {open: true},
		"part.straight-length.from":     {ask: "station where the uniform length begins"},
		"part.straight-length.to":       {ask: "station where the uniform length ends"},
		"loads":                         {open: true},
		"temperature":                   {open: true},
		"temperature.range":             {ask: "lowest and highest temperature in service"},
		"gauges":                        {open: true},
		"placements":                    {leave: true},
		"bridges":                       {leave: true},
		"require":                       {open: true},
		"require.rated-output":          {open: true},
		"require.rated-output.at-least": {ask: "least output at rated load"},
		"require.crosstalk":             {open: true},
		"require.crosstalk.at-most":     {ask: "most crosstalk"},
		"require.yield-factor":          {open: true},
		"require.yield-factor.at-least": {ask: "least factor against yield"},
		"pick":                          {example: "{gauges: [" + gaugeName + "], at-most: 4, keep-out: [[150°, 170°]], stations: [0 mm]}"},
		"transmission":                  {leave: true}, // it stands under part
	}
	for key, value := range pairs(shape.Example) {
		if key != "shape" {
			p["part.section."+key] = entry{ask: strings.ReplaceAll(key, "-", " "), example: value}
		}
	}
	for c := design.Component(0); c < design.Components; c++ {
		path := "loads." + c.String()
		switch {
		case slices.Contains(o.Measure, c):
			p[path] = entry{open: true}
			p[path+".rated"] = entry{ask: "rated " + c.String(), example: quantity.Format(rated[c], c.Kind(), o.Sys, 2)}
			p[path+".use"] = entry{fixed: "measure"}
		case rated[c] > 0:
			p[path] = entry{example: fmt.Sprintf(`{rated: "<rated %s, e.g. %s>", use: reject}`, c, quantity.Format(rated[c]/4, c.Kind(), o.Sys, 2))}
		default:
			p[path] = entry{leave: true}
		}
	}
	g := "gauges." + gaugeName
	p[g] = entry{open: true}
	pattern := patternFor(o.Measure)
	p[g+".pattern"] = entry{fixed: pattern.name}
	p[g+".grid"] = entry{open: true}
	p[g+".grid.length"] = entry{ask: "length of a grid, from the package", example: "3 mm"}
	p[g+".grid.width"] = entry{ask: "width of a grid, from the package", example: "2.4 mm"}
	p[g+".directions"] = entry{leave: true} // the pattern has its own
	p[g+".centres"] = entry{ask: "centres of the grids [along, across], from the package", example: pattern.centres}
	p[g+".backing"] = entry{open: true}
	p[g+".backing.length"] = entry{ask: "length of the backing, from the package", example: "10 mm"}
	p[g+".backing.width"] = entry{ask: "width of the backing, from the package", example: "11 mm"}
	p[g+".resistance"] = entry{ask: "resistance, from the package"}
	p[g+".gauge-factor"] = entry{ask: "gauge factor, from the package"}
	p[g+".transverse-sensitivity"] = entry{ask: "transverse sensitivity, from the package"}
	p[g+".numbered"] = entry{ask: "numbering of the grids, from the package", example: "clockwise"}
	return p
}

// pattern of gauge that suits some loads, with centres of its grids.
type pattern struct{ name, centres string }

// patternFor: shear pairs see torque and transverse force, tees what stretches the
// part lengthwise or around, rosettes both.
func patternFor(measure []design.Component) pattern {
	shear, normal := false, false
	for _, c := range measure {
		switch c {
		case design.Torque, design.ShearY, design.ShearZ:
			shear = true
		default:
			normal = true
		}
	}
	switch {
	case shear && normal:
		return pattern{"rectangular-rosette", "[[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]]"}
	case shear:
		return pattern{"shear-pair", "[[0 mm, -2.5 mm], [0 mm, 2.5 mm]]"}
	}
	return pattern{"tee", "[[2.2 mm, 0 mm], [-2.2 mm, 0 mm]]"}
}

// pairs takes a mapping written in braces apart, at its own commas.
func pairs(flow string) map[string]string {
	out := map[string]string{}
	flow = strings.TrimSuffix(strings.TrimPrefix(flow, "{"), "}")
	depth, start := 0, 0
	add := func(s string) {
		if key, value, ok := strings.Cut(s, ":"); ok {
			out[strings.TrimSpace(key)] = strings.TrimSpace(value)
		}
	}
	for i, c := range flow {
		switch c {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case ',':
			if depth == 0 {
				add(flow[start:i])
				start = i + 1
			}
		}
	}
	add(flow[start:])
	return out
}

// arrangement is an example of placements and bridges for the first load.
func arrangement(o Options) []string {
	first := o.Measure[0]
	rosette := patternFor(o.Measure).name == "rectangular-rosette"
	a, b, arms := "90°", "270°", ""
	along := map[bool]string{true: "2", false: "1"}[rosette]
	switch first {
	case design.Torque:
		arms = map[bool]string{true: "A3, A1, B3, B1", false: "A2, A1, B2, B1"}[rosette]
	case design.Axial:
		arms = map[bool]string{true: "A2, 350 Ω, B2, 350 Ω", false: "A1, A2, B1, B2"}[rosette]
	case design.BendingY:
		arms = fmt.Sprintf("A%s, B%s, 350 Ω, 350 Ω", along, along)
	case design.BendingZ:
		a, b = "180°", "0°"
		arms = fmt.Sprintf("A%s, B%s, 350 Ω, 350 Ω", along, along)
	default:
		return nil
	}
	place := func(name, around string) string {
		return fmt.Sprintf("  %s: {gauge: %s, station: 0 mm, around: %s, direction: 0°}", name, gaugeName, around)
	}
	return []string{"placements:", place("A", a), place("B", b), "bridges:", fmt.Sprintf("  M: {measures: %s, arms: [%s], excitation: 5 V}", first, arms)}
}

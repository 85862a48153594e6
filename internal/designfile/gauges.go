package designfile

import (
	"unicode"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/quantity"
)

// gaugeText is a gauge entry while it is read: lists wait for the pattern.
type gaugeText struct {
	design.Gauge
	directions, centres, resistance, factor, transverse at
}

var backingFields = []field[design.Backing]{
	number("length", quantity.Length, func(b *design.Backing) *design.Number { return &b.Length }, gridSize).must(),
	number("width", quantity.Length, func(b *design.Backing) *design.Number { return &b.Width }, gridSize).must(),
}

var gridFields = []field[gaugeText]{
	number("length", quantity.Length, func(g *gaugeText) *design.Number { return &g.GridLength }, gridSize).must(),
	number("width", quantity.Length, func(g *gaugeText) *design.Number { return &g.GridWidth }, gridSize).must(),
}

var thermalFields = []field[design.ThermalOutput]{
	polynomial("celsius", false),
	polynomial("fahrenheit", true),
	number("for-factor", quantity.Number, func(t *design.ThermalOutput) *design.Number { return &t.ForFactor }, notZero),
	number("for-expansion", quantity.PerKelvin, func(t *design.ThermalOutput) *design.Number { return &t.ForExpansion }),
	number("spread", quantity.PerKelvin, func(t *design.ThermalOutput) *design.Number { return &t.Spread }, notNegative),
}

func polynomial(key string, fahrenheit bool) field[design.ThermalOutput] {
	takes := "a list of 1 to 5 coefficients in µε, of rising powers of the temperature"
	return field[design.ThermalOutput]{key: key, takes: takes, form: listOf(quantityOf(quantity.Number), 1, 2, 3, 4, 5), read: func(r *reader, v at, t *design.ThermalOutput) {
		if t.Set {
			r.fail(v, "the polynomial is given twice; keep `celsius` or `fahrenheit`")
			return
		}
		n, ok := r.numbers(v, quantity.Number, false, []int{1, 2, 3, 4, 5}, takes)
		if ok {
			t.Coefficients, t.Fahrenheit, t.Set = n, fahrenheit, true
		}
	}}
}

func patternNames() []string {
	names := make([]string, len(gauge.Patterns))
	for i, p := range gauge.Patterns {
		names[i] = p.Name
	}
	return names
}

func later(key, takes string, form formOf, to func(*gaugeText) *at) field[gaugeText] {
	return field[gaugeText]{key: key, takes: takes, form: form, read: func(_ *reader, v at, g *gaugeText) { *to(g) = v }}
}

var gaugeFields = []field[gaugeText]{
	choice("pattern", patternNames(), func(g *gaugeText, w string) { g.Pattern = w }).must(),
	choice("numbered", []string{"clockwise", "counterclockwise"}, func(g *gaugeText, w string) { g.CounterClockwise = w == "counterclockwise" }),
	{key: "grid", required: true, takes: "length and width of a grid", form: mappingOf(gridFields), read: func(r *reader, v at, g *gaugeText) { mapping(r, v, gridFields, g) }},
	later("directions", "a list of angles, for pattern custom", listOfUpTo(1, 12, quantityOf(quantity.Angle)), func(g *gaugeText) *at { return &g.directions }),
	later("centres", "a list of [along, across] for each grid", listOf(listOf(quantityOf(quantity.Length), 2)), func(g *gaugeText) *at { return &g.centres }),
	{key: "backing", takes: "length and width of the outline", form: mappingOf(backingFields), read: func(r *reader, v at, g *gaugeText) { mapping(r, v, backingFields, &g.Backing); g.Backing.Set = true }},
	later("resistance", "a resistance such as 350 Ω ± 0.2 %, or a list of one for each grid", eachGrid(quantity.Resistance, positive), func(g *gaugeText) *at { return &g.resistance }).must(),
	later("gauge-factor", "a number such as 2.08 ± 0.5 %, or a list of one for each grid", eachGrid(quantity.Number, notZero), func(g *gaugeText) *at { return &g.factor }).must(),
	number("gauge-factor-scatter", quantity.Ratio, func(g *gaugeText) *design.Number { return &g.Scatter }, notNegative),
	later("transverse-sensitivity", "a percentage such as 0.9 %, or a list of one for each grid", eachGrid(quantity.Ratio, transverseRange), func(g *gaugeText) *at { return &g.transverse }),
	number("gauge-factor-drift", quantity.PerKelvin, func(g *gaugeText) *design.Number { return &g.Drift }),
	number("stand-off", quantity.Length, func(g *gaugeText) *design.Number { return &g.StandOff }, notNegative),
	number("stand-off-expansion", quantity.PerKelvin, func(g *gaugeText) *design.Number { return &g.StandOffExpansion }),
	number("stand-off-poisson", quantity.Number, func(g *gaugeText) *design.Number { return &g.StandOffPoisson }, between(0, 0.5, "between 0 and 0.5")).as("a number such as 0.35"),
	{key: "thermal-output", takes: "celsius or fahrenheit, for-factor, for-expansion, spread", form: mappingOf(thermalFields), read: func(r *reader, v at, g *gaugeText) { mapping(r, v, thermalFields, &g.Thermal) }},
	number("power-density", quantity.PowerDensity, func(g *gaugeText) *design.Number { return &g.PowerDensity }, positive),
	choice("heat-sink", []string{"good", "fair", "poor"}, func(g *gaugeText, w string) { g.HeatSink = w }),
	number("max-strain", quantity.Strain, func(g *gaugeText) *design.Number { return &g.MaxStrain }, positive),
	text("lot", func(g *gaugeText) *string { return &g.Lot }),
}

// transverseRange is |Kt| < 50 %.
var transverseRange = between(-0.5, 0.5, "between -50 % and 50 %")

// maxNames bounds gauges, placements and bridges each: no part has room for more,
// and what compares each with each stays quick.
const maxNames = 256

// named walks a mapping whose keys are names of the user's.
func (r *reader) named(v at, what string, read func(name string, value at)) {
	if v.node == nil {
		return
	}
	if v.kind != mappingNode {
		r.fail(v, "this is %s; write names with their %s", v.kind, what)
		return
	}
	if len(v.keys) > maxNames {
		r.fail(v, "there are %d names here; at most %d are read", len(v.keys), maxNames)
		return
	}
	for i, k := range v.keys {
		value := at{v.values[i], join(v.path, k.text)}
		if value.null && startsWithDigit(k.text) {
			r.unknownKey(v, k, value, nil)
			continue
		}
		if !validName(k.text) {
			r.fail(at{k, value.path}, "`%s` is no name; write a letter, then letters, digits, _ and -", clip(k.text))
			continue
		}
		if value.null {
			r.fail(at{k, value.path}, "the name has no values; write its %s, or leave it out", what)
			continue
		}
		read(k.text, value)
	}
}

func validName(s string) bool {
	for i, c := range s {
		if !(unicode.IsLetter(c) || i > 0 && (unicode.IsDigit(c) || c == '_' || c == '-')) {
			return false
		}
	}
	return s != "" && len(s) <= 80
}

func (f *file) readGauges() {
	r := f.r
	r.named(f.gauges, "pattern, grid, resistance and gauge-factor", func(name string, v at) {
		g := gaugeText{}
		g.Name, g.Place = name, v.place()
		before := len(r.problems)
		mapping(r, v, gaugeFields, &g)
		if len(r.problems) == before {
			r.perGrid(v, &g)
		}
		if len(r.problems) == before && g.HeatSink != "" && g.PowerDensity.Set {
			r.fail(v, "the gauge has both power-density and heat-sink; keep the one that holds")
		}
		f.Gauges = append(f.Gauges, g.Gauge)
	})
}

// perGrid reads the lists of a gauge when its pattern tells how many grids it has.
func (r *reader) perGrid(v at, g *gaugeText) {
	pattern, _ := gauge.FindPattern(g.Pattern)
	switch {
	case pattern.Directions == nil && g.directions.node == nil:
		r.problems = append(r.problems, Problem{r.file, v.line, v.column, join(v.path, "directions"), "the key is missing; pattern custom needs `directions:` with a list of angles"})
		return
	case pattern.Directions == nil:
		items, ok := r.numbers(g.directions, quantity.Angle, false, nil, "a list of angles")
		if !ok {
			return
		}
		if len(items) == 0 || len(items) > 12 {
			r.fail(g.directions, "the list has %d directions; write from 1 to 12", len(items))
			return
		}
		for _, n := range items {
			g.Directions = append(g.Directions, n.SI)
		}
	case g.directions.node != nil:
		r.fail(g.directions, "pattern %s has its own directions; leave them out, or write `pattern: custom`", g.Pattern)
		return
	default:
		g.Directions = append([]float64(nil), pattern.Directions...)
	}
	if g.CounterClockwise {
		for i := range g.Directions {
			g.Directions[i] = -g.Directions[i]
		}
	}
	n := len(g.Directions)
	g.Resistance = r.one(g.resistance, quantity.Resistance, n, positive)
	g.GaugeFactor = r.one(g.factor, quantity.Number, n, notZero)
	g.Transverse = make([]design.Number, n)
	if g.transverse.node != nil {
		g.Transverse = r.one(g.transverse, quantity.Ratio, n, transverseRange)
	}
	g.Centres = make([][2]design.Number, n)
	if g.centres.node != nil {
		r.centres(g, n)
	}
	if !g.Backing.Set && len(g.Centres) == n {
		at := make([][2]float64, n)
		for i, c := range g.Centres {
			at[i] = [2]float64{c[0].SI, c[1].SI}
		}
		l, w := gauge.Outline(g.Directions, at, g.GridLength.SI, g.GridWidth.SI)
		g.Backing.Length.SI, g.Backing.Width.SI = l, w
	}
}

// one reads a value for each grid: a list, or one value that holds for all.
func (r *reader) one(v at, kind quantity.Kind, n int, rules ...rule) []design.Number {
	takes := "one value, or a list of one for each grid"
	out, ok := r.numbers(v, kind, true, []int{n}, takes, rules...)
	if !ok {
		return make([]design.Number, n)
	}
	if v.kind == scalarNode {
		for len(out) < n {
			out = append(out, out[0])
		}
	}
	return out
}

func (r *reader) centres(g *gaugeText, n int) {
	items, ok := r.list(g.centres, "a list of [along, across], one for each grid", n)
	if !ok {
		return
	}
	for i, item := range items {
		if c, ok := r.numbers(item, quantity.Length, false, []int{2}, "a pair [along, across]"); ok {
			g.Centres[i] = [2]design.Number{c[0], c[1]}
		}
	}
}

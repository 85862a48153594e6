package record

import (
	"fmt"
	"math"
	"strconv"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
)

// matrix is the chapter of all bridges against all loads.
func (b *book) matrix() {
	b.Chapter("5  Matrix")
	m := b.r.Matrix
	s := fmt.Sprintf("Each bridge regressed on all loads at once over %s, with one constant for each run.", layout.Plural(m.Rows, "reading"))
	if m.Pairs != nil {
		s += " With products and squares of the loads; sensitivities are those at no load."
	}
	b.Paragraph(s, 8, drawing.Regular)
	b.sensitivities()
	b.second()
	b.loads()
	b.recovery()
	for _, n := range m.Orientation {
		b.Note(sentence(n))
	}
}

// component n of the matrix.
func (b *book) component(n int) design.Component {
	return b.r.Data.Components[b.r.Matrix.Components[n]]
}

func (b *book) bridge(k int) string { return b.r.Data.Bridges[b.r.Matrix.Bridges[k]] }

func (b *book) sensitivities() {
	m := b.r.Matrix
	b.Heading("Sensitivity and its standard uncertainty, µV/V per unit of the load; crosstalk in % of the bridge's output at its own rated load", 18)
	columns := []layout.Column{layout.Text("bridge"), layout.Label("")}
	for n := range m.Components {
		columns = append(columns, layout.Number(layout.Component(b.component(n))+", µV/V per "+b.w.LoadUnit(b.component(n))))
	}
	columns = append(columns, layout.Number("degrees of freedom"), layout.Number("k,\u00A095\u00A0%"))
	t := layout.NewTable(columns...)
	var why reasons
	for k := range m.Bridges {
		name := b.bridge(k)
		values, u, cross := []string{name, "sensitivity"}, []string{"", "standard u"}, []string{"", "crosstalk"}
		for n := range m.Components {
			c := b.component(n)
			values = append(values, b.slope(rounded(m.Sensitivity[k][n], m.Standard[k][n]), c, significant(m.Sensitivity[k][n], m.Standard[k][n])))
			u = append(u, b.slope(m.Standard[k][n], c, 2))
			cross = append(cross, why.percent(b.w, "crosstalk of "+layout.Component(c)+" on "+name, m.Crosstalk[k][n]))
		}
		freedom, coverage := layout.Dash, layout.Dash
		if k < len(m.Freedom) {
			freedom, coverage = strconv.Itoa(m.Freedom[k]), number(m.CoverageFactor(k), 3)
		}
		t.Rows = append(t.Rows, layout.Row{Bold: true, Cells: append(values, freedom, coverage)})
		t.Add(u...)
		t.Add(cross...)
	}
	b.Table(t)
	b.tell(&why)
	b.Note("Standard u: scatter of the readings, applied load and indicator. k: of a 95 % interval by scatter alone, Student's t.")
}

// second are the second-order terms.
func (b *book) second() {
	m := b.r.Matrix
	if m.Pairs == nil {
		return
	}
	b.Heading("Second-order terms, µV/V per product of both loads", 14)
	t := layout.NewTable(layout.Text("loads"), layout.Text("per"))
	for k := range m.Bridges {
		t.Columns = append(t.Columns, layout.Number(b.short(m.Bridges[k])))
	}
	for p, pair := range m.Pairs {
		one, two := b.component(pair[0]), b.component(pair[1])
		name := layout.Component(one) + " × " + layout.Component(two)
		if one == two {
			name = layout.Component(one) + " squared"
		}
		cells := []string{name, b.w.Dual(func(w layout.Words) string {
			u, v := one.Kind().Unit(w.Sys), two.Kind().Unit(w.Sys)
			if u == v {
				return power(u, 2)
			}
			return "(" + u + "·" + v + ")"
		})}
		for k := range m.Bridges {
			v := m.Product[k][p]
			cells = append(cells, b.w.Dual(func(w layout.Words) string {
				x, ok1 := w.SiPerUnit(one)
				y, ok2 := w.SiPerUnit(two)
				if !ok1 || !ok2 {
					return layout.Dash
				}
				return number(v*1e6*x*y, 4)
			}))
		}
		t.Add(cells...)
	}
	b.Table(t)
	b.tellShort(m.Bridges)
}

// loads from outputs, six bridges abreast.
func (b *book) loads() {
	m := b.r.Matrix
	head := "Loads from outputs, load per mV/V of each bridge"
	b.Heading(head, 14)
	if m.Inverse == nil {
		why := m.Missing
		if why == "" {
			why = "no reason was given"
		}
		b.Paragraph(layout.Dash+" no inverse: "+why+".", 8, drawing.Regular)
		return
	}
	for from := 0; from < len(m.Bridges); from += abreast {
		to := min(from+abreast, len(m.Bridges))
		columns := []layout.Column{layout.Text("load")}
		for k := from; k < to; k++ {
			columns = append(columns, layout.Number(b.short(m.Bridges[k])))
		}
		t := layout.NewTable(columns...)
		for r, n := range m.Measured {
			c := b.component(n)
			cells := []string{b.headed(c) + " per mV/V"}
			for k := from; k < to; k++ {
				cells = append(cells, b.inverse(m.Inverse[r][k], c, 1, 6))
			}
			t.Add(cells...)
		}
		if len(m.Weights) == len(m.Bridges) {
			cells := []string{"weight of the bridge"}
			for k := from; k < to; k++ {
				cells = append(cells, number(m.Weights[k], 4))
			}
			t.Add(cells...)
		}
		b.Table(t)
		b.tellShort(m.Bridges[from:to])
	}
	condition := "Condition number " + layout.Dash + ": " + m.Condition.Missing + "."
	if m.Condition.OK() {
		condition = "Condition number " + number(m.Condition.Value, 4) + " (2-norm, columns × rated load, rows ÷ own rated output)."
	}
	b.Note(condition)
}

// recovery is how well the inverse gives the loads of the calibration back.
func (b *book) recovery() {
	if len(b.r.Matrix.Recovery) == 0 {
		return
	}
	b.Heading("Loads given back by the inverse, residual in % of the rated load", 14)
	t := layout.NewTable(layout.Text("load"), layout.Number("root mean square"), layout.Number("largest"), layout.Number("at line"), layout.Number("readings"))
	for _, c := range b.r.Matrix.Recovery {
		line := layout.Dash
		if c.Line > 0 {
			line = strconv.Itoa(c.Line)
		}
		t.Add(layout.Component(b.r.Data.Components[c.Component]), b.w.Percent(finite(c.RMS)), b.w.Percent(finite(c.Largest)), line, strconv.Itoa(c.Readings))
	}
	b.Table(t)
}

func finite(v float64) predict.Figure {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return predict.None("not finite")
	}
	return predict.Some(v)
}

package sheet

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
	"gridwright/internal/worksheet"
)

// calibration is the form for the calibration of each bridge: the planned steps
// of `gridwright worksheet`, what the bridge should show, and blanks.
func (b *book) calibration() {
	if len(b.d.Result.Bridges) == 0 {
		return
	}
	b.Chapter("7  Calibration record")
	plan, err := worksheet.Of(b.d, worksheet.Options{Sys: b.w.Sys})
	if err != nil {
		b.Paragraph("No table: "+err.Error()+".", 8, drawing.Regular)
		return
	}
	b.Paragraph("The steps of a calibration by the common scheme, to be agreed with the laboratory. Loads are absolute, what the fixture weighs included. "+
		"Never load beyond what part, bond and machine bear; stand clear of a part under load.", 8, drawing.Regular)
	form := layout.NewTable(layout.Blank("machine, standard, certificate", 60), layout.Blank("indicator, certificate", 60), layout.Blank("temperature, "+quantity.Temperature.Unit(b.w.Sys), 24), layout.Blank("date, by", 24))
	form.Rows = append(form.Rows, layout.Row{Cells: []string{""}, Least: blankRow + 2})
	b.Table(form)
	for i := range b.d.Result.Bridges {
		b.calibrationOf(plan, i)
	}
	b.combined(plan)
	b.shuntRecord(plan)
}

// series is one column of readings to be written in.
type series struct {
	run      int
	stepping string
	position float64
}

func (s series) head() string { return fmt.Sprintf("%d: %s, %g°", s.run, s.stepping, s.position) }

// calibrationOf is the table of bridge i against the load that it measures.
func (b *book) calibrationOf(plan *worksheet.Plan, i int) {
	br := &b.d.Result.Bridges[i]
	var steps []worksheet.Row // one for each load, zero first
	var all []series
	seen := map[float64]bool{}
	have := map[series]bool{}
	for _, r := range plan.Rows {
		if r.Remark != "" || r.Shunt >= 0 || !alone(r.Loads, br.Target) {
			continue
		}
		load := r.Loads[br.Target]
		if !seen[load] {
			seen[load] = true
			steps = append(steps, r)
		}
		if s := (series{r.Run, r.Stepping, r.Position}); load != 0 && !have[s] {
			have[s] = true
			all = append(all, s)
		}
	}
	const blankWidth = 17.0
	unit := b.w.LoadUnit(br.Measures)
	columns := []layout.Column{layout.Number("load, " + unit), layout.Number("expected, mV/V"), layout.Number("95 %, ±")}
	for _, s := range all {
		columns = append(columns, layout.Blank(s.head(), blankWidth))
	}
	t := layout.NewTable(columns...)
	for _, r := range steps {
		t.Rows = append(t.Rows, layout.Row{Cells: b.step(r, br.Target, i), Least: blankRow})
	}
	if len(steps) > 0 {
		zero := t.Rows[0]
		zero.Cells = append([]string{}, zero.Cells...)
		t.Rows = append(t.Rows, zero)
	}
	b.Heading("Calibration record of bridge "+br.Name+" against "+layout.Component(br.Measures)+", readings in mV/V", 30)
	b.Table(t)
	b.Note("Expected: change from the zero reading. Heads: series, direction of stepping, mounting position; the last row is the zero after the series. " +
		"Preload before each series; `gridwright worksheet` writes the same plan as a file to be filled in.")
}

// alone tells whether no other load acts in a row.
func alone(loads []float64, component int) bool {
	for j, v := range loads {
		if j != component && v != 0 {
			return false
		}
	}
	return true
}

func (b *book) step(r worksheet.Row, component, bridge int) []string {
	kind := b.components()[component].Kind()
	load := b.w.Dual(func(w layout.Words) string {
		s := w.Rounded(r.Loads[component], kind, 5)
		return strings.TrimSuffix(s, " "+kind.Unit(w.Sys))
	})
	return []string{load, layout.Fixed(r.Expected[bridge]*1e3, 5), halfWidth(r.Interval[bridge])}
}

func halfWidth(v float64) string {
	if math.IsNaN(v) {
		return layout.Dash
	}
	return layout.Fixed(v*1e3, 5)
}

// combined lists the steps under two loads at once, one blank for each bridge.
func (b *book) combined(plan *worksheet.Plan) {
	columns := []layout.Column{layout.Text("loads")}
	for i := range b.d.Result.Bridges {
		name := b.d.Result.Bridges[i].Name
		columns = append(columns, layout.Number(name+" expected"), layout.Blank(name+" read", 17))
	}
	t := layout.NewTable(columns...)
	for _, r := range plan.Rows {
		if r.Remark != "" || r.Shunt >= 0 {
			continue
		}
		var loads []string
		for j, c := range b.components() {
			if r.Loads[j] != 0 {
				loads = append(loads, layout.Component(c)+" "+layout.Nonbreaking(b.w.Plain(r.Loads[j], c.Kind())))
			}
		}
		if len(loads) < 2 {
			continue
		}
		cells := []string{strings.Join(loads, ", ")}
		for i := range b.d.Result.Bridges {
			cells = append(cells, layout.Fixed(r.Expected[i]*1e3, 5), "")
		}
		t.Rows = append(t.Rows, layout.Row{Cells: cells, Least: blankRow})
	}
	if len(t.Rows) == 0 {
		return
	}
	b.Heading("Combined loads, readings in mV/V, change from zero", 20)
	b.Table(t)
}

// shuntRecord has a blank for each bridge and shunt.
func (b *book) shuntRecord(plan *worksheet.Plan) {
	if len(b.d.Design.Shunts) == 0 {
		return
	}
	t := layout.NewTable(layout.Number("resistor"), layout.Label("arm"), layout.Label("bridge"), layout.Number("expected change, mV/V"), layout.Blank("zero, mV/V", 26), layout.Blank("with the shunt, mV/V", 32), layout.Blank("date, by", 26))
	for _, r := range plan.Rows {
		if r.Remark != "" || r.Shunt < 0 {
			continue
		}
		sh := b.d.Design.Shunts[r.Shunt]
		for i := range b.d.Result.Bridges {
			t.Rows = append(t.Rows, layout.Row{Least: blankRow, Cells: []string{b.w.Given(sh.Resistor, quantity.Resistance), fmt.Sprint(sh.Arm), b.d.Result.Bridges[i].Name, layout.Fixed(r.Expected[i]*1e3, 5)}})
		}
	}
	b.Heading("Shunt calibration record", 20)
	b.Table(t)
}

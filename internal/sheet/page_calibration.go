package sheet

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
	"gridwright/internal/worksheet"
)

// calibration is the form for the calibration of each bridge: the planned steps
// of `gridwright worksheet`, what the bridge should show, and blanks.
func (b *book) calibration() {
	if len(b.d.Result.Bridges) == 0 {
		return
	}
	b.chapter("7  Calibration record")
	plan, err := worksheet.Of(b.d, worksheet.Options{Sys: b.w.sys})
	if err != nil {
		b.paragraph("No table: "+err.Error()+".", 8, drawing.Regular)
		return
	}
	b.paragraph("The steps of a calibration by the common scheme, to be agreed with the laboratory. Loads are absolute, what the fixture weighs included. "+
		"Never load beyond what part, bond and machine bear; stand clear of a part under load.", 8, drawing.Regular)
	form := newTable(blank("machine, standard, certificate", 60), blank("indicator, certificate", 60), blank("temperature, "+quantity.Temperature.Unit(b.w.sys), 24), blank("date, by", 24))
	form.rows = append(form.rows, row{cells: []string{""}, least: blankRow + 2})
	b.table(form)
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
	unit := b.w.loadUnit(br.Measures)
	columns := []column{number("load, " + unit), number("expected, mV/V"), number("95 %, ±")}
	for _, s := range all {
		columns = append(columns, blank(s.head(), blankWidth))
	}
	t := newTable(columns...)
	for _, r := range steps {
		t.rows = append(t.rows, row{cells: b.step(r, br.Target, i), least: blankRow})
	}
	if len(steps) > 0 {
		zero := t.rows[0]
		zero.cells = append([]string{}, zero.cells...)
		t.rows = append(t.rows, zero)
	}
	b.heading("Calibration record of bridge "+br.Name+" against "+component(br.Measures)+", readings in mV/V", 30)
	b.table(t)
	b.note("Expected: change from the zero reading. Heads: series, direction of stepping, mounting position; the last row is the zero after the series. " +
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
	load := b.w.dual(func(w words) string {
		s := w.rounded(r.Loads[component], kind, 5)
		return strings.TrimSuffix(s, " "+kind.Unit(w.sys))
	})
	return []string{load, fixed(r.Expected[bridge]*1e3, 5), halfWidth(r.Interval[bridge])}
}

func halfWidth(v float64) string {
	if math.IsNaN(v) {
		return dash
	}
	return fixed(v*1e3, 5)
}

// combined lists the steps under two loads at once, one blank for each bridge.
func (b *book) combined(plan *worksheet.Plan) {
	columns := []column{text("loads")}
	for i := range b.d.Result.Bridges {
		name := b.d.Result.Bridges[i].Name
		columns = append(columns, number(name+" expected"), blank(name+" read", 17))
	}
	t := newTable(columns...)
	for _, r := range plan.Rows {
		if r.Remark != "" || r.Shunt >= 0 {
			continue
		}
		var loads []string
		for j, c := range b.components() {
			if r.Loads[j] != 0 {
				loads = append(loads, component(c)+" "+nonbreaking(b.w.plain(r.Loads[j], c.Kind())))
			}
		}
		if len(loads) < 2 {
			continue
		}
		cells := []string{strings.Join(loads, ", ")}
		for i := range b.d.Result.Bridges {
			cells = append(cells, fixed(r.Expected[i]*1e3, 5), "")
		}
		t.rows = append(t.rows, row{cells: cells, least: blankRow})
	}
	if len(t.rows) == 0 {
		return
	}
	b.heading("Combined loads, readings in mV/V, change from zero", 20)
	b.table(t)
}

// shuntRecord has a blank for each bridge and shunt.
func (b *book) shuntRecord(plan *worksheet.Plan) {
	if len(b.d.Design.Shunts) == 0 {
		return
	}
	t := newTable(number("resistor"), label("arm"), label("bridge"), number("expected change, mV/V"), blank("zero, mV/V", 26), blank("with the shunt, mV/V", 32), blank("date, by", 26))
	for _, r := range plan.Rows {
		if r.Remark != "" || r.Shunt < 0 {
			continue
		}
		sh := b.d.Design.Shunts[r.Shunt]
		for i := range b.d.Result.Bridges {
			t.rows = append(t.rows, row{least: blankRow, cells: []string{b.w.given(sh.Resistor, quantity.Resistance), fmt.Sprint(sh.Arm), b.d.Result.Bridges[i].Name, fixed(r.Expected[i]*1e3, 5)}})
		}
	}
	b.heading("Shunt calibration record", 20)
	b.table(t)
}

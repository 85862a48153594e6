package record

import (
	"fmt"
	"math"
	"strconv"

	"gridwright/internal/calibration"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

const (
	mostReadings = 600 // that are printed
	mostNotes    = 60
	abreast      = 6 // bridges in one table of readings
)

// data is the chapter of the readings.
func (b *book) data() {
	b.Chapter("2  Data")
	d := b.r.Data
	head, tail := abridged(len(d.Readings), mostReadings)
	s := "Every reading as it was taken, outputs in mV/V."
	if head < len(d.Readings) {
		s = fmt.Sprintf("The first %d and the last %d of %d readings, outputs in mV/V; the rest is in the data file of sha256 %s.", head, len(d.Readings)-tail, len(d.Readings), layout.OrDash(b.r.Options.DataDigest))
	}
	s += " Line: of the data file, its head being line 1. "
	if b.singles() {
		s += "Reduced: less the zero (" + zeros[b.r.Options.Zero] + "), of the readings that the fits go through."
	} else {
		s += "The fits go through the means of the steps, outputs less their zeros (" + zeros[b.r.Options.Zero] + "); they stand under Figures."
	}
	b.Paragraph(s, 8, drawing.Regular)
	var bridges []int
	for i := range d.Bridges {
		if d.HasBridge[i] {
			bridges = append(bridges, i)
		}
	}
	for from := 0; from < len(bridges); {
		n := min(abreast, len(bridges)-from)
		t := b.readings(bridges[from:from+n], head, tail)
		for ; n > 1 && !t.Fits(b.Width()); n-- { // no number is broken in two
			t = b.readings(bridges[from:from+n-1], head, tail)
		}
		b.readingsOf(t, bridges[from:from+n], n < len(bridges))
		from += n
	}
	b.shuntKey()
	b.outliers()
	b.leftOut()
}

// singles reports whether a fit goes through single readings.
func (b *book) singles() bool {
	for _, lines := range b.reduced() {
		if lines != nil {
			return true
		}
	}
	return false
}

// present are the columns that a reading has at all.
type present struct {
	temperature, time, shunt, mounting bool
}

func (b *book) present() present {
	var p present
	for i := range b.r.Data.Readings {
		r := &b.r.Data.Readings[i]
		p.temperature = p.temperature || !math.IsNaN(r.Kelvin)
		p.time = p.time || !math.IsNaN(r.Time)
		p.shunt = p.shunt || r.Shunt >= 0
		p.mounting = p.mounting || b.r.Data.Mountings
	}
	return p
}

// readings is the table of some bridges.
func (b *book) readings(bridges []int, head, tail int) *layout.Table {
	d, p := b.r.Data, b.present()
	columns := []layout.Column{layout.Number("line"), layout.Number("run"), layout.Number("at"), layout.Label("step")}
	if p.mounting {
		columns = append(columns, layout.Number("mount."))
	}
	for j, c := range d.Components {
		if d.HasLoad[j] {
			columns = append(columns, layout.Number(b.headed(c)))
		}
	}
	reduced := b.reduced()
	for _, i := range bridges {
		columns = append(columns, layout.Number(b.short(i)))
		if reduced[i] != nil {
			columns = append(columns, layout.Number(b.short(i)+" reduced"))
		}
	}
	if p.temperature {
		columns = append(columns, layout.Number("temp., "+quantity.Temperature.Unit(b.w.Sys)))
	}
	if p.time {
		columns = append(columns, layout.Number("time, s"))
	}
	if p.shunt {
		columns = append(columns, layout.Label("shunt"))
	}
	if len(b.off) > 0 {
		columns = append(columns, layout.Label("outlier"))
	}
	t := layout.NewTable(columns...)
	for i := range d.Readings {
		if i >= head && i < tail {
			continue
		}
		t.Rows = append(t.Rows, b.reading(&d.Readings[i], bridges, reduced, p))
	}
	return t
}

// readingsOf prints the table of some bridges, which are named where there are more.
func (b *book) readingsOf(t *layout.Table, bridges []int, more bool) {
	head := "Readings"
	if more {
		var names []string
		for _, i := range bridges {
			names = append(names, b.r.Data.Bridges[i])
		}
		head += " of " + layout.Listed(names)
	}
	b.Heading(head, 20)
	b.Table(t)
	b.tellShort(bridges)
}

// shuntKey says which shunt is which.
func (b *book) shuntKey() {
	for k := range b.r.Data.Shunts {
		b.Note(fmt.Sprintf("Shunt %d: %s.", k+1, b.shunt(&b.r.Data.Shunts[k])))
	}
}

// reduced are the outputs less their zeros by line, of the bridges whose fit goes
// through single readings; nil for the others.
func (b *book) reduced() []map[int]float64 {
	out := make([]map[int]float64, len(b.r.Data.Bridges))
	for i := range b.r.Bridges {
		br := &b.r.Bridges[i]
		for _, f := range br.Fitted {
			if f.Line == 0 { // the mean of a step
				continue
			}
			if out[br.Index] == nil {
				out[br.Index] = map[int]float64{}
			}
			out[br.Index][f.Line] = f.Output
		}
	}
	return out
}

func (b *book) reading(r *calibration.Reading, bridges []int, reduced []map[int]float64, p present) layout.Row {
	d := b.r.Data
	cells := []string{strconv.Itoa(r.Line), strconv.Itoa(r.Run), layout.Dash, r.Stepping.String()}
	if d.Positions {
		cells[2] = number(r.Position, 5) + "°"
		if r.Position == math.Trunc(r.Position) {
			cells[2] = layout.Fixed(r.Position, 0) + "°"
		}
	}
	if p.mounting {
		cells = append(cells, strconv.Itoa(r.Mounting))
	}
	for j, c := range d.Components {
		if d.HasLoad[j] {
			cells = append(cells, b.bareLoad(r.Loads[j], c))
		}
	}
	for _, i := range bridges {
		cells = append(cells, b.output(r.Outputs[i]))
		if reduced[i] != nil {
			v, ok := reduced[i][r.Line]
			if !ok {
				v = math.NaN()
			}
			cells = append(cells, b.output(v))
		}
	}
	if p.temperature {
		s := layout.Dash
		if !math.IsNaN(r.Kelvin) {
			s = b.w.Fixed(r.Kelvin, quantity.Temperature, 2)
		}
		cells = append(cells, s)
	}
	if p.time {
		s := layout.Dash
		if !math.IsNaN(r.Time) {
			s = layout.Fixed(r.Time, 1)
		}
		cells = append(cells, s)
	}
	if p.shunt {
		s := ""
		if r.Shunt >= 0 {
			s = strconv.Itoa(r.Shunt + 1)
		}
		cells = append(cells, s)
	}
	row := layout.Row{}
	if len(b.off) > 0 {
		s := ""
		if b.off[r.Line] {
			s, row.Bold = "yes", true
		}
		cells = append(cells, s)
	}
	row.Cells = cells
	return row
}

// outliers are named, for they were not left out.
func (b *book) outliers() {
	b.Heading("Outliers", 10)
	list := b.r.Outliers
	if len(list) == 0 {
		b.Paragraph("None: no reading lies farther off the fits or the matrix than the others lead one to expect (studentised residuals, 5 % for a whole fit).", 8, drawing.Regular)
		return
	}
	t := layout.NewTable(layout.Number("line"), layout.Text("bridge"), layout.Label("off the"), layout.Number("residual, mV/V"), layout.Number("studentised"), layout.Number("limit"))
	head, tail := abridged(len(list), mostNotes)
	for i, o := range list {
		if i >= head && i < tail {
			continue
		}
		of := "fit"
		if o.Matrix {
			of = "matrix"
		}
		t.Add(strconv.Itoa(o.Line), o.Bridge, of, milli(o.Residual, 4), studentised(o.Studentised), layout.Fixed(o.Limit, 2))
	}
	b.Table(t)
	s := "Each lies farther off than the other readings lead one to expect (5 % for a whole fit). They were not left out: find out why, then decide."
	if head < len(list) {
		s += fmt.Sprintf(" The first %d and the last %d of %d.", head, len(list)-tail, len(list))
	}
	b.Note(s)
}

// studentised residuals beyond a million mean that the others leave nothing.
func studentised(v float64) string {
	if math.Abs(v) > 1e6 {
		if v < 0 {
			return "< −1000000"
		}
		return "> 1000000"
	}
	return layout.Fixed(v, 2)
}

// leftOut are the notes of the evaluation.
func (b *book) leftOut() {
	b.Heading("What was left out, and how the data were taken", 10)
	if len(b.r.Notes) == 0 {
		b.Paragraph("Nothing was left out.", 8, drawing.Regular)
	}
	head, tail := abridged(len(b.r.Notes), mostNotes)
	for i, n := range b.r.Notes {
		if i >= head && i < tail {
			continue
		}
		b.Paragraph("– "+sentence(n), 8, drawing.Regular)
	}
	if head < len(b.r.Notes) {
		b.Note(fmt.Sprintf("The first %d and the last %d of %d notes.", head, len(b.r.Notes)-tail, len(b.r.Notes)))
	}
}

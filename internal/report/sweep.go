package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/variant"
)

// SweepFormat is how the rows of a sweep are written.
type SweepFormat string

const (
	CSV       SweepFormat = "csv"   // a header, then a line for each variant
	JSONLines SweepFormat = "jsonl" // an object a line
	JSONWhole SweepFormat = "json"  // one document
)

// SweepWriter writes the rows of a sweep as they come.
type SweepWriter struct {
	Failed int // rows that were no design, so far

	w       io.Writer
	format  SweepFormat
	names   []string
	scale   []float64
	checked bool
	rows    int
	csv     *csv.Writer
}

// SweptColumn is a column of a sweep in JSON.
type SweptColumn struct {
	Name  string `json:"name"` // as in the rows
	Unit  string `json:"unit"`
	About string `json:"about"`
}

// NewSweepWriter begins the output of a sweep.
func NewSweepWriter(w io.Writer, s *variant.Sweep, format SweepFormat, sys quantity.System, digest string) (*SweepWriter, error) {
	out := &SweepWriter{w: w, format: format, checked: s.Check}
	var columns []SweptColumn
	for _, a := range s.Axes {
		columns = append(columns, SweptColumn{a.Header(), a.Unit, "varied"})
	}
	for _, f := range s.Figures {
		unit := f.Unit(sys)
		name := f.Key
		if unit != "" {
			name += " [" + unit + "]"
		}
		columns = append(columns, SweptColumn{name, unit, f.About})
		out.scale = append(out.scale, f.Scale(sys))
	}
	if s.Check {
		columns = append(columns, SweptColumn{"verdict", "", "pass or fail, as of check"}, SweptColumn{"worst finding", "", "the gravest fail or warning"})
	}
	columns = append(columns, SweptColumn{"error", "", "why the variant is no design"})
	for _, c := range columns {
		out.names = append(out.names, c.Name)
	}
	switch format {
	case CSV:
		out.csv = csv.NewWriter(w)
		err := out.csv.Write(out.names)
		out.csv.Flush()
		return out, err
	case JSONWhole:
		head := []struct {
			key   string
			value any
		}{{"gridwright", 1}, {"title", s.Base.Design.Title}, {"program", "gridwright " + dossier.Version}, {"input_sha256", digest}, {"columns", columns}}
		io.WriteString(w, "{")
		for i, h := range head {
			if i > 0 {
				io.WriteString(w, ",")
			}
			fmt.Fprintf(w, "\n  %q: %s", h.key, compact(h.value))
		}
		_, err := io.WriteString(w, ",\n  \"rows\": [")
		return out, err
	}
	return out, nil
}

// compact is v as JSON in one line, < > & as they are.
func compact(v any) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic(err) // strings and finite numbers
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n"))
}

// Row writes one variant.
func (o *SweepWriter) Row(r variant.Row) error {
	if r.Err != nil {
		o.Failed++
	}
	o.rows++
	if o.format == CSV {
		if err := o.csv.Write(o.cells(r)); err != nil {
			return err
		}
		o.csv.Flush()
		return o.csv.Error()
	}
	line := []byte("{")
	add := func(i int, v any) {
		if i > 0 {
			line = append(line, ", "...)
		}
		line = append(append(append(line, compact(o.names[i])...), ": "...), compact(v)...)
	}
	k := 0
	for _, x := range r.At {
		add(k, x)
		k++
	}
	for i := range o.scale {
		var v *float64
		if r.Err == nil {
			v = ratio(r.Figures[i], o.scale[i])
		}
		add(k, v)
		k++
	}
	if o.checked {
		var verdict, worst *string
		if r.Err == nil {
			words := verdictOf(r)
			verdict = &words
			if r.Worst != "" {
				worst = &r.Worst
			}
		}
		add(k, verdict)
		add(k+1, worst)
		k += 2
	}
	var why *string
	if r.Err != nil {
		s := r.Err.Error()
		why = &s
	}
	add(k, why)
	line = append(line, '}')
	switch {
	case o.format == JSONLines:
		line = append(line, '\n')
	case o.rows == 1:
		line = append([]byte("\n    "), line...)
	default:
		line = append([]byte(",\n    "), line...)
	}
	_, err := o.w.Write(line)
	return err
}

func verdictOf(r variant.Row) string {
	if r.Pass {
		return "pass"
	}
	return "fail"
}

func (o *SweepWriter) cells(r variant.Row) []string {
	var cells []string
	for _, x := range r.At {
		cells = append(cells, strconv.FormatFloat(x, 'g', -1, 64))
	}
	for i := range o.scale {
		cell := ""
		if r.Err == nil {
			if v := ratio(r.Figures[i], o.scale[i]); v != nil {
				cell = strconv.FormatFloat(*v, 'g', -1, 64)
			}
		}
		cells = append(cells, cell)
	}
	if o.checked {
		if r.Err != nil {
			cells = append(cells, "", "")
		} else {
			cells = append(cells, verdictOf(r), r.Worst)
		}
	}
	if r.Err != nil {
		return append(cells, r.Err.Error())
	}
	return append(cells, "")
}

// End writes what follows the last row.
func (o *SweepWriter) End() error {
	switch o.format {
	case CSV:
		o.csv.Flush()
		return o.csv.Error()
	case JSONWhole:
		_, err := fmt.Fprintf(o.w, "\n  ],\n  \"variants\": %d,\n  \"failed\": %d\n}\n", o.rows, o.Failed)
		return err
	}
	return nil
}

// SweptValue is a figure as a sweep publishes it, nil where there is none.
func SweptValue(f predict.Figure, scale float64) *float64 { return ratio(f, scale) }

package worksheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
)

// WriteCSV writes the plan as CSV, loads in the report units of its options.
func (p *Plan) WriteCSV(w io.Writer) error {
	d, sys := p.Dossier, p.Options.Sys
	if _, err := fmt.Fprintf(w, "# calibration plan of %s\n# gridwright %s, input sha256 %s\n", oneLine(d.Design.Title), dossier.Version, d.Digest); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	temperature := quantity.Temperature.Unit(sys)
	head := []string{"run", "position", "stepping"}
	for _, comp := range d.Result.Model.Components {
		head = append(head, fmt.Sprintf("%v [%s]", comp, comp.Kind().Unit(sys)))
	}
	for _, b := range d.Result.Bridges {
		head = append(head, b.Name+" [mV/V]")
	}
	head = append(head, "temperature ["+temperature+"]", "mounting", "shunt")
	for _, b := range d.Result.Bridges {
		head = append(head, "expected "+b.Name+" [mV/V]", "interval "+b.Name+" [mV/V]")
	}
	if err := c.Write(head); err != nil {
		return err
	}
	for _, r := range p.Rows {
		if r.Remark != "" {
			c.Flush()
			if _, err := fmt.Fprintf(w, "# %s\n", oneLine(r.Remark)); err != nil {
				return err
			}
			continue
		}
		cells := []string{strconv.Itoa(r.Run), strconv.FormatFloat(r.Position, 'g', -1, 64), r.Stepping}
		for j, load := range r.Loads {
			kind := p.Component(j).Kind()
			x, err := quantity.Convert(load, kind, kind.Unit(sys))
			if err != nil {
				return fmt.Errorf("run %d: %v", r.Run, err)
			}
			cells = append(cells, rounded(x))
		}
		for range d.Result.Bridges {
			cells = append(cells, "")
		}
		cells = append(cells, "", strconv.Itoa(r.Mounting), p.shunt(r.Shunt))
		for b := range d.Result.Bridges {
			cells = append(cells, decimals(r.Expected[b]*1e3), decimals(r.Interval[b]*1e3))
		}
		if err := c.Write(cells); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// shunt in words as the reader of the filled plan takes it.
func (p *Plan) shunt(k int) string {
	if k < 0 {
		return ""
	}
	sh := p.Dossier.Design.Shunts[k]
	unit := "Ω"
	if sh.Resistor.SI >= 1e4 {
		unit = "kΩ"
	}
	ohms, err := quantity.Convert(sh.Resistor.SI, quantity.Resistance, unit)
	if err != nil {
		return ""
	}
	s := fmt.Sprintf("%s %s across arm %d", rounded(ohms), unit, sh.Arm)
	if sh.AtInstrument {
		s += " at the instrument"
	}
	return s
}

// rounded is a load to nine digits: what rounding of units leaves is no load.
func rounded(x float64) string {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	if err != nil || y == 0 {
		return "0"
	}
	return strconv.FormatFloat(y, 'f', -1, 64)
}

// decimals prints mV/V to 1 nV/V, blank where there is no number.
func decimals(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	s := strconv.FormatFloat(x, 'f', 6, 64)
	if strings.Trim(s, "-0.") == "" {
		return "0"
	}
	return s
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

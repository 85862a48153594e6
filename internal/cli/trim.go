package cli

import (
	"bytes"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/report"
	"gridwright/internal/trim"
)

// trimFlags are the flags of trim as they are written.
type trimFlags struct {
	bridge, zero, output, input, material, tcr, wire, hand, series, tolerance, resistorTCR string
	zeroAt, spanAt                                                                         []string
}

func (e *env) trimCommand() *cobra.Command {
	var f trimFlags
	c := &cobra.Command{
		Use:   "trim DESIGN",
		Short: "Resistors for zero balance, zero and span drift, span and input resistance",
		Long: `Size the resistors that take zero balance, drift of zero and drift of span out
of each bridge, and that set output and input resistance: exactly, as they can
be bought or cut, and what then remains by the resistor network.

Without measured values the predicted ones are used; the output says which.
Measured values are those at the instrument before any resistor is fitted, with
the leads of the design. Zero is V/E at no load, span is V/E at rated load minus
V/E at no load. --zero is at the reference temperature and wins there over
--zero-at, which then gives the drift alone.

  gridwright trim tube.yaml --bridge T --zero '0.12 mV/V' \
    --zero-at '0 °C=0.10 mV/V' --zero-at '50 °C=0.15 mV/V' \
    --span-at '0 °C=0.94 mV/V' --span-at '50 °C=0.96 mV/V'

Exit status: 0 done; 2 bad input, nothing placed, or a target out of reach.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			o, err := f.options()
			if err != nil {
				return err
			}
			d, err := e.nominal(args[0])
			if err != nil {
				return err
			}
			list, err := f.bridges(d.Result)
			if err != nil {
				return err
			}
			var plans []*trim.Plan
			for _, b := range list {
				p, err := trim.Of(d.Result, b, o)
				if err != nil {
					return inputf("%s: bridge %s: %v", args[0], d.Result.Bridges[b].Name, err)
				}
				plans = append(plans, p)
			}
			if e.json {
				return e.result(report.TrimmedOf(d, plans), d.Digest)
			}
			var b bytes.Buffer
			e.text(&b).Trim(d, plans)
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	s := c.Flags()
	s.StringVar(&f.bridge, "bridge", "", "the bridge to trim; all of them without measured values or targets")
	s.StringVar(&f.zero, "zero", "", "measured zero at the reference temperature, such as '0.12 mV/V'")
	s.StringArrayVar(&f.zeroAt, "zero-at", nil, "measured zero at a temperature, such as '60 °C=0.15 mV/V'; twice")
	s.StringArrayVar(&f.spanAt, "span-at", nil, "measured span at a temperature, such as '60 °C=0.96 mV/V'; twice")
	s.StringVar(&f.output, "target-output", "", "wanted output at rated load, such as '0.9 mV/V'")
	s.StringVar(&f.input, "target-input-resistance", "", "wanted input resistance, such as '385 Ω'")
	s.StringVar(&f.material, "material", "copper", "wire of zero-drift and span resistor: "+strings.Join(trim.WireNames(), ", "))
	s.StringVar(&f.tcr, "tcr", "", "temperature coefficient of that wire at 20 °C, such as '4500 ppm/K ± 2 %'")
	s.StringVar(&f.wire, "wire-resistance", "", "resistance per length of that wire at 20 °C, such as '2.2 Ω/m ± 1 %'")
	s.StringVar(&f.hand, "span-resistor", "", "a span resistor at hand, both halves, to be shunted to fit")
	s.StringVar(&f.series, "series", "E96", "series of preferred values: E96 or E192")
	s.StringVar(&f.tolerance, "resistor-tolerance", "", "tolerance of bought resistors, such as '0.1 %'; default that of the series")
	s.StringVar(&f.resistorTCR, "resistor-tcr", "", "limit of their temperature coefficient, such as '25 ppm/K'")
	return c
}

// bridges are the indexes of the bridges to trim.
func (f *trimFlags) bridges(r *predict.Result) ([]int, error) {
	var all []int
	var names []string
	for i := range r.Bridges {
		if r.Bridges[i].Name == f.bridge {
			return []int{i}, nil
		}
		all, names = append(all, i), append(names, r.Bridges[i].Name)
	}
	if f.bridge != "" {
		return nil, inputf("--bridge %s: no bridge of that name; the design has %s", f.bridge, strings.Join(names, ", "))
	}
	one := f.zero != "" || len(f.zeroAt) > 0 || len(f.spanAt) > 0 || f.output != "" || f.input != "" || f.hand != ""
	if one && len(all) > 1 {
		return nil, inputf("measured values and targets belong to one bridge; say which with --bridge (%s)", strings.Join(names, ", "))
	}
	return all, nil
}

// options reads the flags.
func (f *trimFlags) options() (trim.Options, error) {
	var o trim.Options
	var failed error
	read := func(flag, text string, k quantity.Kind) (quantity.Value, bool) {
		if text == "" || failed != nil {
			return quantity.Value{}, false
		}
		v, err := quantity.Parse(text, k)
		if err != nil {
			failed = inputf("--%s %q: %v", flag, text, err)
		}
		return v, failed == nil
	}
	exact := func(flag, text string, k quantity.Kind) (float64, bool) {
		v, ok := read(flag, text, k)
		if ok && v.Tolerance != 0 {
			failed = inputf("--%s %q: a tolerance is not used here; write the value alone", flag, text)
		}
		return v.SI, ok && failed == nil
	}
	target := func(flag, text string, k quantity.Kind) *float64 {
		if v, ok := exact(flag, text, k); ok {
			return &v
		}
		return nil
	}
	at := func(flag string, list []string) []trim.Measurement {
		var out []trim.Measurement
		for _, text := range list {
			when, value, ok := strings.Cut(text, "=")
			if !ok {
				failed = inputf("--%s %q: no = between temperature and value; write --%s '60 °C=0.15 mV/V'", flag, text, flag)
				return nil
			}
			var m trim.Measurement
			m.Kelvin, _ = exact(flag, when, quantity.Temperature)
			m.Output, ok = exact(flag, value, quantity.VoltageRatio)
			if failed == nil && !ok || strings.TrimSpace(when) == "" {
				failed = inputf("--%s %q: a temperature and a value are needed; write --%s '60 °C=0.15 mV/V'", flag, text, flag)
			}
			out = append(out, m)
		}
		return out
	}
	o.Zero = target("zero", f.zero, quantity.VoltageRatio)
	o.ZeroAt, o.SpanAt = at("zero-at", f.zeroAt), at("span-at", f.spanAt)
	o.TargetOutput = target("target-output", f.output, quantity.VoltageRatio)
	o.TargetInput = target("target-input-resistance", f.input, quantity.Resistance)
	o.Material = f.material
	o.TCR, _ = read("tcr", f.tcr, quantity.PerKelvin)
	o.ResistorTCR, _ = exact("resistor-tcr", f.resistorTCR, quantity.PerKelvin)
	o.ResistorTolerance, _ = exact("resistor-tolerance", f.tolerance, quantity.Ratio)
	o.SpanResistor, _ = exact("span-resistor", f.hand, quantity.Resistance)
	if failed == nil && f.wire != "" {
		o.WireResistance, failed = perLength(f.wire)
	}
	if failed == nil {
		switch f.series {
		case "E96":
			o.Series = trim.E96
		case "E192":
			o.Series = trim.E192
		default:
			failed = inputf("--series %s is not known; write --series E96 or --series E192", f.series)
		}
	}
	for _, v := range []struct {
		flag, text string
		value      float64
	}{{"tcr", f.tcr, o.TCR.SI}, {"wire-resistance", f.wire, o.WireResistance.SI}, {"span-resistor", f.hand, o.SpanResistor},
		{"resistor-tolerance", f.tolerance, o.ResistorTolerance}, {"resistor-tcr", f.resistorTCR, o.ResistorTCR}} {
		if failed == nil && v.text != "" && !(v.value > 0) {
			failed = inputf("--%s %q: it must be more than zero", v.flag, v.text)
		}
	}
	return o, failed
}

// perLength reads a resistance per length, Ω/m: a resistance, and after each of its
// solidi the unit of length.
func perLength(text string) (quantity.Value, error) {
	wrong := func(why string) error {
		return inputf("--wire-resistance %q: %s; write a resistance per length such as '2.2 Ω/m ± 1 %%'", text, why)
	}
	head, tail, ok := strings.Cut(text, "/")
	tail = strings.TrimLeft(tail, " ")
	end := strings.IndexAny(tail, " ±+(")
	if end < 0 {
		end = len(tail)
	}
	unit := tail[:end]
	if !ok || unit == "" {
		return quantity.Value{}, wrong("no length after a /")
	}
	length, err := quantity.Parse("1 "+unit, quantity.Length)
	if err != nil {
		return quantity.Value{}, wrong(err.Error())
	}
	v, err := quantity.Parse(head+strings.ReplaceAll(tail[end:], "/"+unit, ""), quantity.Resistance)
	if err != nil {
		return quantity.Value{}, wrong(err.Error())
	}
	v.SI, v.Tolerance, v.Text = v.SI/length.SI, v.Tolerance/length.SI, text
	return v, nil
}

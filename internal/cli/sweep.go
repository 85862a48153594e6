package cli

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/report"
	"gridwright/internal/uncertainty"
	"gridwright/internal/variant"
)

// mostVariants bounds a sweep.
const mostVariants = 1_000_000

// sweepFlags are the flags of sweep as they are written.
type sweepFlags struct {
	vary, figures                    []string
	list, format, out, plot, spacing string
	judge                            bool
	o                                uncertainty.Options
}

func (e *env) sweepCommand() *cobra.Command {
	var f sweepFlags
	c := &cobra.Command{
		Use:   "sweep DESIGN --vary PATH=FROM:TO:COUNT",
		Short: "One row of figures for each variant of a design, as CSV, JSON lines or a plot",
		Long: `Change one or two values of the design over a range, or as many as a list has
columns, and predict each variant. PATH is that of errors and budgets, such as
part.section.inside-diameter, loads.torque.rated, gauges.R.gauge-factor,
placements.A.around, bridges.By.arms[2], temperature.range[1]; FROM and TO are
written with their unit, COUNT includes both. Two --vary make a grid, the
second running fastest.

  gridwright sweep tube.yaml --vary 'part.section.inside-diameter=30 mm:55 mm:26'
  gridwright sweep tube.yaml --list variants.csv --figure T.rated-output,yield-factor

The header of a list holds paths with units, as in part.section.inside-diameter
[mm]; a row is a variant.

The tolerance of a value stays as it is written: an absolute one keeps its size,
one in % follows the value. Uncertainty is of first order, with --trials by Monte
Carlo. A variant that is no design is a row that says why in the column error; a
figure that cannot be computed is an empty cell, and predict says why.

Exit status: 0 done, whatever the rows say; 2 bad input; 3 could not write;
130 interrupted, and then no file is written.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error { return e.sweep(args[0], &f) },
	}
	s := c.Flags()
	s.StringArrayVar(&f.vary, "vary", nil, "PATH=FROM:TO:COUNT, once or twice")
	s.StringVar(&f.list, "list", "", "a CSV `file` with a variant in each row")
	s.StringSliceVar(&f.figures, "figure", nil, "figures to give, by key; default the usual ones")
	s.StringVar(&f.format, "format", "csv", "csv or jsonl")
	s.StringVarP(&f.out, "output", "o", "", "the `file` to write instead of standard output")
	s.StringVar(&f.plot, "plot", "", "also plot the figures of --figure into this .svg or .pdf `file`")
	s.StringVar(&f.spacing, "spacing", "even", "steps between FROM and TO: even, or log for equal ratios")
	s.BoolVar(&f.judge, "check", false, "add the verdict of check and its worst finding")
	e.trialFlags(c, &f.o, 0)
	return c
}

func (e *env) sweep(name string, f *sweepFlags) error {
	if err := validTrials(f.o.Trials); err != nil {
		return err
	}
	format := report.SweepFormat(f.format)
	switch {
	case format != report.CSV && format != report.JSONLines:
		return inputf("--format %s is not known; write --format csv or --format jsonl", f.format)
	case e.json && f.out != "":
		return inputf("--json prints on standard output; leave out -o, or write --format jsonl -o FILE")
	case e.json:
		format = report.JSONWhole
	case f.spacing != "even" && f.spacing != "log":
		return inputf("--spacing %s is not known; write --spacing even or --spacing log", f.spacing)
	}
	s, digest, err := e.toSweep(name, f)
	if err != nil {
		return err
	}
	inputs := []string{name}
	if f.list != "" {
		inputs = append(inputs, f.list)
	}
	out := f.out
	if out == "" {
		out = "-"
	}
	if err := e.refuse(out, inputs); err != nil {
		return err
	}
	curve, err := e.sweepPlot(f, s, inputs)
	if err != nil {
		return err
	}
	failed := 0
	err = e.stream(out, inputs, func(w io.Writer) error {
		if failed, err = e.sweepRows(w, s, format, digest, curve); err != nil || curve == nil {
			return err
		}
		drawn, err := variant.Plot(f.plot, s.Base.Design.Title, curve.panels())
		if err != nil {
			return fmt.Errorf("the plot: %w", err)
		}
		return e.output(f.plot, inputs, drawn) // before the rows get their name: both files or none
	})
	if err != nil {
		return err
	}
	if failed > 0 {
		e.note("gridwright: %d of %d variants are no design; the column error says why", failed, s.Len())
	}
	return nil
}

// toSweep reads the design and what is to be varied.
func (e *env) toSweep(name string, f *sweepFlags) (*variant.Sweep, string, error) {
	base, err := e.base(name)
	if err != nil {
		return nil, "", err
	}
	s := &variant.Sweep{Base: base, Trials: f.o.Trials, Seed: f.o.Seed, Check: f.judge}
	switch {
	case f.list != "" && len(f.vary) > 0:
		return nil, "", inputf("--list and --vary both say what to vary; write one of them")
	case f.list != "":
		if name == "-" && f.list == "-" {
			return nil, "", inputf("design and list are both standard input; name a file for one of them")
		}
		if err := e.readList(f.list, s); err != nil {
			return nil, "", err
		}
	case len(f.vary) == 0:
		return nil, "", inputf("nothing to vary; write --vary PATH=FROM:TO:COUNT, or --list FILE")
	case len(f.vary) > 2:
		return nil, "", inputf("%d times --vary; a grid has one or two, a --list any number", len(f.vary))
	}
	n := 1
	for _, spec := range f.vary {
		a, err := base.Axis(spec, true)
		if err != nil {
			return nil, "", inputf("%v", err)
		}
		for _, other := range s.Axes {
			if other.Value == a.Value {
				return nil, "", inputf("--vary %q: %s is varied already; name another path", spec, a.Value.Path)
			}
		}
		if a.Log = f.spacing == "log"; a.Log && !(a.From > 0 && a.To > 0) {
			return nil, "", inputf("--vary %q: steps of equal ratio need both ends above zero; write --spacing even", spec)
		}
		if a.Count > mostVariants || n*a.Count > mostVariants {
			return nil, "", inputf("--vary %q: more than %d variants; write a smaller count", spec, mostVariants)
		}
		n *= a.Count
		s.Axes = append(s.Axes, a)
	}
	all := variant.Figures(base.Design)
	s.Figures = variant.Usual(all)
	if len(f.figures) > 0 {
		if s.Figures, err = variant.Choose(all, f.figures); err != nil {
			return nil, "", inputf("--figure: %v", err)
		}
	}
	if _, trials := variant.Propagation(s.Figures); trials && f.o.Trials == 0 {
		return nil, "", inputf("--figure: the 95 %% values of crosstalk need Monte Carlo; write --trials 20000 or more too")
	}
	return s, digest(base.Text), nil
}

// base reads a design whose values are to be varied.
func (e *env) base(name string) (*variant.Base, error) {
	text, err := e.read(name)
	if err != nil {
		return nil, err
	}
	base, err := variant.Read(name, text)
	if err != nil {
		return nil, err
	}
	return base, needsBridges(name, base.Design)
}

// sweepRows writes the rows; in whole lines, so that an interrupted sweep ends at one.
func (e *env) sweepRows(to io.Writer, s *variant.Sweep, format report.SweepFormat, digest string, curve *sweepCurve) (int, error) {
	var b bytes.Buffer
	send := func(most int) error {
		if b.Len() < most {
			return nil
		}
		_, err := to.Write(b.Bytes())
		b.Reset()
		return err
	}
	sys := quantity.SI
	if e.units == "us" {
		sys = quantity.US
	}
	w, err := report.NewSweepWriter(&b, s, format, sys, digest)
	if err != nil {
		return 0, err
	}
	progress := e.progress("variants")
	defer e.endProgress()
	total := s.Len()
	var first []predict.Figure
	moved := total == 1
	err = s.Each(e.ctx, func(i int, r variant.Row) error {
		if err := w.Row(r); err != nil {
			return err
		}
		if first == nil {
			first = r.Figures
		}
		moved = moved || !slices.Equal(r.Figures, first)
		curve.add(i, r)
		if progress != nil {
			progress(i+1, total)
		}
		return send(1 << 16)
	})
	if err != nil {
		return w.Failed, err
	}
	if err := w.End(); err != nil {
		return w.Failed, err
	}
	if !moved {
		e.note("gridwright: no figure changed over all %d variants: none depends on what was varied, or a measured value stands before it", total)
	}
	return w.Failed, send(0)
}

package cli

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"

	"github.com/spf13/cobra"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
	"gridwright/internal/report"
	"gridwright/internal/sizing"
	"gridwright/internal/uncertainty"
	"gridwright/internal/variant"
)

// sizeFlags are the flags of size as they are written.
type sizeFlags struct {
	vary, steps, stiffness           []string
	output, strain, yield, frequency string
	out, plot                        string
	o                                uncertainty.Options
}

func (e *env) sizeCommand() *cobra.Command {
	var f sizeFlags
	c := &cobra.Command{
		Use:   "size DESIGN --vary PATH=FROM:TO",
		Short: "The dimension, or the two, that reach output, strength, stiffness",
		Long: `Find where a value of the design, or two, meet everything that is required: what
the file requires of every bridge, what the gauges bear, no yielding at
overload, and what the options ask for, which replace the file's.

  gridwright size tube.yaml --vary 'part.section.inside-diameter=30 mm:55 mm' \
    --output '0.8 mV/V' --yield-factor 3 --step '0.5 mm' -o sized.yaml

Of the multiples of --step that meet everything the one is chosen whose tightest
requirement has the greatest factor to spare; requirements that the value does not
move do not count there. The whole range that is met is given with what ends it;
where no value can, what blocks and how near one comes. What is narrower than a
128th of the range (a 32nd of two) and shows in no summit there may be missed.
-o writes the design with the value set, every other byte as it was; the tolerance
stays as it is written. The design is read anew and checked.

Exit status: 0 a value meets everything; 1 none does; 2 bad input; 3 could not
write; 130 interrupted.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error { return e.size(args[0], &f) },
	}
	s := c.Flags()
	s.StringArrayVar(&f.vary, "vary", nil, "PATH=FROM:TO, once or twice")
	s.StringArrayVar(&f.steps, "step", nil, "step to choose from, such as '0.5 mm'; for each --vary in turn")
	s.StringVar(&f.output, "output", "", "rated output of every bridge, at least, such as '1.5 mV/V'")
	s.StringVar(&f.yield, "yield-factor", "", "yield strength over stress, at least")
	s.StringVar(&f.strain, "strain", "", "strain of every grid at rated loads, at most, such as '1200 µε'")
	s.StringArrayVar(&f.stiffness, "stiffness", nil, "at least, of torsion ('5e5 N·m/rad') or axial ('2 kN/µm')")
	s.StringVar(&f.frequency, "frequency", "", "torsional natural frequency, at least, such as '120 Hz'")
	s.StringVarP(&f.out, "output-file", "o", "", "write the design with the chosen value to this `file`")
	s.StringVar(&f.plot, "plot", "", "plot the requirements into this .svg or .pdf `file`")
	e.trialFlags(c, &f.o, 20_000)
	return c
}

func (e *env) size(name string, f *sizeFlags) error {
	if err := validTrials(f.o.Trials); err != nil {
		return err
	}
	if f.out == "-" && e.json {
		return inputf("--json and -o - both want standard output; write -o to a file")
	}
	p, err := e.toSize(name, f)
	if err != nil {
		return err
	}
	for _, out := range []string{f.out, f.plot} {
		if out == "" {
			continue
		}
		if err := e.refuse(out, []string{name}); err != nil {
			return err
		}
	}
	if f.plot != "" {
		if err := variant.PlotName(f.plot); err != nil {
			return inputf("--plot: %v", err)
		}
		if f.out != "" && filepath.Clean(f.out) == filepath.Clean(f.plot) {
			return inputf("-o and --plot both name %s; write to two files", f.plot)
		}
	}
	p.Progress = e.progress("variants")
	o, err := sizing.Solve(e.ctx, p)
	e.endProgress()
	if err != nil {
		if e.ctx.Err() != nil {
			return e.ctx.Err()
		}
		return inputf("%s: %v", name, err)
	}
	s := &report.Sizing{Problem: p, Outcome: o, Digest: digest(p.Base.Text)}
	text, err := e.recheck(name, s)
	if err != nil {
		return err
	}
	return e.writeSize(name, f, s, text)
}

// toSize reads the design, the ranges and what is asked for.
func (e *env) toSize(name string, f *sizeFlags) (*sizing.Problem, error) {
	base, err := e.base(name)
	if err != nil {
		return nil, err
	}
	p := &sizing.Problem{Base: base, Trials: f.o.Trials, Seed: f.o.Seed}
	switch {
	case len(f.vary) == 0:
		return nil, inputf("nothing to vary; write --vary PATH=FROM:TO, such as part.section.outside-diameter='50 mm:70 mm'")
	case len(f.vary) > 2:
		return nil, inputf("%d times --vary; one or two values can be sized", len(f.vary))
	case len(f.steps) > len(f.vary):
		return nil, inputf("%d times --step for %d times --vary; write at most one for each", len(f.steps), len(f.vary))
	}
	for i, spec := range f.vary {
		a, err := base.Axis(spec, false)
		if err != nil {
			return nil, inputf("%v", err)
		}
		if i == 1 && a.Value == p.Axes[0].Value {
			return nil, inputf("--vary %q: %s is varied already; name another path", spec, a.Value.Path)
		}
		step := sizing.EvenStep(a.From, a.To)
		if i < len(f.steps) {
			if step, err = a.Number(f.steps[i]); err != nil {
				return nil, inputf("--step %v", err)
			}
			if !(step > 0) || step > a.To-a.From {
				return nil, inputf("--step %q: a step is above zero and no longer than the range from %s to %s", f.steps[i], a.Show(a.From), a.Show(a.To))
			}
		}
		p.Axes, p.Steps = append(p.Axes, a), append(p.Steps, step)
	}
	asks, err := f.asks()
	if err != nil {
		return nil, err
	}
	if p.Requirements, err = sizing.Requirements(base.Design, asks); err != nil {
		return nil, err
	}
	if len(p.Requirements) == 0 {
		return nil, inputf("%s: nothing is required, so there is nothing to reach; write --output '1 mV/V', --yield-factor 3 or the like, or `require` into the file", name)
	}
	if q := &base.Design.Require; q.Crosstalk95.Set && f.o.Trials == 0 {
		return nil, inputf("%s: require.crosstalk-95 needs Monte Carlo; leave out --trials 0", name)
	}
	return p, nil
}

// asks reads the requirements among the flags.
func (f *sizeFlags) asks() ([]sizing.Ask, error) {
	var out []sizing.Ask
	read := func(flag, text string, kinds []quantity.Kind, keys ...string) error {
		var first error
		for i, k := range kinds {
			v, err := quantity.Parse(text, k)
			switch {
			case err != nil && first == nil:
				first = inputf("--%s %q: %v", flag, text, err)
			case err == nil && v.Tolerance != 0:
				return inputf("--%s %q: a limit has no tolerance; write the value alone", flag, text)
			case err == nil && !(v.SI > 0):
				return inputf("--%s %q: it must be more than zero", flag, text)
			case err == nil:
				for _, a := range out {
					if a.Key == keys[i] {
						return inputf("--%s %q: this is asked for twice; write it once", flag, text)
					}
				}
				out = append(out, sizing.Ask{Key: keys[i], Limit: v.SI, From: "--" + flag})
				return nil
			}
		}
		return first
	}
	for _, q := range []struct {
		flag, text string
		kind       quantity.Kind
		key        string
	}{
		{"output", f.output, quantity.VoltageRatio, "rated-output"}, {"yield-factor", f.yield, quantity.Number, "yield-factor"},
		{"strain", f.strain, quantity.Strain, "strain"}, {"frequency", f.frequency, quantity.Frequency, "natural-frequency"},
	} {
		if q.text == "" {
			continue
		}
		if err := read(q.flag, q.text, []quantity.Kind{q.kind}, q.key); err != nil {
			return nil, err
		}
	}
	for _, text := range f.stiffness {
		if err := read("stiffness", text, []quantity.Kind{quantity.TorsionalStiffness, quantity.AxialStiffness}, "torsional-stiffness", "axial-stiffness"); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// recheck writes the chosen value into the text, reads that as any command would, and
// checks it. What the search found must come out again.
func (e *env) recheck(name string, s *report.Sizing) ([]byte, error) {
	q := s.Outcome.Chosen
	if q == nil {
		q = s.Outcome.Best
	}
	if q == nil {
		return nil, nil
	}
	p := s.Problem
	var set []variant.Setting
	for i, a := range p.Axes {
		set = append(set, a.Put(q.X[i]))
	}
	text, err := p.Base.Write(set...)
	if err != nil {
		return nil, err
	}
	d, err := designfile.Read(name, text)
	if err != nil {
		panic(fmt.Sprintf("the chosen design does not read back: %v", err))
	}
	if d.Require.Crosstalk95.Set || d.Require.Uncertainty.Set {
		s.Checked, err = dossier.WithUncertainty(e.ctx, name, text, d, uncertainty.Options{Trials: judgedTrials, Seed: 1})
	} else {
		s.Checked, err = dossier.Of(name, text, d)
	}
	if err != nil {
		return nil, e.predictable(name, err)
	}
	again := variant.Prediction{Result: s.Checked.Result}
	for i, r := range p.Requirements {
		if r.Figure.Propagates {
			continue
		}
		if v := r.Figure.Of(&again); !v.OK() || math.Abs(v.Value-q.Values[i]) > 1e-9*math.Abs(v.Value) {
			panic(fmt.Sprintf("%s of the chosen design is %v when it is read back, and was %v", r.Figure.Key, v, q.Values[i]))
		}
	}
	return text, nil
}

// writeSize writes the report, the plot and the design.
func (e *env) writeSize(name string, f *sizeFlags, s *report.Sizing, text []byte) error {
	var b bytes.Buffer
	t := e.text(&b)
	if f.plot != "" {
		drawn, err := variant.Plot(f.plot, s.Problem.Base.Design.Title, t.SizePanels(s))
		if err != nil {
			return fmt.Errorf("the plot: %w", err)
		}
		if err := e.output(f.plot, []string{name}, drawn); err != nil {
			return err
		}
	}
	switch {
	case e.json:
		if err := report.JSON(&b, t.SizedOf(s)); err != nil {
			return err
		}
	case f.out != "-":
		t.Size(s)
	}
	if f.out != "" && text != nil {
		if err := e.output(f.out, []string{name}, text); err != nil {
			return err
		}
		if f.out != "-" {
			e.note("gridwright: wrote %s", f.out)
		}
	}
	if b.Len() > 0 {
		if _, err := e.out.Write(b.Bytes()); err != nil {
			return e.write(err)
		}
	}
	if s.Outcome.Best == nil {
		if f.out != "" {
			e.note("gridwright: nothing meets the requirements, so %s is not written", f.out)
		}
		return status(exitFail)
	}
	return nil
}

package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

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
	return s, digestOf(base.Text), nil
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

// maxList bounds a list, in bytes.
const maxList = 256 << 20

// readList reads the variants of a CSV file.
func (e *env) readList(name string, s *variant.Sweep) error {
	var r io.Reader = e.in
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return fileError{fmt.Errorf("cannot read the list: %w", plainPath(err))}
		}
		defer file.Close()
		r = file
	}
	text, err := io.ReadAll(io.LimitReader(r, maxList+1))
	switch {
	case err != nil:
		return fileError{fmt.Errorf("cannot read %s: %w", name, plainPath(err))}
	case len(text) > maxList:
		return inputf("%s: the list has more than %d bytes; split it", name, maxList)
	}
	lines := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	lines.TrimLeadingSpace, lines.Comment, lines.ReuseRecord = true, '#', true
	s.List = [][]float64{}
	for row := 0; ; row++ {
		cells, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return listError(name, err)
		}
		if row == 0 {
			if s.Axes, err = listHeader(name, s.Base, cells, lines); err != nil {
				return err
			}
			continue
		}
		if len(s.List) == mostVariants {
			return inputf("%s: more than %d variants; split the list", name, mostVariants)
		}
		at := make([]float64, len(cells))
		for i, cell := range cells {
			if at[i], err = listCell(s.Axes[i], cell); err != nil {
				line, column := lines.FieldPos(i)
				return inputf("%s:%d:%d: %s: %v", name, line, column, s.Axes[i].Value.Path, err)
			}
			a := s.Axes[i]
			if len(s.List) == 0 {
				a.From, a.To = at[i], at[i]
			}
			a.From, a.To = math.Min(a.From, at[i]), math.Max(a.To, at[i])
		}
		s.List = append(s.List, at)
	}
	if len(s.List) == 0 {
		return inputf("%s: the list has no variant; write a header such as `part.section.outside-diameter [mm]` and a row for each variant", name)
	}
	return nil
}

func listError(name string, err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		what := p.Err.Error()
		if errors.Is(p.Err, csv.ErrFieldCount) {
			what = "the row has not as many cells as the header; give each variant every value, with decimal points"
		}
		return inputf("%s:%d:%d: %s", name, p.Line, max(p.Column, 1), what)
	}
	return fileError{fmt.Errorf("cannot read %s: %w", name, err)}
}

// listHeader reads the paths and units of a list.
func listHeader(name string, b *variant.Base, cells []string, lines *csv.Reader) ([]*variant.Axis, error) {
	var axes []*variant.Axis
	for i, cell := range cells {
		line, column := lines.FieldPos(i)
		if len(cells) == 1 && strings.Contains(cell, ";") {
			return nil, inputf("%s:%d:%d: the cells are parted by semicolons; write commas, and decimal points in numbers", name, line, column)
		}
		path, unit := strings.TrimSpace(cell), ""
		if head, tail, ok := strings.Cut(cell, " ["); ok && strings.HasSuffix(strings.TrimSpace(tail), "]") {
			path, unit = strings.TrimSpace(head), strings.TrimSuffix(strings.TrimSpace(tail), "]")
		}
		a, err := b.Column(path, unit)
		if err != nil {
			if unit == "" {
				err = fmt.Errorf("%w (a unit stands in the header, as in `%s [mm]`)", err, path)
			}
			return nil, inputf("%s:%d:%d: %v", name, line, column, err)
		}
		if slices.ContainsFunc(axes, func(o *variant.Axis) bool { return o.Value == a.Value }) {
			return nil, inputf("%s:%d:%d: %s has a column already; leave one", name, line, column, path)
		}
		axes = append(axes, a)
	}
	return axes, nil
}

// listCell reads a number in the unit of its column.
func listCell(a *variant.Axis, cell string) (float64, error) {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return 0, errors.New("the cell is empty; write the value")
	}
	if strings.Contains(cell, "±") {
		return 0, errors.New("the tolerance stays as the file has it; write the value alone")
	}
	if x, err := a.Number(cell + " " + a.Unit); err == nil {
		return x, nil
	}
	return a.Number(cell)
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

// sweepCurve collects what is plotted: one number a variant and figure.
type sweepCurve struct {
	s     *variant.Sweep
	sys   quantity.System
	x     []float64
	y     [][]float64 // figure by figure
	scale []float64
}

// sweepPlot begins a plot; nil when none is wanted.
func (e *env) sweepPlot(f *sweepFlags, s *variant.Sweep, inputs []string) (*sweepCurve, error) {
	if f.plot == "" {
		return nil, nil
	}
	if err := variant.PlotName(f.plot); err != nil {
		return nil, inputf("--plot: %v", err)
	}
	if len(f.figures) == 0 {
		var keys []string
		for _, g := range variant.Figures(s.Base.Design) {
			keys = append(keys, g.Key)
		}
		return nil, inputf("--plot wants to know what to plot; write --figure KEY, one or more of: %s", strings.Join(keys, ", "))
	}
	if len(s.Figures) > mostPanels {
		return nil, inputf("--plot draws at most %d figures; name fewer with --figure", mostPanels)
	}
	if f.out != "" && f.out != "-" && filepath.Clean(f.out) == filepath.Clean(f.plot) {
		return nil, inputf("-o and --plot both name %s; write to two files", f.plot)
	}
	if err := e.refuse(f.plot, inputs); err != nil {
		return nil, err
	}
	c := &sweepCurve{s: s, y: make([][]float64, len(s.Figures))}
	if e.units == "us" {
		c.sys = quantity.US
	}
	for _, g := range s.Figures {
		c.scale = append(c.scale, g.Scale(c.sys))
	}
	return c, nil
}

const mostPanels = 6

func (c *sweepCurve) add(_ int, r variant.Row) {
	if c == nil {
		return
	}
	c.x = append(c.x, r.At[0])
	for k := range c.y {
		y := math.NaN()
		if r.Err == nil {
			if f := r.Figures[k]; f.OK() {
				y = predict.Some(f.Value * c.scale[k]).Value
			}
		}
		c.y[k] = append(c.y[k], y)
	}
}

// mostLines of a panel can be told apart.
const mostLines = 6

// panels are the plots of the figures against the first value, with a line for each of
// some of the second's.
func (c *sweepCurve) panels() []variant.Panel {
	first := c.s.Axes[0]
	var out []variant.Panel
	for k, g := range c.s.Figures {
		up := g.Key
		if unit := g.Unit(c.sys); unit != "" {
			up += ", " + unit
		}
		p := variant.Panel{Across: first.Header(), Up: up, Points: c.s.List != nil}
		if c.s.List != nil || len(c.s.Axes) == 1 {
			p.Lines = []variant.Line{{X: c.x, Y: c.y[k]}}
			out = append(out, p)
			continue
		}
		second := c.s.Axes[1]
		shown := min(second.Count, mostLines)
		for n := range shown {
			j := 0
			if shown > 1 {
				j = n * (second.Count - 1) / (shown - 1)
			}
			l := variant.Line{Name: strings.TrimSpace(fmt.Sprintf("%.5g %s", second.At(j), second.Unit))}
			if n == 0 {
				l.Name = second.Value.Path + " " + l.Name
			}
			for i := range first.Count {
				l.X, l.Y = append(l.X, first.At(i)), append(l.Y, c.y[k][i*second.Count+j])
			}
			p.Lines = append(p.Lines, l)
		}
		out = append(out, p)
	}
	return out
}

// digestOf is the SHA-256 of a text, hexadecimal.
func digestOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

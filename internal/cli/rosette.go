package cli

import (
	"bytes"
	"errors"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/model"
	"gridwright/internal/quantity"
	"gridwright/internal/report"
	"gridwright/internal/rosette"
)

func (e *env) rosetteCommand() *cobra.Command {
	var instrument float64
	var reading string
	c := &cobra.Command{
		Use:   "rosette DESIGN READINGS.csv",
		Short: "Principal strains and stresses from rosette readings, and the loads they imply",
		Long: `Reduce strain readings, one row a placement: columns placement, 1 [µε], 2 [µε],
3 [µε] (any unit of strain). Each reading is corrected with its own grid's
transverse sensitivity; principal strains, stresses and directions come with
standard uncertainties. Angles are from grid 1 toward grid 2, and from the part
axis. The readings of all rosettes together then give the loads of the design
that they imply, by least squares, where they can tell them apart.

--instrument is the gauge factor that the instrument was set to, for all grids;
without it each grid is taken as read with its own. --reading is the standard
uncertainty of a reading.

Exit status: 0 done; 2 bad input.`,
		Args: designAnd("READINGS.csv", "the readings"),
		RunE: func(_ *cobra.Command, args []string) error {
			u := quantity.Value{}
			if reading != "" {
				var err error
				if u, err = quantity.Parse(reading, quantity.Strain); err != nil {
					return inputf("--reading %s: %v", reading, err)
				}
				if u.SI < 0 {
					return inputf("--reading %s: an uncertainty is not negative", reading)
				}
			}
			if instrument < 0 {
				return inputf("--instrument %g: a gauge factor to set is positive", instrument)
			}
			if err := e.oneStandardInput(args); err != nil {
				return err
			}
			d, source, err := e.design(args[0])
			if err != nil {
				return err
			}
			text, err := e.read(args[1])
			if err != nil {
				return err
			}
			readings, notes, err := rosette.Read(bytes.NewReader(text), d)
			if err != nil {
				return dataError(args[1], err)
			}
			for _, n := range notes {
				e.note("gridwright: %s: %s", args[1], n)
			}
			m, err := model.Compile(d)
			if err != nil {
				return inputf("%s: %v", args[0], err)
			}
			s := m.NewState()
			if err := m.Set(m.Nominal, s); err != nil {
				return inputf("%s: %v", args[0], err)
			}
			out := report.Rosette{Model: m}
			mat := d.Part.Material
			for _, r := range readings {
				one := report.RosetteOne{Name: d.Placements[r.Placement].Name, Reading: r}
				grids := rosette.GridsOf(m, s, r.Placement, instrument)
				if one.Reduction, err = rosette.Reduce(grids, r.Strains, mat.Youngs.SI, mat.Poisson.SI); err != nil {
					one.Missing = err.Error()
				} else if one.Standard, err = rosette.Uncertainty(grids, r.Strains, mat.Youngs.SI, mat.Poisson.SI, rosette.TolerancesOf(d, r.Placement, u.SI)); err != nil {
					return inputf("%s: placement %s: %v", args[1], one.Name, err)
				}
				out.Rosettes = append(out.Rosettes, one)
			}
			if out.Implied, err = rosette.Loads(m, readings, rosette.Options{Instrument: instrument, Standard: u.SI}); err != nil {
				out.Missing = err.Error()
			}
			if e.json {
				return e.result(out.Published(d.Title), digest(source))
			}
			var b bytes.Buffer
			e.text(&b).Rosettes(&out)
			e.text(&b).Trace(digest(source))
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	c.Flags().Float64Var(&instrument, "instrument", 0, "gauge factor that the instrument was set to; 0: each grid's own")
	c.Flags().StringVar(&reading, "reading", "", "standard uncertainty of a reading, such as '2 µε'")
	return c
}

// designAnd is the argument check of commands that take a design and a data file.
func designAnd(name, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		switch len(args) {
		case 2:
			return nil
		case 0:
			return inputf("no design file; write its name, then %s", name)
		case 1:
			return inputf("no file with %s; write DESIGN %s", what, name)
		}
		return inputf("%d files given; this command takes DESIGN %s", len(args), name)
	}
}

// oneStandardInput refuses standard input for two files at once.
func (e *env) oneStandardInput(args []string) error {
	if len(args) == 2 && args[0] == "-" && args[1] == "-" {
		return inputf("both files are -, but there is one standard input; name one of them")
	}
	return nil
}

// dataError puts the file's name before every line of what is wrong with a data file.
func dataError(name string, err error) error {
	lines := strings.Split(strings.TrimSpace(err.Error()), "\n")
	for i := range lines {
		lines[i] = name + ": " + lines[i]
	}
	return inputError{errors.New(strings.Join(lines, "\n"))}
}

package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
	"gridwright/internal/worksheet"
)

func (e *env) worksheetCommand() *cobra.Command {
	var out string
	var w worksheet.Options
	var o uncertainty.Options
	c := &cobra.Command{
		Use:   "worksheet DESIGN",
		Short: "Calibration plan as CSV, to be filled in at the machine",
		Long: `Plan the calibration: for each load to be measured preloads, rising and falling
series at several mounting positions, then combined loads and shunts. Every row
says what each bridge should show, with its 95 % interval, and has a blank for
what it did show. ` + "`gridwright calibrate DESIGN FILE.csv`" + ` reads the filled file.

Exit status: 0 done; 2 bad input; 3 could not write.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			if e.units == "us" {
				w.Sys = quantity.US
			}
			d, err := e.propagated(args[0], &o)
			if err != nil {
				return err
			}
			plan, err := worksheet.Of(d, w)
			if err != nil {
				return inputf("%s: %v", args[0], err)
			}
			var b bytes.Buffer
			if err := plan.WriteCSV(&b); err != nil {
				return inputf("%s: %v", args[0], err)
			}
			if e.json {
				if out != "" {
					if err := e.output(out, args, b.Bytes()); err != nil {
						return err
					}
				}
				return e.result(plan.Published(), d.Digest)
			}
			if out == "" {
				out = "-"
			}
			return e.output(out, args, b.Bytes())
		},
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "the CSV `file` to write instead of standard output")
	f.IntVar(&w.Steps, "steps", 10, "steps of each series, evenly up to rated load")
	f.Float64SliceVar(&w.Positions, "positions", []float64{0, 120, 240}, "mounting positions in degrees")
	f.IntVar(&w.Preloads, "preloads", 3, "preloads before the first series")
	f.BoolVar(&w.All, "all", false, "also a rising series of each load to be rejected")
	e.trialFlags(c, &o, 100_000)
	return c
}

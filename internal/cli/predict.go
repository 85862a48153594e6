package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/calibration"
	"gridwright/internal/uncertainty"
	"gridwright/internal/work"
)

func (e *env) predictCommand() *cobra.Command {
	var o uncertainty.Options
	var show bool
	var matrix string
	c := &cobra.Command{
		Use:   "predict DESIGN",
		Short: "Sensitivity, crosstalk, temperature error, strength, stiffness and signal",
		Long: `Predict everything of the arrangement that the design file places: sensitivity
of every bridge to every load, rated output, crosstalk, nonlinearity, zero
balance, zero and span against temperature, shunt calibration, strength,
stiffness and signal; with the uncertainty that the stated tolerances give, by
Monte Carlo with a budget of first order. --trials 0 runs no Monte Carlo.
--work adds the calculation, step by step, for a review by hand.

Exit status: 0 done, whatever the findings; 2 bad input, or nothing placed.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := validTrials(o.Trials); err != nil {
				return err
			}
			d, err := e.propagated(args[0], &o)
			if err != nil {
				return err
			}
			var found *calibration.AsCalibrated
			if matrix != "" {
				if found, err = e.matrixOf(matrix, d); err != nil {
					return err
				}
			}
			var calculation []work.Chapter
			if show {
				if calculation, err = work.Of(d); err != nil {
					return bugError{err}
				}
			}
			if e.json {
				result := d.Published()
				if found != nil {
					result.AsCalibrated = found
				}
				if show {
					result.Work = work.Published(calculation)
				}
				return e.result(result, d.Digest)
			}
			var b bytes.Buffer
			e.text(&b).Predict(d)
			if found != nil {
				e.text(&b).AsCalibrated(found, d.Result)
			}
			if show {
				e.text(&b).Work(calculation)
			}
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	c.Flags().StringVar(&matrix, "matrix", "", "show the as-calibrated matrix, a `file` that calibrate wrote, beside the prediction")
	c.Flags().BoolVar(&show, "work", false, "show the calculation: formula, source and numbers of every figure")
	e.trialFlags(c, &o, 1_000_000)
	return c
}

package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/report"
)

func (e *env) predictCommand() *cobra.Command {
	var trials int
	c := &cobra.Command{
		Use:   "predict DESIGN",
		Short: "Sensitivity, crosstalk, temperature error, strength, stiffness and signal",
		Long: `Predict everything of the arrangement that the design file places: sensitivity
of every bridge to every load, rated output, crosstalk, nonlinearity, zero
balance, zero and span against temperature, shunt calibration, strength,
stiffness and signal.

Exit status: 0 done, whatever the findings; 2 bad input, or nothing placed.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			if trials != 0 {
				return inputf("--trials %d: this version propagates no distributions; write --trials 0", trials)
			}
			d, _, err := e.dossier(args[0])
			if err != nil {
				return err
			}
			if err := needsBridges(args[0], d.Design); err != nil {
				return err
			}
			if e.json {
				return e.write(report.JSON(e.out, d.Published()))
			}
			var b bytes.Buffer
			e.text(&b).Predict(d)
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	c.Flags().IntVar(&trials, "trials", 0, "Monte Carlo trials; this version runs none")
	return c
}

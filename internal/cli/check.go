package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/check"
	"gridwright/internal/report"
)

func (e *env) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check DESIGN",
		Short: "Judge the arrangement as proposed, each finding with figure, limit and remedy",
		Long: `Judge the arrangement as proposed, before anything is bonded: bridges that are
blind to what they should measure or sum what they should not, missing
temperature compensation, polarity, strain, stress, room, power and more. Each
finding has its figure, its limit and a remedy.

Exit status: 0 no finding is a fail; 1 one is; 2 bad input, or nothing placed.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			d, _, err := e.dossier(args[0])
			if err != nil {
				return err
			}
			if err := needsBridges(args[0], d.Design); err != nil {
				return err
			}
			if e.json {
				err = report.JSON(e.out, report.VerdictOf(d))
			} else {
				var b bytes.Buffer
				e.text(&b).Check(d)
				_, err = e.out.Write(b.Bytes())
			}
			if err != nil {
				return e.write(err)
			}
			if !check.Pass(d.Findings) {
				return status(exitFail)
			}
			return nil
		},
	}
}

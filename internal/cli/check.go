package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/check"
	"gridwright/internal/dossier"
	"gridwright/internal/report"
	"gridwright/internal/uncertainty"
)

// judged reads, predicts and checks a design. The tolerances are propagated only
// where a requirement hangs on them.
func (e *env) judged(name string) (*dossier.Dossier, error) {
	d, text, err := e.design(name)
	if err != nil {
		return nil, err
	}
	if err := needsBridges(name, d); err != nil {
		return nil, err
	}
	if d.Require.Crosstalk95.Set || d.Require.Uncertainty.Set {
		out, err := dossier.WithUncertainty(e.ctx, name, text, d, uncertainty.Options{Trials: judgedTrials, Seed: 1})
		return out, e.predictable(name, err)
	}
	out, err := dossier.Of(name, text, d)
	return out, e.predictable(name, err)
}

// judgedTrials settle a 95 % quantile to about a hundredth of its distance from
// the mean.
const judgedTrials = 100_000

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
			d, err := e.judged(args[0])
			if err != nil {
				return err
			}
			if e.json {
				err = report.Traced(e.out, report.VerdictOf(d), d.Digest)
			} else {
				var b bytes.Buffer
				e.text(&b).Check(d)
				e.text(&b).Trace(d.Digest)
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

package cli

import (
	"github.com/spf13/cobra"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/section"
	"gridwright/internal/uncertainty"
)

// trialFlags are the flags of the commands that propagate tolerances.
func (e *env) trialFlags(c *cobra.Command, o *uncertainty.Options, trials int) {
	limit := "limit of Monte Carlo trials; 0 runs none"
	if trials > generalTrials {
		limit += "; where the section is not round 100000 unless you say so"
	}
	c.Flags().IntVar(&o.Trials, "trials", trials, limit)
	before := c.PreRunE
	c.PreRunE = func(c *cobra.Command, args []string) error {
		e.trialsAsked = c.Flags().Changed("trials")
		if before != nil {
			return before(c, args)
		}
		return nil
	}
	c.Flags().Uint64Var(&o.Seed, "seed", 1, "seed of the random numbers")
}

func validTrials(n int) error {
	if n != 0 && n < 1000 || n > 100_000_000 {
		return inputf("--trials %d: write 0 for none, or from 1000 to 100000000", n)
	}
	return nil
}

// propagated reads a design, predicts it with its uncertainty, and checks.
func (e *env) propagated(name string, o *uncertainty.Options) (*dossier.Dossier, error) {
	d, text, err := e.design(name)
	if err != nil {
		return nil, err
	}
	if err := needsBridges(name, d); err != nil {
		return nil, err
	}
	limited := *o
	if !e.trialsAsked && limited.Trials > generalTrials && !section.IsRound(d.Part.Section.Shape) {
		limited.Trials = generalTrials
	}
	out, err := dossier.WithUncertainty(e.ctx, name, text, d, limited)
	return out, e.predictable(name, err)
}

// generalTrials is the limit for sections that are not round, whose every trial
// follows a response of the boundary solution: they settle a 95 % quantile to about
// a hundredth of its distance from the mean.
const generalTrials = 100_000

// nominal reads a design, predicts it with its tolerances left aside, and checks.
func (e *env) nominal(name string) (*dossier.Dossier, error) {
	d, text, err := e.design(name)
	if err != nil {
		return nil, err
	}
	if err := needsBridges(name, d); err != nil {
		return nil, err
	}
	out, err := dossier.Of(name, text, d)
	return out, e.predictable(name, err)
}

// predictable puts the errors of a prediction into the user's words: what cannot
// be predicted is bad input, with its place where it has one.
func (e *env) predictable(name string, err error) error {
	switch u := unbearable(err); {
	case err == nil:
		return nil
	case e.ctx.Err() != nil:
		return e.ctx.Err()
	case u != nil:
		p := u.Load.Rated.Place
		return designfile.Problems{{File: name, Line: max(p.Line, 1), Column: max(p.Column, 1), Path: p.Path, Message: u.Error()}}
	}
	return inputf("%s: %v", name, err)
}

package variant

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

// Sweep is a set of variants and what is wanted of each.
type Sweep struct {
	Base    *Base
	Axes    []*Axis
	List    [][]float64 // a variant a row, in the order of Axes; nil: the grid of the axes
	Figures []Figure
	Trials  int // of Monte Carlo for figures under tolerances; 0: first order
	Seed    uint64
	Check   bool // judge each variant too
	Workers int  // 0: one for each processor; the result does not depend on it
}

// Row is one variant.
type Row struct {
	At      []float64        // of each axis, in its unit
	Figures []predict.Figure // of each of Sweep.Figures, SI; nil when Err
	Pass    bool             // with Sweep.Check: no finding is a fail
	Worst   string           // the gravest finding, "" when there is none
	Err     error            // why this is no design
}

// Len is the number of variants.
func (s *Sweep) Len() int {
	if s.List != nil {
		return len(s.List)
	}
	n := 1
	for _, a := range s.Axes {
		n *= a.Count
	}
	return n
}

// at is the values of variant i: of a grid the last axis runs fastest.
func (s *Sweep) at(i int) []float64 {
	if s.List != nil {
		return s.List[i]
	}
	x := make([]float64, len(s.Axes))
	for k := len(s.Axes) - 1; k >= 0; k-- {
		a := s.Axes[k]
		x[k] = a.At(i % a.Count)
		i /= a.Count
	}
	return x
}

// judgedTrials are those of the command check.
const judgedTrials = 100_000

// Each works out every variant and hands the rows on in their order. A variant that is
// no design is a row with its error.
func (s *Sweep) Each(ctx context.Context, emit func(i int, r Row) error) error {
	maker := s.Base.Maker(s.Axes)
	var o *uncertainty.Options
	propagates, trials := Propagation(s.Figures)
	if trials && s.Trials == 0 {
		return fmt.Errorf("the 95 %% values of crosstalk need Monte Carlo; ask for trials")
	}
	if propagates || s.Trials > 0 {
		o = &uncertainty.Options{Trials: s.Trials, Seed: s.Seed, Workers: 1}
	}
	if q := &s.Base.Design.Require; s.Check && (q.Crosstalk95.Set || q.Uncertainty.Set) && s.Trials == 0 {
		o = &uncertainty.Options{Trials: judgedTrials, Seed: s.Seed, Workers: 1}
	}
	return Run(ctx, s.Len(), s.Workers, func(i int) Row { return s.row(ctx, maker, o, s.at(i)) }, emit)
}

func (s *Sweep) row(ctx context.Context, maker *Maker, o *uncertainty.Options, at []float64) Row {
	row := Row{At: at}
	settings := make([]Setting, len(at))
	for k, x := range at {
		settings[k] = s.Axes[k].Put(x)
	}
	d, err := maker.Make(settings...)
	if err != nil {
		row.Err = Plain(err)
		return row
	}
	p, err := s.Base.Predict(ctx, d, o, settings...)
	if err != nil {
		row.Err = Plain(err)
		return row
	}
	for _, f := range s.Figures {
		row.Figures = append(row.Figures, f.Of(p))
	}
	if s.Check {
		p.tolerate()
		found := check.Of(p.Result)
		row.Pass = check.Pass(found)
		if len(found) > 0 && found[0].Level != check.Note {
			row.Worst = string(found[0].Level) + " " + found[0].Rule + ": " + found[0].Message
		}
	}
	return row
}

// Predict predicts a variant with the values that were set. What the prediction refuses
// the reader may refuse in better words.
func (b *Base) Predict(ctx context.Context, d *design.Design, o *uncertainty.Options, settings ...Setting) (*Prediction, error) {
	p, err := Predict(ctx, d, o)
	if err == nil || ctx.Err() != nil {
		return p, err
	}
	if _, said := b.Read(settings...); said != nil {
		return nil, said
	}
	return nil, err
}

// tolerate hands what the tolerances make of the bridges to what judges them.
func (p *Prediction) tolerate() {
	if p.Uncertainty == nil || p.Result.Tolerated != nil {
		return
	}
	for i := range p.Uncertainty.Bridges {
		b := &p.Uncertainty.Bridges[i]
		t := predict.Tolerated{Expanded: b.Relative()}
		t.Expanded.Value *= 2
		for _, c := range b.Crosstalk {
			t.Crosstalk95 = append(t.Crosstalk95, predict.Figure{Value: c.Quantile, Missing: c.Missing})
		}
		p.Result.Tolerated = append(p.Result.Tolerated, t)
	}
}

// Plain puts the reader's problems into one line without places: those are of a text
// that nobody sees.
func Plain(err error) error {
	var problems designfile.Problems
	if !errors.As(err, &problems) {
		return err
	}
	var words []string
	for _, p := range problems {
		words = append(words, p.Path+": "+p.Message)
	}
	return errors.New(strings.Join(words, "; "))
}

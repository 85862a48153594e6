package cli

import (
	"bytes"
	"encoding/json"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/comparison"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/report"
	"gridwright/internal/uncertainty"
)

func (e *env) diffCommand() *cobra.Command {
	var o uncertainty.Options
	c := &cobra.Command{
		Use:   "diff OLD NEW",
		Short: "What changed between two designs or results, and what that did to each figure",
		Long: `Compare two designs, or two results that predict --json wrote, or one of each:
which values of the file changed (what means the same is no change: 60 mm and
6 cm, another order of keys), what that did to each figure, and whether the
change is greater than the expanded uncertainty of the old figure. Bridges and
placements are matched by name. Designs are predicted by first order, with
--trials by Monte Carlo; beside a result, as that result was.

  gridwright diff before.yaml after.yaml
  gridwright predict before.yaml --json > before.json
  gridwright diff before.json after.yaml

Exit status: 0 done, whether anything differs or not; 2 bad input.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return inputf("%d files given; write two, OLD and NEW, designs or results of predict --json", len(args))
			}
			if args[0] == "-" && args[1] == "-" {
				return inputf("both are standard input; name a file for one of them")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := validTrials(o.Trials); err != nil {
				return err
			}
			d, err := e.diff(args, o, cmd.Flags().Changed("trials"))
			if err != nil {
				return err
			}
			if e.json {
				return e.write(report.JSON(e.out, report.DifferedOf(d)))
			}
			var b bytes.Buffer
			e.text(&b).Diff(d)
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	e.trialFlags(c, &o, 0)
	return c
}

// diff reads both sides; results first, so that a design beside one is predicted as it
// was.
func (e *env) diff(args []string, o uncertainty.Options, asked bool) (*comparison.Difference, error) {
	var sides [2]*comparison.Side
	var texts [2][]byte
	for i, name := range args {
		text, err := e.read(name)
		if err != nil {
			return nil, err
		}
		texts[i] = text
		r, err := resultOf(name, text)
		if err != nil {
			return nil, err
		}
		if r == nil {
			continue
		}
		sides[i] = &comparison.Side{Name: name, Result: *r}
		if mc := r.Trials; mc != nil && !asked {
			o.Trials, o.Seed = max(mc.Trials, o.Trials, 1000), mc.Seed
		}
	}
	for i, name := range args {
		if sides[i] != nil {
			continue
		}
		d, err := designfile.Read(name, texts[i])
		if err != nil {
			return nil, err
		}
		if err := needsBridges(name, d); err != nil {
			return nil, err
		}
		sides[i] = comparison.Read(name, d)
		whole, err := dossier.WithUncertainty(e.ctx, name, texts[i], d, o)
		if err := e.predictable(name, err); err != nil {
			return nil, err
		}
		sides[i].Result = whole.Published()
	}
	return comparison.Of(sides[0], sides[1]), nil
}

// resultOf reads the JSON that predict writes; nil when the text is a design.
func resultOf(name string, text []byte) (*dossier.Result, error) {
	trimmed := bytes.TrimSpace(bytes.TrimPrefix(text, []byte("\ufeff")))
	if !bytes.HasPrefix(trimmed, []byte("{")) {
		return nil, nil
	}
	var keys map[string]json.RawMessage
	if json.Unmarshal(trimmed, &keys) != nil {
		return nil, nil // the reader of designs says where
	}
	_, loads := keys["loads"]
	_, part := keys["part"]
	if loads || part {
		return nil, nil
	}
	has := func(key string) bool { _, ok := keys[key]; return ok }
	if !has("bridges") || !has("strength") || !has("input_sha256") {
		return nil, inputf("%s: this is JSON, but neither a design nor what predict --json writes; write that with `gridwright predict DESIGN --json > FILE`", name)
	}
	var r dossier.Result
	if err := json.Unmarshal(trimmed, &r); err != nil {
		return nil, inputf("%s: this result cannot be read: %s; write it anew with `gridwright predict DESIGN --json > FILE`", name, strings.TrimPrefix(err.Error(), "json: "))
	}
	if r.Format != 1 {
		return nil, inputf("%s: a result of format %d; this program reads format 1", name, r.Format)
	}
	return &r, nil
}

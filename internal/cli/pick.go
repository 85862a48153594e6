package cli

import (
	"bytes"
	"fmt"
	"reflect"
	"time"

	"github.com/spf13/cobra"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/pick"
	"gridwright/internal/predict"
	"gridwright/internal/report"
	"gridwright/internal/uncertainty"
)

func (e *env) pickCommand() *cobra.Command {
	var out string
	var rank int
	var explain, all bool
	c := &cobra.Command{
		Use:   "pick DESIGN",
		Short: "Choose placements and bridges for the loads to measure, ranked, with reasons",
		Long: `Search placements of the offered gauges and every wiring of their grids, and rank
what was found; the rule is printed. Placements that the file has are kept and
only wired. With -o the file's text is written with the chosen placements and
bridges added, every other byte as it was.

Exit status: 0 done; 1 nothing meets the requirements (the nearest is printed);
2 bad input.`,
		Args: oneDesign,
		RunE: func(cmd *cobra.Command, args []string) error {
			if rank < 1 {
				return inputf("--rank %d: candidates are ranked from 1", rank)
			}
			d, text, err := e.design(args[0])
			if err != nil {
				return err
			}
			if err := e.canWrite(args[0], text, d, out); err != nil {
				return err
			}
			if len(d.Gauges) == 0 {
				return inputf("%s: the design offers no gauge; add one under `gauges`", args[0])
			}
			uncertainty.Assume(d)
			unit := "placement sets"
			if len(d.Placements) > 0 {
				unit = "thousandths of the wirings"
			}
			o, err := pick.Search(e.ctx, d, pick.Options{All: all, Change: true, Progress: e.progress(unit)})
			e.endProgress()
			if err != nil {
				if e.ctx.Err() != nil {
					return e.ctx.Err()
				}
				return inputf("%s: %v", args[0], err)
			}
			u, err := e.confirm(o)
			if err != nil {
				return err
			}
			if err := e.printPick(d, text, o, u, out, explain); err != nil {
				return err
			}
			if out != "" {
				chosen := cmd.Flags().Changed("rank")
				if err := e.writePick(args[0], text, d, o, rank, chosen, out); err != nil {
					return err
				}
			}
			if !o.Met && o.Proof != pick.Interrupted {
				return status(exitFail)
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "write the design with the chosen arrangement to this `file`")
	c.Flags().IntVar(&rank, "rank", 1, "the candidate that -o writes")
	c.Flags().BoolVar(&explain, "explain", false, "show every candidate with what cost it the place")
	c.Flags().BoolVar(&all, "all", false, "keep every candidate, not only the best few")
	return c
}

// confirm runs Monte Carlo on the first candidate, which the search judged by the
// first order; nil when the search was interrupted or found none.
func (e *env) confirm(o *pick.Outcome) (*uncertainty.Result, error) {
	if len(o.Candidates) == 0 || o.Proof == pick.Interrupted {
		return nil, nil
	}
	uncertainty.Assume(o.Candidates[0].Design)
	r, err := predict.Of(o.Candidates[0].Design)
	if err != nil {
		return nil, err
	}
	u, err := uncertainty.Of(e.ctx, r, uncertainty.Options{Trials: judgedTrials, Seed: 1})
	if err != nil && e.ctx.Err() != nil {
		return nil, nil // interrupted after the search: its result stands
	}
	return u, err
}

// canWrite refuses what -o asks for before the search begins.
func (e *env) canWrite(name string, text []byte, d *design.Design, out string) error {
	if out == "" {
		return nil
	}
	if out == "-" && e.json {
		return inputf("--json and -o - both want standard output; write -o to a file")
	}
	if err := e.refuse(out, []string{name}); err != nil {
		return err
	}
	var nothing designfile.Arrangement
	if len(d.Placements) == 0 {
		nothing.Placements = []designfile.PlacementText{}
	}
	if _, err := designfile.Splice(text, nothing); err != nil {
		return inputf("%s: %v", name, err)
	}
	return nil
}

// printPick writes the ranking; when -o - takes standard output, nothing.
func (e *env) printPick(d *design.Design, text []byte, o *pick.Outcome, u *uncertainty.Result, out string, explain bool) error {
	if out == "-" {
		return nil
	}
	if e.json {
		return e.result(report.PickedOf(o, u), digest(text))
	}
	var b bytes.Buffer
	t := e.text(&b)
	t.Pick(d, o, explain)
	t.Confirm(d, o, u)
	t.Cautions()
	t.Trace(digest(text))
	_, err := e.out.Write(b.Bytes())
	return e.write(err)
}

// writePick writes the design with one candidate added, after reading it back.
func (e *env) writePick(name string, text []byte, d *design.Design, o *pick.Outcome, rank int, chosen bool, out string) error {
	if len(o.Candidates) == 0 {
		return nil // said: nothing was found
	}
	if !o.Met && !chosen {
		e.note("gridwright: nothing meets the requirements, so %s is not written; --rank 1 writes the nearest", out)
		return nil
	}
	if rank > len(o.Candidates) {
		return inputf("--rank %d: there are %d candidates; --all may keep more", rank, len(o.Candidates))
	}
	picked := o.Candidates[rank-1].Design
	a := designfile.Describe(picked)
	if len(d.Placements) > 0 {
		a.Placements = nil
	}
	spliced, err := designfile.Splice(text, a)
	if err != nil {
		return inputf("%s: %v", name, err)
	}
	back, err := designfile.Read(name, spliced)
	if err != nil {
		panic(fmt.Sprintf("the chosen arrangement does not read back: %v", err))
	}
	if !reflect.DeepEqual(designfile.Describe(back), designfile.Describe(picked)) {
		panic("the chosen arrangement reads back as another one")
	}
	if err := e.output(out, []string{name}, spliced); err != nil {
		return err
	}
	if out != "-" {
		e.note("gridwright: wrote %s with candidate %d", out, rank)
	}
	return nil
}

// progress shows how far a search is, once it takes over a second, when standard
// error is a terminal.
func (e *env) progress(what string) func(done, total int) {
	if e.quiet || !isTerminal(e.err) {
		return nil
	}
	start, last := time.Now(), time.Time{}
	return func(done, total int) {
		now := time.Now()
		if now.Sub(start) < time.Second || now.Sub(last) < 100*time.Millisecond {
			return
		}
		last, e.shown = now, true
		const width = 30
		n := width * done / max(total, 1)
		fmt.Fprintf(e.err, "\r[%-*s] %d of %d %s", width, bytes.Repeat([]byte("="), n), done, total, what)
	}
}

// endProgress clears the line of the progress bar.
func (e *env) endProgress() {
	if e.shown {
		fmt.Fprintf(e.err, "\r%70s\r", "")
		e.shown = false
	}
}

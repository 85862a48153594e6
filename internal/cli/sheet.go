package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/dossier"
	"gridwright/internal/pick"
	"gridwright/internal/sheet"
	"gridwright/internal/uncertainty"
)

func (e *env) sheetCommand() *cobra.Command {
	var out, paper, svg string
	var o uncertainty.Options
	var withWork bool
	c := &cobra.Command{
		Use:   "sheet DESIGN -o FILE.pdf",
		Short: "Write the PDF design sheet to bond, wire and document by",
		Long: `Write the design sheet: identity, verdict and key figures; the part with every
grid in place, to scale; a diagram and a wiring list of every bridge; the
figures and curves; the gauge lot and an installation record to fill in.
A design that places nothing is picked first; a note says so.

Exit status: 0 done, whatever the findings; 1 nothing to draw was found by pick;
2 bad input; 3 could not write. With --json the figures of the sheet are printed
as predict prints them.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return inputf("no output file; write -o FILE.pdf")
			}
			if paper != "a4" && paper != "letter" {
				return inputf("--paper %s is not known; write --paper a4 or --paper letter", paper)
			}
			if err := validTrials(o.Trials); err != nil {
				return err
			}
			if e.json && out == "-" {
				return inputf("--json and -o - both want standard output; write -o to a file")
			}
			if err := e.refuse(out, args); err != nil {
				return err
			}
			d, err := e.placed(args[0], &o)
			if err != nil {
				return err
			}
			options := sheet.Options{Paper: paper, Sys: e.text(nil).Sys, Work: withWork}
			var b bytes.Buffer
			missing, err := sheet.Write(&b, d, options)
			if err != nil {
				return err
			}
			if len(missing) > 0 {
				e.note("gridwright: warning: the sheet's font lacks %s; they are printed as boxes", quoteRunes(missing))
			}
			if e.ctx.Err() != nil {
				return e.ctx.Err()
			}
			if err := e.writeSheet(out, svg, args, b.Bytes(), d, options); err != nil {
				return err
			}
			if e.json {
				return e.result(d.Published(), d.Digest)
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the PDF `file` to write, - for standard output")
	e.trialFlags(c, &o, 100_000)
	c.Flags().StringVar(&paper, "paper", "a4", "paper size: a4 or letter")
	c.Flags().BoolVar(&withWork, "with-work", false, "append the calculation: formula, source and numbers of every figure")
	c.Flags().StringVar(&svg, "svg", "", "also write section, developed surface and bridges as SVG into this `folder`")
	return c
}

// placed reads a design and picks first when it places nothing.
func (e *env) placed(name string, o *uncertainty.Options) (*dossier.Dossier, error) {
	d, text, err := e.design(name)
	if err != nil {
		return nil, err
	}
	if len(d.Bridges) == 0 {
		if len(d.Gauges) == 0 {
			return nil, inputf("%s: the design offers no gauge; add one under `gauges`", name)
		}
		o, err := pick.Search(e.ctx, d, pick.Options{Progress: e.progress("placement sets")})
		e.endProgress()
		if err != nil {
			if e.ctx.Err() != nil {
				return nil, e.ctx.Err()
			}
			return nil, inputf("%s: %v", name, err)
		}
		if o.Proof == pick.Interrupted {
			return nil, e.ctx.Err()
		}
		if len(o.Candidates) == 0 {
			e.note("gridwright: %s places nothing and pick found no arrangement: %s", name, o.Nearest)
			return nil, status(exitFail)
		}
		e.note("gridwright: %s wires nothing; the sheet shows what pick chose (`gridwright pick %s -o FILE` writes it)", name, name)
		if !o.Met {
			e.note("gridwright: warning: nothing meets the requirements; the sheet shows the nearest: %s", o.Nearest)
		}
		d = o.Candidates[0].Design
	}
	out, err := dossier.WithUncertainty(e.ctx, name, text, d, *o)
	return out, e.predictable(name, err)
}

// writeSheet writes the sheet and, into the folder svg when it is named, every
// figure as a file of its own. When one cannot be written none is left behind.
func (e *env) writeSheet(out, svg string, inputs []string, pdf []byte, d *dossier.Dossier, o sheet.Options) (err error) {
	names, contents := []string{out}, [][]byte{pdf}
	if svg != "" {
		figures, err := sheet.Figures(d, o)
		if err != nil {
			return err
		}
		for _, f := range figures {
			var b bytes.Buffer
			if err := f.Scene.WriteSVG(&b); err != nil {
				return err
			}
			names, contents = append(names, filepath.Join(svg, f.Name+".svg")), append(contents, b.Bytes())
		}
		_, statErr := os.Stat(svg)
		if err := os.MkdirAll(svg, 0o777); err != nil {
			return fileError{fmt.Errorf("cannot make the folder %s: %w", svg, cause(err))}
		}
		if statErr != nil {
			defer func() {
				if err != nil {
					os.Remove(svg)
				}
			}()
		}
	}
	var fresh []string
	defer func() {
		if err != nil {
			for _, name := range fresh {
				os.Remove(name)
			}
		}
	}()
	for i, name := range names {
		if _, statErr := os.Stat(name); statErr != nil && name != "-" {
			fresh = append(fresh, name)
		}
		if err := e.output(name, inputs, contents[i]); err != nil {
			return err
		}
	}
	return nil
}

func quoteRunes(runes []rune) string {
	parts := make([]string, len(runes))
	for i, r := range runes {
		parts[i] = fmt.Sprintf("%U", r)
	}
	return strings.Join(parts, ", ")
}

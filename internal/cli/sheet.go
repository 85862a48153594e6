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
)

func (e *env) sheetCommand() *cobra.Command {
	var out, paper, svg string
	c := &cobra.Command{
		Use:   "sheet DESIGN -o FILE.pdf",
		Short: "Write the PDF design sheet to bond, wire and document by",
		Long: `Write the design sheet: identity, verdict and key figures; the part with every
grid in place, to scale; a diagram and a wiring list of every bridge; the
figures and curves; the gauge lot and an installation record to fill in.
A design that places nothing is picked first; a note says so.

Exit status: 0 done, whatever the findings; 1 nothing to draw was found by pick;
2 bad input; 3 could not write.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return inputf("no output file; write -o FILE.pdf")
			}
			if paper != "a4" && paper != "letter" {
				return inputf("--paper %s is not known; write --paper a4 or --paper letter", paper)
			}
			d, err := e.placed(args[0])
			if err != nil {
				return err
			}
			options := sheet.Options{Paper: paper, Sys: e.text(nil).Sys}
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
			if err := e.output(out, []string{args[0]}, b.Bytes()); err != nil {
				return err
			}
			if svg != "" {
				return e.writeFigures(svg, args[0], d, options)
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the PDF `file` to write, - for standard output")
	c.Flags().StringVar(&paper, "paper", "a4", "paper size: a4 or letter")
	c.Flags().StringVar(&svg, "svg", "", "also write section, developed surface and bridges as SVG into this `folder`")
	return c
}

// placed reads a design and picks first when it places nothing.
func (e *env) placed(name string) (*dossier.Dossier, error) {
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
	out, err := dossier.Of(name, text, d)
	if err != nil {
		return nil, inputf("%s: %v", name, err)
	}
	return out, nil
}

// writeFigures writes every figure as an SVG file of its own.
func (e *env) writeFigures(dir, input string, d *dossier.Dossier, o sheet.Options) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fileError{plainPath(err)}
	}
	figures, err := sheet.Figures(d, o)
	if err != nil {
		return err
	}
	for _, f := range figures {
		var b bytes.Buffer
		if err := f.Scene.WriteSVG(&b); err != nil {
			return err
		}
		if err := e.output(filepath.Join(dir, f.Name+".svg"), []string{input}, b.Bytes()); err != nil {
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

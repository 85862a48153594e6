package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
	"gridwright/internal/wrap"
)

func (e *env) wrapCommand() *cobra.Command {
	var out, paper, thickness string
	c := &cobra.Command{
		Use:   "wrap DESIGN -o FILE.pdf",
		Short: "1:1 layout template to cut out and wrap round the part",
		Long: `Write a template at true size: as long as the part's circumference with the
paper's thickness allowed for, π (D + t), with the reference line, station lines,
the outline and centre lines of every gauge and grid, check bars of 100 mm and
register marks where it takes several pages. Print it at 100 %, without "fit to
page", and measure the check bars before marking the part.
A design that places nothing is picked first; a note says so.

Exit status: 0 done; 1 nothing to draw was found by pick; 2 bad input; 3 could
not write. With --json the figures are printed as predict prints them.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				return inputf("no output file; write -o FILE.pdf")
			}
			if paper != "a4" && paper != "letter" {
				return inputf("--paper %s is not known; write --paper a4 or --paper letter", paper)
			}
			if e.json && out == "-" {
				return inputf("--json and -o - both want standard output; write -o to a file")
			}
			t, err := quantity.Parse(thickness, quantity.Length)
			if err != nil {
				return inputf("--thickness %s: %v", thickness, err)
			}
			if t.SI <= 0 {
				return inputf("--thickness %s: paper is thicker than that; 0.1 mm is common", thickness)
			}
			if err := e.refuse(out, args); err != nil {
				return err
			}
			d, err := e.placed(args[0], &uncertainty.Options{})
			if err != nil {
				return err
			}
			doc, warnings, err := wrap.Of(d, wrap.Options{Paper: paper, Thickness: t.SI, Sys: e.text(nil).Sys})
			if err != nil {
				return inputf("%s: %v", args[0], err)
			}
			var b bytes.Buffer
			if err := doc.WritePDF(&b); err != nil {
				return err
			}
			for _, w := range warnings {
				e.note("gridwright: warning: %s", w)
			}
			if err := e.output(out, args, b.Bytes()); err != nil {
				return err
			}
			if e.json {
				return e.result(d.Published(), d.Digest)
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the PDF `file` to write, - for standard output")
	c.Flags().StringVar(&paper, "paper", "a4", "paper size: a4 or letter")
	c.Flags().StringVar(&thickness, "thickness", "0.1 mm", "thickness of the paper")
	return c
}

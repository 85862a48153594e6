package cli

import (
	"bytes"
	"os"

	"github.com/spf13/cobra"

	"gridwright/internal/layout"
	"gridwright/internal/profile"
	"gridwright/internal/report"
)

func (e *env) sectionCommand() *cobra.Command {
	var svg, pdf, paper string
	c := &cobra.Command{
		Use:   "section DESIGN",
		Short: "Section properties and surface stress per unit load",
		Long: `Print area, second moments and principal axes, torsion constant, shear centre,
the places where a grid sees most of each load, and the shear stress around the
surface for a unit of torque and of each shear force. Needs no gauges.
--svg and --pdf draw it: the outline with the shear as ordinates.

Exit status: 0 done; 2 bad input; 3 could not write.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			size, err := layout.PaperSize(paper)
			if err != nil {
				return inputf("--paper %s is not known; write --paper a4 or --paper letter", paper)
			}
			for _, out := range []string{svg, pdf} {
				if out == "-" {
					return inputf("the figures go to standard output; write --svg and --pdf to files")
				}
				if err := e.refuse(out, args); err != nil {
					return err
				}
			}
			if svg != "" && svg == pdf {
				return inputf("--svg and --pdf name one file; write two names")
			}
			d, _, err := e.design(args[0])
			if err != nil {
				return err
			}
			p, err := profile.Of(d.Part)
			if err != nil {
				return inputf("%s: %v", args[0], err)
			}
			w := layout.Words{Sys: e.text(nil).Sys}
			var picture, page bytes.Buffer
			if err := p.Scene(d.Title, w).WriteSVG(&picture); err != nil {
				return err
			}
			if err := p.Document(d.Title, w, size).WritePDF(&page); err != nil {
				return err
			}
			if err := e.pictures(args, []string{svg, pdf}, [][]byte{picture.Bytes(), page.Bytes()}); err != nil {
				return err
			}
			if e.json {
				return e.write(report.JSON(e.out, report.SurfaceOf(p, 72)))
			}
			var b bytes.Buffer
			e.text(&b).Section(d, p)
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	c.Flags().StringVar(&svg, "svg", "", "draw outline and surface shear into this SVG `file`")
	c.Flags().StringVar(&pdf, "pdf", "", "draw them into this PDF `file`")
	c.Flags().StringVar(&paper, "paper", "a4", "paper size of the PDF: a4 or letter")
	return c
}

// pictures writes files, those of no name left out; when one cannot be written none is
// left behind.
func (e *env) pictures(inputs, names []string, contents [][]byte) error {
	var fresh []string
	for i, name := range names {
		if name == "" {
			continue
		}
		_, err := os.Stat(name)
		missing := err != nil
		if err := e.output(name, inputs, contents[i]); err != nil {
			for _, f := range fresh {
				os.Remove(f)
			}
			return err
		}
		if missing {
			fresh = append(fresh, name)
		}
	}
	return nil
}

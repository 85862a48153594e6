package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/report"
	"gridwright/internal/section"
)

func (e *env) sectionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "section DESIGN",
		Short: "Section properties and surface stress per unit load",
		Long: `Print area, second moments, torsion constant and the shear stress around the
surface for a unit of torque and of each shear force. Needs no gauges.

Exit status: 0 done; 2 bad input.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			d, _, err := e.design(args[0])
			if err != nil {
				return err
			}
			s, err := section.Of(d.Part)
			if err != nil {
				return inputf("%s: %v", args[0], err)
			}
			if e.json {
				return e.write(report.JSON(e.out, report.SurfaceOf(s, 72)))
			}
			var b bytes.Buffer
			e.text(&b).Section(d, s)
			_, err = e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
}

package cli

import (
	"github.com/spf13/cobra"

	"gridwright/internal/quantity"
	"gridwright/internal/variant"
)

func (e *env) convertCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "convert DESIGN",
		Short: "Write the design with its values in other units, the same to the last bit",
		Long: `Write the design file with every quantity in the units of --units (si: mm, N,
N·m, MPa, °C; us: in, lbf, lbf·in, ksi, °F). Remarks, order and everything else
stay as they are. Numbers get the digits that it takes to read back as the same
values, so that every figure stays the same.

Exit status: 0 done; 2 bad input; 3 could not write.`,
		Args: oneDesign,
		RunE: func(_ *cobra.Command, args []string) error {
			text, err := e.read(args[0])
			if err != nil {
				return err
			}
			sys := quantity.SI
			if e.units == "us" {
				sys = quantity.US
			}
			converted, kept, err := variant.Convert(args[0], text, sys)
			if err != nil {
				return err
			}
			for _, p := range kept {
				e.note("gridwright: %s:%d:%d: %s: left as it is; write it on one line, unquoted", args[0], p.Line, p.Column, p.Path)
			}
			if e.json {
				if out == "" || out == "-" {
					return inputf("--json and a design on standard output do not go together; write the design to a file with -o FILE.yaml")
				}
			}
			if out == "" {
				out = "-"
			}
			if err := e.output(out, args, converted); err != nil {
				return err
			}
			if e.json {
				return e.result(map[string]any{"file": out, "units": e.units, "kept": len(kept)}, digest(text))
			}
			return nil
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the design `file` to write instead of standard output")
	return c
}

package cli

import (
	"bytes"

	"github.com/spf13/cobra"

	"gridwright/internal/material"
	"gridwright/internal/report"
)

func (e *env) materialsCommand() *cobra.Command {
	var sources bool
	c := &cobra.Command{
		Use:   "materials",
		Short: "List the built-in materials, with the source of every figure",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			list := material.All()
			if e.json {
				return e.write(report.JSON(e.out, report.MaterialsOf(list)))
			}
			var b bytes.Buffer
			e.text(&b).Materials(list, sources)
			_, err := e.out.Write(b.Bytes())
			return e.write(err)
		},
	}
	c.Flags().BoolVar(&sources, "sources", false, "print the source of every figure")
	return c
}

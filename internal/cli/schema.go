package cli

import (
	"github.com/spf13/cobra"

	"gridwright/internal/schema"
)

func (e *env) schemaCommand() *cobra.Command {
	var out string
	var result bool
	c := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of the design file, or of results",
		Long: `Print the JSON Schema (draft 2020-12) of the design file, made of the tables that
the reader itself uses; with --result that of what predict --json prints.

An editor with a YAML language server completes keys, shows what they mean and
underlines mistakes when the schema lies beside the design,

  gridwright schema -o gridwright.schema.json

and the design begins with the modeline

  # yaml-language-server: $schema=gridwright.schema.json

The schema sees one value at a time; names that refer to each other and values
that must fit each other are for ` + "`gridwright check`" + `.

Exit status: 0 done; 2 bad usage; 3 could not write.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			make := schema.Design
			if result {
				make = schema.Result
			}
			text, err := make()
			if err != nil {
				return err
			}
			if out == "" {
				out = "-"
			}
			return e.output(out, nil, text)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the `file` to write instead of standard output")
	c.Flags().BoolVar(&result, "result", false, "the schema of results instead of the design file's")
	return c
}

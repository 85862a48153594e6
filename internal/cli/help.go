package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"gridwright/internal/help"
	"gridwright/internal/quantity"
)

// topics are help pages beside those of the commands.
func (e *env) topics() []*cobra.Command {
	var all []*cobra.Command
	for _, t := range help.Topics() {
		all = append(all, &cobra.Command{Use: t.Name, Short: t.Short, Long: t.Text})
	}
	return all
}

// helpCommand shows a command or a topic; an unknown one is an error with the
// nearest name.
func (e *env) helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [TOPIC]",
		Short: "Help on a command, or on signs, file, units, methods, validation",
		Args:  cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return root.Help()
			}
			c, rest, err := root.Find(args)
			if err == nil && len(rest) == 0 && c != root {
				if !c.Runnable() && !c.HasSubCommands() {
					_, err := fmt.Fprint(e.out, c.Long)
					return e.write(err)
				}
				return c.Help()
			}
			var names []string
			for _, c := range root.Commands() {
				names = append(names, c.Name())
			}
			if near := quantity.Nearest(args[0], names); near != "" {
				return inputf("no help on %s; did you mean `gridwright help %s`?", args[0], near)
			}
			return inputf("no help on %s; `gridwright help` lists commands and topics", args[0])
		},
	}
}

package cli

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
	"gridwright/internal/report"
	"gridwright/internal/starter"
)

// started is what new --json prints.
type started struct {
	Format       int           `json:"gridwright"`
	Text         string        `json:"text"` // of the design file
	Placeholders []placeholder `json:"placeholders"`
}

type placeholder struct {
	Path    string `json:"path"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	What    string `json:"what"`
	Example string `json:"example"`
}

func (e *env) newCommand() *cobra.Command {
	var o starter.Options
	var measure []string
	var out string
	c := &cobra.Command{
		Use:   "new --part KIND --measure LOAD,...",
		Short: "Write a commented design file to begin with",
		Long: `Write a commented design file for a kind of part and the loads to be measured.
Every value that only you know is a placeholder in angle brackets; until all of
them are replaced no command accepts the file, and ` + "`gridwright check`" + ` lists them.

  gridwright new --part tube --measure torque,bending-y -o drive.yaml

Kinds of part: ` + strings.Join(starter.Parts(), ", ") + `.
Loads: ` + strings.Join(design.ComponentNames(), ", ") + `.
With --units us the examples are in inches, pounds and °F.

Exit status: 0 done; 2 bad usage; 3 could not write. A file that is there already
is never overwritten.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if e.units == "us" {
				o.Sys = quantity.US
			}
			if o.Part == "" {
				return inputf("no kind of part; write --part with one of: %s", strings.Join(starter.Parts(), ", "))
			}
			var err error
			if o.Measure, err = components(measure); err != nil {
				return err
			}
			text, err := starter.Text(o)
			if err != nil {
				return inputError{err}
			}
			return e.writeStarter(text, out)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Part, "part", "", "the `kind` of part")
	f.StringSliceVar(&measure, "measure", nil, "the `loads` to be measured, separated by commas")
	f.StringVarP(&out, "output", "o", "", "the new `file` to write instead of standard output")
	return c
}

// components reads the names of loads.
func components(names []string) ([]design.Component, error) {
	known := design.ComponentNames()
	var list []design.Component
	for _, n := range names {
		c, ok := design.ParseComponent(strings.TrimSpace(n))
		if !ok {
			if near := quantity.Nearest(n, known); near != "" {
				return nil, inputf("--measure %s: no load is called so; did you mean %s?", n, near)
			}
			return nil, inputf("--measure %s: no load is called so; write one or more of: %s", n, strings.Join(known, ", "))
		}
		list = append(list, c)
	}
	if len(list) == 0 {
		return nil, inputf("no load to measure; write --measure with one or more of: %s", strings.Join(known, ", "))
	}
	return list, nil
}

// writeStarter writes the file, and with --json what it asks for.
func (e *env) writeStarter(text, out string) error {
	asked, err := designfile.Placeholders("new", []byte(text))
	if err != nil {
		return err
	}
	if e.json && out == "-" {
		return inputf("--json and -o - both want standard output; write -o to a file")
	}
	if out != "" && out != "-" {
		if _, err := os.Lstat(out); err == nil {
			return fileError{fmt.Errorf("cannot write %s: it is there already, and a new design overwrites nothing; name another file", out)}
		}
	}
	if out != "" || !e.json {
		to := out
		if to == "" {
			to = "-"
		}
		if err := e.output(to, nil, []byte(text)); err != nil {
			return err
		}
	}
	if out != "" && out != "-" {
		e.note("gridwright: wrote %s; replace its %d placeholders, then let `gridwright pick %s -o placed.yaml` place the gauges", out, len(asked), out)
	}
	if !e.json {
		return nil
	}
	s := started{Format: designfile.Version, Text: text, Placeholders: []placeholder{}}
	for _, a := range asked {
		s.Placeholders = append(s.Placeholders, placeholder{a.Path, a.Line, a.Column, a.What, a.Example})
	}
	return e.write(report.JSON(e.out, s))
}

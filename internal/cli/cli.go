// Package cli is the command line: wiring between arguments, files and the rooms
// that compute. One file a command.
//
// What goes where: the result of a command goes to standard output, or with -o
// to a file, and nothing else does; messages, progress and errors go to standard
// error. With --json the result is one JSON document. A file is written whole or
// not at all, and never over an input. Errors start in lower case, have no full
// stop, and say what would be right.
package cli

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
	"gridwright/internal/report"
)

// Exit statuses.
const (
	exitDone        = 0
	exitFail        = 1 // check found a fail, pick found nothing that meets the requirements
	exitInput       = 2 // bad input or usage
	exitFile        = 3 // could not read or write
	exitBug         = 4 // internal fault
	exitInterrupted = 130
)

// status is an error that only sets the exit status: what there is to say was said.
type status int

func (s status) Error() string { return fmt.Sprintf("exit status %d", int(s)) }

// inputError is bad input or usage in words for the user.
type inputError struct{ error }

func inputf(format string, args ...any) error { return inputError{fmt.Errorf(format, args...)} }

// fileError is a file that could not be read or written.
type fileError struct{ error }

// bugError is a fault that the program found in itself.
type bugError struct{ error }

// env is what every command shares.
type env struct {
	ctx         context.Context
	in          io.Reader
	out         io.Writer
	err         io.Writer
	json        bool
	units       string
	quiet       bool
	verbose     bool
	trialsAsked bool // --trials was given
	shown       bool // a progress bar stands on standard error
}

// Main runs the program and returns its exit status.
func Main(args []string, in io.Reader, out, errOut io.Writer) (code int) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	e := &env{ctx: ctx, in: in, out: out, err: errOut}
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(errOut, "gridwright: internal fault: %v; this is a bug of the program, not of your design: please report it with the design file\n", r)
			code = exitBug
		}
	}()
	root := e.root()
	root.SetArgs(args)
	return e.statusOf(root.Execute())
}

// statusOf is the one place where errors become exit statuses.
func (e *env) statusOf(err error) int {
	var s status
	var problems designfile.Problems
	var file fileError
	var input inputError
	var bug bugError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &s):
		return int(s)
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(e.err, "gridwright: interrupted")
		return exitInterrupted
	case errors.As(err, &bug):
		fmt.Fprintf(e.err, "gridwright: internal fault: %v; this is a bug of the program, not of your design: please report it with the design file\n", bug.error)
		return exitBug
	case errors.As(err, &problems):
		fmt.Fprintln(e.err, problems.Error())
		return exitInput
	case errors.As(err, &file):
		fmt.Fprintln(e.err, "gridwright:", file.Error())
		return exitFile
	case errors.As(err, &input):
		for _, line := range strings.Split(input.Error(), "\n") {
			fmt.Fprintln(e.err, "gridwright:", line)
		}
		return exitInput
	}
	// cobra's own errors are usage errors
	fmt.Fprintf(e.err, "gridwright: %s; `gridwright help` shows the commands\n", strings.TrimSuffix(firstLine(err.Error()), "\n"))
	return exitInput
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(s, "\n")
	return line
}

// Command is the tree of all commands, for manual pages.
func Command() *cobra.Command {
	return (&env{ctx: context.Background(), in: strings.NewReader(""), out: io.Discard, err: io.Discard}).root()
}

func (e *env) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "gridwright",
		Short:         "Turn a shaft, tube or column into a transducer with bonded strain gauges",
		Long:          rootLong,
		Version:       dossier.Version,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetVersionTemplate("gridwright {{.Version}}\n")
	root.SetIn(e.in)
	root.SetOut(e.out)
	root.SetErr(e.err)
	f := root.PersistentFlags()
	f.BoolVar(&e.json, "json", false, "print the result as JSON on standard output")
	f.StringVar(&e.units, "units", "si", "units of text output: si or us")
	f.BoolVarP(&e.quiet, "quiet", "q", false, "no messages beside the result")
	f.BoolVar(&e.verbose, "verbose", false, "say what is being done")
	root.PersistentPreRunE = func(*cobra.Command, []string) error {
		if e.units != "si" && e.units != "us" {
			return inputf("--units %s is not known; write --units si or --units us", e.units)
		}
		return nil
	}
	root.AddCommand(e.predictCommand(), e.checkCommand(), e.pickCommand(), e.sheetCommand(), e.sectionCommand(), e.materialsCommand(), e.trimCommand(), e.worksheetCommand(), e.newCommand(), e.schemaCommand(), e.wrapCommand(), e.rosetteCommand(), e.loadsCommand(), e.calibrateCommand(), e.sweepCommand(), e.sizeCommand(), e.diffCommand(), e.convertCommand(), e.versionCommand())
	root.AddCommand(e.topics()...)
	root.SetHelpCommand(e.helpCommand(root))
	return root
}

const rootLong = `gridwright takes a shaft or tube, its material and its loads from a YAML design
file, picks where strain gauges go and how they are wired into bridges for
torque, bending or axial load, predicts what the bridges give in mV/V and how
temperature moves them, and writes a sheet to bond, wire and document by.

  gridwright pick shaft.yaml -o placed.yaml     choose an arrangement
  gridwright check placed.yaml                  judge it, with a remedy for every finding
  gridwright predict placed.yaml                every figure
  gridwright sheet placed.yaml -o sheet.pdf     the design sheet

DESIGN may be - for standard input.

Exit status: 0 done; 1 check has a fail, or pick found nothing that meets the
requirements; 2 bad input or usage; 3 could not read or write; 4 internal fault;
130 interrupted.`

func (e *env) text(w io.Writer) report.Text {
	t := report.Text{W: w}
	if e.units == "us" {
		t.Sys = quantity.US
	}
	return t
}

// result prints a result as JSON, with what it can be traced by; digest is that of
// the design, "" where there is none.
func (e *env) result(v any, digest string) error {
	return e.write(report.Traced(e.out, v, digest))
}

// digest is the sha256 of an input's text.
func digest(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// note tells the user something beside the result.
func (e *env) note(format string, args ...any) {
	if !e.quiet {
		fmt.Fprintf(e.err, format+"\n", args...)
	}
}

func (e *env) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the program's version",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if e.json {
				return e.write(report.JSON(e.out, map[string]string{"version": dossier.Version}))
			}
			_, err := fmt.Fprintf(e.out, "gridwright %s\n", dossier.Version)
			return e.write(err)
		},
	}
}

// write turns a failure of standard output into a file error.
func (e *env) write(err error) error {
	if err != nil {
		return fileError{fmt.Errorf("cannot write the result: %w", err)}
	}
	return nil
}

// oneDesign is the argument check of the commands that take one design.
func oneDesign(_ *cobra.Command, args []string) error {
	switch len(args) {
	case 1:
		return nil
	case 0:
		return inputf("no design file; write its name, or - for standard input")
	}
	return inputf("%d files given; this command takes one design", len(args))
}

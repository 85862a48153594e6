package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
	"gridwright/internal/diagnosis"
	"gridwright/internal/record"
)

// calibrateFlags are the flags of the calibrate command.
type calibrateFlags struct {
	out, matrix, paper, method, zero string
	degree                           int
	second, through                  bool
	sheet                            sheetData
}

func (e *env) calibrateCommand() *cobra.Command {
	var f calibrateFlags
	c := &cobra.Command{
		Use:   "calibrate DESIGN DATA.csv",
		Short: "Evaluate a calibration: fit, figures, matrix, comparison, likely causes",
		Long: `Evaluate the readings of a calibration, the filled plan of worksheet or any table
with columns run, position, stepping, each load with its unit, each bridge in
mV/V: zero reduction, fits with the degree chosen by the method or by --degree,
repeatability, reproducibility, interpolation, zero, reversibility, class and
uncertainty; the sensitivity matrix from all readings at once with its inverse;
every figure against its prediction; and where they differ what most likely
happened on the bench, with the cheapest measurement that would tell.

Limits of the standards' classes that are from memory are marked so until the
design says calibration: {limits: confirmed}. This is an evaluation, not an
accredited certificate.

-o writes the record as PDF, --matrix the as-calibrated matrix that loads and
predict take, --teds an electronic data sheet (IEEE 1451.4, bridge template).

Exit status: 0 done, whatever the agreement; 2 bad input; 3 could not read or
write.`,
		Args: designAnd("DATA.csv", "the readings"),
		RunE: func(c *cobra.Command, args []string) error {
			return e.calibrate(c, args, &f)
		},
	}
	fl := c.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "write the record as a PDF `file`")
	fl.StringVar(&f.matrix, "matrix", "", "write the as-calibrated matrix to a `file`")
	fl.StringVar(&f.paper, "paper", "a4", "paper size of the record: a4 or letter")
	fl.StringVar(&f.method, "method", "plain", "method: force-376, force-e74, torque or plain")
	fl.StringVar(&f.zero, "zero", "initial", "zero reduction: none, initial, mean or interpolated")
	fl.IntVar(&f.degree, "degree", 0, "degree of the fit, 1 to 5; 0: chosen by the method")
	fl.BoolVar(&f.second, "second-order", false, "products and squares of the loads in the matrix too")
	fl.BoolVar(&f.through, "through-zero", false, "fit without a constant term; without the flag as the method has it")
	f.sheet.flags(c)
	return c
}

func (e *env) calibrate(c *cobra.Command, args []string, f *calibrateFlags) error {
	o := calibration.Options{Degree: f.degree, SecondOrder: f.second}
	var err error
	if o.Method, err = calibration.ParseMethod(f.method); err != nil {
		return inputf("--method: %v", err)
	}
	if o.Zero, err = calibration.ParseZero(f.zero); err != nil {
		return inputf("--zero: %v", err)
	}
	if f.degree < 0 || f.degree > 5 {
		return inputf("--degree %d: write 1 to 5, or 0 to have it chosen", f.degree)
	}
	if f.paper != "a4" && f.paper != "letter" {
		return inputf("--paper %s is not known; write --paper a4 or --paper letter", f.paper)
	}
	if c.Flags().Changed("through-zero") {
		constant := !f.through
		o.Constant = &constant
	}
	outputs := []string{f.out, f.matrix, f.sheet.file}
	if err := e.distinct(outputs); err != nil {
		return err
	}
	if err := e.oneStandardInput(args); err != nil {
		return err
	}
	for _, out := range outputs {
		if out != "" && out != "-" {
			if err := e.refuse(out, args); err != nil {
				return err
			}
		}
	}
	d, text, err := e.design(args[0])
	if err != nil {
		return err
	}
	if err := needsBridges(args[0], d); err != nil {
		return err
	}
	r, err := e.evaluate(args, d, text, o)
	if err != nil {
		return err
	}
	diag, err := diagnosis.Of(d, diagnosis.Calibrated(r), diagnosis.Options{})
	if err != nil {
		e.note("gridwright: no diagnosis: %v", err)
		diag = nil
	}
	if e.ctx.Err() != nil {
		return e.ctx.Err()
	}
	files, err := e.records(args, f, r, diag)
	if err != nil {
		return err
	}
	if err := e.outputs(files, args); err != nil {
		return err
	}
	if e.json {
		result := calibration.Publish(r)
		if diag != nil {
			result.Diagnosis = diag.Published()
		}
		return e.result(result, r.Options.DesignDigest)
	}
	for _, file := range files {
		if file.name == "-" {
			return nil // the result of the command is that file
		}
	}
	var b bytes.Buffer
	e.text(&b).Calibration(r, diag)
	e.text(&b).Trace(r.Options.DesignDigest)
	_, err = e.out.Write(b.Bytes())
	return e.write(err)
}

// evaluate reads the data and evaluates them.
func (e *env) evaluate(args []string, d *design.Design, text []byte, o calibration.Options) (*calibration.Result, error) {
	in, err := e.open(args[1])
	if err != nil {
		return nil, err
	}
	defer in.Close()
	hash := sha256.New()
	data, err := calibration.Read(io.TeeReader(in, hash), args[1], d)
	if err != nil {
		return nil, readingError(args[1], err)
	}
	o.DesignDigest, o.DataDigest, o.Date = digest(text), hex.EncodeToString(hash.Sum(nil)), d.Part.Date
	o.LimitsConfirmed = d.Calibration.LimitsConfirmed
	for _, n := range data.Notes {
		e.note("gridwright: %s: %s", args[1], n)
	}
	r, err := calibration.Evaluate(d, data, o)
	if err != nil {
		return nil, readingError(args[1], err)
	}
	return r, nil
}

// distinct refuses two outputs under one name.
func (e *env) distinct(names []string) error {
	seen := map[string]bool{}
	for _, n := range names {
		if n != "" && seen[n] {
			return inputf("two results go to %s; write them to different files", n)
		}
		seen[n] = true
		if n == "-" && e.json {
			return inputf("--json and an output to - both want standard output; write the other to a file")
		}
	}
	return nil
}

// file is a result that goes to a file.
type file struct {
	name    string
	content []byte
}

// outputs writes files; when one cannot be written none is left that was not
// there before.
func (e *env) outputs(files []file, inputs []string) (err error) {
	var begun []*whole
	defer func() {
		for _, w := range begun {
			w.abandon()
		}
	}()
	for _, f := range files {
		if f.name == "-" {
			continue
		}
		w, err := e.begin(f.name, inputs)
		if err != nil {
			return err
		}
		begun = append(begun, w)
		if _, err := w.Write(f.content); err != nil {
			return w.failed(err)
		}
	}
	for _, w := range begun {
		if err := w.commit(); err != nil {
			return err
		}
	}
	for _, f := range files {
		if f.name == "-" {
			if _, err := e.out.Write(f.content); err != nil {
				return e.write(err)
			}
		}
	}
	return nil
}

// readingError makes an error of the data one of input, its name before it.
func readingError(name string, err error) error {
	text := err.Error()
	if strings.HasPrefix(text, name+":") {
		return inputError{err}
	}
	return inputError{fmt.Errorf("%s: %w", name, err)}
}

// records makes the files that were asked for.
func (e *env) records(args []string, f *calibrateFlags, r *calibration.Result, diag *diagnosis.Diagnosis) ([]file, error) {
	var files []file
	if f.out != "" {
		var b bytes.Buffer
		missing, err := record.Write(&b, r, diag, record.Options{Paper: f.paper, Sys: e.text(nil).Sys})
		if err != nil {
			return nil, err
		}
		if len(missing) > 0 {
			e.note("gridwright: warning: the record's font lacks %s; they are printed as boxes", quoteRunes(missing))
		}
		files = append(files, file{f.out, b.Bytes()})
	}
	if f.matrix != "" {
		a, err := r.AsCalibrated()
		if err != nil {
			return nil, inputf("--matrix: %v", err)
		}
		var b bytes.Buffer
		if err := a.Write(&b); err != nil {
			return nil, err
		}
		files = append(files, file{f.matrix, b.Bytes()})
	}
	if f.sheet.file != "" {
		image, err := e.image(args[0], &f.sheet, r)
		if err != nil {
			return nil, err
		}
		files = append(files, file{f.sheet.file, image})
	}
	return files, nil
}

package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"github.com/spf13/cobra"

	"gridwright/internal/calibration"
	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
	"gridwright/internal/readout"
	"gridwright/internal/uncertainty"
)

func (e *env) loadsCommand() *cobra.Command {
	var out, matrix string
	var tare int
	var o readout.Options
	c := &cobra.Command{
		Use:   "loads DESIGN LOG.csv",
		Short: "Turn logged bridge outputs into loads with their uncertainty",
		Long: `Read a log with a column for each bridge, NAME [mV/V], optionally time and
temperature columns, and write CSV with a column for each measured load and its
standard uncertainty, row by row: a log of any length takes constant memory.
--matrix takes the as-calibrated matrix that calibrate wrote; without it the
predicted matrix is used, and a note says so. Where the log has a temperature
and the design a range, zero and span are corrected by the prediction.

A row that cannot be read stops the run after the rows before it; with --blank
its loads are left blank and the rows are counted.

Exit status: 0 done; 2 bad input; 3 could not read or write. With --json the
summary is printed; the loads then go to -o.`,
		Args: designAnd("LOG.csv", "the log"),
		RunE: func(_ *cobra.Command, args []string) error {
			if e.json && (out == "" || out == "-") {
				return inputf("--json prints the summary on standard output; write the loads to a file with -o FILE.csv")
			}
			if tare < 0 {
				return inputf("--tare %d: write how many first rows were taken without load", tare)
			}
			o.Tare.Rows = tare
			if err := e.oneStandardInput(args); err != nil {
				return err
			}
			d, text, err := e.design(args[0])
			if err != nil {
				return err
			}
			if err := needsBridges(args[0], d); err != nil {
				return err
			}
			s, err := dossier.WithUncertainty(e.ctx, args[0], text, d, uncertainty.Options{})
			if err := e.predictable(args[0], err); err != nil {
				return err
			}
			inputs := append([]string{}, args...)
			var rec *readout.Recovery
			if matrix == "" {
				var notes []string
				if rec, notes, err = readout.Predicted(s.Result, e.text(nil).Sys); err != nil {
					return inputf("%s: %v", args[0], err)
				}
				e.note("gridwright: no calibration: the loads are by the predicted matrix; `gridwright calibrate` writes the measured one (--matrix)")
				for _, n := range notes {
					e.note("gridwright: note: %s", n)
				}
			} else {
				inputs = append(inputs, matrix)
				if rec, err = e.calibrated(matrix, s); err != nil {
					return err
				}
			}
			in, err := e.open(args[1])
			if err != nil {
				return err
			}
			defer in.Close()
			return e.streamLoads(in, args[1], out, inputs, rec, o)
		},
	}
	f := c.Flags()
	f.StringVarP(&out, "output", "o", "", "the CSV `file` to write instead of standard output")
	f.StringVar(&matrix, "matrix", "", "the as-calibrated matrix, a `file` that calibrate wrote")
	f.IntVar(&tare, "tare", 0, "take the mean of so many first rows as the zero")
	f.BoolVar(&o.Blank, "blank", false, "leave the loads of a bad row blank and go on")
	f.IntVar(&o.Digits, "digits", 0, "significant digits of a load; 0: seven, -1: as many as read back the same")
	f.StringSliceVar(&o.Pass, "pass", nil, "names of further columns to pass through")
	return c
}

// open opens a data file for streaming.
func (e *env) open(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(e.in), nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fileError{fmt.Errorf("cannot read the data: %w", plainPath(err))}
	}
	return f, nil
}

// matrixOf reads an as-calibrated matrix, which must be that of this design's
// bridges and loads.
func (e *env) matrixOf(name string, d *dossier.Dossier) (*calibration.AsCalibrated, error) {
	text, err := e.read(name)
	if err != nil {
		return nil, err
	}
	a, err := calibration.ReadAsCalibrated(bytes.NewReader(text), name)
	if err != nil {
		return nil, inputError{err}
	}
	have := map[string]bool{}
	for _, b := range d.Design.Bridges {
		have[b.Name] = true
	}
	for _, b := range a.Bridges {
		if !have[b] {
			return nil, inputf("%s: the matrix is of a bridge %s, which the design does not have; take the matrix of this design", name, b)
		}
	}
	if a.Design != d.Digest {
		e.note("gridwright: warning: %s was calibrated with another version of the design (sha256 %.12s…, now %.12s…); check that the transducer is the same", name, a.Design, d.Digest)
	}
	return a, nil
}

// calibrated is the recovery of an as-calibrated matrix, with the predicted drift
// of zero and span about the temperature of the calibration.
func (e *env) calibrated(name string, d *dossier.Dossier) (*readout.Recovery, error) {
	a, err := e.matrixOf(name, d)
	if err != nil {
		return nil, err
	}
	r, err := a.Recovery()
	if err != nil {
		return nil, inputf("%s: %v", name, err)
	}
	sys := e.text(nil).Sys
	rec := &readout.Recovery{Bridges: r.Bridges, D: r.Inverse, CovS: r.Covariance, Noise: r.Residual}
	for j, c := range r.Components {
		unit := c.Kind().Unit(sys)
		one, err := quantity.Convert(1, c.Kind(), unit)
		if err != nil {
			return nil, err
		}
		comp := readout.Component{Name: c.String(), Unit: unit, Factor: one, Relative: r.Relative[j], Constant: r.Absolute[j]}
		for k, n := range a.Components {
			if n == c.String() && k < len(a.Ranges) {
				comp.Low, comp.High = a.Ranges[k][0], a.Ranges[k][1]
			}
		}
		rec.Components = append(rec.Components, comp)
	}
	for q, p := range r.Pairs {
		t := readout.Term{First: p[0], Second: p[1]}
		for b := range r.Bridges {
			t.Coefficient = append(t.Coefficient, r.Product[b][q])
		}
		rec.Second = append(rec.Second, t)
	}
	for b := range r.Bridges {
		zero := 0.0
		if b < len(a.ZeroBalance) && a.ZeroBalance[b] != nil {
			zero = *a.ZeroBalance[b] * 1e-3
		} else {
			e.note("gridwright: warning: %s states no zero of bridge %s; 0 is taken, use --tare", name, r.Bridges[b])
		}
		rec.Zero = append(rec.Zero, zero)
	}
	return rec, e.drift(name, a, d, rec)
}

// drift gives a recovery the predicted drift, counted from the temperature of the
// calibration, or from the reference where that is not known.
func (e *env) drift(name string, a *calibration.AsCalibrated, d *dossier.Dossier, rec *readout.Recovery) error {
	if !d.Design.Temperature.HasRange {
		return nil
	}
	all, err := readout.DriftOf(d.Result)
	if err != nil {
		return inputf("%s: %v", name, err)
	}
	kelvin := d.Design.Temperature.Reference.SI
	if a.Temperature != nil {
		kelvin = *a.Temperature + 273.15
	}
	for _, b := range rec.Bridges {
		for i := range d.Design.Bridges {
			if d.Design.Bridges[i].Name != b {
				continue
			}
			one, err := all[i].About(kelvin)
			if err != nil {
				return inputf("%s: calibrated at %.1f °C: %v", name, kelvin-273.15, err)
			}
			rec.Drift = append(rec.Drift, one)
		}
	}
	return nil
}

// streamLoads writes the loads: to standard output as they come, to a file whole or
// not at all.
func (e *env) streamLoads(in io.Reader, name, out string, inputs []string, rec *readout.Recovery, o readout.Options) error {
	if out == "" {
		out = "-"
	}
	var s *readout.Summary
	err := e.stream(out, inputs, func(w io.Writer) error {
		var err error
		s, err = readout.Run(e.ctx, rec, in, w, o)
		return e.ended(name, s, err)
	})
	if err != nil {
		return err
	}
	if e.json {
		return e.result(streamJSON(s), "")
	}
	return nil
}

// ended words the end of a run.
func (e *env) ended(name string, s *readout.Summary, err error) error {
	if s != nil {
		for _, n := range s.Notes {
			e.note("gridwright: %s: %s", name, n)
		}
		for _, p := range s.Problems {
			e.note("gridwright: %s: left blank: %v", name, p)
		}
		if s.Blanks > 0 {
			e.note("gridwright: %s: %d of %d rows left blank", name, s.Blanks, s.Rows)
		}
	}
	var stopped *readout.Stopped
	var problems readout.Problems
	switch {
	case err == nil:
		return nil
	case e.ctx.Err() != nil:
		return e.ctx.Err()
	case errors.As(err, &stopped), errors.As(err, &problems):
		return dataError(name, err)
	}
	var broken brokenWrite
	if errors.As(err, &broken) {
		return err
	}
	return fileError{fmt.Errorf("cannot read %s: %w", name, plainPath(err))}
}

type loadsJSON struct {
	Rows    int                   `json:"rows"`
	Blanks  int                   `json:"blank_rows"`
	Skipped int                   `json:"skipped_lines"`
	Notes   []string              `json:"notes"`
	Loads   []map[string]*float64 `json:"extent"`
	Zero    []float64             `json:"zero_mv_per_v"`
}

func streamJSON(s *readout.Summary) loadsJSON {
	out := loadsJSON{Rows: s.Rows, Blanks: s.Blanks, Skipped: s.Skipped, Notes: append([]string{}, s.Notes...), Loads: []map[string]*float64{}, Zero: []float64{}}
	for _, z := range s.Zero {
		out.Zero = append(out.Zero, z*1e3)
	}
	for _, l := range s.Loads {
		low, high, outside := l.Low, l.High, float64(l.Outside)
		one := map[string]*float64{"low": &low, "high": &high, "rows_outside_calibration": &outside}
		if math.IsNaN(low) {
			one["low"], one["high"] = nil, nil
		}
		out.Loads = append(out.Loads, one)
	}
	return out
}

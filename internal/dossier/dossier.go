// Package dossier assembles everything that is known of one design: the design
// itself, its prediction, and the findings of the check, and puts it into the
// shape of the published result. It computes nothing of its own.
package dossier

import (
	"context"
	"crypto/sha256"
	"encoding/hex"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

// Version of the program, printed on every output that must be traceable.
const Version = "0.1.0"

// Dossier is one design with all that was found out about it.
type Dossier struct {
	File     string // the design file's name as the user gave it
	Digest   string // SHA-256 of its text, hexadecimal
	Design   *design.Design
	Result   *predict.Result
	Findings []check.Finding

	Assumed     []uncertainty.Assumption // tolerances of common practice that the file asked to fill in
	Uncertainty *uncertainty.Result      // nil: not propagated
}

// Of predicts and checks a design that was read from text, its tolerances left
// aside. Where the design assumes common practice the tolerances that it leaves
// out are filled in, in d.
func Of(file string, text []byte, d *design.Design) (*Dossier, error) {
	out, err := predicted(file, text, d)
	if err != nil {
		return nil, err
	}
	out.Findings = check.Of(out.Result)
	return out, nil
}

// WithUncertainty does what Of does and propagates the tolerances, so that the
// findings can judge what hangs on them.
func WithUncertainty(ctx context.Context, file string, text []byte, d *design.Design, o uncertainty.Options) (*Dossier, error) {
	out, err := predicted(file, text, d)
	if err != nil {
		return nil, err
	}
	if out.Uncertainty, err = uncertainty.Of(ctx, out.Result, o); err != nil {
		return nil, err
	}
	for i := range out.Uncertainty.Bridges {
		b := &out.Uncertainty.Bridges[i]
		t := predict.Tolerated{Expanded: b.Relative()}
		t.Expanded.Value *= 2
		for _, c := range b.Crosstalk {
			t.Crosstalk95 = append(t.Crosstalk95, predict.Figure{Value: c.Quantile, Missing: c.Missing})
		}
		out.Result.Tolerated = append(out.Result.Tolerated, t)
	}
	out.Findings = check.Of(out.Result)
	return out, nil
}

func predicted(file string, text []byte, d *design.Design) (*Dossier, error) {
	assumed := uncertainty.Assume(d)
	r, err := predict.Of(d)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(text)
	return &Dossier{File: file, Digest: hex.EncodeToString(sum[:]), Design: d, Result: r, Assumed: assumed}, nil
}

// Cautions stand on every sheet and after every verdict.
var Cautions = []string{
	"A prediction is not a calibration: before its readings are relied on, a transducer is calibrated against a traceable standard.",
	"Load-bearing and rotating parts, pressure equipment, lifting gear and overhead work fall under local codes and licensed practice; this design replaces neither.",
	"Handle solvents, etchants and adhesives by their data sheets, with the ventilation and protection that they ask for.",
	"Stresses here leave out concentrations, fatigue, buckling, residual stress and what surface preparation removes, except where the design states them.",
}

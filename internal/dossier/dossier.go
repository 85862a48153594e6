// Package dossier assembles everything that is known of one design: the design
// itself, its prediction, and the findings of the check, and puts it into the
// shape of the published result. It computes nothing of its own.
package dossier

import (
	"crypto/sha256"
	"encoding/hex"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/predict"
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
}

// Of predicts and checks a design that was read from text.
func Of(file string, text []byte, d *design.Design) (*Dossier, error) {
	r, err := predict.Of(d)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(text)
	return &Dossier{File: file, Digest: hex.EncodeToString(sum[:]), Design: d, Result: r, Findings: check.Of(r)}, nil
}

// Cautions stand on every sheet and after every verdict.
var Cautions = []string{
	"A prediction is not a calibration: before its readings are relied on, a transducer is calibrated against a traceable standard.",
	"Load-bearing and rotating parts, pressure equipment, lifting gear and overhead work fall under local codes and licensed practice; this design replaces neither.",
	"Handle solvents, etchants and adhesives by their data sheets, with the ventilation and protection that they ask for.",
	"Stresses here leave out concentrations, fatigue, buckling, residual stress and what surface preparation removes, except where the design states them.",
}

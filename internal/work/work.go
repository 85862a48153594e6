// Package work shows the calculation behind a prediction: for every figure the
// formula with its source, the numbers put in, and the result, so that a
// reviewer with a pocket calculator can follow it.
//
// A formula is not a text beside the program: every one is evaluated from the
// numbers that are shown with it, and the result must be the figure of the
// prediction, or Of fails. Numbers are in coherent SI units.
//
// Where no closed form is used (the stress on a section that is not round, a
// bridge behind leads whose network has no short formula, Monte Carlo) the value
// is given with the method, and Formula is empty.
package work

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"github.com/expr-lang/expr"

	"gridwright/internal/dossier"
)

// Number is a value that goes into a formula.
type Number struct {
	Symbol string
	SI     float64
	Unit   string // coherent SI unit; "" for a plain number
}

// Step is one figure and how it comes about.
type Step struct {
	What    string // in words
	Symbol  string
	Formula string // in the symbols of With; "" where there is none
	Source  string // of the formula, or the method where there is none
	With    []Number
	Result  float64
	Unit    string
}

// Chapter is a part of the calculation.
type Chapter struct {
	Title string
	Steps []Step
}

// tolerance within which a formula must give the figure, relative.
const tolerance = 1e-9

// writer collects steps; the first formula that does not give its figure stops it.
type writer struct {
	d        *dossier.Dossier
	chapters []Chapter
	err      error
}

// Of is the whole calculation of a dossier. An error is a fault of the program: a
// formula that does not give the figure of the prediction.
func Of(d *dossier.Dossier) ([]Chapter, error) {
	w := &writer{d: d}
	w.section()
	w.grids()
	for b := range d.Result.Bridges {
		w.bridge(b)
	}
	w.strength()
	w.stiffness()
	return w.chapters, w.err
}

func (w *writer) chapter(title string) {
	w.chapters = append(w.chapters, Chapter{Title: title})
}

// add puts a step without a formula.
func (w *writer) add(s Step) {
	last := &w.chapters[len(w.chapters)-1]
	last.Steps = append(last.Steps, s)
}

// show puts a step, after its formula gave its result. scale is the size of the
// terms of a sum that may cancel.
func (w *writer) show(s Step, scale float64) {
	got, err := Evaluate(s.Formula, s.With)
	switch {
	case w.err != nil:
	case err != nil:
		w.err = fmt.Errorf("work: %s: %s: %w", s.What, s.Formula, err)
	case !(math.Abs(got-s.Result) <= tolerance*math.Max(math.Abs(s.Result), scale)):
		w.err = fmt.Errorf("work: %s: the formula %s gives %g, the prediction %g", s.What, s.Formula, got, s.Result)
	}
	if math.Abs(s.Result) < 1e-12*scale {
		s.Result = 0 // what rounding leaves of terms that cancel
	}
	s.With = used(s.Formula, s.With)
	w.add(s)
}

var word = regexp.MustCompile(`[\p{L}_][\p{L}\p{N}_]*`)

// used are the numbers that a formula names.
func used(formula string, with []Number) []Number {
	named := map[string]bool{}
	for _, s := range word.FindAllString(formula, -1) {
		named[s] = true
	}
	var out []Number
	for _, n := range with {
		if named[n.Symbol] {
			out = append(out, n)
		}
	}
	return out
}

var notation = strings.NewReplacer("·", "*", "−", "-", "√", "sqrt")

var functions = map[string]any{
	"sqrt": math.Sqrt, "sin": math.Sin, "cos": math.Cos, "abs": math.Abs, "π": math.Pi,
	"max": math.Max, "min": math.Min,
}

// Evaluate computes a formula as it is written: + − · / ^, brackets, √( ), sin( ),
// cos( ), abs( ), max( , ), min( , ), π, and the symbols of the numbers given.
func Evaluate(formula string, with []Number) (float64, error) {
	env := map[string]any{}
	for k, f := range functions {
		env[k] = f
	}
	for _, n := range with {
		env[n.Symbol] = n.SI
	}
	p, err := expr.Compile(notation.Replace(formula), expr.Env(env), expr.AsFloat64())
	if err != nil {
		return 0, err
	}
	v, err := expr.Run(p, env)
	if err != nil {
		return 0, err
	}
	return v.(float64), nil
}

// symbol makes a name of the design fit for a formula.
func symbol(prefix, name string) string {
	return prefix + "_" + strings.ReplaceAll(name, "-", "_")
}

package calibration

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Bridge is what the readings say of one bridge under the load that it measures,
// alone.
type Bridge struct {
	Index       int // of the design
	Name        string
	Load        design.Component
	Target      int         // index of Load in the design
	Forward     *Polynomial // output against load, V/V
	Inverse     *Polynomial // load against output; nil with a note
	DegreeWhy   string
	Choice      []DegreeStep   // nil when the degree was given
	Fitted      []Fitted       // the readings of the fit, for plots
	Sensitivity predict.Figure // mean slope up to the largest load, V/V per N, N·m or Pa
	Steps       []Step
	Figures     Figures
	E74         *E74 // of that method
	Class       Class
	InUse       InUse
	Missing     string // why there is nothing: no reading under this load alone
	Notes       []string
}

// Fitted is one reading of the fit.
type Fitted struct {
	Line                   int
	Run                    int
	Stepping               Stepping
	Load, Output, Residual float64
}

// Result is the whole evaluation.
type Result struct {
	Design     *design.Design
	Data       *Data
	Title      string
	Options    Options // with what was chosen
	Constant   bool
	Kelvin     predict.Figure // mean temperature of the readings
	At         float64        // K, at which the prediction was made
	Bridges    []Bridge
	Matrix     *Matrix
	Outliers   []Outlier
	Prediction *Prediction
	Comparison []Comparison
	Agrees     bool
	Agreement  string
	Zeros      []Measured   // zero balance of each bridge of the design
	Shunts     [][]Measured // change by each of Data.Shunts, of each bridge
	Notes      []string
}

// Evaluate evaluates the readings of a calibration of the design. The data are not
// changed.
//
// Problems of single rows are given as *Problems; what the readings cannot carry at
// all, such as loads that they do not tell apart, is an error too. What they merely
// lack for one figure leaves that figure missing, with the reason.
func Evaluate(d *design.Design, data *Data, opt Options) (*Result, error) {
	o, err := opt.complete()
	if err != nil {
		return nil, err
	}
	if len(data.Components) != len(d.Loads) || len(data.Bridges) != len(d.Bridges) {
		return nil, fmt.Errorf("%s: the data were read for another design", data.File)
	}
	if err := data.whole(); err != nil {
		return nil, err
	}
	r := &Result{Design: d, Data: data, Title: d.Title, Options: o, Notes: append([]string(nil), data.Notes...)}
	reduced, err := data.reduced(o.Zero)
	if err != nil {
		return nil, err
	}
	r.Notes = append(r.Notes, fmt.Sprintf("zero reduction: %s", zeroWords(o.Zero)))
	b := blockOf(d, r)
	r.Constant = o.Method == Plain || o.Method == ForceE74
	if o.Constant != nil {
		r.Constant = *o.Constant
	}
	if o.Zero == ZeroNone && !r.Constant {
		r.Notes = append(r.Notes, "the fits have no constant term and the outputs were not reduced by their zeros: any zero left in them is taken for load")
	}
	for i := range d.Bridges {
		if !data.HasBridge[i] {
			continue
		}
		br, err := bridgeOf(d, data, i, reduced, o, r.Constant, b)
		if err != nil {
			return nil, err
		}
		r.Bridges = append(r.Bridges, *br)
		r.flag(br)
	}
	if r.Matrix, err = matrixOf(d, data, reduced, o, b); err != nil {
		return nil, err
	}
	r.Notes = append(r.Notes, r.Matrix.Orientation...)
	r.Outliers = append(r.Outliers, r.Matrix.Outliers...)
	r.rest(b)
	if err := r.confront(); err != nil {
		return nil, err
	}
	return r, nil
}

// rest takes zero balances and shunts from the readings without load; the scatter of a
// single reading is that about the matrix.
func (r *Result) rest(b block) {
	var in indicator
	if b.resolution.OK() {
		in.resolution = b.resolution.Value
	}
	if b.indicator.OK() {
		in.relative = b.indicator.Value
	}
	none := Measured{Missing: "the bridge has no reading"}
	r.Zeros, r.Shunts = make([]Measured, len(r.Design.Bridges)), make([][]Measured, len(r.Design.Bridges))
	for i := range r.Zeros {
		r.Zeros[i] = none
		for range r.Data.Shunts {
			r.Shunts[i] = append(r.Shunts[i], none)
		}
	}
	for k, i := range r.Matrix.Bridges {
		in.scatter = math.Sqrt(r.Matrix.Residual[k][k])
		r.Zeros[i] = r.Data.zeroBalance(i, in)
		for s := range r.Data.Shunts {
			r.Shunts[i][s] = r.Data.shuntReading(i, s, in)
		}
	}
}

// confront the result with the prediction.
func (r *Result) confront() error {
	r.At, r.Kelvin = r.Design.Temperature.Reference.SI, predict.None("no column temperature")
	if k, ok := r.Data.Kelvin(); ok {
		r.At, r.Kelvin = k, predict.Some(k)
	}
	if r.Options.NoCompare {
		r.Agreement = "not compared with the prediction"
		return nil
	}
	if !r.Kelvin.OK() {
		r.Notes = append(r.Notes, fmt.Sprintf("no column temperature: compared with the prediction at the reference temperature, %s", quantity.Format(r.At, quantity.Temperature, quantity.SI, 4)))
	}
	r.Prediction = r.Options.Prediction
	if r.Prediction == nil {
		p, err := Predict(r.Design, r.At, r.Data.Shunts)
		if err != nil {
			return err
		}
		r.Prediction = p
	}
	if err := r.compare(); err != nil {
		return err
	}
	r.Agrees, r.Agreement = agreement(r.Comparison)
	return nil
}

// blockOf reads the calibration block and notes what it leaves out.
func blockOf(d *design.Design, r *Result) block {
	take := func(n design.Number, what string) predict.Figure {
		if n.Set {
			return predict.Some(n.SI)
		}
		r.Notes = append(r.Notes, fmt.Sprintf("%s is not stated in the design (calibration): no budget has it", what))
		return predict.None("not stated in the design")
	}
	return block{
		standard:   take(d.Calibration.StandardUncertainty, "the standard uncertainty of the applied load"),
		indicator:  take(d.Calibration.IndicatorUncertainty, "the standard uncertainty of the indicator"),
		resolution: take(d.Calibration.IndicatorResolution, "the resolution of the indicator"),
	}
}

func zeroWords(z Zero) string {
	switch z {
	case ZeroNone:
		return "none; outputs as they are"
	case ZeroMean:
		return "mean of the zero readings of each run"
	case ZeroInterpolated:
		return "straight line between the zero readings before and after"
	}
	return "the zero reading before the loads of each run"
}

// flag names the outliers of a bridge's fit.
func (r *Result) flag(b *Bridge) {
	f := b.Forward
	if f == nil {
		return
	}
	scale := 0.0
	for _, p := range b.Fitted {
		scale = math.Max(scale, math.Abs(p.Output))
	}
	which, t, limit := outlying(f.Residuals, f.Leverage, f.Freedom, f.SumSquares, scale)
	for k, i := range which {
		r.Outliers = append(r.Outliers, Outlier{Line: b.Fitted[i].Line, Bridge: b.Name, Residual: f.Residuals[i], Studentised: t[k], Limit: limit})
	}
}

// bridgeOf fits one bridge against its own load.
func bridgeOf(d *design.Design, data *Data, i int, reduced [][]float64, o Options, constant bool, b block) (*Bridge, error) {
	out := &Bridge{Index: i, Name: d.Bridges[i].Name, Load: d.Bridges[i].Measures, Target: -1}
	for j, l := range d.Loads {
		if l.Component == out.Load {
			out.Target = j
		}
	}
	if out.Target < 0 {
		return nil, fmt.Errorf("bridge %s measures %v, which is no load of the design", out.Name, out.Load)
	}
	l := data.ladderOf(i, out.Target, reduced)
	if l == nil {
		out.Missing = fmt.Sprintf("no reading of bridge %s has %v alone", out.Name, out.Load)
		out.none()
		return out, nil
	}
	out.Notes = l.notes
	points := fitPoints(data, i, out.Target, reduced, o, l)
	x, y := split(points)
	if err := out.fit(x, y, o, constant, b); err != nil {
		out.Missing = err.Error()
		out.none()
		return out, nil
	}
	if o.Method == Force376 || o.Method == Torque {
		points = stepPoints(l)
	}
	for k, p := range points {
		f := Fitted{Load: p.load, Output: p.value, Residual: out.Forward.Residuals[k]}
		if p.row >= 0 {
			r := &data.Readings[p.row]
			f.Line, f.Run, f.Stepping = r.Line, r.Run, r.Stepping
		}
		out.Fitted = append(out.Fitted, f)
	}
	top := l.steps[l.top]
	mean := l.mean()[l.top]
	if math.IsNaN(mean) {
		mean = out.Forward.At(top)
	}
	out.Steps, out.Figures = figuresOf(l, out.Forward, o.Method)
	out.Figures.Creep = data.creep(i, out.Target, reduced, mean, math.Abs(top))
	out.Figures.Resolution = resolutionAsLoad(b.resolution, top, mean)
	out.Figures.LowerLimitFactor = predict.None(fmt.Sprintf("the method %s has none", o.Method))
	if o.Method == ForceE74 {
		e := lowerLimit(points, out.Forward, out.Figures.Resolution)
		out.E74, out.Figures.LowerLimitFactor = &e, e.Factor
	}
	out.Sensitivity = ratio(out.Forward.At(top)-out.Forward.At(0), top)
	out.Class = classify(o.Method, l, out.Steps, &out.Figures, b.standard, o.LimitsConfirmed)
	for k := range out.Steps {
		out.Steps[k].Uncertainty = budgetOf(o.Method, &out.Steps[k], &out.Figures, mean, out.Forward.ResidualSD, b)
	}
	out.InUse = inUse(out.Steps)
	return out, nil
}

// none gives every figure the reason why there is nothing.
func (b *Bridge) none() {
	f := predict.None(b.Missing)
	b.Sensitivity = f
	b.Figures = Figures{Repeatability: f, Reproducibility: f, Interpolation: f, Zero: f, Reversibility: f, Creep: f, Resolution: f, LowerLimitFactor: f}
	b.Class.Missing = b.Missing
	b.InUse.Missing = []string{b.Missing}
}

func resolutionAsLoad(resolution predict.Figure, load, output float64) predict.Figure {
	if !resolution.OK() {
		return resolution
	}
	f := ratio(resolution.Value*load, output)
	f.Value = math.Abs(f.Value)
	return f
}

// fitPoints are the readings that the method fits: all loaded ones (plain; with the
// zeros where nothing was reduced), all rising ones (force-e74), the means of the
// steps (force-376, torque).
func fitPoints(data *Data, b, target int, reduced [][]float64, o Options, l *ladder) []point {
	if o.Method == Force376 || o.Method == Torque {
		return stepPoints(l)
	}
	var out []point
	has := map[int]bool{}
	for i := range l.series {
		has[l.series[i].run] = true
	}
	for i := range data.Readings {
		r := &data.Readings[i]
		if r.Shunt >= 0 || math.IsNaN(reduced[i][b]) || !r.alone(target) {
			continue
		}
		if o.Method == ForceE74 && r.Stepping == Down || r.Loads[target] == 0 && (o.Zero != ZeroNone || o.Method == ForceE74 || !has[r.Run]) {
			continue
		}
		out = append(out, point{i, r.Loads[target], reduced[i][b]})
	}
	return out
}

func stepPoints(l *ladder) []point {
	var out []point
	for k, v := range l.mean() {
		if !math.IsNaN(v) {
			out = append(out, point{-1, l.steps[k], v})
		}
	}
	return out
}

func split(points []point) (x, y []float64) {
	for _, p := range points {
		x, y = append(x, p.load), append(y, p.value)
	}
	return x, y
}

// fit chooses the degree and fits both ways.
func (b *Bridge) fit(x, y []float64, o Options, constant bool, blk block) error {
	degree := o.Degree
	if degree == 0 {
		highest, why := highestDegree(o.Method, blk.resolution, y)
		chosen, steps, err := ChooseDegree(x, y, highest, constant)
		if err != nil {
			return err
		}
		b.Choice = steps
		degree = chosen
		b.DegreeWhy = fmt.Sprintf("degree %d by the F-test of the last coefficient, highest %d: %s", chosen, highest, why)
		if o.Method == Force376 && degree == 1 {
			if _, err := FitPolynomial(x, y, 2, constant); err == nil {
				degree = 2
				b.DegreeWhy += "; the scheme has 2 or 3, so 2"
			}
		}
		if o.Method == Torque && degree == 2 {
			degree = 3
			if _, err := FitPolynomial(x, y, 3, constant); err != nil {
				degree = 1
			}
			b.DegreeWhy += fmt.Sprintf("; the scheme has 1 or 3, so %d", degree)
		}
	} else {
		b.DegreeWhy = fmt.Sprintf("degree %d as asked for", degree)
		switch {
		case o.Method == Torque && degree != 1 && degree != 3:
			b.DegreeWhy += "; the scheme has 1 or 3"
		case o.Method == Force376 && degree != 2 && degree != 3:
			b.DegreeWhy += "; the scheme has 2 or 3"
		}
	}
	var err error
	if b.Forward, err = FitPolynomial(x, y, degree, constant); err != nil {
		return err
	}
	if b.Inverse, err = FitPolynomial(y, x, degree, constant); err != nil {
		b.Notes = append(b.Notes, "no inverse fit: "+err.Error())
	}
	return nil
}

// highestDegree that the method lets the choice begin with.
func highestDegree(m Method, resolution predict.Figure, y []float64) (int, string) {
	switch m {
	case Force376, Torque:
		return 3, "the scheme fits at most the third"
	case ForceE74:
		top := 0.0
		for _, v := range y {
			top = math.Max(top, math.Abs(v))
		}
		switch {
		case !resolution.OK():
			return 2, "more needs a resolution finer than 1/50 000 of the range, which is not stated"
		case resolution.Value*50_000 > top:
			return 2, "the resolution is coarser than 1/50 000 of the range"
		}
		return maxDegree, "the resolution is finer than 1/50 000 of the range"
	}
	return maxDegree, "no standard limits it"
}

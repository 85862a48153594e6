package diagnosis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"gridwright/internal/model"
)

// The least standard uncertainty that a reading is given: what readings are printed to,
// and how far the model itself is to be trusted.
const (
	floorOutput = 1e-9 // V/V
	floorRatio  = 1e-5 // of the bridge's rated output
)

// mostOutput is the output at rated load beyond which a sensitivity is refused, V/V: a
// bridge makes some 1e-3, the greatest slip of units 1e4 times that.
const mostOutput = 1e3

// figure is one observable: an entry of the matrix (times the rated load), a zero or a
// shunt reading, all in V/V.
type figure struct {
	kind   figureKind
	bridge int
	item   int // component of the model, or shunt
}

type figureKind int

const (
	sensitivity figureKind = iota
	zero
	shunt
)

// bench is one calibration beside the design, ready to try causes.
type bench struct {
	m         *model.Model
	opt       Options
	kelvin    float64
	figures   []figure // all that could be measured
	row       int      // figures of one bridge
	used      []int    // figures that were measured
	data      []float64
	noise     *mat.SymDense  // of the used figures, (V/V)²
	offScale  []bool         // of each bridge's zero
	loads     [][2]float64   // of each component of the model
	uncertain []int          // inputs with a tolerance
	scale     []float64      // output of each bridge at rated load, V/V
	states    []*model.State // nominal, then + and − of each uncertain input
	steps     []float64
	priors    [classes]float64 // logarithm of each cause's weight
}

func newBench(m *model.Model, in *Measured, opt Options) (*bench, error) {
	b := &bench{m: m, opt: opt, kelvin: in.Kelvin, loads: make([][2]float64, len(m.Components)), offScale: make([]bool, len(m.Bridges))}
	if b.kelvin == 0 {
		b.kelvin = m.Design.Temperature.Reference.SI
	}
	if !(b.kelvin > 0) || math.IsInf(b.kelvin, 0) {
		return nil, fmt.Errorf("a calibration at %g K; give the temperature of the part above absolute zero", in.Kelvin)
	}
	if len(m.Bridges) == 0 {
		return nil, fmt.Errorf("the design has no bridges to compare a calibration with")
	}
	for br := range m.Bridges {
		for j := range m.Components {
			b.figures = append(b.figures, figure{sensitivity, br, j})
		}
		b.figures = append(b.figures, figure{zero, br, 0})
		for s := range m.Design.Shunts {
			b.figures = append(b.figures, figure{shunt, br, s})
		}
	}
	b.row = len(m.Components) + 1 + len(m.Design.Shunts)
	if err := b.prepare(); err != nil {
		return nil, err
	}
	return b, b.read(in)
}

// prepare computes the states of all inputs that have a tolerance, once for all causes
// that leave the inputs alone.
func (b *bench) prepare() error {
	m := b.m
	nominal := m.NewState()
	if err := m.Set(m.Nominal, nominal); err != nil {
		return err
	}
	b.states = []*model.State{nominal}
	x := append([]float64(nil), m.Nominal...)
	for k, in := range m.Inputs {
		u := in.Standard()
		if !(u > 0) {
			continue
		}
		plus, minus := m.NewState(), m.NewState()
		for try := 0; ; try++ {
			x[k] = in.Nominal + u
			err := m.Set(x, plus)
			x[k] = in.Nominal - u
			if err == nil {
				err = m.Set(x, minus)
			}
			x[k] = in.Nominal
			if err == nil {
				break
			}
			if try == 20 {
				return fmt.Errorf("%s: %w", in.Label(), err)
			}
			u /= 2
		}
		b.uncertain, b.steps = append(b.uncertain, k), append(b.steps, u)
		b.states = append(b.states, plus, minus)
	}
	b.scale = make([]float64, len(m.Bridges))
	out := make([]float64, len(m.Components))
	for br := range m.Bridges {
		if _, err := m.Sensitivity(nominal, br, b.kelvin, out); err != nil {
			return err
		}
		for j := range out {
			b.scale[br] = max(b.scale[br], math.Abs(out[j])*rated(m, j))
		}
	}
	return nil
}

// read takes in what was measured.
func (b *bench) read(in *Measured) error {
	m := b.m
	column := make([]int, len(in.Components)) // component of the model
	for c, comp := range in.Components {
		column[c] = -1
		for j := range m.Components {
			if m.Components[j] == comp {
				column[c] = j
			}
		}
		if column[c] < 0 {
			return fmt.Errorf("the calibration applies %v, which is no load of the design; add it to the loads of the file", comp)
		}
		for e := range c {
			if column[e] == column[c] {
				return fmt.Errorf("the calibration has %v twice", comp)
			}
		}
		if in.Loads != nil {
			if len(in.Loads) != len(in.Components) {
				return fmt.Errorf("%d ranges of load for %d components", len(in.Loads), len(in.Components))
			}
			l := in.Loads[c]
			if math.IsNaN(l[0]+l[1]) || math.IsInf(l[0], 0) || math.IsInf(l[1], 0) || l[1] < l[0] {
				return fmt.Errorf("the range of %v runs from %g to %g; give the least and the greatest load applied", comp, l[0], l[1])
			}
			b.loads[column[c]] = l
		}
	}
	size := func(what string, n int) error {
		if n != 0 && n != len(m.Bridges) {
			return fmt.Errorf("%d rows of %s for %d bridges", n, what, len(m.Bridges))
		}
		return nil
	}
	for _, c := range []struct {
		what string
		n    int
	}{{"sensitivities", len(in.Sensitivity)}, {"standard uncertainties", len(in.Standard)}, {"covariances", len(in.Covariance)}, {"zero readings", len(in.Zero)}, {"shunt readings", len(in.Shunts)}} {
		if err := size(c.what, c.n); err != nil {
			return err
		}
	}
	if n := len(in.LoadStandard); n != 0 && n != len(in.Components) {
		return fmt.Errorf("%d uncertainties of the load standard for %d components", n, len(in.Components))
	}
	for c, u := range in.LoadStandard {
		if !(u >= 0) || math.IsInf(u, 0) {
			return fmt.Errorf("the load standard for %v has a relative standard uncertainty of %g; it must be finite and not negative", in.Components[c], u)
		}
	}

	place := map[int]int{} // figure to its index among the used
	take := func(f int, v float64) {
		place[f] = len(b.used)
		b.used, b.data = append(b.used, f), append(b.data, v)
	}
	// a reading stands between two steps of the indicator, a shunt's change between four
	step := m.Design.Calibration.IndicatorResolution.SI
	var variances []float64
	reading := func(f int, r Reading, what string) error {
		if !r.Taken || r.OffScale {
			return nil
		}
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || !(r.Standard >= 0) || math.IsInf(r.Standard, 0) {
			return fmt.Errorf("%s is %g V/V with a standard uncertainty of %g V/V; a reading needs both, finite", what, r.Value, r.Standard)
		}
		if math.Abs(r.Value) > 1 {
			return fmt.Errorf("%s is %g V/V; no bridge shows more than its supply: readings are in V/V, not mV/V", what, r.Value)
		}
		take(f, r.Value)
		resolution := step * step / 12
		if b.figures[f].kind == shunt {
			resolution *= 2
		}
		variances = append(variances, r.Standard*r.Standard+resolution)
		return nil
	}
	for br := range m.Bridges {
		name, base := m.Bridges[br].Name, br*b.row
		if in.Sensitivity != nil {
			if len(in.Sensitivity[br]) != len(in.Components) {
				return fmt.Errorf("bridge %s has %d sensitivities for %d components", name, len(in.Sensitivity[br]), len(in.Components))
			}
			for c, v := range in.Sensitivity[br] {
				if math.IsNaN(v) {
					continue
				}
				u, err := in.standard(br, c, name)
				if err != nil {
					return err
				}
				if math.IsInf(v, 0) {
					return fmt.Errorf("bridge %s: the sensitivity to %v is not finite", name, in.Components[c])
				}
				r := rated(m, column[c])
				if math.Abs(v*r) > mostOutput {
					return fmt.Errorf("bridge %s: the sensitivity to %v makes %g V/V at rated load; no slip of units explains that: sensitivities are in V/V per %s", name, in.Components[c], v*r, unitOf(in.Components[c]))
				}
				take(base+column[c], v*r)
				variances = append(variances, u*u*r*r)
			}
		}
		if in.Zero != nil {
			b.offScale[br] = in.Zero[br].OffScale
			if err := reading(base+len(m.Components), in.Zero[br], "the zero of bridge "+name); err != nil {
				return err
			}
		}
		if in.Shunts == nil {
			continue
		}
		if n := len(in.Shunts[br]); n > len(m.Design.Shunts) {
			return fmt.Errorf("bridge %s has %d shunt readings, the design %d shunts; add them to the file", name, n, len(m.Design.Shunts))
		}
		for s, r := range in.Shunts[br] {
			if err := reading(base+len(m.Components)+1+s, r, fmt.Sprintf("shunt reading %d of bridge %s", s+1, name)); err != nil {
				return err
			}
		}
	}
	if len(b.used) == 0 {
		any := false
		for _, o := range b.offScale {
			any = any || o
		}
		if !any {
			return fmt.Errorf("the calibration holds no sensitivity, zero or shunt reading to compare")
		}
		return nil
	}
	b.noise = mat.NewSymDense(len(b.used), nil)
	for i, f := range b.used {
		floor := max(floorOutput, floorRatio*b.scale[b.figures[f].bridge])
		b.noise.SetSym(i, i, variances[i]+floor*floor)
	}
	b.correlate(in, column, place)
	return nil
}

// standard is the standard uncertainty of one sensitivity.
func (in *Measured) standard(br, c int, name string) (float64, error) {
	var u float64
	switch {
	case br < len(in.Covariance) && in.Covariance[br] != nil:
		k := in.Covariance[br]
		if len(k) != len(in.Components) {
			return 0, fmt.Errorf("bridge %s: a covariance of %d rows for %d components", name, len(k), len(in.Components))
		}
		for _, row := range k {
			if len(row) != len(in.Components) {
				return 0, fmt.Errorf("bridge %s: the covariance is not square", name)
			}
		}
		for e, row := range k {
			if math.Abs(k[c][e]-row[c]) > 1e-9*(math.Abs(k[c][e])+math.Abs(row[c])) {
				return 0, fmt.Errorf("bridge %s: the covariance is not symmetric", name)
			}
		}
		u = math.Sqrt(k[c][c])
	case br < len(in.Standard) && c < len(in.Standard[br]):
		u = in.Standard[br][c]
	default:
		return 0, fmt.Errorf("bridge %s: the sensitivity to %v has no standard uncertainty; give one, or the covariance", name, in.Components[c])
	}
	if !(u >= 0) || math.IsInf(u, 0) {
		return 0, fmt.Errorf("bridge %s: the sensitivity to %v has a standard uncertainty of %g; it must be finite and not negative", name, in.Components[c], u)
	}
	return u, nil
}

// correlate adds the covariances between components, and what one load standard, or one
// shunt resistor of its tolerance, does to all bridges alike.
func (b *bench) correlate(in *Measured, column []int, place map[int]int) {
	at := func(br, c int) (int, bool) {
		i, ok := place[br*b.row+column[c]]
		return i, ok
	}
	add := func(i, j int, v float64) { b.noise.SetSym(i, j, b.noise.At(i, j)+v) }
	for br := range b.m.Bridges {
		if br >= len(in.Covariance) || in.Covariance[br] == nil {
			continue
		}
		for c := range column {
			for e := range c {
				i, ok := at(br, c)
				j, also := at(br, e)
				if v := in.Covariance[br][c][e]; ok && also && !math.IsNaN(v) {
					add(i, j, v*rated(b.m, column[c])*rated(b.m, column[e]))
				}
			}
		}
	}
	for c, u := range in.LoadStandard {
		for br := range b.m.Bridges {
			i, ok := at(br, c)
			for other := 0; ok && other <= br; other++ {
				if j, also := at(other, c); also {
					add(i, j, u*u*b.data[i]*b.data[j])
				}
			}
		}
	}
	for k, sh := range b.m.Design.Shunts {
		if !(sh.Resistor.SI > 0) {
			continue
		}
		u := sh.Resistor.Standard() / sh.Resistor.SI
		f := len(b.m.Components) + 1 + k
		for br := range b.m.Bridges {
			i, ok := place[br*b.row+f]
			for other := 0; ok && other <= br; other++ {
				if j, also := place[other*b.row+f]; also {
					add(i, j, u*u*b.data[i]*b.data[j])
				}
			}
		}
	}
}

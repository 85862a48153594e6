// Package worksheet plans the calibration of a transducer: which loads to apply
// in which order, what each bridge should then show, and blanks for what it did
// show.
//
// The plan is one long table. A row is one reading; its columns are
//
//	run, position, stepping       a series by its number, the mounting position in degrees, up, down or zero
//	NAME [unit]                   each load of the design
//	NAME [mV/V]                   each bridge, blank: the reading
//	temperature [°C]              blank
//	mounting                      number of the mounting: one more each time the part is turned or mounted again
//	shunt                         empty, or the shunt of that row as "100 kΩ across arm 1"
//	expected NAME [mV/V]          change of the bridge's output from its zero reading, predicted
//	interval NAME [mV/V]          half-width of its 95 % interval, blank where nothing is known
//
// Lines that start with # are for the person at the bench: preloads, turning the
// part, and what the zero reading should be.
//
// Order and number of the series follow the common scheme of force and torque
// calibration (three preloads and two rising series at the first position, one
// preload, a rising and a falling series at each of the others; from memory,
// confirm them against the standard that the certificate is to name). A bending
// moment or a transverse force changes its component when the part is turned, so
// for those the part is mounted again, not turned. It does not know the machine: whether it can push as well as pull, or turn the part.
package worksheet

import (
	"fmt"
	"math"
	"strconv"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// Stepping of a row.
const (
	Zero = "zero"
	Up   = "up"
	Down = "down"
)

// Options of a plan; the zero value asks for ten steps at 0°, 120° and 240°.
type Options struct {
	Steps     int       // of each series, evenly up to rated load; default 10
	Positions []float64 // degrees; default 0, 120, 240
	Preloads  int       // before the first series; default 3
	Sys       quantity.System
	All       bool // also a rising series of each load that the transducer is to reject
}

const (
	maxSteps     = 100
	maxPositions = 12
)

// Row is one reading, or a remark when Remark is set.
type Row struct {
	Remark   string
	Run      int
	Position float64   // degrees
	Mounting int       // from 1
	Stepping string    // zero, up, down
	Loads    []float64 // SI, of each component of the model
	Shunt    int       // index into the design's shunts, or -1
	Expected []float64 // V/V of each bridge, change from zero
	Interval []float64 // half-width, V/V; NaN where nothing is known
}

// Plan is a whole calibration.
type Plan struct {
	Dossier *dossier.Dossier
	Options Options
	Rows    []Row

	mounting int
}

// Of plans the calibration of a design. A design without a bridge, a measured
// load that is rated zero, or options out of range are errors.
func Of(d *dossier.Dossier, o Options) (*Plan, error) {
	if o.Steps == 0 {
		o.Steps = 10
	}
	if o.Preloads == 0 {
		o.Preloads = 3
	}
	if o.Positions == nil {
		o.Positions = []float64{0, 120, 240}
	}
	switch {
	case len(d.Result.Bridges) == 0:
		return nil, fmt.Errorf("the design wires no bridge, so there is nothing to calibrate")
	case o.Preloads < 0 || o.Preloads > maxSteps:
		return nil, fmt.Errorf("%d preloads are not possible; ask for 1 to %d", o.Preloads, maxSteps)
	case o.Steps < 1 || o.Steps > maxSteps:
		return nil, fmt.Errorf("%d steps are not possible; ask for 1 to %d", o.Steps, maxSteps)
	case len(o.Positions) < 1 || len(o.Positions) > maxPositions:
		return nil, fmt.Errorf("%d positions are not possible; give 1 to %d", len(o.Positions), maxPositions)
	}
	for i, p := range o.Positions {
		if math.IsNaN(p) || math.IsInf(p, 0) || math.Abs(p) > 360 {
			return nil, fmt.Errorf("position %g° is not possible; give angles from -360 to 360", p)
		}
		for _, q := range o.Positions[:i] {
			if p == q {
				return nil, fmt.Errorf("position %g° is given twice", p)
			}
		}
	}
	p := &Plan{Dossier: d, Options: o}
	return p, p.fill()
}

// fill writes the rows: each measured load by itself, then their combinations,
// the loads to be rejected when asked for, and the shunts.
func (p *Plan) fill() error {
	m := p.Dossier.Result.Model
	p.remark("write every reading into its blank column; a blank that stays blank is left out")
	for b := range p.Dossier.Result.Bridges {
		br := &p.Dossier.Result.Bridges[b]
		p.remark(fmt.Sprintf("bridge %s: zero reading predicted %+.4f mV/V, within ± %.4f mV/V about that (greatest departure by the stated resistances)",
			br.Name, clean(br.Balance.Nominal)*1e3, br.Balance.Worst*1e3))
	}
	run := 0
	measured, others := p.measured()
	for _, j := range measured {
		if m.Rated[j] == 0 {
			return fmt.Errorf("%v is to be measured but rated 0; give its rated load", m.Components[j])
		}
		for i, position := range p.Options.Positions {
			preloads := 1
			p.mounting++
			if i == 0 {
				preloads = p.Options.Preloads
			}
			mount := fmt.Sprintf("mount at %g°", position)
			if !symmetric(m.Components[j]) {
				// Turned about x, the part would feel the machine's load as another component.
				position = p.Options.Positions[0]
				mount = fmt.Sprintf("mount at %g°", position)
				if i > 0 {
					mount = "take the part out and mount it again the same way round"
				}
			}
			p.remark(fmt.Sprintf("%v: %s; preload %s to %s and back to zero; wait until the zero is steady",
				m.Components[j], mount, times(preloads), p.load(m.Rated[j], j)))
			run++
			p.series(run, position, j, i > 0)
			if i == 0 { // a second rising series without moving the part
				run++
				p.series(run, position, j, false)
			}
		}
	}
	if len(measured) > 1 {
		run++
		p.remark("combined loads, half of rated each, to separate what one load does to another's bridge")
		p.row(Row{Run: run, Position: p.Options.Positions[0], Stepping: Zero, Shunt: -1, Loads: p.none()})
		for a, i := range measured {
			for _, j := range measured[a+1:] {
				for _, sign := range []float64{1, -1} {
					loads := p.none()
					loads[i], loads[j] = m.Rated[i]/2, sign*m.Rated[j]/2
					p.row(Row{Run: run, Position: p.Options.Positions[0], Stepping: Up, Shunt: -1, Loads: loads})
				}
			}
		}
		p.row(Row{Run: run, Position: p.Options.Positions[0], Stepping: Zero, Shunt: -1, Loads: p.none()})
	}
	if p.Options.All {
		for _, j := range others {
			if m.Rated[j] == 0 {
				continue
			}
			run++
			p.remark(fmt.Sprintf("%v: a load to be rejected, alone", m.Components[j]))
			p.series(run, p.Options.Positions[0], j, false)
		}
	}
	if len(p.Dossier.Design.Shunts) > 0 {
		run++
		p.remark("shunt calibration, no load: read without and with each resistor")
		for k := range p.Dossier.Design.Shunts {
			p.row(Row{Run: run, Position: p.Options.Positions[0], Stepping: Zero, Shunt: -1, Loads: p.none()})
			p.row(Row{Run: run, Position: p.Options.Positions[0], Stepping: Zero, Shunt: k, Loads: p.none()})
		}
	}
	return nil
}

// symmetric reports whether a load stays the same component when the part is
// turned about its axis.
func symmetric(c design.Component) bool {
	return c == design.Axial || c == design.Torque || c == design.Pressure
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

func (p *Plan) remark(s string) { p.Rows = append(p.Rows, Row{Remark: s}) }

func (p *Plan) none() []float64 { return make([]float64, len(p.Dossier.Result.Model.Components)) }

// measured are the components to calibrate, then the others, as indexes.
func (p *Plan) measured() (measured, others []int) {
	d := p.Dossier
	for j, c := range d.Result.Model.Components {
		l, _ := d.Design.Load(c)
		used := l.Measure
		for b := range d.Result.Bridges {
			used = used || d.Result.Bridges[b].Target == j
		}
		if used {
			measured = append(measured, j)
		} else {
			others = append(others, j)
		}
	}
	return measured, others
}

// series is zero, the steps up, when falls the steps down, and zero.
func (p *Plan) series(run int, position float64, component int, falls bool) {
	rated := p.Dossier.Result.Model.Rated[component]
	step := func(stepping string, i int) {
		loads := p.none()
		loads[component] = rated * float64(i) / float64(p.Options.Steps)
		p.row(Row{Run: run, Position: position, Stepping: stepping, Shunt: -1, Loads: loads})
	}
	step(Zero, 0)
	for i := 1; i <= p.Options.Steps; i++ {
		step(Up, i)
	}
	if falls {
		for i := p.Options.Steps - 1; i >= 1; i-- {
			step(Down, i)
		}
	}
	step(Zero, 0)
}

// row adds a reading with what each bridge should then show.
func (p *Plan) row(r Row) {
	d := p.Dossier
	for b := range d.Result.Bridges {
		change, half := math.NaN(), math.NaN()
		if r.Shunt >= 0 {
			if v, err := d.Result.Model.Shunted(d.Result.State, b, d.Design.Shunts[r.Shunt]); err == nil {
				change = v
			}
		} else {
			change, half = p.Expect(b, r.Loads)
		}
		r.Expected, r.Interval = append(r.Expected, clean(change)), append(r.Interval, half)
	}
	r.Mounting = max(p.mounting, 1)
	p.Rows = append(p.Rows, r)
}

// Expect is the predicted change of bridge b's output from no load, V/V, at the
// reference temperature, and the half-width of its 95 % interval: the expanded
// uncertainty (k = 2) of the sensitivity to the measured load and the crosstalk
// that 95 % do not pass for each other load, root of the sum of squares. The
// half-width is NaN where the tolerances were not propagated.
func (p *Plan) Expect(b int, loads []float64) (change, half float64) {
	d := p.Dossier
	m, s := d.Result.Model, d.Result.State
	c := model.At(d.Design.Temperature.Reference.SI)
	rest, err := m.Output(s, b, &c)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	copy(c.Load[:], loads)
	v, err := m.Output(s, b, &c)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	change = v - rest
	u := d.Uncertainty
	if u == nil || u.Trials == 0 {
		return change, math.NaN()
	}
	sum := 0.0
	br, ub := &d.Result.Bridges[b], &u.Bridges[b]
	for j, load := range loads {
		if load == 0 {
			continue
		}
		share := load / m.Rated[j]
		if j == br.Target {
			rel := ub.Relative()
			if !rel.OK() {
				return change, math.NaN()
			}
			sum += square(2 * rel.Value * br.Rated * share)
			continue
		}
		if x := ub.Crosstalk[j]; x.OK() {
			sum += square(x.Quantile * br.Rated * share)
		} else {
			return change, math.NaN()
		}
	}
	return change, math.Sqrt(sum)
}

func square(x float64) float64 { return x * x }

// clean makes zero what is below a picovolt per volt.
func clean(v float64) float64 {
	if math.Abs(v) < 1e-12 {
		return 0
	}
	return v
}

// load in words, to six digits at most.
func (p *Plan) load(si float64, j int) string {
	kind := p.Component(j).Kind()
	unit := kind.Unit(p.Options.Sys)
	x, err := quantity.Convert(si, kind, unit)
	if err != nil {
		return "?"
	}
	return strconv.FormatFloat(x, 'g', 6, 64) + " " + unit
}

// Component names a column's load.
func (p *Plan) Component(j int) design.Component { return p.Dossier.Result.Model.Components[j] }

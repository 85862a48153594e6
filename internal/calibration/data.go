package calibration

import (
	"fmt"
	"math"

	"gridwright/internal/design"
)

// Stepping of a reading.
type Stepping int

// The steppings.
const (
	AtZero Stepping = iota
	Up              // load growing from zero
	Down            // load falling towards zero
)

func (s Stepping) String() string { return [...]string{"zero", "up", "down"}[s] }

// Reading is one row of the data, SI.
type Reading struct {
	Line     int // of the file
	Run      int
	Position float64 // degrees
	Mounting int
	Stepping Stepping
	Loads    []float64 // of each load of the design, N, N·m or Pa; 0 without a column
	Outputs  []float64 // of each bridge of the design, V/V; NaN where not taken
	Kelvin   float64   // NaN where not taken
	Time     float64   // s; NaN where not taken
	Shunt    int       // index into Data.Shunts, -1 without
}

// unloaded reports whether every load is zero.
func (r *Reading) unloaded() bool {
	for _, f := range r.Loads {
		if f != 0 {
			return false
		}
	}
	return true
}

// alone reports whether no load but the j-th is applied.
func (r *Reading) alone(j int) bool {
	for k, f := range r.Loads {
		if k != j && f != 0 {
			return false
		}
	}
	return true
}

// Data are the readings of a calibration.
type Data struct {
	File       string
	Components []design.Component // the loads of the design; Reading.Loads goes with them
	Bridges    []string           // of the design; Reading.Outputs goes with them
	HasLoad    []bool             // which have a column
	HasBridge  []bool
	Units      []string // of the loads' columns as the header writes them
	Positions  bool     // there is a column for the position
	Mountings  bool     // and one for the mounting
	Shunts     []design.Shunt
	Readings   []Reading
	Notes      []string // what was left out, and how the file was taken
}

// New makes data without readings for a design whose loads and bridges all have
// a column, for readings that come from elsewhere than a file.
func New(d *design.Design) *Data {
	out := blank(d)
	for j := range out.HasLoad {
		out.HasLoad[j] = true
	}
	for b := range out.HasBridge {
		out.HasBridge[b] = true
	}
	out.Positions = true
	return out
}

func blank(d *design.Design) *Data {
	out := &Data{File: "data"}
	for _, l := range d.Loads {
		out.Components = append(out.Components, l.Component)
	}
	for _, b := range d.Bridges {
		out.Bridges = append(out.Bridges, b.Name)
	}
	out.HasLoad, out.Units = make([]bool, len(d.Loads)), make([]string, len(d.Loads))
	out.HasBridge = make([]bool, len(d.Bridges))
	return out
}

// Kelvin is the mean temperature of the readings, ok false when none was noted.
func (d *Data) Kelvin() (mean float64, ok bool) {
	sum, n := 0.0, 0
	for i := range d.Readings {
		if k := d.Readings[i].Kelvin; !math.IsNaN(k) {
			sum += k
			n++
		}
	}
	if n == 0 {
		return 0, false
	}
	return sum / float64(n), true
}

// maxRuns bounds the tables of steps and runs that the figures are made of.
const maxRuns = 1000

// whole reports what makes the readings unfit for any evaluation.
func (d *Data) whole() error {
	if len(d.Readings) == 0 {
		return fmt.Errorf("%s: there is no reading", d.File)
	}
	runs := map[int]bool{}
	for i := range d.Readings {
		r := &d.Readings[i]
		if len(r.Loads) != len(d.Components) || len(r.Outputs) != len(d.Bridges) {
			return fmt.Errorf("%s: reading %d has %d loads and %d outputs, the design %d and %d", d.File, i+1, len(r.Loads), len(r.Outputs), len(d.Components), len(d.Bridges))
		}
		if runs[r.Run] = true; len(runs) > maxRuns {
			p := &Problems{File: d.File}
			p.add(Problem{Line: r.Line, Column: 1, Text: fmt.Sprintf("more than %d runs; number a series of steps as one run", maxRuns)})
			return p
		}
	}
	return nil
}

// runs lists the runs in the order in which they begin, each with its readings.
func (d *Data) runs() (order []int, rows map[int][]int) {
	rows = map[int][]int{}
	for i := range d.Readings {
		run := d.Readings[i].Run
		if _, seen := rows[run]; !seen {
			order = append(order, run)
		}
		rows[run] = append(rows[run], i)
	}
	return order, rows
}

package design

import "fmt"

// Gauge is one entry of `gauges`: a gauge type of one lot.
type Gauge struct {
	Name              string
	Pattern           string
	CounterClockwise  bool
	Directions        []float64 // of each grid in the pattern, rad clockwise from the pattern's axis, the sense of numbering applied
	GridLength        Number    // along the grid, m
	GridWidth         Number    // across the grid, m
	Centres           [][2]Number
	Backing           Backing
	Resistance        []Number // of each grid, Ω
	GaugeFactor       []Number // of each grid
	Scatter           Number   // grid-to-grid, ratio of the gauge factor
	Transverse        []Number // transverse sensitivity of each grid, ratio
	Drift             Number   // of the gauge factor, 1/K
	StandOff          Number   // foil above the surface, m
	StandOffExpansion Number   // of the layer under the foil, 1/K; curvature effect only when Set
	StandOffPoisson   Number   // default 0.35
	Thermal           ThermalOutput
	PowerDensity      Number // allowed, W/m²
	HeatSink          string // "", good, fair, poor
	MaxStrain         Number // m/m
	Lot               string
	Place             Place
}

// Backing is the gauge's outline, centred on the pattern's origin.
type Backing struct {
	Length, Width Number // along and across the pattern's axis, m
	Set           bool
}

// ThermalOutput is the lot's polynomial.
type ThermalOutput struct {
	Set          bool
	Fahrenheit   bool
	Coefficients []Number // ascending powers of T in °C or °F, µε
	ForFactor    Number   // gauge factor of the instrument it was stated for
	ForExpansion Number   // of the specimen it was stated for, 1/K; not Set: the part's
	Spread       Number   // grid-to-grid slope, 1/K
}

// Placement is one bonded gauge.
type Placement struct {
	Name      string
	Gauge     int    // index into Design.Gauges
	Station   Number // m
	Around    Number // rad; not Set on a face
	Face      string // of a flat-sided part, as the file names it; "" where Around holds
	FaceIndex int    // the same by its place in Section.Faces
	Across    Number // m from the middle of the face, in the sense of growing φ
	Direction Number // rad, turns the pattern clockwise from the part axis
	Measured  Measured
	Place     Place
}

// Measured is what was found after bonding; it then replaces the plan.
type Measured struct {
	Station, Around, Direction Number
	Across                     Number   // on a face
	Resistance                 []Number // of each grid; nil when not measured
}

// AsBonded returns station, around and direction as every command uses them:
// measured where measured, else as planned with the file's placement tolerance
// where the placement states none.
func (p Placement) AsBonded(tol PlacementTolerance) (station, around, direction Number) {
	pick := func(measured, planned, tolerance Number) Number {
		if measured.Set {
			return measured
		}
		if planned.Tolerance == 0 {
			planned.Tolerance, planned.Coverage = tolerance.SI, 0
		}
		return planned
	}
	return pick(p.Measured.Station, p.Station, tol.Station),
		pick(p.Measured.Around, p.Around, tol.Around),
		pick(p.Measured.Direction, p.Direction, tol.Direction)
}

// AcrossAsBonded returns the distance from the middle of the face alike; what the
// bonder keeps along the face is what he keeps along the part.
func (p Placement) AcrossAsBonded(tol PlacementTolerance) Number {
	if p.Measured.Across.Set {
		return p.Measured.Across
	}
	across := p.Across
	if across.Tolerance == 0 {
		across.Tolerance, across.Coverage = tol.Station.SI, 0
	}
	return across
}

// GridRef names one grid: grid Number (from 0) of a placement.
type GridRef struct {
	Placement int // index into Design.Placements
	Grid      int // from 0
}

// GridName is the name of a grid in arms and results, e.g. A3.
func (d *Design) GridName(r GridRef) string {
	return fmt.Sprintf("%s%d", d.Placements[r.Placement].Name, r.Grid+1)
}

// GridResistance is the resistance of a grid, measured where measured.
func (d *Design) GridResistance(r GridRef) Number {
	p := d.Placements[r.Placement]
	if r.Grid < len(p.Measured.Resistance) {
		return p.Measured.Resistance[r.Grid]
	}
	return d.Gauges[p.Gauge].Resistance[r.Grid]
}

// Bridge is one Wheatstone bridge.
type Bridge struct {
	Name       string
	Measures   Component
	Arms       [4]Arm
	Excitation Number // V
	Leads      Leads  // the bridge's own, or the file's
	Place      Place
}

// Arm is one or more grids in series, or a fixed resistor.
type Arm struct {
	Grids    []GridRef
	Resistor Number // Ω, when Grids is empty
	TCR      Number // of the resistor, 1/K
	Place    Place
}

// Fixed reports whether the arm is a fixed resistor.
func (a Arm) Fixed() bool { return len(a.Grids) == 0 }

// Leads between the part and the instrument.
type Leads struct {
	Wires        int    // 0: none
	Each         Number // Ω
	AtInstrument bool   // bridge completion at the instrument
	FollowPart   bool   // copper at the part's temperature
	Place        Place
}

// Remote reports which arms sit at the part: those of grids when the bridge is
// completed at the instrument, else all.
func (b Bridge) Remote() [4]bool {
	var r [4]bool
	for i, a := range b.Arms {
		r[i] = !b.Leads.AtInstrument || !a.Fixed()
	}
	return r
}

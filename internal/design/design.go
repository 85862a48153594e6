// Package design holds one transducer design as plain data: the part, its
// loads, the gauges, where they sit and how they are wired. Everything is in SI
// units; nothing is computed here. The text form is read and written by package
// designfile.
//
// It does not check that a design makes sense (package designfile refuses what
// cannot be computed, package check judges the rest).
package design

import "gridwright/internal/quantity"

// Place says where in the design file a value stands.
type Place struct {
	Path         string // dotted keys and list indexes from 0, e.g. gauges.R.gauge-factor[1]
	Line, Column int    // from 1; 0 when the value is a default and stands nowhere
}

// Number is a quantity of a design with its place in the file. Set is false
// when the file leaves it out: SI is then the documented default, or 0.
type Number struct {
	quantity.Value
	Set   bool
	Place Place
}

// Or returns n, or other where the file leaves n out.
func (n Number) Or(other Number) Number {
	if n.Set {
		return n
	}
	return other
}

// Design is a whole design file.
type Design struct {
	Title       string
	Part        Part
	Loads       []Load // in the order of Components
	Overload    Number // multiple of rated that the part must survive, default 1
	Cycles      Number
	Temperature Temperature
	Gauges      []Gauge     // in the order of the file
	Placements  []Placement // in the order of the file
	Tolerance   PlacementTolerance
	Bridges     []Bridge // in the order of the file
	Leads       Leads
	Instrument  Instrument
	Shunts      []Shunt
	Require     Require
	Pick        Pick
	Calibration Calibration
	Assume      string // "" or "common-practice"
}

// Part is the spring element.
type Part struct {
	Number, Maker, Serial, Drawing, Revision, Date, Note string
	Material                                             Material
	Section                                              Section
	StraightLength                                       Span
	OpenEnds                                             bool   // internal pressure does not load the wall axially
	Speed                                                Number // rad/s
	Transmission                                         string // "", "slip-ring" or "telemetry"
	EndInertias                                          [2]Number
	HasEndInertias                                       bool
	Features                                             []Feature
}

// Span is a range of stations, m.
type Span struct {
	From, To Number
	Set      bool
}

// Material of the part. A built-in material's values carry its identifier as
// their Place.
type Material struct {
	Name        string
	BuiltIn     bool
	Youngs      Number // E, Pa
	Poisson     Number // ν
	Shear       Number // G, Pa; not Set: E/(2(1+ν))
	Density     Number // kg/m³
	Expansion   Number // α, 1/K
	Yield       Number // Pa
	Ultimate    Number // Pa
	Endurance   Number // Pa
	YoungsDrift Number // (1/E) dE/dT, 1/K
	ShearDrift  Number // (1/G) dG/dT, 1/K; not Set: YoungsDrift
	Source      string
	Place       Place
}

// ModulusOfRigidity is G, Pa: the stated one, or E/(2(1+ν)).
func (m Material) ModulusOfRigidity() float64 {
	if m.Shear.Set {
		return m.Shear.SI
	}
	return m.Youngs.SI / (2 * (1 + m.Poisson.SI))
}

// Section of the part. Dimensions stand in the order that the shape's entry in
// package section names.
type Section struct {
	Shape      string
	Dimensions []Number
	Counts     []int // entries of each list of the shape, such as points of an outline
	Place      Place
}

// Feature is a step, hole or keyway that disturbs the strain field, with the
// stress concentration factors stated for it.
type Feature struct {
	Name    string
	Station Number
	Torque  Number // factor on nominal shear stress
	Bending Number // factor on nominal bending stress
	Axial   Number // factor on nominal axial stress
	Place   Place
}

// Load is one component of the load on the part, stated at station 0.
type Load struct {
	Component Component
	Rated     Number // N, N·m or Pa
	Measure   bool   // use: measure; otherwise the transducer is to be blind to it
	Place     Place
}

// Load returns the load of that component, if the file has it.
func (d *Design) Load(c Component) (Load, bool) {
	for _, l := range d.Loads {
		if l.Component == c {
			return l, true
		}
	}
	return Load{}, false
}

// Temperature of use.
type Temperature struct {
	Reference Number // K, default 293.15
	Low, High Number // K
	HasRange  bool
	Across    Number // K from one side of the part to the other
	Toward    Number // rad, the hot side
	Along     Number // K/m
}

// PlacementTolerance is what a bonder is trusted to keep when a placement
// states nothing of its own; limits, with defaults.
type PlacementTolerance struct {
	Station, Around, Direction Number
}

// Instrument is the amplifier or indicator.
type Instrument struct {
	Noise           Number // V rms in the bandwidth
	Bandwidth       Number // Hz
	InputResistance Number // Ω
	Resolution      Number // V
	Set             bool
}

// Shunt is a shunt-calibration resistor, applied to every bridge.
type Shunt struct {
	Resistor     Number // Ω
	Arm          int    // 1 to 4
	AtInstrument bool
	Place        Place
}

// Require holds the limits of the file; each applies to every bridge.
type Require struct {
	RatedOutput  Number // V/V, at least
	Crosstalk    Number // ratio, at most
	Crosstalk95  Number // ratio, at most
	Nonlinearity Number // ratio of rated output, at most
	ZeroDrift    Number // 1/K of rated output, at most
	SpanDrift    Number // 1/K, at most
	Uncertainty  Number // ratio, expanded k = 2, at most
	Strain       Number // m/m, at most
	YieldFactor  Number // at least
}

// Pick restricts what the picker may propose.
type Pick struct {
	Gauges          []int // indexes into Design.Gauges; all when the file leaves it out
	AtMost          int   // gauges
	KeepOut         []Sector
	Stations        []Number
	ForbidFixedArms bool
}

// Sector is a range of angles around the part, from From growing to To (through
// 0° when To is less than From), rad.
type Sector struct {
	From, To Number
}

// Calibration states what the calibration was or will be made with.
type Calibration struct {
	StandardUncertainty  Number // ratio
	IndicatorResolution  Number // V/V
	IndicatorUncertainty Number // ratio

	// LimitsConfirmed says that the user has compared the limits of the classes that
	// the program knows from memory with the standard itself.
	LimitsConfirmed bool
}

package dossier

import (
	"math"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// Result is the published shape of a prediction. Figures that are undefined are
// null; lengths are mm, angles degrees, strains µε, outputs mV/V, stresses MPa;
// sensitivities are mV/V per N·m (moments), N (forces) or Pa (pressure).
type Result struct {
	Format    int             `json:"gridwright"`
	Title     string          `json:"title"`
	Program   string          `json:"program"`
	Digest    string          `json:"input_sha256"`
	Section   Section         `json:"section"`
	Grids     []Grid          `json:"grids"`
	Bridges   []Bridge        `json:"bridges"`
	Matrix    Matrix          `json:"matrix"`
	Strength  Strength        `json:"strength"`
	Stiffness Stiffness       `json:"stiffness"`
	Signal    []Signal        `json:"signal"`
	Findings  []check.Finding `json:"findings"`
	Assumed   []Assumed       `json:"assumed"`
	Trials    *Trials         `json:"monte_carlo"`
	Work      any             `json:"work,omitempty"` // the calculation, when it was asked for

	AsCalibrated any `json:"as_calibrated,omitempty"` // the matrix of a calibration, when it was given
}

// Assumed is a tolerance of common practice that the file asked to fill in.
type Assumed struct {
	Path   string `json:"path"`
	Value  string `json:"value"`
	Source string `json:"source"`
}

// Trials is how the tolerances were propagated.
type Trials struct {
	Trials    int    `json:"trials"`
	Stable    bool   `json:"stable"`
	Seed      uint64 `json:"seed"`
	Generator string `json:"generator"`
}

// Section of the part.
type Section struct {
	Area float64 `json:"area_mm2"`
	Iy   float64 `json:"iy_mm4"`
	Iz   float64 `json:"iz_mm4"`
	Iyz  float64 `json:"iyz_mm4"`
	J    float64 `json:"j_mm4"`

	// relative errors of a section that was solved; absent where closed forms hold
	JError      float64 `json:"j_error,omitempty"`
	StressError float64 `json:"stress_error,omitempty"`
}

// Grid at rated loads.
type Grid struct {
	ID         string              `json:"id"`
	Station    float64             `json:"station_mm"`
	Around     float64             `json:"around_deg"`
	Direction  float64             `json:"direction_deg"`
	Strain     map[string]*float64 `json:"strain_ue"`
	Transverse map[string]*float64 `json:"transverse_strain_ue"`
	Change     map[string]*float64 `json:"resistance_change_ppm"`
}

// Bridge is one bridge.
type Bridge struct {
	Name         string              `json:"name"`
	Measures     string              `json:"measures"`
	Sensitivity  map[string]*float64 `json:"sensitivity"`
	Rated        *float64            `json:"rated_output_mv_per_v"`
	Crosstalk    map[string]*float64 `json:"crosstalk_percent"`
	Crosstalk95  map[string]*float64 `json:"crosstalk_95_percent"`
	Nonlinearity *float64            `json:"nonlinearity_percent"`
	ZeroBalance  Balance             `json:"zero_balance_mv_per_v"`
	ZeroDrift    *float64            `json:"zero_drift_percent_per_10k"`
	ZeroGradient *float64            `json:"zero_gradient_percent"`
	ZeroSpread   *float64            `json:"zero_spread_percent_per_10k"`
	SpanDrift    *float64            `json:"span_drift_percent_per_10k"`
	Temperature  []Point             `json:"temperature"`
	Uncertainty  *Uncertainty        `json:"uncertainty"`
	Shunt        []Shunt             `json:"shunt"`
}

// Balance of a bridge at no load.
type Balance struct {
	Nominal *float64 `json:"nominal"`
	RSS     *float64 `json:"rss"`
	Worst   *float64 `json:"worst"`
}

// Point of the temperature curves.
type Point struct {
	Celsius  float64  `json:"celsius"`
	Zero     *float64 `json:"zero_mv_per_v"`
	Span     *float64 `json:"span_ratio"`
	ZeroBand *float64 `json:"zero_95_half_width_mv_per_v"`
	SpanBand *float64 `json:"span_95_half_width"`
}

// Uncertainty of a bridge's sensitivity to what it measures, by Monte Carlo, and
// its budget of first order.
type Uncertainty struct {
	Standard   *float64    `json:"standard_percent"`
	Expanded   *float64    `json:"expanded_percent"`
	Interval   [2]*float64 `json:"interval_95"`
	Budget     []Share     `json:"budget"`
	FirstOrder *float64    `json:"first_order_standard_percent"`
	Agrees     bool        `json:"first_order_agrees"`
	Why        string      `json:"why,omitempty"`
	Tighten    *Tighten    `json:"tighten"`
}

// Tighten is the tolerance worth tightening first, and what halving it leaves.
type Tighten struct {
	Input    string   `json:"input"`
	Standard *float64 `json:"standard_percent"`
}

// Share of one input in the variance.
type Share struct {
	Input   string  `json:"input"`
	Percent float64 `json:"percent"`
}

// Shunt calibration.
type Shunt struct {
	Ohm        float64  `json:"ohm"`
	Arm        int      `json:"arm"`
	Output     *float64 `json:"mv_per_v"`
	Equivalent *float64 `json:"equivalent"`
}

// Matrix is all bridges together.
type Matrix struct {
	Components  []string     `json:"components"`
	Bridges     []string     `json:"bridges"`
	Sensitivity [][]*float64 `json:"sensitivity"`
	Measured    []string     `json:"measured"`
	Condition   *float64     `json:"condition"`
	Inverse     [][]*float64 `json:"inverse"`
}

// Strength of the part.
type Strength struct {
	VonMises      *float64 `json:"von_mises_mpa"`
	YieldFactor   *float64 `json:"yield_factor"`
	OverloadYield *float64 `json:"overload_yield_factor"`
	Reversed      *float64 `json:"endurance_factor_reversed"`
	Pulsating     *float64 `json:"endurance_factor_pulsating_goodman"`
}

// Stiffness of the straight length.
type Stiffness struct {
	Torsional  *float64 `json:"torsional_nm_per_rad"`
	Axial      *float64 `json:"axial_n_per_mm"`
	Bending    *float64 `json:"bending_nm2"`
	Frequency  *float64 `json:"natural_frequency_hz"`
	Twist      *float64 `json:"twist_at_rated_mrad"`
	Elongation *float64 `json:"elongation_at_rated_um"`
	Bend       *float64 `json:"bending_angle_at_rated_mrad"`
	Stronger   *float64 `json:"bending_stronger_axis_nm2,omitempty"` // absent where every axis is a principal one
}

// Signal of one bridge.
type Signal struct {
	Bridge      string   `json:"bridge"`
	Johnson     *float64 `json:"johnson_uv"`
	Smallest    *float64 `json:"smallest_step"`
	Power       *float64 `json:"power_mw_per_grid"`
	Limit       *float64 `json:"excitation_limit_v"`
	Recommended *float64 `json:"recommended_excitation_v"`
	CommonMode  *float64 `json:"common_mode_v"`
	Resolved    *float64 `json:"load_per_resolution_step"`
}

// number is a finite value times scale, or nil.
func number(v, scale float64) *float64 {
	v *= scale
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func figure(f predict.Figure, scale float64) *float64 {
	if !f.OK() {
		return nil
	}
	return number(f.Value, scale)
}

const deg = math.Pi / 180

// Published puts the dossier into the shape of the result.
func (d *Dossier) Published() Result {
	r := d.Result
	out := Result{Format: 1, Title: d.Design.Title, Program: "gridwright " + Version, Digest: d.Digest,
		Section:   SectionOf(r),
		Strength:  Strength{number(r.Strength.VonMises, 1e-6), figure(r.Strength.YieldFactor, 1), figure(r.Strength.OverloadYield, 1), figure(r.Strength.Reversed, 1), figure(r.Strength.Pulsating, 1)},
		Stiffness: Stiffness{figure(r.Stiffness.Torsional, 1), figure(r.Stiffness.Axial, 1e-3), figure(r.Stiffness.Bending, 1), figure(r.Stiffness.Frequency, 1), figure(r.Stiffness.Twist, 1e3), figure(r.Stiffness.Elongation, 1e6), figure(r.Stiffness.Bend, 1e3), figure(r.Stiffness.Stronger, 1)},
		Findings:  d.Findings,
	}
	if out.Findings == nil {
		out.Findings = []check.Finding{}
	}
	components := r.Model.Components
	byName := func(values []float64, scale float64) map[string]*float64 {
		m := map[string]*float64{}
		for j, c := range components {
			m[c.String()] = number(values[j], scale)
		}
		return m
	}
	out.Grids = []Grid{}
	for _, g := range r.Grids {
		out.Grids = append(out.Grids, Grid{ID: g.Name, Station: g.Station * 1e3, Around: g.Around / deg, Direction: g.Direction / deg,
			Strain: byName(g.Along, 1e6), Transverse: byName(g.Across, 1e6), Change: byName(g.Change, 1e6)})
	}
	out.Bridges, out.Signal = []Bridge{}, []Signal{}
	for i, b := range r.Bridges {
		pub := bridgeOf(&b, components, byName)
		if d.Uncertainty != nil {
			d.uncertain(&pub, i)
		}
		out.Bridges = append(out.Bridges, pub)
		out.Signal = append(out.Signal, Signal{b.Name, figure(b.Signal.Johnson, 1e6), figure(b.Signal.Smallest, 1), figure(b.Signal.Power, 1e3),
			figure(b.Signal.Limit, 1), figure(b.Signal.Recommended, 1), figure(b.Signal.CommonMode, 1), figure(b.Signal.Resolved, 1)})
	}
	out.Matrix = matrixOf(r)
	out.Assumed = []Assumed{}
	for _, a := range d.Assumed {
		out.Assumed = append(out.Assumed, Assumed{a.Path, a.Value, a.Source})
	}
	if u := d.Uncertainty; u != nil && u.Trials > 0 {
		out.Trials = &Trials{u.Trials, u.Stable, u.Seed, u.Generator}
	}
	return out
}

// celsius drops what the rounding of 273.15 leaves behind, so that 263.15 K is -10.
func celsius(kelvin float64) float64 { return math.Round((kelvin-273.15)*1e9) / 1e9 }

// SectionOf is the section's properties in the shape of the result.
func SectionOf(r *predict.Result) Section {
	p := r.Section
	return Section{p.Area * 1e6, p.Iy * 1e12, p.Iz * 1e12, p.Iyz * 1e12, p.J * 1e12, p.JError, p.StressError}
}

func bridgeOf(b *predict.Bridge, components []design.Component, byName func([]float64, float64) map[string]*float64) Bridge {
	out := Bridge{Name: b.Name, Measures: b.Measures.String(), Sensitivity: byName(b.Sensitivity, 1e3),
		Rated: number(b.Rated, 1e3), Nonlinearity: figure(b.Nonlinearity, 100),
		ZeroBalance:  Balance{number(b.Balance.Nominal, 1e3), number(b.Balance.RSS, 1e3), number(b.Balance.Worst, 1e3)},
		ZeroDrift:    figure(b.Temperature.ZeroDrift, 1000),
		ZeroGradient: figure(b.Temperature.ZeroGradient, 100),
		SpanDrift:    figure(b.Temperature.SpanDrift, 1000),
		Crosstalk:    map[string]*float64{},
		Shunt:        []Shunt{},
	}
	for j, f := range b.Crosstalk {
		if j != b.Target {
			out.Crosstalk[components[j].String()] = figure(f, 100)
		}
	}
	for _, p := range b.Temperature.Rows {
		out.Temperature = append(out.Temperature, Point{celsius(p.Kelvin), number(p.Zero, 1e3), figure(p.Span, 1), nil, nil})
	}
	for _, s := range b.Shunts {
		out.Shunt = append(out.Shunt, Shunt{s.Resistor, s.Arm, number(s.Output, 1e3), figure(s.Equivalent, 1)})
	}
	return out
}

func matrixOf(r *predict.Result) Matrix {
	m := r.Matrix
	out := Matrix{Components: []string{}, Bridges: []string{}, Sensitivity: [][]*float64{}, Measured: []string{}, Condition: figure(m.Condition, 1)}
	for _, c := range r.Model.Components {
		out.Components = append(out.Components, c.String())
	}
	for _, c := range m.Measured {
		out.Measured = append(out.Measured, c.String())
	}
	for i, b := range r.Bridges {
		out.Bridges = append(out.Bridges, b.Name)
		out.Sensitivity = append(out.Sensitivity, row(m.Sensitivity[i], 1e3))
	}
	for _, v := range m.Inverse {
		out.Inverse = append(out.Inverse, row(v, 1e-3))
	}
	return out
}

func row(values []float64, scale float64) []*float64 {
	out := make([]*float64, len(values))
	for i, v := range values {
		out[i] = number(v, scale)
	}
	return out
}

package designfile

import "strings"

// note is what is told of a key beside what its table says.
type note struct {
	about   string // one sentence
	example string // as the file writes it; "" where the form gives one
}

// notes is by path, with * for a name of the user's and [] for an item of a list.
// Every key of the tables has one; a dimension of a section may do without.
var notes = map[string]note{
	"gridwright": {"Version of this file format.", "1"},
	"title":      {"What the transducer is, in a line; it heads every output.", "Drive shaft, torque and bending"},

	"part":                           {"The part that carries the load and becomes the spring element.", "{material: 42CrMo4+QT, section: {shape: round, outside-diameter: 40 mm}}"},
	"part.number":                    {"The part's number, recorded on the sheet.", "AG-114"},
	"part.maker":                     {"Who made the part, recorded on the sheet.", "own workshop"},
	"part.serial":                    {"The serial number of this part, recorded on the sheet.", "S-0007"},
	"part.drawing":                   {"The number of the part's drawing, recorded on the sheet.", "AG-114-02"},
	"part.revision":                  {"The revision of the drawing, recorded on the sheet.", "B"},
	"part.date":                      {"The date of the design, recorded on the sheet as written.", "2026-11-02"},
	"part.note":                      {"A remark that is recorded on the sheet.", "strip the paint on 80 mm before bonding"},
	"part.material":                  {"The metal: the name of a built-in one (the command `materials` lists them), or a mapping with the values of a certificate.", "42CrMo4+QT"},
	"part.section":                   {"The cross-section where the gauges are bonded: a shape and its dimensions.", "{shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.10 mm}"},
	"part.section.shape":             {"The shape of the cross-section; it decides which dimensions there are.", ""},
	"part.section.outside-diameter":  {"Diameter over the outer surface, on which the gauges are bonded.", "60 mm ± 0.05 mm"},
	"part.section.inside-diameter":   {"Diameter of the bore.", "44 mm ± 0.10 mm"},
	"part.section.flats":             {"The flats of the shaft, each by the angle of its outward normal and its distance from the axis.", "[{normal: 0°, across: 17 mm}, {normal: 180°, across: 17 mm}]"},
	"part.section.outline":           {"The corners of the section, [y, z] each, in order round it.", "[[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 20 mm], [0 mm, 20 mm]]"},
	"part.section.holes":             {"Holes in the section, each a list of its corners.", "[[[5 mm, 5 mm], [15 mm, 5 mm], [15 mm, 15 mm]]]"},
	"part.straight-length":           {"From where to where the section is uniform, in stations along the part; without it there are no stiffness figures and ends are not judged.", "{from: -120 mm, to: 120 mm}"},
	"part.straight-length.from":      {"The station where the uniform length begins.", "-120 mm"},
	"part.straight-length.to":        {"The station where the uniform length ends.", "120 mm"},
	"part.ends":                      {"Whether internal pressure pulls the part lengthwise: closed ends do (the default), open ones do not.", "closed"},
	"part.speed":                     {"The speed of rotation, if the part turns.", "300 rpm"},
	"part.transmission":              {"How the signal leaves a turning part.", "telemetry"},
	"part.end-inertias":              {"Moments of inertia of what is mounted at the two ends, for the torsional natural frequency.", "[0.02 kg·m², 0.5 kg·m²]"},
	"part.features":                  {"Steps, holes, keyways and the like that disturb the strain field and limit the strength.", "[{name: shoulder fillet, station: 130 mm, factor: {torque: 1.4, bending: 1.7}}]"},
	"part.features[].name":           {"What the feature is.", "shoulder fillet"},
	"part.features[].station":        {"Where it is along the part.", "130 mm"},
	"part.features[].factor":         {"Its stress concentration factors, each 1 where it is not given.", "{torque: 1.4, bending: 1.7, axial: 1.6}"},
	"part.features[].factor.torque":  {"Stress concentration factor in torsion.", "1.4"},
	"part.features[].factor.bending": {"Stress concentration factor in bending.", "1.7"},
	"part.features[].factor.axial":   {"Stress concentration factor in tension.", "1.6"},

	"part.material.name":           {"What the metal is, for the sheet.", "steel of the certificate"},
	"part.material.youngs-modulus": {"Young's modulus; the output is inversely proportional to it.", "206 GPa ± 1 %"},
	"part.material.poisson-ratio":  {"Poisson's ratio.", "0.29 ± 0.01"},
	"part.material.shear-modulus":  {"Shear modulus; without it E/(2(1+ν)).", "80 GPa"},
	"part.material.density":        {"Density, for the stress of rotation.", "7850 kg/m³"},
	"part.material.expansion":      {"Coefficient of linear thermal expansion; without it 0, and a note says so.", "11.5 ppm/K"},
	"part.material.yield":          {"Yield strength; without it there are no yield factors.", "650 MPa"},
	"part.material.ultimate":       {"Tensile strength.", "900 MPa"},
	"part.material.endurance":      {"Endurance limit for reversed stress.", "400 MPa"},
	"part.material.youngs-drift":   {"Temperature coefficient of Young's modulus, negative for most metals; without it 0.", "-270 ppm/K"},
	"part.material.shear-drift":    {"Temperature coefficient of the shear modulus; without it that of Young's modulus.", "-280 ppm/K"},
	"part.material.source":         {"Where the values come from, for the sheet.", "certificate of the bar"},

	"loads":           {"Every load that the part sees, at station 0, to be measured or to be rejected; a load that is left out counts as absent.", "{torque: {rated: 1200 N·m, use: measure}}"},
	"loads.axial":     {"Force along the part, tension positive.", "{rated: 15 kN, use: reject}"},
	"loads.shear-y":   {"Transverse force along the section's y axis.", "{rated: 2 kN, use: reject}"},
	"loads.shear-z":   {"Transverse force along the section's z axis.", "{rated: 2 kN, use: reject}"},
	"loads.torque":    {"Moment about the part's axis; a positive one stretches a grid at +45°.", "{rated: 1200 N·m, use: reject}"},
	"loads.bending-y": {"Bending moment about the section's y axis; a positive one stretches the +z side.", "{rated: 400 N·m, use: reject}"},
	"loads.bending-z": {"Bending moment about the section's z axis; a positive one stretches the -y side.", "{rated: 400 N·m, use: reject}"},
	"loads.pressure":  {"Internal pressure.", "{rated: 20 MPa, use: reject}"},

	"overload": {"What multiple of every rated load the part must survive; without it 1.", "1.5"},
	"cycles":   {"How many cycles of rated load the part and the gauges must bear.", "1e7"},

	"temperature":                 {"The temperatures in service; without a range there are no temperature figures.", "{reference: 20 °C, range: [-10 °C, 60 °C]}"},
	"temperature.reference":       {"The temperature at which the bridges are balanced; without it 20 °C.", "20 °C"},
	"temperature.range":           {"The lowest and the highest temperature in service.", "[-10 °C, 60 °C]"},
	"temperature.gradient":        {"Temperature differences over the part.", "{across: 2 K, toward: 90°, along: 5 K/m}"},
	"temperature.gradient.across": {"Temperature difference from one side of the part to the opposite one.", "2 K"},
	"temperature.gradient.toward": {"The angle round the part of the warm side; without it the worst is taken.", "90°"},
	"temperature.gradient.along":  {"Rise of temperature along the part.", "5 K/m"},

	"gauges":                                {"The strain gauges that may be bonded, one entry for each lot, by names of your own.", "{S: {pattern: shear-pair, grid: {length: 3 mm, width: 2.2 mm}, resistance: 350 Ω ± 0.3 %, gauge-factor: 2.06 ± 1 %}}"},
	"gauges.*.pattern":                      {"How the grids stand to each other on their backing.", "rectangular-rosette"},
	"gauges.*.numbered":                     {"Which way the grids of the package are numbered; counterclockwise negates the directions, centres stay as written.", "clockwise"},
	"gauges.*.grid":                         {"The size of one grid, from the package.", "{length: 3.2 mm, width: 2.5 mm}"},
	"gauges.*.grid.length":                  {"Length of a grid, without its end loops.", "3.2 mm"},
	"gauges.*.grid.width":                   {"Width of a grid.", "2.5 mm"},
	"gauges.*.directions":                   {"For pattern custom: the direction of each grid, clockwise from the pattern's axis.", "[0°, 60°]"},
	"gauges.*.centres":                      {"Where each grid's centre is, [along, across] the pattern's axis; without it all grids are taken as stacked at one point.", "[[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]]"},
	"gauges.*.backing":                      {"The outline of the backing, for overlap and the drawings; without it the rectangle about the grids.", "{length: 9 mm, width: 11 mm}"},
	"gauges.*.backing.length":               {"Length of the backing along the pattern's axis.", "9 mm"},
	"gauges.*.backing.width":                {"Width of the backing across the pattern's axis.", "11 mm"},
	"gauges.*.resistance":                   {"Resistance of a grid, from the package: one value for all, or a list of one for each.", "350 Ω ± 0.2 %"},
	"gauges.*.gauge-factor":                 {"Gauge factor, from the package: one value for all, or a list of one for each grid.", "2.08 ± 0.5 %"},
	"gauges.*.gauge-factor-scatter":         {"How much the gauge factor differs from grid to grid of the lot; without it 0.", "0.1 %"},
	"gauges.*.transverse-sensitivity":       {"Transverse sensitivity, from the package: one value for all, or a list of one for each grid; without it 0.", "0.9 %"},
	"gauges.*.gauge-factor-drift":           {"Temperature coefficient of the gauge factor, from the package; without it 0.", "1.2 %/100K"},
	"gauges.*.stand-off":                    {"Height of the foil above the part: adhesive and backing; without it 0.", "0.05 mm ± 0.02 mm"},
	"gauges.*.stand-off-expansion":          {"Thermal expansion of adhesive and backing, for the thermal output on a curved surface, which is left out without it.", "60 ppm/K"},
	"gauges.*.stand-off-poisson":            {"Poisson's ratio of adhesive and backing; without it 0.35.", "0.35"},
	"gauges.*.thermal-output":               {"The polynomial of the thermal output, from the package; without it none is reckoned with.", "{celsius: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], for-factor: 2.0, for-expansion: 11.3 ppm/K}"},
	"gauges.*.thermal-output.celsius":       {"Coefficients of the thermal output in µε, of rising powers of the temperature in °C.", "[-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7]"},
	"gauges.*.thermal-output.fahrenheit":    {"Coefficients of the thermal output in µε, of rising powers of the temperature in °F.", "[-55.2, 1.32, -1.1e-2, 3.1e-5, -2.9e-8]"},
	"gauges.*.thermal-output.for-factor":    {"The gauge factor at which the polynomial was measured; without it 2.0.", "2.0"},
	"gauges.*.thermal-output.for-expansion": {"The thermal expansion of the metal on which it was measured; without it that of the part.", "11.3 ppm/K"},
	"gauges.*.thermal-output.spread":        {"How much the thermal output differs from grid to grid of the lot, per kelvin.", "0.15 µε/K"},
	"gauges.*.power-density":                {"The power per grid area that is allowed; give this or heat-sink.", "3 mW/mm²"},
	"gauges.*.heat-sink":                    {"How well the part leads the heat of the grids away; give this or power-density.", "good"},
	"gauges.*.max-strain":                   {"The greatest strain that the gauge may see.", "1500 µε"},
	"gauges.*.lot":                          {"The lot and whatever else the package says, recorded on the sheet.", "lot number of the package"},

	"placements":                       {"Where gauges are bonded, by names of your own; leave it out and the command `pick` chooses.", "{A: {gauge: R, station: 0 mm, around: 90°, direction: 0°}, B: {gauge: R, station: 0 mm, around: 270°, direction: 0°}}"},
	"placements.*.gauge":               {"The entry of `gauges` that is bonded here.", "R"},
	"placements.*.station":             {"Where along the part; without it 0.", "0 mm"},
	"placements.*.around":              {"Where round the part: the angle from +y toward +z.", "90°"},
	"placements.*.face":                {"On a flat-sided part, the face by its outward normal, or a polygon's edge by its number.", "+z"},
	"placements.*.across":              {"On a flat-sided part, the distance from the middle of the face.", "0 mm"},
	"placements.*.direction":           {"By how much the pattern's axis is turned clockwise from the part's axis; without it 0.", "0°"},
	"placements.*.measured":            {"What was measured after bonding; every command then uses it.", "{station: 0.3 mm, around: 90.4°, direction: -0.5°}"},
	"placements.*.measured.station":    {"The station as bonded.", "0.3 mm"},
	"placements.*.measured.around":     {"The angle round the part as bonded.", "90.4°"},
	"placements.*.measured.across":     {"The distance from the middle of the face as found after bonding.", "0.2 mm"},
	"placements.*.measured.direction":  {"The direction as bonded.", "-0.5°"},
	"placements.*.measured.resistance": {"The resistance of each grid as bonded.", "[350.2 Ω, 349.9 Ω, 350.1 Ω]"},

	"placement-tolerance":           {"How far a bonded gauge may be off its place, as limits.", "{station: 0.5 mm, around: 1°, direction: 1°}"},
	"placement-tolerance.station":   {"Limit of the error along the part; without it 0.5 mm.", "0.5 mm"},
	"placement-tolerance.around":    {"Limit of the error round the part; without it 1°.", "1°"},
	"placement-tolerance.direction": {"Limit of the error of the direction; without it 1°.", "1°"},

	"bridges":                {"How the grids are wired, by names of your own; leave it out and the command `pick` chooses.", "{T: {measures: torque, arms: [A3, A1, B3, B1], excitation: 5 V}}"},
	"bridges.*.measures":     {"The load that the bridge is to measure.", "torque"},
	"bridges.*.arms":         {"The four arms in the order of the ring: each a grid, a list of grids in series, or a fixed resistor.", "[A3, A1, B3, B1]"},
	"bridges.*.arms[].value": {"Resistance of a fixed arm.", "350 Ω ± 0.01 %"},
	"bridges.*.arms[].tcr":   {"Its temperature coefficient; without it 0.", "5 ppm/K"},
	"bridges.*.excitation":   {"The supply voltage of the bridge.", "5 V"},

	"instrument":                  {"The amplifier or indicator, for the smallest step that can be told.", "{noise: 0.5 µV, bandwidth: 100 Hz, input-resistance: 1 GΩ, resolution: 0.1 µV}"},
	"instrument.noise":            {"Its noise referred to the input, rms.", "0.5 µV"},
	"instrument.bandwidth":        {"Its bandwidth.", "100 Hz"},
	"instrument.input-resistance": {"Its input resistance; without it no current flows into it.", "1 GΩ"},
	"instrument.resolution":       {"The smallest step that it shows.", "0.1 µV"},

	"shunt":            {"Shunt resistors for a check of the span.", "[{resistor: 100 kΩ, arm: 1, at: part}]"},
	"shunt[].resistor": {"The resistance that is put across an arm.", "100 kΩ ± 0.1 %"},
	"shunt[].arm":      {"The arm that it is put across.", "1"},
	"shunt[].at":       {"Whether it is connected at the part or at the instrument, behind the leads.", "part"},

	"require":                       {"What every bridge must meet; `check` judges by it and `pick` ranks by it.", "{rated-output: {at-least: 0.1 mV/V}, yield-factor: {at-least: 2}}"},
	"require.rated-output":          {"The magnitude of the output at rated load.", "{at-least: 0.1 mV/V}"},
	"require.rated-output.at-least": {"The least magnitude of the output at rated load.", "0.1 mV/V"},
	"require.crosstalk":             {"Output from any other rated load, in % of the rated output; without it `pick` works to 0.05 % and says so.", "{at-most: 1 %}"},
	"require.crosstalk.at-most":     {"The most crosstalk of a design bonded without error.", "1 %"},
	"require.crosstalk-95":          {"Crosstalk that 95 % of the built transducers stay below, tolerances included.", "{at-most: 6 %}"},
	"require.crosstalk-95.at-most":  {"The most crosstalk with tolerances.", "6 %"},
	"require.nonlinearity":          {"Deviation from a straight line, in % of the rated output.", "{at-most: 0.05 %}"},
	"require.nonlinearity.at-most":  {"The most nonlinearity.", "0.05 %"},
	"require.zero-drift":            {"Drift of zero with temperature, in % of the rated output.", "{at-most: 0.5 %/10K}"},
	"require.zero-drift.at-most":    {"The most drift of zero.", "0.5 %/10K"},
	"require.span-drift":            {"Drift of the sensitivity with temperature.", "{at-most: 0.5 %/10K}"},
	"require.span-drift.at-most":    {"The most drift of the sensitivity.", "0.5 %/10K"},
	"require.uncertainty":           {"Expanded uncertainty (k = 2) of the predicted sensitivity.", "{at-most: 4 %}"},
	"require.uncertainty.at-most":   {"The most uncertainty of the predicted sensitivity.", "4 %"},
	"require.strain":                {"Strain along any grid, all rated loads adding up.", "{at-most: 1500 µε}"},
	"require.strain.at-most":        {"The most strain under a grid.", "1500 µε"},
	"require.yield-factor":          {"Yield strength divided by the equivalent stress at rated loads.", "{at-least: 2}"},
	"require.yield-factor.at-least": {"The least factor against yield.", "2"},

	"pick":            {"What the command `pick` may use.", "{gauges: [R], at-most: 4, keep-out: [[150°, 170°]], stations: [0 mm]}"},
	"pick.gauges":     {"The gauges that may be bonded; without it all of `gauges`.", "[R]"},
	"pick.at-most":    {"The greatest number of gauges bonded; without it 4.", "4"},
	"pick.keep-out":   {"Sectors round the part where nothing can be bonded.", "[[150°, 170°]]"},
	"pick.stations":   {"The stations where gauges may be bonded; without it 0.", "[0 mm, 40 mm]"},
	"pick.fixed-arms": {"Whether bridges may be completed with fixed resistors.", "allowed"},

	"calibration":                       {"What the transducer will be calibrated with.", "{standard-uncertainty: 0.05 %, indicator-resolution: 0.01 µV/V, indicator-uncertainty: 0.01 %}"},
	"calibration.standard-uncertainty":  {"Standard uncertainty (k = 1) of the load that the reference standard applies.", "0.05 %"},
	"calibration.indicator-resolution":  {"Resolution of the indicator.", "0.01 µV/V"},
	"calibration.indicator-uncertainty": {"Standard uncertainty of the indicator.", "0.01 %"},
	"calibration.limits":                {"Whether you have compared the limits of the classes, which the program has from memory, with the standard.", "confirmed"},

	"assume":       {"Fill tolerances that the file leaves out with those of common practice, marked in every output; without it a value with no ± is exact.", "common-practice"},
	"transmission": {"How the signal leaves a turning part; the same as part.transmission.", "telemetry"},
}

func init() {
	for _, c := range []string{"axial", "shear-y", "shear-z", "torque", "bending-y", "bending-z", "pressure"} {
		notes["loads."+c+".rated"] = note{about: "The rated value, with its sign if it has but one."}
		notes["loads."+c+".use"] = note{"Whether a bridge is to measure this load, or all are to be blind to it (the default).", "measure"}
	}
	for _, where := range []string{"leads", "bridges.*.leads"} {
		notes[where] = note{"The wires between bridge and instrument; without it they have no resistance.", "{wires: 6, each: 0.4 Ω}"}
		notes[where+".wires"] = note{"Wires of a bridge: 6 or 4 with all arms at the part, 3 or 2 with completion at the instrument.", "6"}
		notes[where+".each"] = note{"Resistance of each wire.", "0.4 Ω"}
		notes[where+".completion"] = note{"Where fixed arms are: at the part (the default) or at the instrument.", "part"}
		notes[where+".follow"] = note{"Whether the wires have the part's temperature, as copper, or a constant one (the default).", "none"}
	}
}

// aboutDimension is said of a dimension of a section that has no note of its own.
func aboutDimension(k Key) string {
	if strings.HasPrefix(k.Path, "part.section.") {
		return "The section's " + strings.ReplaceAll(k.Name, "-", " ") + "."
	}
	return ""
}

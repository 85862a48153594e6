package check

import "gridwright/internal/quantity"

// Rule is one thing that is judged.
type Rule struct {
	Name  string
	Unit  string // of a finding's value and limit in results; "" where it is a plain number or there is none
	About string

	kind  quantity.Kind
	judge func(*judge) []Finding
}

// Rules is the table of what is judged, in the order in which findings of one
// level are reported. A new rule is a function and a line here.
var Rules = []Rule{
	{"blind", "mV/V", "rated output for the load to be measured, against 2 % of what its grids could give", quantity.VoltageRatio, blind},
	{"polarity", "mV/V", "output for a positive load, which is to be positive; a note where a load rated negative reads positive", quantity.VoltageRatio, polarity},
	{"crosstalk", "%", "output for another load at its rated value, of the bridge's rated output", quantity.Ratio, crosstalk},
	{"crosstalk-95", "%", "crosstalk under the tolerances, where required", quantity.Ratio, crosstalk95},
	{"uncertainty", "%", "expanded uncertainty, where required", quantity.Ratio, uncertainty},
	{"compensation", "%", "share of the grids' equal thermal output that does not cancel in the bridge", quantity.Ratio, compensation},
	{"zero-drift", "%/10K", "change of zero with temperature, of rated output, where required", quantity.PerKelvin, zeroDrift},
	{"span-drift", "%/10K", "change of sensitivity with temperature, where required", quantity.PerKelvin, spanDrift},
	{"nonlinearity", "%", "departure from the straight line, of rated output, where required", quantity.Ratio, nonlinearity},
	{"rated-output", "mV/V", "output at rated load", quantity.VoltageRatio, ratedOutput},
	{"resistance", "mV/V", "output at no load of the nominal resistances", quantity.VoltageRatio, resistance},
	{"power", "mW/mm²", "heat of a grid for each area of it", quantity.PowerDensity, power},
	{"strain", "µε", "sum over the loads of a grid's strain at rated load", quantity.Strain, strain},
	{"overload", "", "yield strength over the greatest stress at overload", quantity.Number, overload},
	{"yield-factor", "", "yield strength over the greatest stress at rated load, where required", quantity.Number, yieldFactor},
	{"features", "MPa", "stress at a feature with its concentration, against yield", quantity.Stress, features},
	{"fatigue", "MPa", "stress at rated load, reversed, against the endurance of the material", quantity.Stress, fatigue},
	{"gauge-fatigue", "µε", "sum of a grid's strain at rated load, reversed, against what foil endures for the cycles asked for", quantity.Strain, gaugeFatigue},
	{"bore", "MPa", "stress at the bore under internal pressure and the other loads", quantity.Stress, bore},
	{"pressure", "MPa", "internal pressure stated for a part without an inside", quantity.Stress, solid},
	{"end", "mm", "distance of a grid's edge from an end of the straight length or a feature, negative beyond it", quantity.Length, ends},
	{"warping", "mm", "distance of a grid's edge from an end, against the length over which restrained warping dies out", quantity.Length, warping},
	{"buckling", "", "width to thickness of the slenderest flat wall", quantity.Number, buckling},
	{"accuracy", "%", "error of the torsion constant and the surface shear of a section that was solved", quantity.Ratio, accuracy},
	{"overlap", "mm", "how far one backing lies over another", quantity.Length, overlap},
	{"edge", "mm", "how far a backing hangs over an edge of a flat-sided part", quantity.Length, edges},
	{"keep-out", "°", "how far a backing reaches into a keep-out sector", quantity.Angle, keepOut},
	{"poisson-length", "mm", "straight length under grids that lie across an axial force", quantity.Length, poissonLength},
	{"rotation", "%", "output that centrifugal strain causes, of rated output", quantity.Ratio, rotation},
	{"transmission", "", "how the signal leaves a rotating part", quantity.Number, transmission},
	{"re-entrant", "mm", "what is not counted beside sharp re-entrant corners of the section", quantity.Length, reentrant},
	{"stand-off", "%", "what the foil's height above a flat adds to the strain of torque", quantity.Ratio, standOff},
	{"measured", "", "loads to be measured that no bridge measures", quantity.Number, measured},
	{"condition", "", "condition number of the bridges for the loads to be measured", quantity.Number, condition},
	{"expansion", "ppm/K", "thermal expansion of the part, where temperature figures need it", quantity.PerKelvin, expansion},
	{"thermal-output", "", "lots that state no thermal output, where temperature figures need it", quantity.Number, thermalOutput},
	{"gradient", "°", "direction taken for a temperature gradient across the part that states none", quantity.Angle, worstGradient},
	{"unasked", "", "bridges for a load that the file does not ask to measure", quantity.Number, unasked},
	{"missing", "", "figures that could not be computed, and why", quantity.Number, missing},
	{"unpropagated", "", "tolerances of the file that no uncertainty takes account of", quantity.Number, unpropagated},
	{"placement-tolerance", "", "tolerances of placement that nobody stated", quantity.Number, placementTolerance},
	{"as-bonded", "", "measured values that replace the plan", quantity.Number, asBonded},
}

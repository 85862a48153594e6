package quantity

// Kind is what a value measures. It decides which units are right.
type Kind int

const (
	Number                Kind = iota + 1 // plain number: gauge factor, Poisson's ratio, cycles
	Length                                // m
	Angle                                 // rad
	Force                                 // N
	Moment                                // N·m
	Stress                                // Pa, pressure too
	Temperature                           // K, on the thermodynamic scale
	TemperatureDifference                 // K
	TemperatureGradient                   // K/m
	Ratio                                 // 1: %, ppm, never a bare number
	Strain                                // m/m
	PerKelvin                             // 1/K: expansion, temperature coefficient, drift
	Resistance                            // Ω
	Voltage                               // V
	VoltageRatio                          // V/V
	Power                                 // W
	PowerDensity                          // W/m²
	Mass                                  // kg
	Density                               // kg/m³
	Inertia                               // kg·m²
	Frequency                             // Hz
	Time                                  // s
	RotationalSpeed                       // rad/s
	Area                                  // m²
	Volume                                // m³
	SecondMoment                          // m⁴
	TorsionalStiffness                    // N·m/rad
	AxialStiffness                        // N/m
	BendingStiffness                      // N·m²

	kindEnd
)

// Kinds returns all kinds in their order.
func Kinds() []Kind {
	var all []Kind
	for k := Number; k < kindEnd; k++ {
		all = append(all, k)
	}
	return all
}

// kindRow is what there is to know about one kind.
type kindRow struct {
	name     string
	dim      dimension
	families []family // the families of ratio that its unit may hold
	si       string   // unit of Value.SI
	report   [2]string
	example  string
	shown    []string // the units an error names
	more     []string // further products that the help lists
}

var (
	noRatio = []family{plain}

	dimMoment = dimForce.times(dimLength, 1)
)

// kindRows is indexed by Kind.
var kindRows = [kindEnd]kindRow{
	Number: {name: "plain number", families: noRatio, example: "2.08"},
	Length: {name: "length", dim: dimLength, families: noRatio, si: "m", report: [2]string{"mm", "in"}, example: "60 mm",
		shown: []string{"m", "mm", "cm", "µm", "in", "ft"}},
	Angle: {name: "angle", dim: dimAngle, families: noRatio, si: "rad", report: [2]string{"°", "°"}, example: "90°",
		shown: []string{"°", "deg", "rad", "mrad"}},
	Force: {name: "force", dim: dimForce, families: noRatio, si: "N", report: [2]string{"N", "lbf"}, example: "15 kN",
		shown: []string{"N", "kN", "MN", "lbf", "kip", "kgf"}},
	Moment: {name: "moment", dim: dimMoment, families: noRatio, si: "N·m", report: [2]string{"N·m", "lbf·in"}, example: "1200 N·m",
		shown: []string{"N·m", "N·mm", "kN·m", "lbf·in", "lbf·ft", "kgf·m"},
		more: []string{"N*m", "N.m", "N m", "N-m", "N·cm", "kN·mm", "MN·m", "mN·m", "cN·m", "daN·m", "in-lbf", "ft-lbf", "lbf-in", "lbf-ft",
			"lbf in", "lbf ft", "kgf·cm", "ozf·in", "in-ozf", "kip·in", "kip·ft"}},
	Stress: {name: "stress or pressure", dim: dimStress, families: noRatio, si: "Pa", report: [2]string{"MPa", "ksi"}, example: "650 MPa",
		shown: []string{"Pa", "MPa", "GPa", "bar", "psi", "ksi", "Msi"},
		more:  []string{"N/mm²", "N/mm2", "N/mm^2", "kN/mm²", "N/cm²", "N/m²", "kgf/mm²", "kgf/cm²", "lbf/in²", "lbf/in^2", "kip/in²"}},
	Temperature: {name: "temperature", dim: dimTemperature, families: noRatio, si: "K", report: [2]string{"°C", "°F"}, example: "20 °C",
		shown: []string{"°C", "°F", "K"}},
	TemperatureDifference: {name: "temperature difference", dim: dimTemperature, families: noRatio, si: "K", report: [2]string{"K", "Δ°F"}, example: "2 K",
		shown: []string{"K", "Δ°C", "Δ°F"}},
	TemperatureGradient: {name: "temperature gradient", dim: dimTemperature.times(dimLength, -1), families: noRatio, si: "K/m", report: [2]string{"K/m", "Δ°F/in"}, example: "5 K/m",
		shown: []string{"K/m", "K/mm", "Δ°C/m", "Δ°F/in", "Δ°F/ft"}},
	Ratio: {name: "ratio", families: []family{fraction}, si: "1", report: [2]string{"%", "%"}, example: "0.5 %",
		shown: []string{"%", "ppm"}},
	Strain: {name: "strain", families: []family{strain, fraction}, si: "m/m", report: [2]string{"µε", "µε"}, example: "1500 µε",
		shown: []string{"µε", "ue", "µm/m", "ppm", "%"},
		more:  []string{"um/m", "mm/m", "µin/in", "uin/in", "m/m", "in/in"}},
	PerKelvin: {name: "change per kelvin", dim: dimNone.times(dimTemperature, -1), families: []family{plain, fraction, strain}, si: "1/K", report: [2]string{"ppm/K", "ppm/°F"}, example: "11.3 ppm/K",
		shown: []string{"ppm/K", "%/K", "%/10K", "%/100K", "µε/K", "1/K", "ppm/°F"},
		more: []string{"%/10 K", "%/100 K", "/K", "K⁻¹", "K^-1", "ppm/°C", "ppm/10K", "ppm/100K", "1/°C", "1/°F", "%/°C", "%/°F", "%/100°F", "%/100°C",
			"µε/°C", "µε/°F", "ue/K", "ue/°F", "µm/m/K", "um/m/K", "µm/m/°C", "µin/in/°F", "uin/in/°F", "in/in/°F"}},
	Resistance: {name: "resistance", dim: dimResistance, families: noRatio, si: "Ω", report: [2]string{"Ω", "Ω"}, example: "350 Ω",
		shown: []string{"Ω", "ohm", "mΩ", "kΩ", "MΩ", "GΩ"}},
	Voltage: {name: "voltage", dim: dimVoltage, families: noRatio, si: "V", report: [2]string{"V", "V"}, example: "5 V",
		shown: []string{"V", "mV", "µV", "uV", "nV"}},
	VoltageRatio: {name: "voltage ratio", families: []family{voltageRatio}, si: "V/V", report: [2]string{"mV/V", "mV/V"}, example: "2 mV/V",
		shown: []string{"mV/V", "µV/V"},
		more:  []string{"uV/V", "nV/V", "V/V"}},
	Power: {name: "power", dim: dimPower, families: noRatio, si: "W", report: [2]string{"mW", "mW"}, example: "20 mW",
		shown: []string{"W", "mW", "µW"}},
	PowerDensity: {name: "power density", dim: dimPower.times(dimLength, -2), families: noRatio, si: "W/m²", report: [2]string{"mW/mm²", "W/in²"}, example: "3 mW/mm²",
		shown: []string{"mW/mm²", "W/in²", "W/cm²", "kW/m²"},
		more:  []string{"mW/mm2", "mW/mm^2", "W/in2", "W/in^2", "W/cm2", "W/mm²", "W/m²"}},
	Mass: {name: "mass", dim: dimMass, families: noRatio, si: "kg", report: [2]string{"kg", "lb"}, example: "2 kg",
		shown: []string{"kg", "g", "lb", "oz"}},
	Density: {name: "density", dim: dimMass.times(dimLength, -3), families: noRatio, si: "kg/m³", report: [2]string{"kg/m³", "lb/in³"}, example: "7850 kg/m³",
		shown: []string{"kg/m³", "g/cm³", "lb/in³", "lb/ft³"},
		more:  []string{"kg/m3", "kg/m^3", "g/cm3", "lb/in3", "lb/in^3", "lb/ft3"}},
	Inertia: {name: "moment of inertia", dim: dimMass.times(dimLength, 2), families: noRatio, si: "kg·m²", report: [2]string{"kg·m²", "lb·in²"}, example: "0.02 kg·m²",
		shown: []string{"kg·m²", "kg·cm²", "g·cm²", "lb·in²", "lb·ft²", "lbf·in·s²"},
		more:  []string{"kg·m2", "kg*m^2", "kg m²", "kgm²", "kgm2", "kg·mm²", "lb·in2", "lb-ft²", "lbf·ft·s²"}},
	Frequency: {name: "frequency", dim: dimFrequency, families: noRatio, si: "Hz", report: [2]string{"Hz", "Hz"}, example: "100 Hz",
		shown: []string{"Hz", "kHz", "1/s"}},
	Time: {name: "time", dim: dimTime, families: noRatio, si: "s", report: [2]string{"s", "s"}, example: "30 s",
		shown: []string{"s", "ms", "min", "h"}},
	RotationalSpeed: {name: "speed of rotation", dim: dimRotation, families: noRatio, si: "rad/s", report: [2]string{"rpm", "rpm"}, example: "300 rpm",
		shown: []string{"rpm", "rad/s", "°/s", "rev/min"},
		more:  []string{"deg/s", "rev/s"}},
	Area: {name: "area", dim: dimArea, families: noRatio, si: "m²", report: [2]string{"mm²", "in²"}, example: "300 mm²",
		shown: []string{"mm²", "cm²", "m²", "in²", "ft²"},
		more:  []string{"mm2", "mm^2", "cm2", "m2", "in2", "in^2", "ft2"}},
	Volume: {name: "volume", dim: dimLength.times(dimLength, 2), families: noRatio, si: "m³", report: [2]string{"mm³", "in³"}, example: "300 mm³",
		shown: []string{"mm³", "cm³", "m³", "in³"},
		more:  []string{"mm3", "mm^3", "cm3", "m3", "in3", "in^3", "ft³"}},
	SecondMoment: {name: "second moment of area", dim: dimArea.times(dimLength, 2), families: noRatio, si: "m⁴", report: [2]string{"mm⁴", "in⁴"}, example: "45000 mm⁴",
		shown: []string{"mm⁴", "cm⁴", "m⁴", "in⁴"},
		more:  []string{"mm4", "mm^4", "cm4", "m4", "in4", "in^4"}},
	TorsionalStiffness: {name: "torsional stiffness", dim: dimMoment.times(dimAngle, -1), families: noRatio, si: "N·m/rad", report: [2]string{"N·m/rad", "lbf·in/rad"}, example: "80000 N·m/rad",
		shown: []string{"N·m/rad", "kN·m/rad", "N·m/°", "lbf·in/rad", "lbf·in/°"},
		more:  []string{"Nm/rad", "Nm/deg", "N·m/deg", "lbf·in/deg", "lbf·ft/rad", "ft-lbf/deg", "in-lbf/rad", "in-lbf/deg"}},
	AxialStiffness: {name: "axial stiffness", dim: dimForce.times(dimLength, -1), families: noRatio, si: "N/m", report: [2]string{"N/mm", "lbf/in"}, example: "500000 N/mm",
		shown: []string{"N/mm", "N/µm", "kN/mm", "N/m", "lbf/in"}},
	BendingStiffness: {name: "bending stiffness", dim: dimMoment.times(dimLength, 1), families: noRatio, si: "N·m²", report: [2]string{"N·m²", "lbf·in²"}, example: "90000 N·m²",
		shown: []string{"N·m²", "N·mm²", "kN·m²", "lbf·in²"}},
}

// row returns what is known about k, false for a number that is no kind.
func (k Kind) row() (*kindRow, bool) {
	if k < Number || k >= kindEnd {
		return nil, false
	}
	return &kindRows[k], true
}

// String returns the name for messages, such as "moment".
func (k Kind) String() string {
	if row, ok := k.row(); ok {
		return row.name
	}
	return "unknown kind of quantity"
}

// SIUnit returns the unit of Value.SI, "" for a plain number.
func (k Kind) SIUnit() string {
	if row, ok := k.row(); ok {
		return row.si
	}
	return ""
}

// Example returns a value of this kind as a design file writes it.
func (k Kind) Example() string {
	if row, ok := k.row(); ok {
		return row.example
	}
	return ""
}

// Units returns the spellings that k accepts, the usual ones first: every unit
// of its own and the usual products. Products may also be written in the other
// ways that Parse describes.
func Units(k Kind) []string {
	row, ok := k.row()
	if !ok {
		return nil
	}
	seen := map[string]bool{}
	var list []string
	add := func(spelling string) {
		if seen[spelling] {
			return
		}
		if _, err := parseUnit(spelling, k); err == nil {
			seen[spelling] = true
			list = append(list, spelling)
		}
	}
	for _, group := range [][]string{row.shown, row.more, atomNames, gluedList} {
		for _, spelling := range group {
			add(spelling)
		}
	}
	return list
}

package quantity

import "math/big"

// Exact definitions. Metre, kilogram, second, kelvin and the prefixes: SI
// Brochure, 9th ed. (2019), tables 2 and 7; standard acceleration of gravity:
// 3rd CGPM (1901), resolution 2; degree and minute, hour: SI Brochure table 8;
// international inch and pound (1959): NIST SP 811 (2008), appendix B.
var (
	inch  = exact("0.0254")                                                           // m
	foot  = product(inch, exact("12"))                                                // m
	pound = exact("0.45359237")                                                       // kg
	gn    = exact("9.80665")                                                          // m/s²
	lbf   = product(pound, gn)                                                        // N
	psi   = ratio(lbf, product(inch, inch))                                           // Pa
	degF  = exact("5/9")                                                              // K
	pi    = exact("3.14159265358979323846264338327950288419716939937510582097494459") // 63 digits: exact for a float64
)

// exact reads a decimal or a fraction of the tables of this package.
func exact(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("quantity: bad constant " + s)
	}
	return r
}

func product(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func ratio(a, b *big.Rat) *big.Rat   { return new(big.Rat).Quo(a, b) }

// prefixes are the powers of ten that an atom may name; each atom lists its own.
var prefixes = map[string]*big.Rat{
	"G": exact("1e9"), "M": exact("1e6"), "k": exact("1e3"), "h": exact("1e2"), "da": exact("10"),
	"c": exact("1e-2"), "m": exact("1e-3"), "µ": exact("1e-6"), "u": exact("1e-6"), "n": exact("1e-9"),
}

// atom is a unit that is not written as a product of others.
type atom struct {
	name   string
	ratio  *big.Rat // SI units in one atom
	dim    dimension
	family family

	// zero is the kelvin temperature at 0 of a scale that has its own zero; nil
	// for all other units.
	zero *big.Rat
	// difference marks Δ°C and Δ°F, which are never a temperature.
	difference bool
}

// atomRow is the names of one unit and the prefixes that each of them may carry.
type atomRow struct {
	names    []string
	prefixes []string
	atom     atom
}

var one = exact("1")

// atomRows is the closed table of units. What is missing is missing on purpose:
// a letter that means two things (t, R, r, g as acceleration), a prefix that a
// slip of the shift key would turn into another size (mPa, MW, nm), an
// absolute-pressure unit.
var atomRows = []atomRow{
	{[]string{"m"}, []string{"", "m", "c", "µ", "u"}, atom{ratio: one, dim: dimLength}},
	{[]string{"in", "inch"}, []string{""}, atom{ratio: inch, dim: dimLength}},
	{[]string{"in"}, []string{"µ", "u"}, atom{ratio: inch, dim: dimLength}},
	{[]string{"ft"}, []string{""}, atom{ratio: foot, dim: dimLength}},
	{[]string{"mil", "thou"}, []string{""}, atom{ratio: product(inch, exact("1e-3")), dim: dimLength}},

	{[]string{"N"}, []string{"", "k", "M", "da", "c", "m", "µ", "u"}, atom{ratio: one, dim: dimForce}},
	{[]string{"lbf"}, []string{""}, atom{ratio: lbf, dim: dimForce}},
	{[]string{"kip", "klbf"}, []string{""}, atom{ratio: product(lbf, exact("1000")), dim: dimForce}},
	{[]string{"ozf"}, []string{""}, atom{ratio: product(lbf, exact("1/16")), dim: dimForce}},
	{[]string{"kgf"}, []string{""}, atom{ratio: gn, dim: dimForce}},
	{[]string{"gf"}, []string{""}, atom{ratio: product(gn, exact("1e-3")), dim: dimForce}},

	{[]string{"Pa"}, []string{"", "h", "k", "M", "G"}, atom{ratio: one, dim: dimStress}},
	{[]string{"bar"}, []string{"", "m"}, atom{ratio: exact("1e5"), dim: dimStress}},
	{[]string{"psi"}, []string{""}, atom{ratio: psi, dim: dimStress}},
	{[]string{"ksi", "kpsi"}, []string{""}, atom{ratio: product(psi, exact("1e3")), dim: dimStress}},
	{[]string{"Msi", "Mpsi"}, []string{""}, atom{ratio: product(psi, exact("1e6")), dim: dimStress}},

	{[]string{"°", "deg"}, []string{""}, atom{ratio: product(pi, exact("1/180")), dim: dimAngle}},
	{[]string{"rad"}, []string{"", "m", "µ", "u"}, atom{ratio: one, dim: dimAngle}},
	{[]string{"rev"}, []string{""}, atom{ratio: product(pi, exact("2")), dim: dimAngle}},
	{[]string{"rpm"}, []string{""}, atom{ratio: product(pi, exact("1/30")), dim: dimRotation}},

	{[]string{"K"}, []string{""}, atom{ratio: one, dim: dimTemperature}},
	{[]string{"°C", "degC", "℃"}, []string{""}, atom{ratio: one, dim: dimTemperature, zero: exact("273.15")}},
	{[]string{"°F", "degF", "℉"}, []string{""}, atom{ratio: degF, dim: dimTemperature, zero: product(exact("459.67"), degF)}},
	{[]string{"Δ°C", "Δ℃"}, []string{""}, atom{ratio: one, dim: dimTemperature, difference: true}},
	{[]string{"Δ°F", "Δ℉"}, []string{""}, atom{ratio: degF, dim: dimTemperature, difference: true}},

	{[]string{"%"}, []string{""}, atom{ratio: exact("1/100"), family: fraction}},
	{[]string{"ppm"}, []string{""}, atom{ratio: exact("1e-6"), family: fraction}},
	{[]string{"µε", "ue", "uε", "µe", "microstrain"}, []string{""}, atom{ratio: exact("1e-6"), family: strain}},

	{[]string{"Ω", "ohm", "Ohm"}, []string{"", "k", "M", "G"}, atom{ratio: one, dim: dimResistance}},
	{[]string{"Ω"}, []string{"m", "µ", "u"}, atom{ratio: one, dim: dimResistance}},
	{[]string{"V"}, []string{"", "m", "µ", "u", "n"}, atom{ratio: one, dim: dimVoltage}},
	{[]string{"W"}, []string{"", "k", "m", "µ", "u"}, atom{ratio: one, dim: dimPower}},

	{[]string{"g"}, []string{"k", "", "m"}, atom{ratio: exact("1e-3"), dim: dimMass}},
	{[]string{"lb", "lbm"}, []string{""}, atom{ratio: pound, dim: dimMass}},
	{[]string{"oz"}, []string{""}, atom{ratio: product(pound, exact("1/16")), dim: dimMass}},

	{[]string{"Hz"}, []string{"", "k", "M"}, atom{ratio: one, dim: dimFrequency}},
	{[]string{"s"}, []string{"", "m", "µ", "u"}, atom{ratio: one, dim: dimTime}},
	{[]string{"min"}, []string{""}, atom{ratio: exact("60"), dim: dimTime}},
	{[]string{"h"}, []string{""}, atom{ratio: exact("3600"), dim: dimTime}},
}

// gluedPairs are the products that may be written without a sign between the
// factors. A closed list, because free splitting would read slips of the
// finger ("mmm", "msi") as units. lb with a length is here only so that its
// error can say that lb is a mass.
var gluedPairs = [][2]string{
	{"N", "m"}, {"N", "cm"}, {"N", "mm"}, {"kN", "m"}, {"kN", "cm"}, {"kN", "mm"}, {"MN", "m"}, {"MN", "mm"},
	{"daN", "m"}, {"cN", "m"}, {"cN", "cm"}, {"mN", "m"}, {"mN", "mm"}, {"µN", "m"}, {"uN", "m"},
	{"kgf", "m"}, {"kgf", "cm"}, {"kgf", "mm"}, {"gf", "cm"},
	{"lbf", "in"}, {"lbf", "ft"}, {"ozf", "in"}, {"kip", "in"}, {"kip", "ft"},
	{"in", "lbf"}, {"ft", "lbf"}, {"in", "ozf"}, {"in", "kip"}, {"ft", "kip"},
	{"kg", "m"}, {"kg", "cm"}, {"kg", "mm"}, {"g", "cm"},
	{"lb", "in"}, {"lb", "ft"}, {"in", "lb"}, {"ft", "lb"},
}

var (
	atoms     = map[string]*atom{}
	atomNames []string // in table order
	glued     = map[string][2]*atom{}
	gluedList []string // in table order
)

func init() {
	for _, row := range atomRows {
		for _, name := range row.names {
			for _, prefix := range row.prefixes {
				a := row.atom
				a.name = prefix + name
				if prefix != "" {
					a.ratio = product(prefixes[prefix], a.ratio)
				}
				if atoms[a.name] != nil {
					panic("quantity: unit " + a.name + " stands twice in the table")
				}
				atoms[a.name] = &a
				atomNames = append(atomNames, a.name)
			}
		}
	}
	for _, pair := range gluedPairs {
		word := pair[0] + pair[1]
		if atoms[word] != nil {
			panic("quantity: " + word + " is a unit and a product")
		}
		glued[word] = [2]*atom{atoms[pair[0]], atoms[pair[1]]}
		gluedList = append(gluedList, word)
	}
}

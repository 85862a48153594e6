package trim

// Role is what a resistor is for.
type Role string

// Roles, in the order in which the resistors are fitted.
const (
	BalanceShunt  Role = "balance shunt"      // across an arm
	BalanceSeries Role = "balance series"     // in an arm
	DriftWire     Role = "zero-drift wire"    // in an arm, rises with temperature
	DriftPartner  Role = "zero-drift partner" // its equal of low coefficient in the adjacent arm
	SpanResistor  Role = "span resistor"      // in the supply, rises with temperature
	SpanParallel  Role = "span shunt"         // across it
	SpanSetting   Role = "span set"           // in the supply
	InputSetting  Role = "input set"          // across the supply terminals
)

// Part is one resistor, or two of half of it where it is split between the supply
// leads.
type Part struct {
	Role      Role
	Arm       int     // 1 to 4; 0 in the supply
	Ohm       float64 // at 20 °C, both halves together
	Halves    bool    // one half in either supply lead
	Wire      *Wire   // nil: low temperature coefficient
	Length    float64 // m, of each piece of wire; 0: no wire resistance is stated
	Tolerance float64 // limit, ratio; 0 for an exact resistor
	TCR       float64 // of a resistor of low coefficient, 1/K; 0 but for judging its limit
}

// Each is the resistance of each piece, Ω at 20 °C.
func (p Part) Each() float64 {
	if p.Halves {
		return p.Ohm / 2
	}
	return p.Ohm
}

// at is the resistance at a temperature, Ω.
func (p *Part) at(kelvin float64) float64 {
	if p.Wire != nil {
		return p.Ohm * p.Wire.Ratio(kelvin)
	}
	return p.Ohm * (1 + p.TCR*(kelvin-celsius0-20))
}

// OfRole returns the resistor of a role, if the list has it.
func OfRole(parts []Part, role Role) (Part, bool) {
	for _, p := range parts {
		if p.Role == role {
			return p, true
		}
	}
	return Part{}, false
}

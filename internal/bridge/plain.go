package bridge

// Plain returns the output of a ring without leads on an ideal voltmeter,
//
//	V/E = R3/(R3+R4) − R2/(R1+R2)
//
// with arms R1 to R4 in Ω. It is meant for inner loops and does not check the arms:
// they must be positive and finite. [Wiring.Solve] checks them and gives the same
// output.
func Plain(arms [4]float64) float64 {
	return arms[2]/(arms[2]+arms[3]) - arms[1]/(arms[0]+arms[1])
}

// PlainWeights returns the derivatives of [Plain] by each arm, in 1/Ω,
//
//	∂/∂R1 =  R2/(R1+R2)²    ∂/∂R2 = −R1/(R1+R2)²
//	∂/∂R3 =  R4/(R3+R4)²    ∂/∂R4 = −R3/(R3+R4)²
//
// Like Plain it does not check the arms.
func PlainWeights(arms [4]float64) [4]float64 {
	a, b := arms[0]+arms[1], arms[2]+arms[3]
	a, b = 1/(a*a), 1/(b*b)
	return [4]float64{arms[1] * a, -arms[0] * a, arms[3] * b, -arms[2] * b}
}

// solvePlain is Solve for a supply held at the ring's corners and no current in
// the signal wires, each of which has resistance r.
func solvePlain(arms *[4]float64, r float64, s *Solution) {
	a, b := arms[0]+arms[1], arms[2]+arms[3]
	s.Output = Plain(*arms)
	s.Weight = PlainWeights(*arms)
	s.Current = [4]float64{1 / a, 1 / a, -1 / b, -1 / b}
	s.OutputResistance = arms[0]*arms[1]/a + arms[2]*arms[3]/b + 2*r
	s.InputResistance = a * b / (a + b)
}

// solveMetered is solvePlain with a meter of resistance m across the signal wires.
// The ring is its Thévenin equivalent V0, Ro, so that
//
//	V = V0·m/(m + Ro)    ∂V/∂R = (∂V0/∂R − V/m·∂Ro/∂R)·m/(m + Ro)
//
// with ∂Ro/∂R1 = (R2/(R1+R2))² and alike; the meter's current V/m lifts the corner
// −S by R1R2/(R1+R2) of it and lowers +S.
func solveMetered(arms *[4]float64, r, m float64, s *Solution) {
	solvePlain(arms, r, s)
	k := m / (m + s.OutputResistance)
	s.Output *= k
	through := s.Output / m
	for i, partner := range [4]int{1, 0, 3, 2} {
		share := arms[partner] / (arms[i] + arms[partner])
		s.Weight[i] = k * (s.Weight[i] - through*share*share)
	}
	a, b := arms[0]+arms[1], arms[2]+arms[3]
	// of the meter's current, each arm of a pair carries the share of its partner
	s.Current[0] -= through * arms[1] / a
	s.Current[1] += through * arms[0] / a
	s.Current[2] += through * arms[3] / b
	s.Current[3] -= through * arms[2] / b
	s.InputResistance = 1 / (s.Current[0] - s.Current[3])
}

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

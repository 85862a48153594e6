package bridge

// Solution is what [Wiring.Solve] finds, per volt of the excitation E.
type Solution struct {
	// Output is V/E: voltage at the meter over the excitation, V/V.
	Output float64

	// Weight is ∂(V/E)/∂R of each arm, 1/Ω.
	Weight [4]float64

	// Current is the current through each arm, A/V, counted positive along the
	// ring +E → −S → −E → +S → +E: arms 1 and 2 are positive, 3 and 4 negative.
	// An arm of resistance R heats itself with Current²·R·E² watts.
	Current [4]float64

	// OutputResistance is the Thévenin resistance that the meter sees, signal
	// wires included, with the excitation at zero volts where it is held, Ω.
	OutputResistance float64

	// InputResistance is the excitation over the current that the supply gives,
	// meter connected, Ω. With 6 wires the excitation is the voltage at the ring's
	// corners: the two supply wires come on top at the instrument.
	InputResistance float64
}

// Solve solves the bridge with the given arms, Ω, into s. Node voltages v satisfy
// Kirchhoff's current law for one volt of excitation; the weights are exact, from
// the adjoint voltages λ, which are those for one ampere sent in at +S and out at
// −S with the supply at zero:
//
//	∂(V/E)/∂R = (v_a − v_b)(λ_a − λ_b)/R²     for an arm R between nodes a and b
//
// (Tellegen's theorem). Without loss on the supply the closed form of the ring and, with
// a meter, of its Thévenin equivalent is used.
//
// Arms, wires and meter must lie between 1 nΩ and 1 PΩ and fit together, see
// [Wiring.Validate]; otherwise Solve returns an error and leaves s as it was. Solve
// allocates nothing unless it fails and may run concurrently.
func (w Wiring) Solve(arms [4]float64, s *Solution) error {
	if err := w.Validate(); err != nil {
		return err
	}
	if err := checkArms(&arms); err != nil {
		return err
	}
	if w.Wires == 0 || w.Wires == 6 {
		if w.Meter == 0 {
			solvePlain(&arms, w.Each, s)
		} else {
			solveMetered(&arms, w.Each, w.Meter, s)
		}
		return nil
	}
	w.solveNetwork(&arms, s)
	return nil
}

func (w *Wiring) solveNetwork(arms *[4]float64, s *Solution) {
	var n network
	n.build(w, arms)

	// Down to the terminals, where for the adjoint, both supply terminals at zero,
	// −S and +S have conductances a and b to it and c to each other.
	n.eliminate(0, minusS)
	a := n.g[minusS][plusE] + n.g[minusS][minusE]
	b := n.g[plusS][plusE] + n.g[plusS][minusE]
	c := n.g[minusS][plusS]
	s.OutputResistance = 1 / (c + a*b/(a+b))
	if w.Meter != 0 {
		n.join(minusS, plusS, 1/w.Meter)
		c = n.g[minusS][plusS]
	}
	n.eliminate(minusS, plusE)
	s.InputResistance = 1 / n.g[plusE][minusE]

	v := [nodes]float64{plusE: 1}
	n.restore(plusE, &v)
	d := a*b + c*(a+b)
	adjoint := [nodes]float64{minusS: -b / d, plusS: a / d}
	n.restore(minusS, &adjoint)

	s.Output = v[plusS] - v[minusS]
	for k, e := range n.ends {
		s.Current[k] = (v[e[0]] - v[e[1]]) / arms[k]
		s.Weight[k] = s.Current[k] * (adjoint[e[0]] - adjoint[e[1]]) / arms[k]
	}
}

package bridge

import "fmt"

// End is the end of the wires at which a shunt resistor is connected.
type End int

const (
	AtPart       End = iota // across the arm itself, at the part
	AtInstrument            // across the instrument's terminals of that arm
)

// Shunted returns the output with a resistor of ohm Ω across an arm (1 to 4)
// minus the output without it, V/V, signed: shunting arm 1 or 3 gives a negative
// difference. Without wires and meter, for four equal arms R,
//
//	|V/E| = R/(4 Rs + 2 R).
//
// AtPart connects the shunt across the arm. AtInstrument connects it where the
// instrument can reach: across the resistor itself when the arm is in the
// instrument, otherwise between the instrument's supply terminal and its signal
// terminal on either side of that arm, so that the shunt's current flows through
// the wires (with 6 wires through a supply wire, not a sense wire, and a signal
// wire). Without wires both are the same.
//
// An arm in the instrument has no end at the part: AtPart is then an error, as
// are wrong arms, wirings and resistances outside 1 nΩ to 1 PΩ.
func (w Wiring) Shunted(arms [4]float64, arm int, ohm float64, end End) (float64, error) {
	if arm < 1 || arm > 4 {
		return 0, fmt.Errorf("arm %d of a bridge; its arms are 1 to 4", arm)
	}
	if !inRange(ohm) {
		return 0, fmt.Errorf("the shunt resistor has %g Ω; it must have from %g Ω to %g Ω", ohm, minOhm, maxOhm)
	}
	if end != AtPart && end != AtInstrument {
		return 0, fmt.Errorf("unknown end %d of the wires; a shunt is at the part or at the instrument", end)
	}
	var rest, shunted Solution
	if err := w.Solve(arms, &rest); err != nil {
		return 0, err
	}
	k := arm - 1
	if end == AtInstrument && w.atPart(k) {
		return w.shuntedTerminals(&arms, k, ohm) - rest.Output, nil
	}
	if end == AtPart && w.Wires != 0 && !w.atPart(k) {
		return 0, fmt.Errorf("arm %d is in the instrument, so a shunt across it cannot be at the part; connect it at the instrument", arm)
	}
	arms[k] *= ohm / (arms[k] + ohm)
	if err := w.Solve(arms, &shunted); err != nil {
		return 0, fmt.Errorf("with the shunt, %w", err)
	}
	return shunted.Output - rest.Output, nil
}

// shuntedTerminals returns V/E with a resistor between the terminals of arm k (0 to 3).
func (w *Wiring) shuntedTerminals(arms *[4]float64, k int, ohm float64) float64 {
	net := *w
	if w.Wires == 6 {
		// The supply wires carry the shunt's current, so they belong to the network.
		net.Wires = 4
	}
	var n network
	n.build(&net, arms)
	n.join(terminal[k], terminal[next(k)], 1/ohm)
	if w.Meter != 0 {
		n.join(minusS, plusS, 1/w.Meter)
	}
	n.eliminate(0, plusE)
	v := [nodes]float64{plusE: 1}
	n.restore(plusE, &v)
	excitation := 1.0
	if w.Wires == 6 {
		excitation = v[0] - v[2]
	}
	return (v[plusS] - v[minusS]) / excitation
}

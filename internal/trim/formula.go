package trim

import (
	"fmt"
	"math"
)

// The closed forms for a full bridge of four arms R. They are common practice; Of
// starts from them and finishes on the exact network, whose resistors they meet
// wherever they are exact.

// positive refuses what is not a positive, finite number.
func positive(what, unit string, v float64) error {
	if v > 0 && v <= math.MaxFloat64 {
		return nil
	}
	return fmt.Errorf("the %s is %g %s; it must be more than zero, and finite", what, v, unit)
}

// ZeroSeries is the resistor in series with one arm of R that balances a zero of e,
//
//	ΔR = 4 R |e| / (1 − 2|e|)
//
// R Ω, e V/V, 0 < |e| < 0.5. It goes into arm 2 or 4 when e is positive, into 1 or 3
// when it is negative. Exact when the other three arms are R and the zero comes from
// the other half of the bridge; outside the range an error.
func ZeroSeries(arm, zero float64) (float64, error) {
	if err := balanceable(arm, zero); err != nil {
		return 0, err
	}
	e := math.Abs(zero)
	return 4 * arm * e / (1 - 2*e), nil
}

// ZeroShunt is the resistor across one arm of R that balances a zero of e,
//
//	Rsh = R (1/(4|e|) − ½)
//
// with the units, range and exactness of [ZeroSeries]. It goes across arm 1 or 3 when
// e is positive, across 2 or 4 when it is negative: the arms that act against those
// of the series resistor.
func ZeroShunt(arm, zero float64) (float64, error) {
	if err := balanceable(arm, zero); err != nil {
		return 0, err
	}
	return arm * (1/(4*math.Abs(zero)) - 0.5), nil
}

func balanceable(arm, zero float64) error {
	if err := positive("resistance of an arm", "Ω", arm); err != nil {
		return err
	}
	if e := math.Abs(zero); !(e > 0 && e < 0.5) {
		return fmt.Errorf("a zero of %g V/V cannot be balanced; it must lie between 0 and ±0.5 V/V", zero)
	}
	return nil
}

// ZeroWire is the wire of temperature coefficient α that takes out a drift of zero z,
//
//	r0 = 4 R |z| / α
//
// R Ω, z V/V per K, α 1/K. The wire goes into the arm whose rise acts against the
// drift (2 or 4 when z is positive), and an equal resistor of low coefficient into
// an adjacent arm, so that the balance stays. To first order in r0/R (for the bridge's
// input resistance R it is the form of Kutz, Mechanical Engineers' Handbook vol. 2,
// p. 89, quoted from a secondary source).
func ZeroWire(arm, drift, tcr float64) (float64, error) {
	if err := positive("resistance of an arm", "Ω", arm); err != nil {
		return 0, err
	}
	if err := positive("temperature coefficient of the wire", "1/K", tcr); err != nil {
		return 0, err
	}
	if err := positive("drift of zero", "V/V per K", math.Abs(drift)); err != nil {
		return 0, err
	}
	return 4 * arm * math.Abs(drift) / tcr, nil
}

// SpanSeries is the resistor in the supply that keeps the span while the sensitivity
// grows by β,
//
//	Rm = Rb β / (αm − αb − β)
//
// Rb input resistance of the bridge, Ω, and αb its temperature coefficient; β =
// d(ln S)/dT; αm temperature coefficient of the resistor, all 1/K at one temperature.
// With αb = 0 it is exact at every temperature where S and Rm are linear; with αb to
// first order. αm must exceed αb + β, and β be positive: otherwise an error.
func SpanSeries(input, growth, tcr, bridgeTCR float64) (float64, error) {
	if err := positive("input resistance", "Ω", input); err != nil {
		return 0, err
	}
	if err := positive("growth of the span", "1/K", growth); err != nil {
		return 0, fmt.Errorf("%w: a resistor that rises with temperature takes away from a span that grows", err)
	}
	if err := positive("temperature coefficient of the resistor above those of span and bridge", "1/K", tcr-bridgeTCR-growth); err != nil {
		return 0, err
	}
	return input * growth / (tcr - bridgeTCR - growth), nil
}

// SpanFactor is the part of the output that [SpanSeries] leaves,
//
//	Rb/(Rb + Rm) = 1 − β/(αm − αb)
//
// with its symbols and errors.
func SpanFactor(growth, tcr, bridgeTCR float64) (float64, error) {
	if _, err := SpanSeries(1, growth, tcr, bridgeTCR); err != nil {
		return 0, err
	}
	return 1 - growth/(tcr-bridgeTCR), nil
}

// SpanTwoPoint is the resistor in the supply, Ω at the first of two temperatures,
// that makes the spans S1 and S2 measured without it equal,
//
//	Rm(T1) = Rb1 Rb2 (S2 − S1) / (k S1 Rb1 − S2 Rb2),  k = Rm(T2)/Rm(T1)
//
// Rb input resistance at T1 and T2, Ω; S in any unit, of one sign. Exact whatever the
// laws between. No positive resistor does it unless S2/S1 lies between 1 and
// k Rb1/Rb2: an error.
func SpanTwoPoint(input1, input2, span1, span2, ratio float64) (float64, error) {
	for _, v := range [...]float64{input1, input2} {
		if err := positive("input resistance", "Ω", v); err != nil {
			return 0, err
		}
	}
	if !(span1*span2 > 0) {
		return 0, fmt.Errorf("spans of %g and %g; both must have one sign", span1, span2)
	}
	r := input1 * input2 * (span2 - span1) / (ratio*span1*input1 - span2*input2)
	if err := positive("resistor that equals the two spans", "Ω", r); err != nil {
		return 0, err
	}
	return r, nil
}

// SpanSet is the pair of resistors in the supply, Rm with temperature coefficient αm
// and Rs with none, that keep the span and bring the output from S0 to St,
//
//	Rt = Rb S0/St,  Rm = (β Rt + αb (Rt − Rb))/αm,  Rs = Rt − Rb − Rm
//
// with the symbols of [SpanSeries]; first order in αb, exact for αb = 0. An output
// above what Rm alone leaves needs a negative Rs: an error.
func SpanSet(input, output, target, growth, tcr, bridgeTCR float64) (compensating, fixed float64, err error) {
	if err := positive("input resistance", "Ω", input); err != nil {
		return 0, 0, err
	}
	if err := positive("ratio of output to target", "", output/target); err != nil {
		return 0, 0, err
	}
	if err := positive("temperature coefficient of the resistor", "1/K", tcr); err != nil {
		return 0, 0, err
	}
	total := input * output / target
	compensating = (growth*total + bridgeTCR*(total-input)) / tcr
	fixed = total - input - compensating
	if !(compensating >= 0 && fixed >= 0 && fixed <= math.MaxFloat64) {
		return 0, 0, fmt.Errorf("an output of %g from %g would need a resistor of %g Ω with %g Ω; neither can be negative", target, output, fixed, compensating)
	}
	return compensating, fixed, nil
}

// SpanShunt is the shunt Rp across a resistor Rm in the supply that is larger than
// [SpanSeries] asks for,
//
//	x = (β + √(β² + 4 αm β Rb/Rm)) / (2 αm),  Rp = Rm x/(1 − x)
//
// with the symbols of [SpanSeries], αb = 0. The pair has the resistance x·Rm and the
// temperature coefficient x·αm; to first order in ΔT. An Rm too small (x ≥ 1) is an
// error.
func SpanShunt(input, growth, tcr, resistor float64) (shunt, x float64, err error) {
	if _, err := SpanSeries(input, growth, tcr, 0); err != nil {
		return 0, 0, err
	}
	if err := positive("resistor to shunt", "Ω", resistor); err != nil {
		return 0, 0, err
	}
	x = (growth + math.Sqrt(growth*growth+4*tcr*growth*input/resistor)) / (2 * tcr)
	if !(x < 1) {
		return 0, 0, fmt.Errorf("a resistor of %g Ω is too small to keep the span; a shunt makes it smaller still", resistor)
	}
	return resistor * x / (1 - x), x, nil
}

// InputShunt is the resistor across the supply terminals that brings the input
// resistance from Rt down to R*,
//
//	Rp = Rt R*/(Rt − R*)
//
// all Ω. R* must be below Rt: a shunt only lowers; otherwise an error.
func InputShunt(input, target float64) (float64, error) {
	if err := positive("input resistance", "Ω", input); err != nil {
		return 0, err
	}
	if !(target > 0 && target < input) {
		return 0, fmt.Errorf("an input resistance of %g Ω cannot be set by a shunt to %g Ω; a shunt only lowers it", input, target)
	}
	return input * target / (input - target), nil
}

// Package bridge solves the resistor network of one Wheatstone bridge: four
// arms, the wires that lead to the instrument, and the instrument's input
// resistance.
//
// The ring has corners +E, −S, −E, +S (E excitation, S signal) and arms
//
//	arm 1 from +E to −S     arm 3 from −E to +S
//	arm 2 from −S to −E     arm 4 from +S to +E
//
// so that more resistance in arms 1 and 3 raises the output and more in arms 2
// and 4 lowers it. Everything is exact: no small-strain approximation, no
// assumption that arms are equal.
//
// The package knows resistances only. It does not know strain gauges, what makes
// an arm change, or temperature; it models direct current, so no capacitance of
// cables, no inductance, no thermoelectric voltage, no insulation leakage, and all
// wires of a bridge have one resistance.
package bridge

import (
	"errors"
	"fmt"
)

// Resistances outside this range are refused: nothing in a bridge has them, and
// inside it no step of the solution can overflow.
const (
	minOhm = 1e-9
	maxOhm = 1e15
)

// inRange is false for NaN, infinities, zero and negative values too.
func inRange(ohm float64) bool { return ohm >= minOhm && ohm <= maxOhm }

func checkArms(arms *[4]float64) error {
	for k, r := range arms {
		if !inRange(r) {
			return fmt.Errorf("arm %d has a resistance of %g Ω; an arm needs one from %g Ω to %g Ω", k+1, r, minOhm, maxOhm)
		}
	}
	return nil
}

// Wiring says how the ring meets the instrument. The zero value is a ring at the
// terminals of an ideal voltmeter.
//
//	Wires 0   no leads
//	Wires 4   all arms at the part; one wire to each corner. V/E is taken at the instrument,
//	          so the supply wires cost output.
//	Wires 6   all arms at the part; two more wires sense the supply at the ring's corners and
//	          hold it there. E is the voltage between those corners; the signal wires keep their
//	          resistance, the supply wires lie outside E.
//	Wires 3   one or two arms at the part, the others in the instrument.
//	          Two adjacent arms: one wire to each end of the pair and one to the corner they share.
//	          One arm: one wire to its supply end; from its signal end one wire to the neighbour
//	          that completes the divider and one to the meter.
//	Wires 2   one arm at the part, one wire to each of its ends.
type Wiring struct {
	Wires  int     // 0, 2, 3, 4 or 6
	Each   float64 // resistance of each wire, Ω
	Remote [4]bool // arms at the part end of the wires; read for Wires 2 and 3 only
	Meter  float64 // input resistance of the instrument, Ω; 0 is infinite
}

// Validate reports a combination of wires, remote arms and resistances that is
// not a bridge, or whose resistances are not between 1 nΩ and 1 PΩ.
func (w Wiring) Validate() error {
	if w.Meter != 0 && !inRange(w.Meter) {
		return fmt.Errorf("the instrument's input resistance is %g Ω; it must lie from %g Ω to %g Ω, or be left out when it does not load the bridge", w.Meter, minOhm, maxOhm)
	}
	if w.Wires == 0 {
		if w.Each != 0 {
			return fmt.Errorf("the resistance of each wire is %g Ω but there are no wires; say how many (2, 3, 4 or 6), or leave the resistance out", w.Each)
		}
		return nil
	}
	if !inRange(w.Each) {
		return fmt.Errorf("each wire has a resistance of %g Ω; it must lie from %g Ω to %g Ω; a bridge without lead resistance has no wires", w.Each, minOhm, maxOhm)
	}
	_, count, ok := w.remote()
	switch w.Wires {
	case 4, 6:
		return nil
	case 3:
		if count < 1 || count > 2 {
			return fmt.Errorf("3 wires reach one arm or two adjacent arms at the part, not %d; use 4 or 6 wires when all four are there", count)
		}
		if !ok {
			return errors.New("3 wires reach two arms that share a corner, not two opposite ones; use 4 or 6 wires with all arms at the part")
		}
		return nil
	case 2:
		if count != 1 {
			return fmt.Errorf("2 wires reach one arm at the part, not %d; use 3 wires for two adjacent arms, 4 or 6 for all", count)
		}
		return nil
	}
	return fmt.Errorf("%d wires; a bridge is wired with 2, 3, 4 or 6, or with none", w.Wires)
}

// remote returns the first arm (0 to 3) of those at the part in the sense of the
// ring, and how many there are; ok is false when they are two opposite arms.
func (w *Wiring) remote() (first, count int, ok bool) {
	for k, r := range w.Remote {
		if !r {
			continue
		}
		count++
		if !w.Remote[(k+3)%4] {
			if ok {
				return first, 2, false
			}
			first, ok = k, true
		}
	}
	return first, count, ok
}

// atPart reports whether arm k (0 to 3) has wires between it and the instrument.
func (w *Wiring) atPart(k int) bool {
	switch w.Wires {
	case 4, 6:
		return true
	case 2, 3:
		return w.Remote[k]
	}
	return false
}

package teds

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"time"
)

// BridgeType says how many arms are active.
type BridgeType int

// The codes of the template.
const (
	QuarterBridge BridgeType = iota
	HalfBridge
	FullBridge
)

// Transducer is what the data sheet says.
type Transducer struct {
	Maker         int  // registered number of the manufacturer, 17 to 16381; 0 to 16 are reserved
	Model         int  // 0 to 32767
	VersionLetter rune // A to Z, 0 or space for none
	VersionNumber int  // 0 to 63
	Serial        int  // 0 to 16777215

	Unit                         string  // of the load: N or N·m
	MinPhysical, MaxPhysical     float64 // range of the load, in Unit
	MinElectrical, MaxElectrical float64 // output at its ends, V/V

	Bridge       BridgeType
	Resistance   float64 // Ω, 1 to 26215.2 in steps of 0.1
	ResponseTime float64 // s, from 1e-6 in steps of 30 %

	ExcitationNominal, ExcitationMin, ExcitationMax float64 // V, 0.1 to 51.1 in steps of 0.1

	Calibrated  time.Time // date, from 1998-01-01
	Initials    string    // of who calibrated, at most three letters A to Z
	PeriodDays  int       // 0 to 4094
	Measurement int       // number of the measurement location, 0 to 2046
}

// units are the codes of those that are written; from a secondary source.
var units = map[string]uint32{"N": 4, "N·m": 10}

const (
	unitWarning     = "the code of the unit %s is %d by a secondary source; check it against IEEE 1451.4 before the memory is written"
	responseWarning = "response times grow in steps of 30 %, which is from memory; check it against IEEE 1451.4 before the memory is written"
)

// epoch of dates, from a secondary source.
var epoch = time.Date(1998, 1, 1, 0, 0, 0, 0, time.UTC)

// Encode is the image of the data sheet: two pages of 32 bytes, for the start of the
// memory. Values are rounded to the steps of their fields, and the warnings say each that
// moved, with what has to be checked against the standard. Values out of the range of
// their fields are errors, all in one run; nothing is cut off silently.
func Encode(t Transducer) (data []byte, warnings []string, err error) {
	e := encoder{}
	e.whole(maker, t.Maker, 17, 16381, "a registered number; 0 to 16 are reserved")
	e.whole(modelNumber, t.Model, 0, 32767, "")
	e.whole(versionNumber, t.VersionNumber, 0, 63, "")
	e.whole(serialNumber, t.Serial, 0, 1<<24-1, "")
	letter := t.VersionLetter
	if letter == 0 {
		letter = ' '
	}
	e.letters(versionLetter, string(letter), 1)

	e.v[selector], e.v[template], e.v[precision], e.v[endSelector], e.v[extendedEnd] = 0, templateID, full, end, 1
	if code, ok := units[t.Unit]; ok {
		e.v[unitCode] = code
		e.warnings = append(e.warnings, fmt.Sprintf(unitWarning, t.Unit, code))
	} else {
		e.wrong(unitCode, fmt.Sprintf("%.24q", t.Unit), "N or N·m; no other code is known well enough to be written")
	}
	e.limits(physicalMin, physicalMax, t.MinPhysical, t.MaxPhysical, t.Unit)
	e.limits(electricalMin, electricalMax, t.MinElectrical, t.MaxElectrical, "V/V")
	for k, v := range []float64{t.MinElectrical, t.MaxElectrical} {
		if math.Abs(v) > 1 {
			e.wrong(electricalMin+k, fmt.Sprintf("%g V/V", v), "an output of a bridge, within ±1 V/V; 2 mV/V is 0.002")
		}
	}
	e.whole(bridgeType, int(t.Bridge), int(QuarterBridge), int(FullBridge), "0 quarter, 1 half, 2 full bridge")
	e.steps(impedance, t.Resistance, 1, 0.1, "Ω")
	e.ratio(response, t.ResponseTime)
	e.steps(excitationNominal, t.ExcitationNominal, 0.1, 0.1, "V")
	e.steps(excitationMin, t.ExcitationMin, 0.1, 0.1, "V")
	e.steps(excitationMax, t.ExcitationMax, 0.1, 0.1, "V")
	if !(t.ExcitationMin <= t.ExcitationNominal && t.ExcitationNominal <= t.ExcitationMax) {
		e.wrong(excitationNominal, fmt.Sprintf("%g V", t.ExcitationNominal), fmt.Sprintf("a value from the least, %g V, to the greatest, %g V", t.ExcitationMin, t.ExcitationMax))
	}
	e.day(t.Calibrated)
	e.letters(initials, t.Initials, 3)
	e.whole(period, t.PeriodDays, 0, 1<<12-2, "days")
	e.whole(measurement, t.Measurement, 0, 1<<11-2, "")
	if len(e.errs) > 0 {
		return nil, nil, errors.Join(e.errs...)
	}
	return image(e.v.pack()), e.warnings, nil
}

// encoder gathers raw values, warnings and errors.
type encoder struct {
	v        values
	warnings []string
	errs     []error
}

func (e *encoder) wrong(f int, what, right string) {
	e.errs = append(e.errs, fmt.Errorf("%s: %s; give %s", fields[f].name, what, right))
}

func (e *encoder) whole(f, n, low, high int, about string) {
	if n < low || n > high {
		right := fmt.Sprintf("%d to %d", low, high)
		if about != "" {
			right += ", " + about
		}
		e.wrong(f, fmt.Sprint(n), right)
		return
	}
	e.v[f] = uint32(n)
}

// limits are two ascending single floats.
func (e *encoder) limits(low, high int, a, b float64, unit string) {
	for _, s := range []struct {
		f int
		v float64
	}{{low, a}, {high, b}} {
		single := float32(s.v)
		if math.IsNaN(s.v) || math.IsInf(float64(single), 0) || single == 0 && s.v != 0 {
			e.wrong(s.f, fmt.Sprintf("%g %s", s.v, unit), "a number within the range of single precision")
			return
		}
		e.v[s.f] = math.Float32bits(single)
		// 0.0015 is no single either; what counts is whether it reads back as 0.0015
		if text := strconv.FormatFloat(float64(single), 'g', -1, 32); float64(single) != s.v && text != strconv.FormatFloat(s.v, 'g', -1, 64) {
			e.warnings = append(e.warnings, fmt.Sprintf("%s: %.12g %s is stored as %s", fields[s.f].name, s.v, unit, text))
		}
	}
	if !(float32(a) < float32(b)) {
		e.wrong(low, fmt.Sprintf("%g to %g %s", a, b, unit), "a range that ascends; where the output falls with the load, exchange the signal wires")
	}
}

// steps is a resolution of constant steps, start + step·n; n of all ones means that nothing
// is said.
func (e *encoder) steps(f int, v, start, step float64, unit string) {
	most := uint32(1)<<fields[f].bits - 2
	n := math.Round((v - start) / step)
	if math.IsNaN(v) || v < start-1e-9 || !(n <= float64(most)) {
		e.wrong(f, fmt.Sprintf("%g %s", v, unit), fmt.Sprintf("%g to %.6g %s", start, start+step*float64(most), unit))
		return
	}
	n = max(n, 0)
	e.v[f] = uint32(n)
	if stored := start + step*n; math.Abs(stored-v) > 1e-9*math.Max(1, math.Abs(v)) {
		e.warnings = append(e.warnings, fmt.Sprintf("%s: %g %s is stored as %.6g %s, in steps of %g", fields[f].name, v, unit, stored, unit, step))
	}
}

// Response times have a resolution of constant ratio, start·(1 + 2·tolerance)^n; the tolerance
// of 15 % is from memory.
const (
	responseStart = 1e-6
	responseRatio = 1.3
)

func (e *encoder) ratio(f int, v float64) {
	most := float64(uint32(1)<<fields[f].bits - 2)
	n := math.Round(math.Log(v/responseStart) / math.Log(responseRatio))
	if !(v > 0) || !(n >= 0 && n <= most) || v < responseStart*(1-1e-9) {
		e.wrong(f, fmt.Sprintf("%g s", v), fmt.Sprintf("%g to %.3g s", responseStart, responseStart*math.Pow(responseRatio, most)))
		return
	}
	e.v[f] = uint32(n)
	if n > 0 {
		e.warnings = append(e.warnings, responseWarning)
	}
	if stored := responseStart * math.Pow(responseRatio, n); math.Abs(stored-v) > 1e-6*v {
		e.warnings = append(e.warnings, fmt.Sprintf("%s: %g s is stored as %.4g s, in steps of 30 %%", fields[f].name, v, stored))
	}
}

// letters are characters of five bits, the first lowest: space 0, A 1 to Z 26.
func (e *encoder) letters(f int, text string, most int) {
	if len(text) > most {
		e.wrong(f, fmt.Sprintf("%.24q", text), fmt.Sprintf("at most %d letters A to Z", most))
		return
	}
	for i := range most {
		c := byte(' ')
		if i < len(text) {
			c = text[i]
		}
		switch {
		case c >= 'A' && c <= 'Z':
			e.v[f] |= uint32(c-'A'+1) << (5 * i)
		case c != ' ':
			e.wrong(f, fmt.Sprintf("%.24q", text), "letters A to Z")
			return
		}
	}
}

// day is the number of days since the epoch, of the date as it is written.
func (e *encoder) day(t time.Time) {
	day := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	most := 1<<16 - 2
	last := epoch.AddDate(0, 0, most)
	if t.IsZero() || day.Before(epoch) || day.After(last) {
		what := day.Format(time.DateOnly)
		if t.IsZero() {
			what = "no date"
		}
		e.wrong(date, what, fmt.Sprintf("%s to %s", epoch.Format(time.DateOnly), last.Format(time.DateOnly)))
		return
	}
	e.v[date] = uint32(day.Sub(epoch) / (24 * time.Hour))
}

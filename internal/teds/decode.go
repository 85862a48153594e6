package teds

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// unitNames are those of the codes by a secondary source.
var unitNames = map[uint32]string{
	2: "strain", 3: "µε", 4: "N", 5: "lbf", 6: "kgf", 7: "m/s²", 9: "N·m/rad", 10: "N·m", 11: "ozf·in", 12: "Pa", 13: "psi", 14: "kg",
}

// Decode reads an image of one page after the other, of which the first two hold the
// data; further pages are looked at only for their checksums. A checksum that does not
// fit, a template other than 33, limits in a compact form and a calibration template are
// errors. Fields that say nothing (all ones) are NaN, −1 or the zero time, and a code of a
// unit that is not known is "code n".
func Decode(memory []byte) (Transducer, error) {
	var t Transducer
	if len(memory) < pages*pageSize || len(memory)%pageSize != 0 {
		return t, fmt.Errorf("%d bytes; an image has whole pages of %d bytes, at least %d of them", len(memory), pageSize, pages)
	}
	for p := 0; p < len(memory); p += pageSize {
		if s := sum(memory[p:][:pageSize]); s != 0 {
			return t, fmt.Errorf("page %d: its bytes add up to %d modulo 256, not 0; the image is damaged or no data sheet of this kind", p/pageSize, s)
		}
	}
	var data [dataBytes]byte
	n := copy(data[:], memory[1:pageSize])
	copy(data[n:], memory[pageSize+1:2*pageSize])
	v := unpack(&data)
	switch {
	case v[selector] != 0 || v[template] != templateID:
		return t, fmt.Errorf("template %d with selector %d; only template %d of the standard is read", v[template], v[selector], templateID)
	case v[precision] != full:
		return t, fmt.Errorf("the limits are in compact form %d, whose layout is not known; only single precision is read", v[precision])
	case v[endSelector] != end:
		return t, fmt.Errorf("another template follows (selector %d); only template %d alone is read", v[endSelector], templateID)
	case v[extendedEnd] != 1:
		return t, fmt.Errorf("data of another form follow the end; only images without them are read")
	case v[bridgeType] > uint32(FullBridge):
		return t, fmt.Errorf("bridge type %d is none of quarter, half and full", v[bridgeType])
	}
	t = Transducer{
		Maker: int(v[maker]), Model: int(v[modelNumber]), VersionNumber: int(v[versionNumber]), Serial: int(v[serialNumber]),
		MinPhysical: single(v[physicalMin]), MaxPhysical: single(v[physicalMax]),
		MinElectrical: single(v[electricalMin]), MaxElectrical: single(v[electricalMax]),
		Bridge: BridgeType(v[bridgeType]), Resistance: constant(&v, impedance, 1, 0.1),
		ExcitationNominal: constant(&v, excitationNominal, 0.1, 0.1), ExcitationMin: constant(&v, excitationMin, 0.1, 0.1), ExcitationMax: constant(&v, excitationMax, 0.1, 0.1),
		ResponseTime: math.NaN(), PeriodDays: -1, Measurement: -1,
	}
	var ok bool
	if t.Unit, ok = unitNames[v[unitCode]]; !ok {
		t.Unit = fmt.Sprintf("code %d", v[unitCode])
	}
	if !silent(&v, response) {
		t.ResponseTime = responseStart * math.Pow(responseRatio, float64(v[response]))
	}
	if !silent(&v, date) {
		t.Calibrated = epoch.Add(time.Duration(v[date]) * 24 * time.Hour)
	}
	if !silent(&v, period) {
		t.PeriodDays = int(v[period])
	}
	if !silent(&v, measurement) {
		t.Measurement = int(v[measurement])
	}
	letter, err := letters(v[versionLetter], 1)
	if err != nil {
		return t, fmt.Errorf("%s: %w", fields[versionLetter].name, err)
	}
	if letter != "" {
		t.VersionLetter = rune(letter[0])
	}
	if t.Initials, err = letters(v[initials], 3); err != nil {
		return t, fmt.Errorf("%s: %w", fields[initials].name, err)
	}
	return t, nil
}

func single(bits uint32) float64 { return float64(math.Float32frombits(bits)) }

// silent says that a field is all ones.
func silent(v *values, f int) bool { return v[f] == uint32(1)<<fields[f].bits-1 }

func constant(v *values, f int, start, step float64) float64 {
	if silent(v, f) {
		return math.NaN()
	}
	// a decimal step is not exact in binary: 0.1 + 49·0.1 is meant to be 5
	return math.Round((start+step*float64(v[f]))*1e6) / 1e6
}

func letters(raw uint32, n int) (string, error) {
	b := make([]byte, n)
	for i := range n {
		switch c := raw >> (5 * i) & 31; {
		case c == 0:
			b[i] = ' '
		case c <= 26:
			b[i] = byte('A' + c - 1)
		default:
			return "", fmt.Errorf("code %d is no letter", c)
		}
	}
	return strings.TrimRight(string(b), " "), nil
}

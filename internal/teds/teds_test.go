package teds

import (
	"bytes"
	"encoding/hex"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// page is 32 bytes from hexadecimal digits, filled up with zeros.
func page(t testing.TB, digits string) []byte {
	t.Helper()
	b, err := hex.DecodeString(digits)
	if err != nil {
		t.Fatal(err)
	}
	return append(b, make([]byte, pageSize-len(b))...)
}

// published is the memory image of a bridge transducer that a public documentation prints;
// read there, 124 of its bytes are given.
func published(t testing.TB) []byte {
	return append(page(t, "801F40620000000000841C000000000000000002000000000000006418008021"), page(t, "46C10EC34800000000E0")...)
}

func invented() Transducer {
	return Transducer{
		Maker: 100, Model: 1234, VersionLetter: 'A', VersionNumber: 2, Serial: 567890,
		Unit: "N·m", MinPhysical: -500, MaxPhysical: 500, MinElectrical: -0.0015, MaxElectrical: 0.0015,
		Bridge: FullBridge, Resistance: 350, ResponseTime: 1e-6,
		ExcitationNominal: 5, ExcitationMin: 2.5, ExcitationMax: 10,
		Calibrated: time.Date(2024, 3, 15, 0, 0, 0, 0, time.UTC), Initials: "ABC", PeriodDays: 365, Measurement: 7,
	}
}

// The published image: its fields as its documentation gives them, and the same bytes back.
func TestPublishedImage(t *testing.T) {
	memory := published(t)
	got, err := Decode(memory)
	if err != nil {
		t.Fatal(err)
	}
	want := Transducer{
		Maker: 31, Model: 393, Unit: "m/s²", Bridge: HalfBridge, Resistance: 40, ResponseTime: 1e-6,
		ExcitationNominal: 2.5, ExcitationMin: 1, ExcitationMax: 6, Calibrated: epoch.AddDate(0, 0, 37254),
	}
	if got != want {
		t.Errorf("%+v, want\n%+v", got, want)
	}
	var data [dataBytes]byte
	n := copy(data[:], memory[1:pageSize])
	copy(data[n:], memory[pageSize+1:])
	v := unpack(&data)
	if again := image(v.pack()); !bytes.Equal(again, memory) {
		t.Errorf("%X, want\n%X", again, memory)
	}
	if bits := func() (n int) {
		for _, f := range fields {
			n += f.bits
		}
		return n
	}(); bits != 320 {
		t.Errorf("%d bits, want 320", bits)
	}
}

// An invented transducer, packed by hand elsewhere from the table of fields.
func TestInventedImage(t *testing.T) {
	want := append(page(t, "F6648034210852AA0884280000FAC30000FA439A6E12EB9A6E12EB28DA001003"), page(t, "25C318B19220465B1CE0")...)
	got, warnings, err := Encode(invented())
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%X, want\n%X", got, want)
	}
	if len(warnings) != 1 || !strings.Contains(warnings[0], "N·m is 10") || !strings.Contains(warnings[0], "check it against IEEE 1451.4") {
		t.Errorf("warnings %q", warnings)
	}
	back, err := Decode(got)
	if err != nil {
		t.Fatal(err)
	}
	in := invented()
	in.MinElectrical, in.MaxElectrical = float64(float32(-0.0015)), float64(float32(0.0015))
	if back != in {
		t.Errorf("%+v, want\n%+v", back, in)
	}
}

// The serial number of a published memory: family 2D, check byte 19; read there.
func TestCRC8(t *testing.T) {
	if c := CRC8([]byte{0x2d, 0x57, 0xa6, 0x5c, 0, 0, 0}); c != 0x19 {
		t.Errorf("%#x, want 0x19", c)
	}
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SliceOfN(rapid.Byte(), 7, 7).Draw(t, "serial")
		whole := append(b, CRC8(b))
		if CRC8(whole) != 0 {
			t.Fatal("with its check byte it does not give 0")
		}
		bit := rapid.IntRange(0, 63).Draw(t, "bit")
		whole[bit/8] ^= 1 << (bit % 8)
		if CRC8(whole) == 0 {
			t.Fatal("a flipped bit is not found")
		}
	})
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
		in := Transducer{
			Maker: n("maker", 17, 16381), Model: n("model", 0, 32767), VersionNumber: n("version", 0, 63), Serial: n("serial", 0, 1<<24-1),
			VersionLetter: rune('A' + n("letter", 0, 25)), Unit: rapid.SampledFrom([]string{"N", "N·m"}).Draw(t, "unit"),
			MinPhysical: -float64(n("min", 0, 1e6)), MaxPhysical: float64(n("max", 1, 1e6)),
			MinElectrical: -float64(n("low", 0, 1000)) / 1024, MaxElectrical: float64(n("high", 1, 1000)) / 1024,
			Bridge: BridgeType(n("bridge", 0, 2)), Resistance: math.Round(10+float64(n("ohm", 0, 262141))) / 10, ResponseTime: 1e-6,
			ExcitationMin: float64(n("least", 1, 20)) / 10, ExcitationNominal: float64(n("nominal", 20, 50)) / 10, ExcitationMax: float64(n("most", 50, 511)) / 10,
			Calibrated: epoch.AddDate(0, 0, n("day", 0, 65534)), Initials: rapid.StringMatching(`[A-Z]{0,3}`).Draw(t, "initials"),
			PeriodDays: n("period", 0, 4094), Measurement: n("place", 0, 2046),
		}
		data, warnings, err := Encode(in)
		if err != nil {
			t.Fatal(err)
		}
		if len(warnings) != 1 {
			t.Fatalf("warnings %q", warnings)
		}
		out, err := Decode(append(data, make([]byte, 2*pageSize)...))
		if err != nil {
			t.Fatal(err)
		}
		if out != in {
			t.Fatalf("%+v, want\n%+v", out, in)
		}
		// any one byte that is changed is found
		data[n("byte", 0, 63)] += byte(n("by", 1, 255))
		if _, err := Decode(data); err == nil {
			t.Fatal("a changed byte is not found")
		}
	})
}

func TestRounding(t *testing.T) {
	in := invented()
	in.Resistance, in.ExcitationNominal, in.ResponseTime, in.MaxPhysical = 350.03, 5.04, 2e-3, 500.000_04
	data, warnings, err := Encode(in)
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(warnings, "\n")
	for _, want := range []string{
		"impedance: 350.03 Ω is stored as 350 Ω, in steps of 0.1", "nominal excitation: 5.04 V is stored as 5 V, in steps of 0.1",
		"response time: 0.002 s is stored as 0.00", "steps of 30 %, which is from memory",
		"greatest physical value: 500.00004 N·m is stored as 500.00003",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("no warning %q in\n%s", want, all)
		}
	}
	out, err := Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	if r := out.ResponseTime / 2e-3; !(r > 0.85 && r < 1.15) {
		t.Errorf("response time %g s", out.ResponseTime)
	}
	if slices.Contains(warnings, "") {
		t.Error("an empty warning")
	}
}

func TestOutOfRange(t *testing.T) {
	for _, c := range []struct {
		spoil func(t *Transducer)
		want  string
	}{
		{func(t *Transducer) { t.Maker = 16 }, "manufacturer: 16; give 17 to 16381, a registered number; 0 to 16 are reserved"},
		{func(t *Transducer) { t.Maker = 16382 }, "manufacturer: 16382"},
		{func(t *Transducer) { t.Model = 32768 }, "model number: 32768; give 0 to 32767"},
		{func(t *Transducer) { t.VersionLetter = 'a' }, `version letter: "a"; give letters A to Z`},
		{func(t *Transducer) { t.VersionLetter = 'Ä' }, "version letter: "},
		{func(t *Transducer) { t.VersionNumber = -1 }, "version number: -1"},
		{func(t *Transducer) { t.Serial = 1 << 24 }, "serial number: 16777216"},
		{func(t *Transducer) { t.Unit = "lbf·in" }, `unit: "lbf·in"; give N or N·m`},
		{func(t *Transducer) { t.MaxPhysical = 1e39 }, "greatest physical value: 1e+39 N·m"},
		{func(t *Transducer) { t.MinPhysical = math.NaN() }, "least physical value: NaN"},
		{func(t *Transducer) { t.MinPhysical = 500 }, "give a range that ascends"},
		{func(t *Transducer) { t.MinElectrical, t.MaxElectrical = 0.0015, -0.0015 }, "least electrical value: 0.0015 to -0.0015 V/V; give a range that ascends"},
		{func(t *Transducer) { t.MaxElectrical = 1.5 }, "greatest electrical value: 1.5 V/V; give an output of a bridge, within ±1 V/V; 2 mV/V is 0.002"},
		{func(t *Transducer) { t.Bridge = 3 }, "type of bridge: 3"},
		{func(t *Transducer) { t.Resistance = 0.5 }, "impedance: 0.5 Ω; give 1 to 26215.2 Ω"},
		{func(t *Transducer) { t.Resistance = 26215.3 }, "impedance: 26215.3 Ω"},
		{func(t *Transducer) { t.Resistance = math.NaN() }, "impedance: NaN"},
		{func(t *Transducer) { t.Resistance = math.Inf(1) }, "impedance: +Inf"},
		{func(t *Transducer) { t.ResponseTime = 0 }, "response time: 0 s; give 1e-06 to 11.6 s"},
		{func(t *Transducer) { t.ResponseTime = 20 }, "response time: 20 s"},
		{func(t *Transducer) { t.ExcitationMax = 51.2 }, "greatest excitation: 51.2 V; give 0.1 to 51.1 V"},
		{func(t *Transducer) { t.ExcitationMin = 0 }, "least excitation: 0 V"},
		{func(t *Transducer) { t.ExcitationMin = 6 }, "nominal excitation: 5 V; give a value from the least, 6 V"},
		{func(t *Transducer) { t.Calibrated = time.Time{} }, "date of calibration: no date; give 1998-01-01 to 2177-06-05"},
		{func(t *Transducer) { t.Calibrated = epoch.AddDate(0, 0, -1) }, "date of calibration: 1997-12-31"},
		{func(t *Transducer) { t.Calibrated = epoch.AddDate(0, 0, 65535) }, "date of calibration: 2177-06-06"},
		{func(t *Transducer) { t.Initials = "ABCD" }, `initials: "ABCD"; give at most 3 letters A to Z`},
		{func(t *Transducer) { t.Initials = "A1" }, `initials: "A1"`},
		{func(t *Transducer) { t.PeriodDays = 4095 }, "calibration period: 4095; give 0 to 4094, days"},
		{func(t *Transducer) { t.Measurement = 2047 }, "measurement location: 2047"},
	} {
		in := invented()
		c.spoil(&in)
		data, _, err := Encode(in)
		if err == nil || !strings.Contains(err.Error(), c.want) || data != nil {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
	// the ends of the ranges are inside
	in := invented()
	in.Maker, in.Resistance, in.ExcitationMin, in.ExcitationMax, in.Calibrated = 16381, 26215.2, 0.1, 51.1, epoch.AddDate(0, 0, 65534)
	if _, _, err := Encode(in); err != nil {
		t.Error(err)
	}
	// all that is wrong in one run
	_, _, err := Encode(Transducer{})
	if n := strings.Count(err.Error(), "\n") + 1; n < 8 {
		t.Errorf("%d problems:\n%v", n, err)
	}
}

// A date is that of the calendar where it was written, whatever the zone.
func TestDateHasNoZone(t *testing.T) {
	in := invented()
	in.Calibrated = time.Date(2024, 3, 15, 23, 30, 0, 0, time.FixedZone("", -9*3600))
	data, _, err := Encode(in)
	if err != nil {
		t.Fatal(err)
	}
	want, _, _ := Encode(invented())
	if !bytes.Equal(data, want) {
		t.Error("the zone moved the date")
	}
}

func TestRefusedImages(t *testing.T) {
	change := func(f int, v uint32) []byte {
		memory := published(t)
		var data [dataBytes]byte
		n := copy(data[:], memory[1:pageSize])
		copy(data[n:], memory[pageSize+1:])
		raw := unpack(&data)
		raw[f] = v
		return image(raw.pack())
	}
	damaged := published(t)
	damaged[5] ^= 1
	for _, c := range []struct {
		memory []byte
		want   string
	}{
		{nil, "0 bytes"},
		{published(t)[:40], "40 bytes"},
		{damaged, "page 0: its bytes add up to"},
		{change(template, 35), "template 35"},
		{change(selector, 1), "selector 1"},
		{change(precision, 0), "compact form 0"},
		{change(precision, 1), "compact form 1"},
		{change(endSelector, 0), "another template follows"},
		{change(extendedEnd, 0), "another form"},
		{change(bridgeType, 3), "bridge type 3"},
		{change(versionLetter, 27), "version letter: code 27"},
		{change(initials, 31<<5), "initials: code 31"},
	} {
		if _, err := Decode(c.memory); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
	silentDate, err := Decode(change(date, 65535))
	if err != nil || !silentDate.Calibrated.IsZero() {
		t.Errorf("%v, %v", silentDate.Calibrated, err)
	}
	unknown, err := Decode(change(unitCode, 63))
	if err != nil || unknown.Unit != "code 63" {
		t.Errorf("%q, %v", unknown.Unit, err)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(published(f))
	f.Fuzz(func(t *testing.T, memory []byte) {
		for p := 0; p+pageSize <= len(memory); p += pageSize { // let the checksums pass
			memory[p] = -sum(memory[p+1:][:pageSize-1])
		}
		Decode(memory)
	})
}

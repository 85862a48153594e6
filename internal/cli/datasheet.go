package cli

import (
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/teds"
)

// sheetData is what an electronic data sheet says beside the calibration.
type sheetData struct {
	file, bridge, letter, initials            string
	maker, model, version, serial, days, site int
}

func (s *sheetData) flags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&s.file, "teds", "", "write the image of an electronic data sheet to a `file`")
	f.StringVar(&s.bridge, "teds-bridge", "", "the bridge that it describes; needed with several")
	f.IntVar(&s.maker, "teds-maker", 0, "registered number of the manufacturer, 17 to 16381")
	f.IntVar(&s.model, "teds-model", 0, "model number, 0 to 32767")
	f.StringVar(&s.letter, "teds-version-letter", "", "letter of the version, A to Z")
	f.IntVar(&s.version, "teds-version", 0, "number of the version, 0 to 63")
	f.IntVar(&s.serial, "teds-serial", 0, "serial number, 0 to 16777215")
	f.StringVar(&s.initials, "teds-initials", "", "initials of who calibrated, up to three letters")
	f.IntVar(&s.days, "teds-days", 0, "days until the next calibration, 0 to 4094")
	f.IntVar(&s.site, "teds-location", 0, "number of the measurement location, 0 to 2046")
}

// image is the data sheet of one bridge by its calibration.
func (e *env) image(name string, s *sheetData, r *calibration.Result) ([]byte, error) {
	at := -1
	for i := range r.Bridges {
		if r.Bridges[i].Name == s.bridge || s.bridge == "" && len(r.Bridges) == 1 {
			at = i
		}
	}
	switch {
	case at < 0 && s.bridge == "":
		return nil, inputf("--teds: the design has %d bridges; name one with --teds-bridge", len(r.Bridges))
	case at < 0:
		return nil, inputf("--teds-bridge %s: no bridge of that name was calibrated", s.bridge)
	case r.Bridges[at].Missing != "":
		return nil, inputf("--teds: bridge %s was not evaluated: %s", r.Bridges[at].Name, r.Bridges[at].Missing)
	}
	b := &r.Bridges[at]
	if r.Design.Part.Date == "" {
		return nil, inputf("--teds: the data sheet carries the date of the calibration; write it as `date: YYYY-MM-DD` under `part`")
	}
	date, err := time.Parse(time.DateOnly, r.Design.Part.Date)
	if err != nil {
		return nil, inputf("--teds: the part's date %q is no date; write it as YYYY-MM-DD", r.Design.Part.Date)
	}
	low, high := 0.0, 0.0
	for i := range r.Data.Readings {
		f := r.Data.Readings[i].Loads[b.Target]
		low, high = math.Min(low, f), math.Max(high, f)
	}
	db := &r.Design.Bridges[b.Index]
	if !db.Excitation.Set {
		return nil, inputf("--teds: bridge %s states no excitation; the data sheet needs one", b.Name)
	}
	ohms, err := ringOhms(r.Design, b.Index)
	if err != nil {
		return nil, inputf("%s: %v", name, err)
	}
	t := teds.Transducer{
		Maker: s.maker, Model: s.model, VersionNumber: s.version, Serial: s.serial,
		Unit: b.Load.Kind().SIUnit(), MinPhysical: low, MaxPhysical: high,
		MinElectrical: b.Forward.At(low) - b.Forward.At(0), MaxElectrical: b.Forward.At(high) - b.Forward.At(0),
		Bridge: bridgeType(db), Resistance: ohms, ResponseTime: 1e-6,
		ExcitationNominal: db.Excitation.SI, ExcitationMin: db.Excitation.SI, ExcitationMax: db.Excitation.SI,
		Calibrated: date, Initials: s.initials, PeriodDays: s.days, Measurement: s.site,
	}
	if s.letter != "" {
		t.VersionLetter = []rune(s.letter)[0]
	}
	data, warnings, err := teds.Encode(t)
	if err != nil {
		return nil, inputf("--teds: %v", err)
	}
	for _, w := range warnings {
		e.note("gridwright: warning: data sheet: %s", w)
	}
	return data, nil
}

// bridgeType counts the arms that have grids.
func bridgeType(b *design.Bridge) teds.BridgeType {
	active := 0
	for _, a := range b.Arms {
		if !a.Fixed() {
			active++
		}
	}
	switch {
	case active >= 3:
		return teds.FullBridge
	case active == 2:
		return teds.HalfBridge
	}
	return teds.QuarterBridge
}

// ringOhms is the input resistance of a bridge, Ω.
func ringOhms(d *design.Design, b int) (float64, error) {
	m, err := model.Compile(d)
	if err != nil {
		return 0, err
	}
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		return 0, err
	}
	c := model.At(d.Temperature.Reference.SI)
	solution, err := m.Solve(s, b, &c)
	if err != nil {
		return 0, fmt.Errorf("bridge %s: %w", d.Bridges[b].Name, err)
	}
	return solution.InputResistance, nil
}

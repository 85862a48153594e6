package diagnosis

import (
	"encoding/json"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"gridwright/internal/model"
)

func TestSameOnAnyCoresAndInAnyOrder(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	made.Placements[1].Direction.SI = -8 * deg
	in := calibrated(t, made, nil)
	two := of(t, d, in)
	old := runtime.GOMAXPROCS(1)
	one := of(t, d, in)
	runtime.GOMAXPROCS(old)
	if !reflect.DeepEqual(one, two) {
		t.Error("one core finds something else")
	}
	back := in
	back.Components, back.Loads = reversed(in.Components), reversed(in.Loads)
	back.Sensitivity, back.Standard = nil, nil
	for b := range in.Sensitivity {
		back.Sensitivity = append(back.Sensitivity, reversed(in.Sensitivity[b]))
		back.Standard = append(back.Standard, reversed(in.Standard[b]))
	}
	other := of(t, d, back)
	if math.Abs(other.ChiSquare/two.ChiSquare-1) > 1e-9 || other.Causes[0].Text != two.Causes[0].Text || math.Abs(other.Causes[0].Share-two.Causes[0].Share) > 1e-9 {
		t.Errorf("%+v, in the other order %+v", two.Causes[0], other.Causes[0])
	}
}

func reversed[T any](in []T) []T {
	out := make([]T, len(in))
	for i, v := range in {
		out[len(in)-1-i] = v
	}
	return out
}

func TestCovariance(t *testing.T) {
	d := parse(t, tube)
	in := calibrated(t, d, func(m *model.Model, s *simulated) {
		for b := range s.matrix {
			s.matrix[b][1] *= 1.08
		}
	})
	plain := of(t, d, in)
	full := in
	for b := range in.Standard {
		var k [][]float64
		for c, u := range in.Standard[b] {
			row := make([]float64, len(in.Standard[b]))
			row[c] = u * u
			k = append(k, row)
		}
		full.Covariance = append(full.Covariance, k)
	}
	full.Standard = nil
	if r := of(t, d, full); math.Abs(r.ChiSquare/plain.ChiSquare-1) > 1e-9 {
		t.Errorf("%g by covariances, %g by standard uncertainties", r.ChiSquare, plain.ChiSquare)
	}
	// a load standard good to 10 % explains 8 %
	in.LoadStandard = []float64{0, 0.1, 0, 0}
	if r := of(t, d, in); !r.Agrees || plain.Agrees {
		t.Errorf("with a poor load standard: %s; without: %s", r.Sentence, plain.Sentence)
	}
}

func TestShuntToleranceAndResolution(t *testing.T) {
	off := func(m *model.Model, s *simulated) {
		for b := range s.shunts {
			s.shunts[b][0] *= 1.025
		}
	}
	exact := parse(t, tube)
	if r := of(t, exact, calibrated(t, exact, off)); r.Agrees {
		t.Error("an exact shunt read 2.5 % off agrees")
	}
	loose := parse(t, strings.Replace(tube, "100 kΩ", "100 kΩ ± 2 %", 1))
	if r := of(t, loose, calibrated(t, loose, off)); !r.Agrees {
		t.Errorf("a shunt of 2 %%: %s", r.Sentence)
	}
	// the resistances leave the zero 0.5 mV/V of room: take their tolerance away
	tight := strings.NewReplacer(" ± 0.2 %", "", " ± 0.01 %", "").Replace(tube)
	step := func(m *model.Model, s *simulated) { s.zero[0] += 4e-6 }
	d := parse(t, tight)
	if r := of(t, d, calibrated(t, d, step)); r.Agrees {
		t.Error("a zero off by 4 µV/V agrees")
	}
	d = parse(t, tight+"calibration: {indicator-resolution: 10 µV/V}\n")
	if r := of(t, d, calibrated(t, d, step)); !r.Agrees {
		t.Errorf("read to 10 µV/V: %s", r.Sentence)
	}
}

func TestPublished(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	made.Placements[0].Direction.SI = 5 * deg
	text, err := json.Marshal(of(t, d, calibrated(t, made, nil)).Published())
	if err != nil {
		t.Fatal(err)
	}
	var back struct {
		Agrees *bool
		Causes []struct {
			Cause    *string
			Share    *float64
			Estimate *struct {
				Value, Standard *float64
				Unit, Quantity  *string
			}
			Group *int
		}
		Separate json.RawMessage `json:"separate_by"`
	}
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if back.Agrees == nil || len(back.Causes) == 0 || back.Causes[0].Cause == nil || back.Causes[0].Share == nil || back.Causes[0].Group == nil || back.Causes[0].Estimate == nil || *back.Causes[0].Estimate.Unit != "°" || back.Separate == nil {
		t.Errorf("%s", text)
	}
	text, err = json.Marshal(of(t, d, calibrated(t, d, nil)).Published())
	if err != nil || !strings.Contains(string(text), `"estimate":null`) || !strings.Contains(string(text), `"separate_by":null`) || !strings.Contains(string(text), `"agrees":true`) {
		t.Errorf("%s %v", text, err)
	}
}

func TestExactDesign(t *testing.T) {
	text := strings.NewReplacer(" ± 2 %", "", " ± 0.1 %", "", " ± 1 %", "").Replace(oneBridge) + "placement-tolerance: {station: 0 mm, around: 0°, direction: 0°}\n"
	d := parse(t, text)
	if r := of(t, d, calibrated(t, d, nil)); !r.Agrees || r.ChiSquare > 1e-9 {
		t.Errorf("%+v", r)
	}
	r := of(t, d, calibrated(t, d, func(m *model.Model, s *simulated) { s.matrix[0][0] *= 1.01 }))
	if r.Agrees || len(group1(r)) < 3 || r.SeparateBy == "" {
		t.Errorf("%+v", r)
	}
}

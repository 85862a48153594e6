package worksheet

import (
	"bytes"
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

func dossierOf(t *testing.T, name string, trials int) *dossier.Dossier {
	t.Helper()
	text, err := os.ReadFile("../../designs/" + name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := designfile.Read(name, text)
	if err != nil {
		t.Fatal(err)
	}
	out, err := dossier.WithUncertainty(context.Background(), name, text, d, uncertainty.Options{Trials: trials, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func planOf(t *testing.T, d *dossier.Dossier, o Options) *Plan {
	t.Helper()
	p, err := Of(d, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestScheme: series, steps and positions of the common scheme, counted by hand:
// for torque 4 series of 10 steps and two zeros, two of them with 9 falling
// steps; bending is never turned.
func TestScheme(t *testing.T) {
	p := planOf(t, dossierOf(t, "agitator-tube.yaml", 10_000), Options{})
	m := p.Dossier.Result.Model
	torque, bending := -1, -1
	for j, c := range m.Components {
		switch c {
		case design.Torque:
			torque = j
		case design.BendingY:
			bending = j
		}
	}
	count := map[string]int{}
	positions := map[float64]bool{}
	for _, r := range p.Rows {
		switch {
		case r.Remark != "" || r.Shunt >= 0:
		case r.Loads[torque] != 0 && r.Loads[bending] != 0:
			count["combined"]++
		case r.Loads[torque] != 0:
			count["torque "+r.Stepping]++
			positions[r.Position] = true
		case r.Loads[bending] != 0:
			count["bending "+r.Stepping]++
			if r.Position != 0 {
				t.Errorf("bending at position %g°: turned, it is another component", r.Position)
			}
		}
	}
	want := map[string]int{"torque up": 40, "torque down": 18, "bending up": 40, "bending down": 18, "combined": 2}
	for k, n := range want {
		if count[k] != n {
			t.Errorf("%d rows of %s, want %d", count[k], k, n)
		}
	}
	if len(positions) != 3 {
		t.Errorf("torque at positions %v, want three", positions)
	}
}

// TestExpected: each expected change is what the exact model gives, and at rated
// load half the 95 % interval is the standard uncertainty of the sensitivity.
func TestExpected(t *testing.T) {
	p := planOf(t, dossierOf(t, "agitator-tube.yaml", 10_000), Options{All: true})
	r := p.Dossier.Result
	for _, row := range p.Rows {
		if row.Remark != "" || row.Shunt >= 0 {
			continue
		}
		for b := range r.Bridges {
			c := model.At(p.Dossier.Design.Temperature.Reference.SI)
			rest, _ := r.Model.Output(r.State, b, &c)
			copy(c.Load[:], row.Loads)
			v, _ := r.Model.Output(r.State, b, &c)
			if math.Abs(v-rest-row.Expected[b]) > 1e-12 {
				t.Fatalf("run %d: expected %g, the model gives %g", row.Run, row.Expected[b], v-rest)
			}
			if !(row.Interval[b] >= 0) {
				t.Fatalf("run %d: interval %g", row.Run, row.Interval[b])
			}
		}
	}
	rated := make([]float64, len(r.Model.Components))
	rated[r.Bridges[0].Target] = r.Model.Rated[r.Bridges[0].Target]
	change, half := p.Expect(0, rated)
	if u := p.Dossier.Uncertainty.Bridges[0].Relative(); math.Abs(half/change-2*u.Value) > 1e-12 {
		t.Errorf("interval %g of %g, want 2 × %g", half, change, u.Value)
	}
}

// TestCSV: every row has the header's cells, loads read back in the units of the
// header, blanks stay blank and the lines for the bench start with #.
func TestCSV(t *testing.T) {
	for _, sys := range []quantity.System{quantity.SI, quantity.US} {
		p := planOf(t, dossierOf(t, "winch-shaft.yaml", 0), Options{Sys: sys, Steps: 7})
		var b bytes.Buffer
		if err := p.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		c := csv.NewReader(&b)
		c.Comment = '#'
		rows, err := c.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var steps []Row
		for _, r := range p.Rows {
			if r.Remark == "" {
				steps = append(steps, r)
			}
		}
		if len(rows) != len(steps)+1 {
			t.Fatalf("%d rows, want a header and %d", len(rows), len(steps))
		}
		for i, r := range steps {
			cells := rows[i+1]
			for j, load := range r.Loads {
				kind := p.Component(j).Kind()
				v, err := quantity.Parse(cells[3+j]+" "+kind.Unit(sys), kind)
				if err != nil {
					t.Fatal(err)
				}
				if math.Abs(v.SI-load) > 1e-8*math.Abs(p.Dossier.Result.Model.Rated[j]) {
					t.Errorf("row %d: load %s is %g, want %g", i, cells[3+j], v.SI, load)
				}
			}
			n := 3 + len(r.Loads)
			for b := range p.Dossier.Result.Bridges {
				if cells[n+b] != "" {
					t.Errorf("row %d: reading %q stands in a blank", i, cells[n+b])
				}
				x, err := strconv.ParseFloat(cells[n+len(r.Expected)+3+2*b], 64)
				if err != nil || math.Abs(x-r.Expected[b]*1e3) > 5.1e-7 {
					t.Errorf("row %d: expected %q, want %g", i, cells[n+len(r.Expected)+3+2*b], r.Expected[b]*1e3)
				}
				if cells[n+len(r.Expected)+4+2*b] != "" {
					t.Errorf("row %d: an interval without propagated tolerances", i)
				}
			}
		}
	}
}

// TestRefused: options out of range and designs without a bridge.
func TestRefused(t *testing.T) {
	d := dossierOf(t, "agitator-tube.yaml", 0)
	for want, o := range map[string]Options{
		"steps":       {Steps: -1},
		"preloads":    {Preloads: -1},
		"given twice": {Positions: []float64{0, 0}},
		"360":         {Positions: []float64{math.NaN()}},
		"positions":   {Positions: []float64{}},
	} {
		if _, err := Of(d, o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want an error about %s", o, err, want)
		}
	}
	if _, err := Of(dossierOf(t, "feed-screw-open.yaml", 0), Options{}); err == nil || !strings.Contains(err.Error(), "no bridge") {
		t.Errorf("a design without a bridge: %v", err)
	}
}

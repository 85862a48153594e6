package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

// Nominal resistances are to balance: what is left takes the indicator's range
// and costs linearity. The limits are common practice.
const (
	balanceWarning = 0.5e-3 // V/V
	balanceFail    = 2e-3   // V/V, as much as a usual full scale
)

func balanceLevel(v float64) Level {
	switch v = math.Abs(v); {
	case v > balanceFail*(1+1e-9):
		return Fail
	case v > balanceWarning*(1+1e-9):
		return Warning
	}
	return ""
}

func resistance(j *judge) []Finding {
	var out []Finding
	for b := range j.r.Bridges {
		pb := &j.r.Bridges[b]
		v := pb.Balance.Nominal
		level := balanceLevel(v)
		if level == "" {
			continue
		}
		limit := balanceWarning
		if level == Fail {
			limit = balanceFail
		}
		r := j.ohms(b)
		f := Finding{Level: level, Bridge: pb.Name, Value: some(v), Limit: some(limit)}
		f.Message = fmt.Sprintf("the arms of bridge %s do not match: %s Ω, %s Ω, %s Ω, %s Ω give %s at no load; at most %s either way is wanted",
			pb.Name, plain(r[0]), plain(r[1]), plain(r[2]), plain(r[3]), volts(v), volts(limit))
		f.Remedy = "use grids of equal resistance in arms 1 and 2, and in arms 3 and 4"
		f.options = func(j *judge) []option { return append(j.balanced(b), j.rearranged(b)...) }
		out = append(out, f)
	}
	return out
}

// rest is the state of no load at the reference temperature.
func (j *judge) rest() model.Condition { return model.At(j.d.Temperature.Reference.SI) }

// ohms are the resistances of the arms at rest, Ω.
func (j *judge) ohms(b int) (r [4]float64) {
	for k, a := range j.d.Bridges[b].Arms {
		if a.Fixed() {
			r[k] = a.Resistor.SI
		}
		for _, g := range a.Grids {
			r[k] += j.d.GridResistance(g).SI
		}
	}
	return r
}

// balanced are the options of one other fixed resistor, first one that is then
// equal to an arm of grids, then the smallest change, to 0.01 Ω: R1·R3 = R2·R4, leads included by the exact network.
func (j *judge) balanced(b int) []option {
	type change struct {
		arm       int
		ohm, rate float64
	}
	var all []change
	for k, a := range j.d.Bridges[b].Arms {
		if !a.Fixed() {
			continue
		}
		ohm, ok := j.balancing(b, k)
		if !ok {
			continue
		}
		c := change{k, ohm, math.Abs(math.Log(ohm / a.Resistor.SI))}
		for n, r := range j.ohms(b) {
			if !j.d.Bridges[b].Arms[n].Fixed() && math.Abs(r-ohm) < 0.005 {
				c.rate = 0
			}
		}
		i := len(all)
		all = append(all, c)
		for ; i > 0 && all[i-1].rate > c.rate*(1+1e-9); i-- {
			all[i] = all[i-1]
		}
		all[i] = c
	}
	var out []option
	for _, c := range all {
		text := plain(c.ohm) + " Ω"
		out = append(out, option{
			text: fmt.Sprintf("make the fixed resistor of arm %d of bridge %s %s", c.arm+1, j.d.Bridges[b].Name, text),
			apply: func(d *design.Design) error {
				a := &d.Bridges[b].Arms[c.arm]
				a.Resistor.Tolerance *= c.ohm / a.Resistor.SI // a tolerance in % stays one
				set(&a.Resistor, c.ohm, text)
				return nil
			},
		})
	}
	return out
}

// balancing is the resistance of fixed arm k that brings V/E at rest to zero, by
// the secant rule from R1·R3 = R2·R4, rounded to 0.01 Ω.
func (j *judge) balancing(b, k int) (float64, bool) {
	r := j.ohms(b)
	product := [4]float64{r[1] * r[3] / r[2], r[0] * r[2] / r[3], r[1] * r[3] / r[0], r[0] * r[2] / r[1]}
	c := j.d.Clone()
	output := func(ohm float64) (float64, bool) {
		c.Bridges[b].Arms[k].Resistor.SI = ohm
		m, err := model.Compile(c)
		if err != nil {
			return 0, false
		}
		s := m.NewState()
		if m.Set(m.Nominal, s) != nil {
			return 0, false
		}
		at := j.rest()
		v, err := m.Output(s, b, &at)
		return v, err == nil
	}
	x0, x1 := product[k], product[k]*1.001
	v0, ok0 := output(x0)
	v1, ok1 := output(x1)
	for n := 0; ok0 && ok1 && math.Abs(v0) > 1e-12 && v0 != v1 && n < 12; n++ {
		x0, x1 = x0-v0*(x1-x0)/(v1-v0), x0
		v1 = v0
		v0, ok0 = output(x0)
	}
	ohm := math.Round(x0*100) / 100
	return ohm, ok0 && ok1 && ohm > 0
}

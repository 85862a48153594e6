package check

import (
	"fmt"

	"gridwright/internal/quantity"
)

// conditionLimit is the condition number above which errors of the bridges
// grow a hundredfold in the loads.
const conditionLimit = 100

// measured judges that every load to be measured has a bridge.
func measured(j *judge) []Finding {
	var out []Finding
	for _, l := range j.d.Loads {
		if !l.Measure || j.measures(l) {
			continue
		}
		out = append(out, Finding{
			Level: Warning, subject: l.Component.String(),
			Message: fmt.Sprintf("%v is to be measured, and no bridge measures it", l.Component),
			Remedy:  fmt.Sprintf("add a bridge with `measures: %v`: %s", l.Component, j.onFaces(aim[l.Component])),
			options: func(j *judge) []option { return j.bridged(l.Component) },
		})
	}
	return out
}

// condition judges how well the bridges tell the loads to be measured apart.
func condition(j *judge) []Finding {
	loads := 0
	for _, l := range j.d.Loads {
		if l.Measure {
			loads++
			if !j.measures(l) {
				return nil // rule measured says so
			}
		}
	}
	if loads == 0 {
		return nil
	}
	for b := range j.r.Bridges {
		if j.sightless(b) {
			return nil // rule blind says so
		}
	}
	c := j.r.Matrix.Condition
	f := Finding{Level: Warning, Value: some(c.Value), Limit: some(conditionLimit),
		Remedy: "change the bridge with the largest crosstalk so that each load has a bridge that sees little of the others"}
	switch {
	case !c.OK():
		f.Value = nil
		f.Message = fmt.Sprintf("the loads cannot be computed from the bridges: %s", c.Missing)
	case c.Value > conditionLimit:
		f.Message = fmt.Sprintf("the condition number of the bridges for the loads to be measured is %s; at most %s is wanted", show(c.Value, quantity.Number), show(conditionLimit, quantity.Number))
	default:
		return nil
	}
	f.options = func(j *judge) []option {
		var out []option
		for b := range j.r.Bridges {
			out = append(append(out, j.rearranged(b)...), j.extended(b)...)
		}
		return out
	}
	return []Finding{f}
}

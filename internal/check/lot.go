package check

import (
	"fmt"

	"gridwright/internal/design"
)

// thermalOutput says where a temperature figure takes grids for free of thermal
// output because their lot states none: what does not cancel is then left out.
// Where a limit on the zero drift hangs on it, nobody may take it for kept.
func thermalOutput(j *judge) []Finding {
	t := j.d.Temperature
	if !t.HasRange && !t.Across.Set && !t.Along.Set {
		return nil
	}
	var names []string
	for i, g := range j.d.Gauges {
		if !g.Thermal.Set && j.wired(i) {
			names = append(names, g.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	f := Finding{
		Level: Note,
		Message: fmt.Sprintf("%s %s no thermal output, so the zero against temperature holds for grids that show none: what does not cancel in a bridge, or comes from a gradient, is left out",
			verb(len(names), "gauge", "gauges")+" "+list(names), verb(len(names), "states", "state")),
		Remedy: "state `thermal-output:` as it stands on the package of the lot",
	}
	if j.d.Require.ZeroDrift.Set {
		f.Level = Warning
	}
	return []Finding{f}
}

// wired reports whether a bridge uses a grid of that gauge.
func (j *judge) wired(gauge int) bool {
	for _, b := range j.d.Bridges {
		for _, a := range b.Arms {
			for _, g := range a.Grids {
				if j.d.Placements[g.Placement].Gauge == gauge {
					return true
				}
			}
		}
	}
	return false
}

// unasked notes a bridge whose load the file does not ask to measure: it stands
// outside the inverse and the condition of the matrix.
func unasked(j *judge) []Finding {
	var out []Finding
	for _, b := range j.d.Bridges {
		if l, ok := j.d.Load(b.Measures); ok && !l.Measure {
			out = append(out, Finding{
				Level: Note, Bridge: b.Name,
				Message: fmt.Sprintf("bridge %s measures %v, which the file does not ask to measure: the inverse of the matrix and its condition leave it out", b.Name, b.Measures),
				Remedy:  fmt.Sprintf("write `use: measure` for the load %v", b.Measures),
				options: func(*judge) []option {
					return []option{{text: fmt.Sprintf("write `use: measure` for the load %v", b.Measures), apply: func(d *design.Design) error {
						for i := range d.Loads {
							if d.Loads[i].Component == b.Measures {
								d.Loads[i].Measure = true
							}
						}
						return nil
					}}}
				},
			})
		}
	}
	return out
}

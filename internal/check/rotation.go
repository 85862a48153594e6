package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// rotationLimit is the centrifugal output that is worth a correction, of rated
// output.
const rotationLimit = 0.001

// centrifugal is the output of a bridge that spinning at speed causes, V/V for
// small signals: stress of the section's Rotation, strain and ΔR/R of each grid,
// weighed with ∂(V/E)/∂R.
func (j *judge) centrifugal(b int, density, speed float64) float64 {
	mat, s := j.d.Part.Material, j.r.State
	stress := s.Section.Rotation(density, speed)
	out := 0.0
	for k, w := range j.weights(b) {
		for _, i := range j.r.Model.Bridges[b].Arms[k].Grids {
			g := &s.Grids[i]
			normal, _ := gauge.Elastic(stress, mat.Poisson.SI, g.Sin, g.Cos)
			e := gauge.Strain{Along: normal.Along / s.Young(), Across: normal.Across / s.Young()}
			out += w * g.Resistance * gauge.Response(g.Factor, g.Transverse, e)
		}
	}
	return out
}

// slanted reports whether all grids of a bridge lie at ±45°, where centrifugal
// strain is one for all.
func (j *judge) slanted(b int) bool {
	for _, i := range j.gridsOf(b) {
		g := &j.r.State.Grids[i]
		if math.Abs(math.Abs(g.Sin)-math.Abs(g.Cos)) > 2e-3 {
			return false
		}
	}
	return true
}

func rotation(j *judge) []Finding {
	speed := j.d.Part.Speed
	if !speed.Set || speed.SI == 0 {
		return nil
	}
	density := j.d.Part.Material.Density
	spins := j.r.State.Section.Spins()
	var out []Finding
	for b := range j.r.Bridges {
		pb := &j.r.Bridges[b]
		if j.sightless(b) || j.slanted(b) && j.uniform(b) {
			continue
		}
		if spins != nil {
			out = append(out, Finding{Level: Note, Bridge: pb.Name,
				Message: fmt.Sprintf("the centrifugal strain of bridge %s at %s was not evaluated: %v", pb.Name, show(speed.SI, quantity.RotationalSpeed), spins),
				Remedy:  "set the zero at running speed"})
			continue
		}
		if !density.Set {
			out = append(out, Finding{Level: Note, Bridge: pb.Name,
				Message: fmt.Sprintf("the centrifugal strain of bridge %s at %s was not evaluated: the material states no density", pb.Name, show(speed.SI, quantity.RotationalSpeed)),
				Remedy:  "state `density:` of the material"})
			continue
		}
		v := j.centrifugal(b, density.SI, speed.SI)
		share := math.Abs(v / pb.Rated)
		f := Finding{Level: Note, Bridge: pb.Name, Value: some(share), Limit: some(rotationLimit)}
		switch {
		case share < 1e-9:
			f.Value = some(0)
			f.Message = fmt.Sprintf("the centrifugal strain at %s cancels in bridge %s", show(speed.SI, quantity.RotationalSpeed), pb.Name)
		default:
			f.Message = fmt.Sprintf("the centrifugal strain at %s moves bridge %s by %s, %s of rated output; at most %s counts as none",
				show(speed.SI, quantity.RotationalSpeed), pb.Name, volts(v), show(share, quantity.Ratio), show(rotationLimit, quantity.Ratio))
		}
		if share > rotationLimit {
			f.Level = Warning
			f.Remedy = fmt.Sprintf("set the zero at running speed, or subtract %s times (speed / %s)²; up to %s it stays below the limit",
				volts(v), show(speed.SI, quantity.RotationalSpeed), show(speed.SI*math.Sqrt(rotationLimit/share), quantity.RotationalSpeed))
			f.options = func(j *judge) []option {
				return append(append(j.rearranged(b), j.extended(b)...), j.resized(func(r *predict.Result) bool {
					after := &judge{r: r, d: r.Model.Design}
					return math.Abs(after.centrifugal(b, density.SI, speed.SI)) <= rotationLimit*math.Abs(r.Bridges[b].Rated)
				})...)
			}
		}
		out = append(out, f)
	}
	return out
}

// uniform reports whether every arm of a bridge has grids, so that a strain that
// is one for all cancels.
func (j *judge) uniform(b int) bool {
	left, _ := j.heat(b)
	return left <= compensationShare
}

// transmission says that a rotating part needs a way out for its signal.
func transmission(j *judge) []Finding {
	speed := j.d.Part.Speed
	if !speed.Set || speed.SI == 0 || j.d.Part.Transmission != "" {
		return nil
	}
	return []Finding{{
		Level:   Note,
		Message: fmt.Sprintf("the part rotates at %s, and the file states no way for the signal to leave it", show(speed.SI, quantity.RotationalSpeed)),
		Remedy:  "state transmission: slip-ring or transmission: telemetry",
		options: func(*judge) []option {
			return []option{{
				text:  "plan for it: transmission: telemetry (or slip-ring)",
				apply: func(d *design.Design) error { d.Part.Transmission = "telemetry"; return nil },
			}}
		},
	}}
}

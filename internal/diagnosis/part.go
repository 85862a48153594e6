package diagnosis

import (
	"fmt"
	"math"

	"gridwright/internal/model"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// wrongSections: a dimension of the section that is not as drawn.
func (b *bench) wrongSections() []*cause {
	var out []*cause
	part := &b.m.Design.Part
	least := math.Inf(1)
	tube := len(part.Section.Dimensions) > 1
	for _, d := range part.Section.Dimensions {
		least = min(least, d.SI)
	}
	keys := b.dimensionKeys()
	shape, _ := section.Find(part.Section.Shape)
	for i, d := range part.Section.Dimensions {
		if i >= len(shape.Dimensions) || shape.Dimensions[i].Whole || shape.Dimensions[i].Kind != quantity.Length || d.SI == 0 {
			continue // a point of an outline, a count, an angle, a detail the part does not have: not what is made wrong
		}
		path := d.Place.Path
		if path == "" {
			path = "part.section." + keys[i]
		}
		found := b.inputsAt(path)
		if len(found) != 1 {
			continue
		}
		// what may be removed or added before the section vanishes: half the wall of a tube
		room := 0.4 * d.SI
		if tube && len(part.Section.Dimensions) == 2 {
			if gap := math.Abs(part.Section.Dimensions[0].SI - part.Section.Dimensions[1].SI); gap > 0 {
				room = min(room, 0.6*gap)
			}
		}
		sigma := 0.02 * d.SI // what can be seen from outside is measured before
		if keys[i] == "inside-diameter" {
			sigma = 0.2 * room
		}
		c := cause{class: wrongSection, id: "section " + keys[i],
			says: func(theta, sd float64) string {
				s := fmt.Sprintf("%s of the section off by %s", keys[i], amount(1e3*theta, 1e3*sd, "mm"))
				if part.Section.Shape == "round-tube" {
					thinner := (keys[i] == "inside-diameter") == (theta > 0)
					if thinner {
						return s + ": wall thinner"
					}
					return s + ": wall thicker"
				}
				return s
			},
			parameter: &parameter{from: -room, to: room, scan: even(-room, room, 24), logPrior: spread(sigma, -room, room, 0.1), quantity: keys[i], unit: "mm", perUnit: 1e3}}
		out = append(out, moved(c, found[0]))
	}
	return out
}

// wrongMaterials: a modulus or Poisson's ratio that is not the file's. A stated shear
// modulus goes with E.
func (b *bench) wrongMaterials() []*cause {
	mat := &b.m.Design.Part.Material
	find := func(place, key string) []int {
		if place == "" {
			place = "part.material." + key
		}
		return b.inputsAt(place)
	}
	var out []*cause
	if e := find(mat.Youngs.Place.Path, "youngs-modulus"); len(e) >= 1 {
		both := e
		if mat.Shear.Set {
			both = append(append([]int(nil), e...), find(mat.Shear.Place.Path, "shear-modulus")...)
		}
		if mat.BuiltIn {
			both = b.moduli(both)
		}
		out = append(out, &cause{class: wrongMaterial, id: "modulus",
			says: func(theta, sd float64) string {
				word := "stiffer"
				if theta < 0 {
					word = "softer"
				}
				return fmt.Sprintf("material %s: Young's modulus off by %s", word, amount(100*theta, 100*sd, "%"))
			},
			inputs: func(x []float64, theta float64) {
				for _, k := range both {
					x[k] *= 1 + theta
				}
			},
			parameter: &parameter{from: -0.75, to: 1, scan: fine(-0.75, 1), logPrior: spread(0.05, -0.75, 1, 0.3), owns: both, quantity: "Young's modulus", unit: "%", perUnit: 100}})
	}
	if nu := find(mat.Poisson.Place.Path, "poisson-ratio"); len(nu) >= 1 {
		from, to := 0.05-mat.Poisson.SI, 0.49-mat.Poisson.SI
		i := b.withNominal(nu, mat.Poisson.SI)
		if i >= 0 && from < 0 && to > 0 {
			out = append(out, moved(cause{class: wrongMaterial, id: "poisson",
				says: func(theta, sd float64) string {
					return fmt.Sprintf("Poisson's ratio off by %s", amount(theta, sd, ""))
				},
				parameter: &parameter{from: from, to: to, scan: even(from, to, 16), logPrior: spread(0.02, from, to, 0.01), quantity: "Poisson's ratio", unit: "", perUnit: 1}}, i))
		}
	}
	return out
}

// moduli keeps, of the inputs at one place (a built-in material has all its figures at
// one), those that are E and G.
func (b *bench) moduli(inputs []int) []int {
	mat := &b.m.Design.Part.Material
	var out []int
	for _, want := range []float64{mat.Youngs.SI, mat.Shear.SI} {
		if i := b.withNominal(inputs, want); i >= 0 && want != 0 && (len(out) == 0 || out[0] != i) {
			out = append(out, i)
		}
	}
	return out
}

func (b *bench) withNominal(inputs []int, v float64) int {
	for _, i := range inputs {
		if b.m.Inputs[i].Nominal == v {
			return i
		}
	}
	return -1
}

// leadResistances: leads that the design leaves out, of another resistance than stated,
// or a remote sense that is not connected.
func (b *bench) leadResistances() []*cause {
	var out []*cause
	var plain, leaded, sensed []int
	for br := range b.m.Bridges {
		w := &b.m.Bridges[br].Wiring
		switch {
		case w.Wires == 0:
			plain = append(plain, br)
		case w.Wires == 6:
			sensed = append(sensed, br)
		default:
			leaded = append(leaded, br)
		}
	}
	if plain != nil {
		out = append(out, &cause{class: leadResistance, id: "leads left out",
			says: func(theta, sd float64) string {
				return fmt.Sprintf("leads of %s each, which the design leaves out, without remote sense", amount(theta, sd, "Ω"))
			},
			bridges: func(all []model.Bridge, theta float64) {
				for _, br := range plain {
					all[br].Wiring.Wires, all[br].Wiring.Each = 4, theta
				}
			},
			parameter: &parameter{from: 1e-3, to: 60, scan: []float64{1e-3, 0.5, 1, 2, 4, 8, 15, 30, 60}, logPrior: exponential(3, 1e-3), quantity: "resistance of each lead", unit: "Ω", perUnit: 1}})
	}
	if sensed != nil {
		out = append(out, &cause{class: leadResistance, id: "sense", says: always("sense wires not connected: 6 leads work as 4"),
			bridges: func(all []model.Bridge, _ float64) {
				for _, br := range sensed {
					all[br].Wiring.Wires = 4
				}
			}})
	}
	if leaded != nil {
		if at := b.leadInputs(leaded); len(at) > 0 {
			out = append(out, &cause{class: leadResistance, id: "leads",
				says: func(theta, sd float64) string {
					return fmt.Sprintf("each lead has %.3g Ω ± %.2g Ω (k=2) more than stated", theta, 2*sd)
				},
				inputs: func(x []float64, theta float64) {
					for _, i := range at {
						x[i] += theta
					}
				},
				parameter: &parameter{from: 0, to: 60, scan: []float64{0, 0.5, 1, 2, 4, 8, 15, 30, 60}, logPrior: exponential(3, 0), owns: at, quantity: "resistance of each lead", unit: "Ω", perUnit: 1}})
		}
	}
	return out
}

// exponential is the prior of a positive excess.
func exponential(mean, from float64) func(float64) float64 {
	return func(x float64) float64 {
		if x < from {
			return math.Inf(-1)
		}
		return -(x-from)/mean - math.Log(mean)
	}
}

// leadInputs are the inputs of the leads of some bridges.
func (b *bench) leadInputs(bridges []int) []int {
	seen := map[int]bool{}
	var out []int
	for _, br := range bridges {
		place := b.m.Design.Bridges[br].Leads.Each.Place.Path
		if place == "" {
			place = "leads.each"
		}
		for _, i := range b.inputsAt(place) {
			if !seen[i] && b.m.Inputs[i].Nominal == b.m.Design.Bridges[br].Leads.Each.SI {
				seen[i] = true
				out = append(out, i)
			}
		}
	}
	return out
}

// dimensionKeys are the names of the section's dimensions as the file has them.
func (b *bench) dimensionKeys() []string {
	var keys []string
	if s, ok := section.Find(b.m.Design.Part.Section.Shape); ok {
		keys = s.Keys(b.m.Design.Part.Section.Counts)
	}
	return keys
}

// Package material is a table of metals for spring elements, with a tolerance where
// one is known and a source in words for every figure.
//
// Figures hold at 20 °C for the size and condition that the name states. Moduli,
// expansion and their drifts are mostly engineering compromises between sources that
// disagree by more than their digits suggest; their tolerances are a judgement, expanded
// with k = 2, for a bar of unknown heat. A measured value of the lot replaces them.
// Strengths are specification minima where their source says so.
//
// The package does not model anisotropy, other temperatures than by a constant
// drift, other sizes or conditions, strain rate, creep, hysteresis or fatigue beyond one
// endurance figure.
package material

import (
	"bytes"
	_ "embed"
	"strings"
	"sync"
)

// Material is one metal in one condition.
type Material struct {
	ID, Name    string
	E           Figure // Young's modulus, Pa
	Poisson     Figure // Poisson's ratio
	G           Figure // shear modulus, Pa; E/(2(1+ν)) rounded, so not independent of E and Poisson
	Density     Figure // kg/m³
	Expansion   Figure // mean coefficient of linear thermal expansion from 20 to 100 °C, 1/K
	Yield       Figure // 0.2 % proof stress, Pa
	Ultimate    Figure // tensile strength, Pa
	Endurance   Figure // stress amplitude of unnotched bars under reversed bending, Pa; see its source for cycles
	YoungsDrift Figure // (1/E) dE/dT, 1/K
	ShearDrift  Figure // (1/G) dG/dT, 1/K

	// Confidence is A when a modulus or strength and the drift, or close relatives
	// of them, were read in a source, B when only some were, C when all is from memory.
	Confidence string
	Note       string
}

// Figure is one property, in SI units.
type Figure struct {
	Value     float64
	Tolerance float64 // expanded uncertainty, k = 2; 0: not known, which is not the same as exact
	Source    string
	Set       bool // false: the table has no such figure
}

//go:embed materials.csv
var materialsCSV []byte

//go:embed sources.csv
var sourcesCSV []byte

// table reads the embedded files once. They are part of the program: a fault in
// them is one of the program, and the tests find it.
var table = sync.OnceValue(func() []Material {
	all, err := read(bytes.NewReader(materialsCSV), bytes.NewReader(sourcesCSV))
	if err != nil {
		panic("material: " + err.Error())
	}
	return all
})

// All returns the materials in the order of the table. The caller owns the slice.
func All() []Material {
	return append([]Material(nil), table()...)
}

// Find returns the material with this id, spelled exactly or else with other
// capitals.
func Find(id string) (Material, bool) {
	for _, m := range table() {
		if m.ID == id {
			return m, true
		}
	}
	for _, m := range table() {
		if strings.EqualFold(m.ID, id) {
			return m, true
		}
	}
	return Material{}, false
}

// IDs returns the ids in the order of the table.
func IDs() []string {
	ids := make([]string, 0, len(table()))
	for _, m := range table() {
		ids = append(ids, m.ID)
	}
	return ids
}

package published_test

import (
	"testing"

	"gridwright/internal/design"
)

// Source: Lamé's thick tube under internal pressure, in every text on strength of
// materials (closed form, common knowledge): at the outside σφ = 2p a²/(b² − a²),
// with closed ends σx = p a²/(b² − a²). A tube of 100 mm and 50 mm bore: 2/3 p and p/3,
// and at the bore 5/3 p.
func TestLameTube(t *testing.T) {
	s := sectionOf(t, 0.1, 0.05, 0.3, false)
	u := surface(s, design.Pressure, 33)
	printed(t, "hoop/p", u.Hoop, 2.0/3, 1e-14)
	printed(t, "axial/p", u.Axial, 1.0/3, 1e-14)
	printed(t, "shear/p", u.Shear, 0, 0)
	printed(t, "axial/p with open ends", surface(sectionOf(t, 0.1, 0.05, 0.3, true), design.Pressure, 33).Axial, 0, 0)
}

// Strains of that tube through the whole program: p = 30 MPa on E 200 GPa, ν 0.3 gives
// εφ = (20 − 0.3·10)/200e3 = 85 µε and εx = (10 − 0.3·20)/200e3 = 20 µε; with open ends
// εφ = 100 and εx = −30 µε.
func TestLameStrains(t *testing.T) {
	e := example{
		section: "shape: round-tube, outside-diameter: 100 mm, inside-diameter: 50 mm",
		loads:   "pressure: {rated: 30 MPa, use: measure}", placements: "A: {gauge: T, around: 0°}",
	}
	r := e.predict(t)
	printed(t, "εx, µε", 1e6*r.Grids[0].Along[0], 20, 1e-9)
	printed(t, "εφ, µε", 1e6*r.Grids[1].Along[0], 85, 1e-9)
	printed(t, "across the axial grid, µε", 1e6*r.Grids[0].Across[0], 85, 1e-9)
	open := example{
		section: e.section, loads: e.loads, placements: e.placements,
	}
	d := open.read(t)
	d.Part.OpenEnds = true
	r = predictOf(t, d)
	printed(t, "open, εx, µε", 1e6*r.Grids[0].Along[0], -30, 1e-9)
	printed(t, "open, εφ, µε", 1e6*r.Grids[1].Along[0], 100, 1e-9)
}

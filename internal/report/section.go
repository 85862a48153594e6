package report

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/layout"
	"gridwright/internal/profile"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// Surface is the published shape of a section with its surface stress.
type Surface struct {
	Section struct {
		dossier.Section
		Centroid    [2]float64 `json:"centroid_mm"`
		ShearCentre [2]float64 `json:"shear_centre_mm"`
		JError      float64    `json:"j_error"`
		StressError float64    `json:"stress_error"`
		Principal   [2]float64 `json:"principal_mm4"`
		Axis        float64    `json:"principal_axis_deg"`
		Thinnest    float64    `json:"thinnest_mm"`
		Slenderness float64    `json:"wall_slenderness"`
		Decay       float64    `json:"decay_mm"`
	} `json:"section"`
	Surface []SurfacePoint `json:"surface"`
	Best    []BestPlaces   `json:"best"`
}

// SurfacePoint is the surface shear at a point, positive along growing φ, shear forces
// without twist.
type SurfacePoint struct {
	Y      float64 `json:"y_mm"`
	Z      float64 `json:"z_mm"`
	Torque float64 `json:"torque_mpa_per_nm"`
	ShearY float64 `json:"shear_y_mpa_per_n"`
	ShearZ float64 `json:"shear_z_mpa_per_n"`
}

// BestPlaces are where a grid sees most of a load: the shear of torque and of shear
// forces, the axial stress of bending.
type BestPlaces struct {
	Load   string      `json:"load"`
	Stress float64     `json:"mpa_per_unit"`
	Even   bool        `json:"all_round"`
	Places []BestPlace `json:"places"`
}

// BestPlace is one of them; Face is null on a curved surface.
type BestPlace struct {
	Face   *string `json:"face"`
	Across float64 `json:"across_mm"`
	Around float64 `json:"around_deg"`
	Y      float64 `json:"y_mm"`
	Z      float64 `json:"z_mm"`
	Stress float64 `json:"mpa_per_unit"`
}

// SurfaceOf a section at n points spread evenly around it, from φ = 0, and in the
// middle of its faces.
func SurfaceOf(p *profile.Profile, n int) Surface {
	var out Surface
	q := &p.Properties
	out.Section.Section = dossier.Section{Area: q.Area * 1e6, Iy: q.Iy * 1e12, Iz: q.Iz * 1e12, Iyz: q.Iyz * 1e12, J: q.J * 1e12}
	out.Section.Centroid = [2]float64{q.CentroidY * 1e3, q.CentroidZ * 1e3}
	out.Section.ShearCentre = [2]float64{q.ShearCentreY * 1e3, q.ShearCentreZ * 1e3}
	out.Section.JError, out.Section.StressError = q.JError, q.StressError
	out.Section.Principal, out.Section.Axis = [2]float64{p.Larger * 1e12, p.Smaller * 1e12}, p.Axis*180/math.Pi
	out.Section.Thinnest, out.Section.Slenderness, out.Section.Decay = p.Walls.Thinnest*1e3, p.Walls.Slenderness, p.Walls.Decay*1e3
	out.Surface = []SurfacePoint{}
	for _, s := range p.Around(n) {
		out.Surface = append(out.Surface, SurfacePoint{s.Y * 1e3, s.Z * 1e3, s.Torque * 1e-6, s.ShearY * 1e-6, s.ShearZ * 1e-6})
	}
	out.Best = []BestPlaces{}
	for _, b := range p.Best {
		best := BestPlaces{Load: b.Load.String(), Stress: b.Stress * 1e-6, Even: b.Even, Places: []BestPlace{}}
		for _, at := range b.Places {
			place := BestPlace{nil, at.Across * 1e3, at.Around * 180 / math.Pi, at.Y * 1e3, at.Z * 1e3, at.Stress * 1e-6}
			if at.Name != "" {
				place.Face = &at.Name
			}
			best.Places = append(best.Places, place)
		}
		out.Best = append(out.Best, best)
	}
	return out
}

// Section writes the properties, the best places for grids and the surface shear around
// the outline.
func (t Text) Section(d *design.Design, p *profile.Profile) {
	q := &p.Properties
	t.Part(d, *q)
	t.solved(p)
	t.best(p)
	t.printf("\nSURFACE SHEAR, %s per %s of torque and per %s of shear force through the shear centre,\npositive along growing φ\n", quantity.Stress.Unit(t.Sys), d1(t, quantity.Moment), d1(t, quantity.Force))
	tab := table{align: "r"}
	tab.row("around", "y", "z", "torque", "shear-y", "shear-z")
	var most profile.Point // the greatest of each, beside which rounding is none
	rows := p.Around(24)
	for _, s := range rows {
		most.Torque = max(most.Torque, math.Abs(s.Torque))
		most.ShearY = max(most.ShearY, math.Abs(s.ShearY))
		most.ShearZ = max(most.ShearZ, math.Abs(s.ShearZ))
	}
	for _, s := range rows {
		tab.row(t.show(s.Around, quantity.Angle), t.show(round0(s.Y, q.Depth), quantity.Length), t.show(round0(s.Z, q.Depth), quantity.Length),
			t.unitStress(s.Torque, most.Torque, quantity.Moment),
			t.unitStress(s.ShearY, most.ShearY, quantity.Force),
			t.unitStress(s.ShearZ, most.ShearZ, quantity.Force))
	}
	tab.writeTo(t.W, "  ")
}

// solved writes what a section that is not round has more.
func (t Text) solved(p *profile.Profile) {
	if !p.Solved {
		return
	}
	q := &p.Properties
	at := func(y, z float64) string {
		return "y " + t.show(round0(y, 1e4*q.Depth), quantity.Length) + ", z " + t.show(round0(z, 1e4*q.Depth), quantity.Length)
	}
	t.say("", fmt.Sprintf("centroid at %s; shear centre at %s", at(q.CentroidY, q.CentroidZ), at(q.ShearCentreY, q.ShearCentreZ)))
	principal := fmt.Sprintf("Iyz %s; principal second moments %s, the larger about the axis at %s from y, and %s", t.show(round0(q.Iyz, 1e3*p.Larger), quantity.SecondMoment),
		t.show(p.Larger, quantity.SecondMoment), t.show(round0(p.Axis, 1e3), quantity.Angle), t.show(p.Smaller, quantity.SecondMoment))
	if p.Larger-p.Smaller <= 1e-9*p.Larger {
		principal = "every axis is a principal one"
	}
	t.say("", principal)
	var walls string
	if section.Loops(p.Section) > 1 {
		walls = "thinnest wall " + t.show(p.Walls.Thinnest, quantity.Length) + "; "
	}
	if p.Walls.Slenderness >= slender {
		walls += fmt.Sprintf("flat walls up to %.3g times as wide as thick; ", p.Walls.Slenderness)
	}
	t.say("", walls+"what an end disturbs dies out to 1/e within "+t.show(p.Walls.Decay, quantity.Length))
}

// slender is the width to thickness from which a wall is one.
const slender = 10

func (t Text) best(p *profile.Profile) {
	t.printf("\nWHERE A GRID SEES MOST of a unit of each load: shear of torque and forces, axial stress of bending\n")
	tab := table{align: "lrl"}
	stress := quantity.Stress.Unit(t.Sys)
	w := layout.Words{Sys: t.Sys, Alone: true}
	for i := range p.Best {
		b := &p.Best[i]
		kind := b.Load.Kind()
		value := t.unitStress(b.Stress, b.Stress, kind) + " " + stress + " per " + d1(t, kind)
		if b.Even {
			tab.row(b.Load.String(), value, "all round alike")
		}
		for k, at := range b.Places {
			words := at.Words(w)
			if at.Stress < 0 && (b.Load == design.BendingY || b.Load == design.BendingZ) {
				words += ", compressed"
			}
			if k == len(b.Places)-1 && b.More > 0 {
				words += fmt.Sprintf(" and %d more", b.More)
			}
			if k == 0 {
				tab.row(b.Load.String(), value, words)
			} else {
				tab.row("", "", words)
			}
		}
	}
	tab.writeTo(t.W, "  ")
}

func d1(t Text, k quantity.Kind) string { return k.Unit(t.Sys) }

// round0 takes what is rounding beside scale for zero.
func round0(v, scale float64) float64 {
	if v < 1e-12*scale && v > -1e-12*scale {
		return 0
	}
	return v
}

// unitStress prints a stress for one unit of a load of kind k in the report's units;
// what is a millionth of scale counts as none.
func (t Text) unitStress(v, scale float64, k quantity.Kind) string {
	v = round0(v, 1e6*math.Abs(scale))
	perUnit, err := quantity.Convert(1, k, k.Unit(t.Sys))
	if err != nil {
		return "—"
	}
	x, err := quantity.Convert(v/perUnit, quantity.Stress, quantity.Stress.Unit(t.Sys))
	if err != nil {
		return "—"
	}
	return quantity.Format(x, quantity.Number, t.Sys, 4)
}

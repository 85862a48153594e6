package report

import (
	"gridwright/internal/design"
	"gridwright/internal/dossier"
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
	} `json:"section"`
	Surface []SurfacePoint `json:"surface"`
}

// SurfacePoint is the surface shear at a point, positive along growing φ.
type SurfacePoint struct {
	Y      float64 `json:"y_mm"`
	Z      float64 `json:"z_mm"`
	Torque float64 `json:"torque_mpa_per_nm"`
	ShearY float64 `json:"shear_y_mpa_per_n"`
	ShearZ float64 `json:"shear_z_mpa_per_n"`
}

// SurfaceOf a section at n points spread evenly around it, from φ = 0.
func SurfaceOf(s section.Section, n int) Surface {
	var out Surface
	p := s.Properties()
	out.Section.Section = dossier.Section{Area: p.Area * 1e6, Iy: p.Iy * 1e12, Iz: p.Iz * 1e12, Iyz: p.Iyz * 1e12, J: p.J * 1e12}
	out.Section.Centroid = [2]float64{p.CentroidY * 1e3, p.CentroidZ * 1e3}
	out.Section.ShearCentre = [2]float64{p.ShearCentreY * 1e3, p.ShearCentreZ * 1e3}
	out.Section.JError = p.JError
	var u section.Unit
	for i := 0; i < n; i++ {
		c := section.Coordinate{S: s.Perimeter(0) * float64(i) / float64(n)}
		y, z := s.Point(c)
		s.Surface(c, 0, &u)
		out.Surface = append(out.Surface, SurfacePoint{y * 1e3, z * 1e3, u[design.Torque].Shear * 1e-6, u[design.ShearY].Shear * 1e-6, u[design.ShearZ].Shear * 1e-6})
	}
	return out
}

// Section writes the properties and the surface shear around the outline.
func (t Text) Section(d *design.Design, s section.Section) {
	p := s.Properties()
	t.Part(d, p)
	t.printf("\nSURFACE SHEAR for a unit of each load at station 0, positive along growing φ\n")
	tab := table{align: "r"}
	stress := quantity.Stress.Unit(t.Sys)
	tab.row("around", "y", "z", stress+" per "+d1(t, quantity.Moment)+" torque", stress+" per "+d1(t, quantity.Force)+" shear-y", stress+" per "+d1(t, quantity.Force)+" shear-z")
	var u section.Unit
	const n = 24
	for i := 0; i < n; i++ {
		c := section.Coordinate{S: s.Perimeter(0) * float64(i) / n}
		y, z := s.Point(c)
		s.Surface(c, 0, &u)
		tab.row(t.show(s.Angle(c), quantity.Angle), t.show(round0(y, p.Depth), quantity.Length), t.show(round0(z, p.Depth), quantity.Length),
			t.unitStress(u[design.Torque].Shear, u[design.Torque].Shear, quantity.Moment),
			t.unitStress(u[design.ShearY].Shear, u[design.ShearY].Shear+u[design.ShearZ].Shear, quantity.Force),
			t.unitStress(u[design.ShearZ].Shear, u[design.ShearY].Shear+u[design.ShearZ].Shear, quantity.Force))
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

// unitStress prints a stress for one unit of a load of kind k in the report's units.
func (t Text) unitStress(v, scale float64, k quantity.Kind) string {
	v = round0(v, max(scale, -scale))
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

package published_test

import "testing"

// Source: E. O. Doebelin and D. N. Manik, Measurement Systems, example 4.2, p. 168; inputs
// and printed results were read in a public set of worked examples. A tee on a cylindrical
// pressure vessel, hoop 625 and axial 147 µε, E 200 GPa, ν 0.3: stresses 147.1 and
// 73.52 MPa, their ratio 2.000, that of the strains 4.25.
func TestDoebelinTeeOnAVessel(t *testing.T) {
	r := reduced(t, plain(90, 0), 200e9, 0.3, 625, 147)
	printed(t, "hoop stress, MPa", r.Stress.Phi/1e6, 147.1, 0.05)
	printed(t, "axial stress, MPa", r.Stress.X/1e6, 73.52, 0.005)
	printed(t, "hoop stress, MPa, recomputed", r.Stress.Phi/1e6, 147.054945, 5e-7)
	printed(t, "axial stress, MPa, recomputed", r.Stress.X/1e6, 73.516484, 5e-7)
	printed(t, "ratio of stresses", r.Stress.Max/r.Stress.Min, 2.000299, 5e-7)
	printed(t, "ratio of strains", r.Max/r.Min, 4.2517, 5e-5)
	if r.Assumed == "" {
		t.Error("two grids tell the principal strains only by an assumption, and it is not said")
	}
}

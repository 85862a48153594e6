package pick

import (
	"context"
	"fmt"
	"testing"
)

func BenchmarkSearch(b *testing.B) {
	d := read(b, agitator(b))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Search(context.Background(), d, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// rosettes places n rosettes equally spaced on one ring of the tube and asks for
// torque, both bendings and, when axial is set, axial force.
func rosettes(n int, axial bool) string {
	placed := "placements:\n"
	for i := range n {
		placed += fmt.Sprintf("  %s: {gauge: rosette, around: %.9g°}\n", letters(i), 360*float64(i)/float64(n))
	}
	loads := []string{"torque: 900 N·m measure", "bending-y: 400 N·m measure", "bending-z: 400 N·m measure"}
	if axial {
		loads = append(loads, "axial: 20 kN measure")
	}
	return text(tube, loads, []string{"rosette"}, placed)
}

// benchmarkPlaced searches all wirings with up to two grids an arm of n rosettes
// that are placed, the packing, its proof and the exact prediction included.
func benchmarkPlaced(b *testing.B, n int, axial bool) {
	d := read(b, rosettes(n, axial))
	total := int64(0)
	b.ReportAllocs()
	for b.Loop() {
		out, err := Search(context.Background(), d, Options{Series: 2})
		if err != nil {
			b.Fatal(err)
		}
		if out.Proof != Exhaustive {
			b.Fatalf("proof %s: %s", out.Proof, out.Proved)
		}
		total += out.Searched
	}
	b.ReportMetric(float64(total)/float64(b.N), "wirings")
	b.ReportMetric(float64(total)/b.Elapsed().Seconds()/1e6, "Mwirings/s")
}

// BenchmarkRosettes4: 12 grids, torque and two bendings.
func BenchmarkRosettes4(b *testing.B) { benchmarkPlaced(b, 4, false) }

// BenchmarkRosettes8: 24 grids, torque, two bendings and axial force.
func BenchmarkRosettes8(b *testing.B) { benchmarkPlaced(b, 8, true) }

// BenchmarkGrids gives time against the number of grids.
func BenchmarkGrids(b *testing.B) {
	for n := 2; n <= 8; n++ {
		b.Run(fmt.Sprintf("%02d", 3*n), func(b *testing.B) { benchmarkPlaced(b, n, false) })
	}
}

// BenchmarkWirings measures the enumeration alone: 24 grids of eight rosettes.
func BenchmarkWirings(b *testing.B) {
	p, err := newProblem(read(b, rosettes(8, true)))
	if err != nil {
		b.Fatal(err)
	}
	layouts, err := p.layouts()
	if err != nil {
		b.Fatal(err)
	}
	g, err := p.survey(&layouts[0])
	if err != nil {
		b.Fatal(err)
	}
	n := int64(0)
	for b.Loop() {
		k := newKernel(p, g, true, 2, budgetGiven)
		if err := k.enumerate(context.Background()); err != nil {
			b.Fatal(err)
		}
		n += k.searched.Load()
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds()/1e6, "Mwirings/s")
}

// BenchmarkBox: a box with rosettes for torque and both bendings, placed and wired.
func BenchmarkBox(b *testing.B) {
	d := read(b, text(boxPart, []string{"torque: 300 N·m measure", "bending-y: 200 N·m measure", "bending-z: 200 N·m measure"}, []string{"rosette"}, ""))
	b.ReportAllocs()
	for b.Loop() {
		out, err := Search(context.Background(), d, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if out.Proof != Exhaustive || !out.Met {
			b.Fatalf("proof %s: %s", out.Proof, out.Nearest)
		}
	}
}

package pick

import (
	"context"
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

// BenchmarkWirings measures the enumeration alone: 12 grids of four rosettes.
func BenchmarkWirings(b *testing.B) {
	p, err := newProblem(read(b, agitator(b)))
	if err != nil {
		b.Fatal(err)
	}
	layouts, err := p.layouts()
	if err != nil {
		b.Fatal(err)
	}
	l := &layouts[len(layouts)-1]
	g, err := p.survey(l)
	if err != nil {
		b.Fatal(err)
	}
	n := int64(0)
	for b.Loop() {
		k := newKernel(p, g, true)
		if err := k.enumerate(context.Background()); err != nil {
			b.Fatal(err)
		}
		n += k.searched
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds()/1e6, "million_wirings/s")
}

package pick

import (
	"math"

	"gridwright/internal/bridge"
)

// losses are what leads and instrument leave of a bridge's output, by its shape
// and the resistance classes of its dividers; 0 where the leads, or the file, do
// not allow the bridge.
type losses struct {
	classes int
	kept    map[shape][]float64
}

// lossesOf solves the networks of all bridges at balance.
func (p *problem) lossesOf(classes []float64) losses {
	l := losses{len(classes), map[shape][]float64{}}
	for _, s := range shapes(maxSeries) {
		kept := make([]float64, len(classes)*len(classes))
		for i, a := range classes {
			for k, b := range classes {
				switch {
				case s.full():
					kept[i*len(classes)+k] = p.kept(s, a, b)
				case k == i && !p.design.Pick.ForbidFixedArms:
					for n := range classes {
						kept[i*len(classes)+n] = p.kept(s, a, a)
					}
				}
			}
		}
		l.kept[s] = kept
	}
	return l
}

// of a shape whose dividers are of the resistance classes a and b.
func (l *losses) of(s shape, a, b uint8) float64 {
	return l.kept[s][int(a)*l.classes+int(b)]
}

// allowed reports whether bridges of a shape are allowed at all.
func (l *losses) allowed(s shape) bool { return l.kept[s][0] > 0 }

// kept is the share of the output of an ideal bridge that one of a shape has, with
// grids of resistance a in its first divider and of b in its second; 0 when the
// leads do not allow it, or when they bring its arms out of their ratio, as wires
// in series with unequal arms do.
func (p *problem) kept(s shape, a, b float64) float64 {
	leads := p.design.Leads
	w := bridge.Wiring{Wires: leads.Wires, Each: leads.Each.SI, Meter: p.design.Instrument.InputResistance.SI}
	for k := range w.Remote {
		w.Remote[k] = !leads.AtInstrument || s.full() || k < 2
	}
	first, second := s.first, s.second
	if !s.full() {
		second = first
	}
	arms := [4]float64{a * float64(first.up), a * float64(first.down), b * float64(second.down), b * float64(second.up)}
	if !s.reversed() {
		arms[2], arms[3] = b*float64(second.up), b*float64(second.down)
	}
	var solved bridge.Solution
	if w.Solve(arms, &solved) != nil || math.Abs(solved.Output) > 1e-9 {
		return 0
	}
	plain := bridge.PlainWeights(arms)
	share := solved.Weight[0] / plain[0]
	for k := 1; k < 4; k++ {
		if (s.full() || k < 2) && math.Abs(solved.Weight[k]/plain[k]/share-1) > 1e-9 {
			return 0
		}
	}
	return share
}

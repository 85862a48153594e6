package pick

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/model"
)

// maxGrids is how many grids a mask holds.
const maxGrids = 64

// ground is what the wirings of one placement set are enumerated on: flat arrays
// over the grids, in the order of their names.
type ground struct {
	grids   int
	loads   int
	refs    []design.GridRef
	names   []string
	place   []int     // placement of each grid
	around  []float64 // φ of that placement, rad
	change  []float64 // ΔR/R at rated load: grid by grid, each load of the file
	lot     []uint8   // class of the lot
	ohm     []uint8   // class of the nominal resistance
	ohms    []float64 // nominal resistance, Ω
	thermal []float64 // ΔR/R at each of the temperatures: grid by grid; nil when no drift is asked for
	strain  float64   // largest Σ|strain| of a grid over its limit

	losses losses
}

// temperatures is how many temperatures zero drift is taken over, as in package
// predict.
const temperatures = 21

// survey compiles the model of a placement set and reads the rows of its grids.
func (p *problem) survey(l *layout) (*ground, error) {
	d := *p.design
	d.Placements = l.placements
	m, err := model.Compile(&d)
	if err != nil {
		return nil, err
	}
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		return nil, err
	}
	order := make([]int, len(m.Grids))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return natural(m.Grids[a].Name, m.Grids[b].Name) })

	g := &ground{grids: len(order), loads: len(p.rated)}
	lots := map[int]uint8{}
	var classes []float64
	for _, i := range order {
		grid := &m.Grids[i]
		g.refs = append(g.refs, grid.Ref)
		g.names = append(g.names, grid.Name)
		g.place = append(g.place, grid.Ref.Placement)
		_, around, _ := l.placements[grid.Ref.Placement].AsBonded(d.Tolerance)
		g.around = append(g.around, around.SI)
		total := 0.0
		for j, rated := range p.rated {
			g.change = append(g.change, s.Row(i, j)*rated)
			total += math.Abs(s.Strain(i, j).Along) * rated
		}
		if limit := d.Require.Strain; limit.Set {
			g.strain = math.Max(g.strain, total/limit.SI)
		}
		if _, known := lots[grid.Gauge]; !known {
			lots[grid.Gauge] = uint8(len(lots))
		}
		g.lot = append(g.lot, lots[grid.Gauge])
		ohms := d.Gauges[grid.Gauge].Resistance[grid.Ref.Grid].SI
		class := slices.IndexFunc(classes, func(r float64) bool { return math.Abs(r-ohms) <= 1e-9*r })
		if class < 0 {
			class = len(classes)
			classes = append(classes, ohms)
		}
		g.ohm = append(g.ohm, uint8(class))
		g.ohms = append(g.ohms, ohms)
		if d.Require.ZeroDrift.Set && d.Temperature.HasRange {
			low, high := d.Temperature.Low.SI, d.Temperature.High.SI
			for k := range temperatures {
				g.thermal = append(g.thermal, s.Thermal(i, low+(high-low)*float64(k)/(temperatures-1)))
			}
		}
	}
	if len(lots) > maxClasses || len(classes) > maxClasses {
		return nil, fmt.Errorf("its grids are of %d gauge types and %d resistances; wirings of at most %d of each can be compared", len(lots), len(classes), maxClasses)
	}
	g.losses = p.lossesOf(classes)
	return g, nil
}

// losses are what leads and instrument leave of a bridge's output; 0 where the
// leads, or the file, do not allow the bridge.
type losses struct {
	full [][][maxSeries + 1]float64 // by the resistance classes of arms 1, 2 and of arms 3, 4, and grids in each arm
	half [][maxSeries + 1]float64
}

// lossesOf solves the networks of all bridges: when arms 1 and 2, and 3 and 4,
// are alike, leads and meter change the weight of all grids by one factor.
func (p *problem) lossesOf(classes []float64) losses {
	l := losses{half: make([][maxSeries + 1]float64, len(classes))}
	for i, a := range classes {
		row := make([][maxSeries + 1]float64, len(classes))
		for n := 1; n <= maxSeries; n++ {
			for k, b := range classes {
				row[k][n] = p.kept(false, a*float64(n), b*float64(n))
			}
			if !p.design.Pick.ForbidFixedArms {
				l.half[i][n] = p.kept(true, a*float64(n), a*float64(n))
			}
		}
		l.full = append(l.full, row)
	}
	return l
}

// kept is the share of the output of an ideal bridge that one with arms a, a, b, b
// has; 0 when the leads do not allow it.
func (p *problem) kept(half bool, a, b float64) float64 {
	leads := p.design.Leads
	w := bridge.Wiring{Wires: leads.Wires, Each: leads.Each.SI, Meter: p.design.Instrument.InputResistance.SI}
	for k := range w.Remote {
		w.Remote[k] = !leads.AtInstrument || !(half && k >= 2)
	}
	var s bridge.Solution
	if w.Solve([4]float64{a, a, b, b}, &s) != nil {
		return 0
	}
	return s.Weight[0] * a * 4
}

// natural orders names of grids so that A2 stands before A10.
func natural(a, b string) int {
	headA, headB := strings.TrimRight(a, "0123456789"), strings.TrimRight(b, "0123456789")
	if c := strings.Compare(headA, headB); c != 0 {
		return c
	}
	if c := len(a) - len(b); c != 0 {
		return c
	}
	return strings.Compare(a, b)
}

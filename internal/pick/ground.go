package pick

import (
	"fmt"
	"math"
	"slices"
	"strings"

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
	change  []float64 // ΔR/R at rated load: grid by grid, each load of the file
	lot     []uint8   // class of the lot
	ohm     []uint8   // class of the nominal resistance
	kind    []uint8   // class of both together
	uniform bool      // all grids are of one kind
	sin     []float64 // of the angle of that placement; on a part that is not round its z
	cos     []float64 // and y from the centroid, over the equivalent radius
	index   []int     // of each grid in the model
	ohms    []float64 // nominal resistance, Ω
	thermal []float64 // ΔR/R at each of the temperatures: grid by grid; nil when no drift is asked for
	strain  float64   // largest Σ|strain| of a grid over its limit

	layout      *layout
	losses      losses
	model       *model.Model
	state       *model.State
	*tolerances // nil until they are asked for
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
	s := m.NewExact()
	if err := m.Set(m.Nominal, s); err != nil {
		return nil, err
	}
	order := make([]int, len(m.Grids))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return natural(m.Grids[a].Name, m.Grids[b].Name) })

	g := &ground{grids: len(order), loads: len(p.rated), index: order, layout: l, model: m, state: s}
	lots := map[int]uint8{}
	kinds := map[[2]uint8]uint8{}
	var classes []float64
	for _, i := range order {
		grid := &m.Grids[i]
		g.refs = append(g.refs, grid.Ref)
		g.names = append(g.names, grid.Name)
		g.place = append(g.place, grid.Ref.Placement)
		sin, cos := p.direction(&l.placements[grid.Ref.Placement], &s.Placements[grid.Ref.Placement])
		g.sin, g.cos = append(g.sin, sin), append(g.cos, cos)
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
		both := [2]uint8{lots[grid.Gauge], uint8(class)}
		if _, known := kinds[both]; !known {
			kinds[both] = uint8(len(kinds))
		}
		g.kind = append(g.kind, kinds[both])
		if d.Require.ZeroDrift.Set && d.Temperature.HasRange {
			low, high := d.Temperature.Low.SI, d.Temperature.High.SI
			for k := range temperatures {
				g.thermal = append(g.thermal, s.Thermal(i, low+(high-low)*float64(k)/(temperatures-1)))
			}
		}
	}
	g.uniform = len(kinds) == 1
	if len(kinds) > maxClasses {
		return nil, fmt.Errorf("its grids are of %d kinds by gauge type and resistance; wirings of at most %d can be compared", len(kinds), maxClasses)
	}
	g.losses = p.lossesOf(classes)
	return g, nil
}

// direction tells where a placement lies for what stands evenly round the part.
func (p *problem) direction(pl *design.Placement, at *model.PlacementState) (sin, cos float64) {
	if p.round {
		_, around, _ := pl.AsBonded(p.design.Tolerance)
		return math.Sincos(around.SI)
	}
	y, z := p.section.Point(at.Coordinate)
	c := p.section.Properties()
	return (z - c.CentroidZ) / p.radius, (y - c.CentroidY) / p.radius
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

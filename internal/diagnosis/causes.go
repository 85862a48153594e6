package diagnosis

import "math"

// causes is the list for this design, "as designed" first.
func (b *bench) causes() []*cause {
	list := []*cause{{class: asDesigned, id: "as designed", says: always("as designed, within the tolerances")}}
	for _, add := range []func() []*cause{
		b.exchangedWires, b.exchangedChannels, b.exchangedGrids, b.wrongGrids, b.mirroredRosettes,
		b.openGrids, b.shortedGrids, b.unbondedGrids,
		b.turnedPlacements, b.placedAround, b.placedAlong,
		b.wrongFactors, b.wrongSections, b.wrongMaterials,
		b.offAxisLoads, b.unitSlips, b.signSlips,
		b.instrumentFactors, b.leadResistances,
	} {
		list = append(list, add()...)
	}
	var count [classes]int
	for _, c := range list {
		count[c.class]++
	}
	for k := range b.priors {
		b.priors[k] = math.Log(priors[k] / float64(max(count[k], 1)))
	}
	return list
}

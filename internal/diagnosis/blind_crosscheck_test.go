//go:build crosscheck

package diagnosis

import "testing"

// A thousand simulated benches with a fault and five hundred without, in four lots with
// their own seeds.
func TestBlindThousand(t *testing.T) {
	sum := &tally{tried: map[string]int{}, named: map[string]int{}}
	for seed := range uint64(4) {
		sum.add(blind(t, 100+seed, 250))
	}
	t.Log(sum)
	enough(t, "cause ranked first where the data can tell", sum.first, sum.tellable, 0.9, 0)
	enough(t, "cause in group 1 where the data can tell", sum.grouped, sum.tellable, 0.99, 0)
	enough(t, "cause in group 1 where the fault shows", sum.seen, sum.visible, 0.99, 0)
	enough(t, "angle inside its 95 % interval", sum.covered, sum.angles, 0.95, 3)
	enough(t, "agrees without a fault", sum.agreed, sum.good, 0.95, 0)
}

func (out *tally) add(o *tally) {
	out.benches += o.benches
	out.tellable += o.tellable
	out.first += o.first
	out.grouped += o.grouped
	out.all += o.all
	out.inGroup += o.inGroup
	out.visible += o.visible
	out.named1 += o.named1
	out.true1 += o.true1
	out.listed += o.listed
	out.claimed += o.claimed
	out.followed += o.followed
	out.settled += o.settled
	out.seen += o.seen
	out.angles += o.angles
	out.covered += o.covered
	out.good += o.good
	out.agreed += o.agreed
	out.longest = max(out.longest, o.longest)
	for k, n := range o.tried {
		out.tried[k] += n
	}
	for k, n := range o.named {
		out.named[k] += n
	}
}

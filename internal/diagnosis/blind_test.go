package diagnosis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// tally counts how simulated benches were judged.
type tally struct {
	benches, tellable, first, grouped, all, inGroup int
	angles, covered                                 int
	named1, true1, listed                           int     // likeliest causes where the fault shows, right ones, causes in group 1
	claimed                                         float64 // shares of the likeliest causes
	followed, settled                               int     // proposals to measure a place followed where it is at fault, and what then agrees
	visible, seen                                   int
	good, agreed                                    int
	longest                                         time.Duration
	tried, named                                    map[string]int
}

// tellApart is how far the truth must lie from every other cause, in standard
// deviations of all figures together, for the data to tell them apart.
const tellApart = 3

// blind diagnoses n benches with a fault and n/2 without. Whether the data can tell the
// fault from all else is decided before, from the noiseless readings of the true part:
// by the distance to the nearest prediction of any other cause.
func blind(t *testing.T, seed uint64, n int) *tally {
	t.Helper()
	g := rand.New(rand.NewPCG(seed, 6))
	out := &tally{tried: map[string]int{}, named: map[string]int{}}
	for i := 0; out.benches < n; i++ {
		d := parse(t, randomDesign(g))
		m, err := model.Compile(d)
		if err != nil {
			t.Fatal(err)
		}
		how := drawTaken(g, m)
		if i%3 == 2 {
			out.good++
			s := simulate(t, m, drawInputs(g, m))
			if out.diagnose(t, d, how.measured(g, m, s)).Agrees {
				out.agreed++
			}
			continue
		}
		f := faults[g.IntN(len(faults))]
		if g.IntN(4) == 0 { // angles are what is estimated most
			f = faults[angleFaults+g.IntN(2)]
		}
		tr := f.draw(g, d.Clone(), m)
		if tr == nil {
			continue
		}
		out.benches++
		out.one(t, g, d, tr, how, f.name)
	}
	return out
}

func (out *tally) diagnose(t *testing.T, d *design.Design, in Measured) *Diagnosis {
	t.Helper()
	begin := time.Now()
	r, err := Of(d, in, Options{})
	if err != nil {
		t.Fatal(err)
	}
	out.longest = max(out.longest, time.Since(begin))
	total := 0.0
	for _, c := range r.Causes {
		if !(c.Share >= 0 && c.Share <= 1) || c.Text == "" || c.Group < 1 {
			t.Errorf("cause %+v", c)
		}
		total += c.Share
	}
	if total > 1+1e-9 {
		t.Errorf("shares add up to %g", total)
	}
	return r
}

func (out *tally) one(t *testing.T, g *rand.Rand, d *design.Design, tr *truth, how taken, name string) {
	t.Helper()
	m, err := model.Compile(tr.d)
	if err != nil {
		t.Fatal(err)
	}
	read := func(x []float64, g *rand.Rand) Measured {
		x = append([]float64(nil), x...)
		if tr.inputs != nil {
			tr.inputs(m, x)
		}
		s := simulate(t, m, x)
		if tr.read != nil {
			tr.read(m, s)
		}
		return how.measured(g, m, s)
	}
	nearest, from, designed := nearestOther(t, d, read(m.Nominal, nil), tr)
	x := drawInputs(g, m)
	r := out.diagnose(t, d, read(x, g))

	is := func(c Cause) bool { return c.id == tr.id || tr.other != "" && c.id == tr.other }
	if designed >= tellApart && !r.Agrees {
		out.named1++
		out.claimed += r.Causes[0].Share
		if is(r.Causes[0]) {
			out.true1++
		}
		for _, c := range r.Causes {
			if c.Group == 1 {
				out.listed++
			}
		}
		out.follow(t, d, m, x, r, read(x, g), tr)
	}
	first, grouped := is(r.Causes[0]), false
	for _, c := range r.Causes {
		grouped = grouped || is(c) && c.Group == 1
	}
	out.all++
	if grouped {
		out.inGroup++
	}
	if designed >= tellApart {
		out.visible++
		if grouped {
			out.seen++
		}
	}
	if designed >= tellApart && !grouped {
		t.Logf("not in group 1: %s (%s, θ %.3g): nearest %s at %.1f; agrees %v got %s (%.3g)", tr.id, name, tr.theta, from, nearest, r.Agrees, r.Causes[0].id, r.Causes[0].Share)
	}
	if nearest < tellApart {
		return
	}
	out.tellable++
	out.tried[name]++
	if grouped {
		out.grouped++
	}
	if first {
		out.first++
		out.named[name]++
	} else {
		t.Logf("%s (%s, θ %.3g): nearest %s at %.1f; group %v, got %s (%.3g)", tr.id, name, tr.theta, from, nearest, grouped, r.Causes[0].id, r.Causes[0].Share)
	}
	if !tr.angle || !first {
		return
	}
	k, nominal := tr.input(m)
	whole := x[k] - nominal
	out.angles++
	for _, c := range r.Causes {
		if !is(c) || c.Group != 1 || c.Share < 0.01 {
			continue
		}
		off := math.Abs(math.Remainder(c.Estimate.Value-whole*180/math.Pi, 360))
		if off <= 1.96*c.Estimate.Standard {
			out.covered++
			return
		}
	}
	t.Logf("%s: whole angle %.3f°, estimate %+v", tr.id, whole*180/math.Pi, r.Causes[0].Estimate)
}

// follow does what was proposed, where that is to measure the place that is at fault and
// to enter it: the design then agrees.
func (out *tally) follow(t *testing.T, d *design.Design, m *model.Model, x []float64, r *Diagnosis, in Measured, tr *truth) {
	t.Helper()
	if tr.input == nil {
		return
	}
	k, _ := tr.input(m)
	for p := range d.Placements {
		name := d.Placements[p].Name
		if m.Inputs[k].Place.Path == "placements."+name+".direction" && strings.HasPrefix(r.SeparateBy, "measure the direction of gauge "+name+" ") {
			d = d.Clone()
			d.Placements[p].Measured.Direction = measuredAngle(x[k])
		} else if m.Inputs[k].Place.Path == "placements."+name+".around" && strings.HasPrefix(r.SeparateBy, "measure where gauge "+name+" ") {
			d = d.Clone()
			d.Placements[p].Measured.Around = measuredAngle(x[k])
		} else {
			continue
		}
		again, err := Of(d, in, Options{})
		if err != nil {
			t.Fatal(err)
		}
		out.followed++
		if again.Agrees {
			out.settled++
		}
	}
}

func measuredAngle(v float64) design.Number {
	return design.Number{Value: quantity.Value{SI: v, Tolerance: 0.5 * deg}, Set: true}
}

// nearestOther is the least distance, in standard deviations, of noiseless readings to
// the predictions of all causes but the true one.
func nearestOther(t *testing.T, d *design.Design, in Measured, tr *truth) (nearest float64, id string, designed float64) {
	t.Helper()
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	b, err := newBench(m, &in, Options{Range: 0.01})
	if err != nil {
		return 0, err.Error(), 0
	}
	modes, err := b.rank(b.causes())
	if err != nil {
		t.Fatal(err)
	}
	least := math.Inf(1)
	for _, k := range modes {
		if k.cause.class == asDesigned {
			designed = math.Sqrt(k.chi2)
		}
		if k.cause.id != tr.id && k.cause.id != tr.other && k.chi2 < least {
			least, id = k.chi2, k.cause.id
		}
	}
	return math.Sqrt(least), id, designed
}

func (out *tally) String() string {
	s := fmt.Sprintf("%d benches with a fault: the data can tell %d; of these first %d, in the group %d; of all in the group %d; visible %d, in the group %d; angles %d, inside %d; %d without a fault, %d agree; longest %v",
		out.benches, out.tellable, out.first, out.grouped, out.inGroup, out.visible, out.seen, out.angles, out.covered, out.good, out.agreed, out.longest)
	n := float64(max(out.named1, 1))
	s += fmt.Sprintf("\nwhere a fault shows: the likeliest cause is right in %d of %d, its shares add up to %.1f, %.1f causes in group 1 on average; proposals followed %d, then agree %d",
		out.true1, out.named1, out.claimed, float64(out.listed)/n, out.followed, out.settled)
	for _, f := range faults {
		s += fmt.Sprintf("\n%-24s %d of %d", f.name, out.named[f.name], out.tried[f.name])
	}
	return s
}

// enough fails when fewer than the wanted part of n trials went right; a small n is
// allowed three standard deviations of sampling.
func enough(t *testing.T, what string, right, n int, wanted, deviations float64) {
	t.Helper()
	if n == 0 {
		t.Errorf("%s: no trials", what)
		return
	}
	least := wanted - deviations*math.Sqrt(wanted*(1-wanted)/float64(n))
	if float64(right) < least*float64(n) {
		t.Errorf("%s: %d of %d, want %g", what, right, n, wanted)
	}
}

// A hundred simulated benches; the thousand are behind the tag crosscheck.
func TestBlind(t *testing.T) {
	out := blind(t, 1, 66)
	t.Log(out)
	enough(t, "cause ranked first where the data can tell", out.first, out.tellable, 0.9, 0)
	enough(t, "cause in group 1 where the data can tell", out.grouped, out.tellable, 0.99, 3)
	enough(t, "cause in group 1 where the fault shows", out.seen, out.visible, 0.99, 3)
	enough(t, "angle inside its 95 % interval", out.covered, out.angles, 0.95, 3)
	enough(t, "agrees without a fault", out.agreed, out.good, 0.95, 3)
}

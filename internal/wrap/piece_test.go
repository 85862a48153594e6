package wrap

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/drawing"
)

// TestTilings: windows fill their length, none is wider than the room, neighbours
// overlap by the overlap, and seams keep off what is busy when one more window
// can do that.
func TestTilings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		room := rapid.Float64Range(60, 300).Draw(t, "room")
		total := rapid.Float64Range(1, 3000).Draw(t, "total")
		var busy []sector
		for range rapid.IntRange(0, 4).Draw(t, "gauges") {
			c := rapid.Float64Range(0, total).Draw(t, "centre")
			busy = append(busy, sector{c - 6, c + 6})
		}
		til := tiled(total, room, busy)
		if til.n == 1 != (total <= room) {
			t.Fatalf("%d windows of %v for %v", til.n, room, total)
		}
		last := 0.0
		for k := range til.n {
			from, to := til.window(k)
			if to-from > room+1e-6 || to <= from {
				t.Fatalf("window %d from %v to %v in room %v", k, from, to, room)
			}
			if k == 0 && from != 0 || k > 0 && math.Abs(last-from-overlap) > 1e-6 {
				t.Fatalf("window %d starts at %v, the one before ends at %v", k, from, last)
			}
			last = to
		}
		if math.Abs(last-total) > 1e-6 {
			t.Fatalf("windows end at %v of %v", last, total)
		}
		if til.n > maxPages {
			return
		}
		least := math.Ceil((total-overlap)/(room-overlap) - 1e-9)
		if float64(til.n) > max(least, 1)+1 {
			t.Fatalf("%d windows, %v would do", til.n, least)
		}
		if float64(til.n) > max(least, 1) {
			for _, s := range til.seams {
				for _, b := range busy {
					if s+overlap/2 > b.from && s-overlap/2 < b.to {
						t.Fatalf("one more window and yet a seam at %v in %v", s, b)
					}
				}
			}
		}
	})
}

// TestGaugesWhole: on a large part the tiles are cut where no gauge lies.
func TestGaugesWhole(t *testing.T) {
	for _, diameter := range []float64{150, 250, 317, 400} {
		b, err := build(read(t, "shaft.yaml", shaft(diameter, "", pair...)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := b.list[0]
		if p.across.n < 2 {
			t.Fatalf("D = %v mm: %d tiles", diameter, p.across.n)
		}
		for _, s := range p.across.seams {
			for _, r := range p.backings {
				if _, half := r.reach(); math.Abs(s-p.u(r.s)) < half*1e3*p.panel.stretch+overlap/2 {
					t.Errorf("D = %v mm: the seam at %.1f cuts %s", diameter, s, r.name)
				}
			}
		}
	}
}

// TestKeepOut: sectors are hatched where they are, also through φ = 0.
func TestKeepOut(t *testing.T) {
	d := read(t, "shaft.yaml", shaft(60, "", pair...)+"pick: {keep-out: [[150°, 170°], [350°, 10°]]}\n")
	p, err := roundPanel(d, 0.1e-3)
	if err != nil {
		t.Fatal(err)
	}
	want := []sector{{150, 170}, {350, 360}, {0, 10}}
	if len(p.keepOut) != len(want) {
		t.Fatalf("%v", p.keepOut)
	}
	for i, k := range p.keepOut {
		if math.Abs(k.from/p.girth*360-want[i].from) > 1e-9 || math.Abs(k.to/p.girth*360-want[i].to) > 1e-9 {
			t.Errorf("sector %d is %v, want %v°", i, k, want[i])
		}
	}
	b, err := build(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	girth, lines := math.Pi*60.1, map[sector]int{}
	want = append(want, sector{360, 720}) // the flap
	for _, l := range assemble(t, b)[0].lines {
		if !l.pen.is(drawing.Hair) || math.Abs(math.Abs(l.a.X-l.b.X)-math.Abs(l.a.Y-l.b.Y)) > 0.01 || l.length() < 1 {
			continue // not a hatch of 45°
		}
		for _, k := range want {
			if min(l.a.X, l.b.X) > k.from/360*girth-0.02 && max(l.a.X, l.b.X) < k.to/360*girth+0.02 {
				lines[k]++
			}
		}
	}
	for _, k := range want {
		if lines[k] < 10 {
			t.Errorf("%d lines of hatch from %v° to %v°", lines[k], k.from, k.to)
		}
	}
}

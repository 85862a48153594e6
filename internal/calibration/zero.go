package calibration

import (
	"fmt"
	"math"

	"gridwright/internal/predict"
)

// reduced are the outputs less their zeros: of each reading, each bridge; NaN
// where none was taken.
//
//	none          X = I
//	initial       X = I − I0,   I0: the last zero reading before the loads of the run
//	mean          X = I − mean of the run's zero readings
//	interpolated  X = I − (I0 + (I1 − I0)·(t − t0)/(t1 − t0)),   I0, I1: the zero
//	              readings before and after, t: time where noted, else the row
//
// A run with loads but without the zero readings that the reduction asks for is a
// problem of its first loaded reading.
func (d *Data) reduced(z Zero) ([][]float64, error) {
	out := make([][]float64, len(d.Readings))
	for i := range out {
		out[i] = append([]float64(nil), d.Readings[i].Outputs...)
	}
	if z == ZeroNone {
		return out, nil
	}
	p := &Problems{File: d.File}
	order, rows := d.runs()
	for _, run := range order {
		for b := range d.Bridges {
			if d.HasBridge[b] && !d.reduceRun(rows[run], b, z, out, p) {
				return nil, p
			}
		}
	}
	return out, p.err()
}

// reduceRun takes one bridge of one run; false when the problems are full.
func (d *Data) reduceRun(rows []int, b int, z Zero, out [][]float64, p *Problems) bool {
	var zeros, loaded []int
	for _, i := range rows {
		r := &d.Readings[i]
		switch {
		case math.IsNaN(r.Outputs[b]):
		case r.Shunt >= 0:
			out[i][b] = math.NaN() // taken up by shuntReadings
		case r.unloaded():
			zeros = append(zeros, i)
		default:
			loaded = append(loaded, i)
		}
	}
	if len(loaded) == 0 {
		for _, i := range zeros {
			out[i][b] = 0
		}
		if len(zeros) > 0 {
			d.subtract(zeros, zeros, b, ZeroMean, out)
		}
		return true
	}
	first := loaded[0]
	lack := func(what string) bool {
		r := &d.Readings[first]
		return p.add(Problem{Line: r.Line, Column: 1, Text: fmt.Sprintf("bridge %s of run %d has %s; add it as a row with loads 0, or choose another reduction than %s", d.Bridges[b], r.Run, what, z)})
	}
	switch {
	case len(zeros) == 0:
		return lack("no zero reading")
	case z == ZeroInitial && zeros[0] > first:
		return lack("no zero reading before its loads")
	case z == ZeroInterpolated && zeros[0] > first:
		return lack("no zero reading before its loads")
	case z == ZeroInterpolated && zeros[len(zeros)-1] < loaded[len(loaded)-1]:
		return lack("no zero reading after its loads")
	}
	all := append(append([]int{}, zeros...), loaded...)
	if z == ZeroInitial {
		last := zeros[0]
		for _, i := range zeros {
			if i < first {
				last = i
			}
		}
		d.subtract(all, []int{last}, b, ZeroMean, out)
		return true
	}
	d.subtract(all, zeros, b, z, out)
	return true
}

// subtract the zero of the readings in zeros from those in rows.
func (d *Data) subtract(rows, zeros []int, b int, z Zero, out [][]float64) {
	if z == ZeroMean {
		mean := 0.0
		for _, i := range zeros {
			mean += d.Readings[i].Outputs[b] / float64(len(zeros))
		}
		for _, i := range rows {
			out[i][b] = d.Readings[i].Outputs[b] - mean
		}
		return
	}
	timed := true
	for _, i := range rows {
		timed = timed && !math.IsNaN(d.Readings[i].Time)
	}
	for k := 1; k < len(zeros); k++ {
		timed = timed && d.Readings[zeros[k]].Time > d.Readings[zeros[k-1]].Time
	}
	when := func(i int) float64 {
		if timed {
			return d.Readings[i].Time
		}
		return float64(i)
	}
	for _, i := range rows {
		before, after := zeros[0], zeros[len(zeros)-1]
		for _, k := range zeros {
			if k <= i {
				before = k
			}
		}
		for n := len(zeros) - 1; n >= 0; n-- {
			if zeros[n] >= i {
				after = zeros[n]
			}
		}
		y0, y1 := d.Readings[before].Outputs[b], d.Readings[after].Outputs[b]
		zero := y0
		if before != after {
			zero += (y1 - y0) * (when(i) - when(before)) / (when(after) - when(before))
		}
		out[i][b] = d.Readings[i].Outputs[b] - zero
	}
}

// Measured is a mean of readings with its standard uncertainty, V/V.
type Measured struct {
	Value    float64
	Standard predict.Figure
	Readings int
	Missing  string // why there is none, "" when it holds
}

// indicator is what is known of single readings, V/V and ratio; 0: nothing.
type indicator struct {
	resolution, relative float64
	scatter              float64 // pooled standard deviation of a reading
}

// mean of values with the standard uncertainty of the mean: scatter, resolution
// and relative uncertainty of the indicator,
//
//	u² = s²/n + r²/12 + (w·x̄)²
//
// (JCGM 100:2008, 4.2.3 and 4.3.7); s of one value is the pooled one (4.2.4). One
// value of which none of these is known has no standard uncertainty.
func mean(values []float64, in indicator) Measured {
	n := float64(len(values))
	m := Measured{Readings: len(values)}
	for _, v := range values {
		m.Value += v / n
	}
	ss := 0.0
	for _, v := range values {
		ss += (v - m.Value) * (v - m.Value)
	}
	u2 := in.resolution*in.resolution/12 + in.relative*in.relative*m.Value*m.Value
	if n > 1 {
		u2 += ss / (n - 1) / n
	} else {
		u2 += in.scatter * in.scatter
	}
	switch {
	case u2 == 0 && n == 1:
		m.Standard = predict.None("one reading, and neither resolution nor uncertainty of the indicator is stated")
	case u2 == 0:
		m.Standard = predict.None("the readings do not scatter, and neither resolution nor uncertainty of the indicator is stated")
	default:
		m.Standard = predict.Some(math.Sqrt(u2))
	}
	return m
}

// zeroBalance is the mean raw reading of a bridge at no load: of each run the mean
// of the zeros before its first load, so that creep does not enter, then of the runs.
func (d *Data) zeroBalance(b int, in indicator) Measured {
	order, rows := d.runs()
	var values []float64
	tared := true
	for _, run := range order {
		sum, n := 0.0, 0
		for _, i := range rows[run] {
			r := &d.Readings[i]
			if r.Shunt >= 0 || math.IsNaN(r.Outputs[b]) {
				continue
			}
			if !r.unloaded() {
				break
			}
			sum += r.Outputs[b]
			n++
		}
		if n > 0 {
			values = append(values, sum/float64(n))
			tared = tared && sum == 0
		}
	}
	switch {
	case len(values) == 0:
		return Measured{Missing: "no run begins with a zero reading"}
	case tared:
		return Measured{Missing: "every zero reading is 0: the indicator was tared, so the zero balance of the bridge is not in the data"}
	}
	return mean(values, in)
}

// shuntReading is the change of a bridge's output by shunt k: each reading less the
// mean of the readings of its run without load and shunt.
func (d *Data) shuntReading(b, k int, in indicator) Measured {
	order, rows := d.runs()
	var values []float64
	for _, run := range order {
		sum, n := 0.0, 0
		for _, i := range rows[run] {
			if r := &d.Readings[i]; r.Shunt < 0 && r.unloaded() && !math.IsNaN(r.Outputs[b]) {
				sum += r.Outputs[b]
				n++
			}
		}
		for _, i := range rows[run] {
			if r := &d.Readings[i]; r.Shunt == k && !math.IsNaN(r.Outputs[b]) && n > 0 {
				values = append(values, r.Outputs[b]-sum/float64(n))
			}
		}
	}
	if len(values) == 0 {
		return Measured{Missing: "no run has a reading with the shunt and one without it"}
	}
	in.resolution, in.scatter = in.resolution*math.Sqrt2, in.scatter*math.Sqrt2 // two readings
	return mean(values, in)
}

package readout

import (
	"fmt"
	"math"
	"slices"
	"sort"
)

// Drift is how zero and span of one bridge go with temperature. Kelvin ascends;
// its ends are the range over which the drift is known.
type Drift struct {
	Kelvin []float64 // K
	Zero   []float64 // V/V at each Kelvin, from the zero of the reference; nil: Polynomial
	Span   []float64 // S(T)/S(T0) at each Kelvin; nil: 1

	// Polynomial is Σ Polynomial[n]·(T − Reference)^n, V/V, where Zero is nil.
	Polynomial []float64
	Reference  float64 // K
}

func (d *Drift) validate() error {
	n := len(d.Kelvin)
	if n < 2 {
		return fmt.Errorf("%d temperatures; give at least two", n)
	}
	if err := vector("the temperatures", d.Kelvin, n); err != nil {
		return err
	}
	for i := 1; i < n; i++ {
		if !(d.Kelvin[i] > d.Kelvin[i-1]) {
			return fmt.Errorf("the temperatures do not ascend at %g K", d.Kelvin[i])
		}
	}
	if d.Zero != nil && d.Polynomial != nil {
		return fmt.Errorf("the zero has a table and a polynomial; give one of them")
	}
	if d.Zero != nil {
		if err := vector("the zeros", d.Zero, n); err != nil {
			return err
		}
	}
	if err := vector("the polynomial", d.Polynomial, len(d.Polynomial)); err != nil {
		return err
	}
	if d.Span == nil {
		return nil
	}
	if err := vector("the span ratios", d.Span, n); err != nil {
		return err
	}
	for _, s := range d.Span {
		if !(s > 0) {
			return fmt.Errorf("a span ratio is %g; give numbers above 0", s)
		}
	}
	return nil
}

// at is zero and span with their slopes, by straight lines between the table's rows; the
// polynomial is exact.
func (d *Drift) at(kelvin float64) (zero, zeroSlope, span, spanSlope float64) {
	n := len(d.Kelvin)
	i := sort.SearchFloat64s(d.Kelvin, kelvin)
	i = min(max(i, 1), n-1)
	width := d.Kelvin[i] - d.Kelvin[i-1]
	t := (kelvin - d.Kelvin[i-1]) / width
	line := func(v []float64) (float64, float64) {
		return v[i-1]*(1-t) + v[i]*t, (v[i] - v[i-1]) / width
	}
	span = 1
	if d.Span != nil {
		span, spanSlope = line(d.Span)
	}
	if d.Zero != nil {
		zero, zeroSlope = line(d.Zero)
		return zero, zeroSlope, span, spanSlope
	}
	off := kelvin - d.Reference
	for k := len(d.Polynomial) - 1; k >= 0; k-- {
		zeroSlope = zeroSlope*off + zero
		zero = zero*off + d.Polynomial[k]
	}
	return zero, zeroSlope, span, spanSlope
}

// About is the same drift counted from another temperature, such as that of a calibration:
//
//	z′(T) = z(T) − z(kelvin)        s′(T) = s(T)/s(kelvin)
//
// A temperature at which the drift is not known is an error.
func (d *Drift) About(kelvin float64) (Drift, error) {
	if err := d.validate(); err != nil {
		return Drift{}, err
	}
	if low, high := d.Kelvin[0], d.Kelvin[len(d.Kelvin)-1]; !(kelvin >= low && kelvin <= high) {
		return Drift{}, fmt.Errorf("the drift is not known at %g K, only from %g to %g K", kelvin, low, high)
	}
	zero, _, span, _ := d.at(kelvin)
	out := Drift{Kelvin: slices.Clone(d.Kelvin), Zero: slices.Clone(d.Zero), Span: slices.Clone(d.Span), Polynomial: slices.Clone(d.Polynomial), Reference: d.Reference}
	for i := range out.Zero {
		out.Zero[i] -= zero
	}
	for i := range out.Span {
		out.Span[i] /= span
	}
	if len(out.Polynomial) > 0 {
		out.Polynomial[0] -= zero
	}
	return out, nil
}

// kelvinRange is where every bridge's drift is known.
func (r *Recovery) kelvinRange() (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	for i := range r.Drift {
		k := r.Drift[i].Kelvin
		low, high = math.Max(low, k[0]), math.Min(high, k[len(k)-1])
	}
	return low, high
}

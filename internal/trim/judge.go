package trim

import (
	"math"

	"gridwright/internal/predict"
)

// curve is the bridge over the range with one set of resistors.
type curve struct {
	middle reading
	zero   []float64 // V/E at no load
	span   []float64 // S(T)/S(T0)
}

func (c *circuit) curve(parts []Part) (curve, error) {
	var out curve
	var err error
	if out.middle, err = c.at(&c.middle, parts); err != nil {
		return out, err
	}
	for i := range c.points {
		r, err := c.at(&c.points[i], parts)
		if err != nil {
			return out, err
		}
		out.zero = append(out.zero, r.zero)
		if !c.blind {
			out.span = append(out.span, r.span/out.middle.span)
		}
	}
	return out, nil
}

// width of a curve, max − min.
func width(v []float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, x := range v {
		lo, hi = math.Min(lo, x), math.Max(hi, x)
	}
	return hi - lo
}

const blindWords = "the bridge gives no output for the load that it measures"

func (c *circuit) figures(k curve) Figures {
	f := Figures{Zero: k.middle.zero, Input: k.middle.input, Output: predict.Some(k.middle.span),
		ZeroDrift: predict.None("no range of temperature"), SpanDrift: predict.None("no range of temperature")}
	if c.hasEnds {
		f.ZeroDrift = predict.Some(width(k.zero) / (c.to - c.from))
	}
	switch {
	case c.blind:
		f.Output, f.SpanDrift = predict.None(blindWords), predict.None(blindWords)
	case c.hasEnds:
		f.SpanDrift = predict.Some(width(k.span) / (c.to - c.from))
	}
	return f
}

// judge recomputes the bridge with the resistors. A limit of drift adds to the width
// of the curve that of the change which each resistor makes at the end of its
// tolerance: the width of a sum is at most the sum of the widths.
func (p *Plan) judge(c *circuit, o *Options) error {
	before, err := c.curve(nil)
	if err != nil {
		return err
	}
	best, err := c.curve(p.Exact)
	if err != nil {
		return err
	}
	after, err := c.curve(p.Fitted)
	if err != nil {
		return err
	}
	p.Before, p.Best, p.After = c.figures(before), c.figures(best), c.figures(after)
	if c.hasEnds {
		p.Low, p.High, p.From, p.To = c.ends[0].kelvin, c.ends[1].kelvin, c.from, c.to
	}
	for i := range c.points {
		r := Row{Kelvin: c.points[i].kelvin, ZeroBefore: before.zero[i] - before.middle.zero, ZeroAfter: after.zero[i] - after.middle.zero,
			SpanBefore: predict.None(blindWords), SpanAfter: predict.None(blindWords)}
		if !c.blind {
			r.SpanBefore, r.SpanAfter = predict.Some(before.span[i]), predict.Some(after.span[i])
		}
		p.Rows = append(p.Rows, r)
	}

	p.Limits = p.After
	p.Limits.Zero = math.Abs(p.After.Zero)
	output := 0.0
	p.Limits.Input = 0
	for i := range p.Fitted {
		for _, pair := range ofTolerance(p.Fitted[i], o) {
			var worst struct{ zero, zeroWidth, spanWidth, output, input float64 }
			for _, changed := range pair {
				parts := append([]Part(nil), p.Fitted...)
				parts[i] = changed
				k, err := c.curve(parts)
				if err != nil {
					return err
				}
				worst.zero = math.Max(worst.zero, math.Abs(k.middle.zero-after.middle.zero))
				worst.output = math.Max(worst.output, math.Abs(k.middle.span-after.middle.span))
				worst.input = math.Max(worst.input, math.Abs(k.middle.input-after.middle.input))
				if c.hasEnds {
					worst.zeroWidth = math.Max(worst.zeroWidth, width(minus(k.zero, after.zero)))
					if !c.blind {
						worst.spanWidth = math.Max(worst.spanWidth, width(minus(k.span, after.span)))
					}
				}
			}
			p.Limits.Zero += worst.zero
			p.Limits.Input += worst.input
			output += worst.output
			if c.hasEnds {
				p.Limits.ZeroDrift.Value += worst.zeroWidth / (c.to - c.from)
				p.Limits.SpanDrift.Value += worst.spanWidth / (c.to - c.from)
			}
		}
	}
	if p.Limits.Output.OK() {
		p.Limits.Output.Value = output
	}
	return nil
}

// ofTolerance is a resistor at both ends of each of its tolerances.
func ofTolerance(p Part, o *Options) [][2]Part {
	var out [][2]Part
	if p.Tolerance > 0 {
		lo, hi := p, p
		lo.Ohm, hi.Ohm = p.Ohm*(1-p.Tolerance), p.Ohm*(1+p.Tolerance)
		out = append(out, [2]Part{lo, hi})
	}
	switch {
	case p.Wire != nil && p.Wire.Tolerance > 0:
		lo, hi := p, p
		a, b := *p.Wire, *p.Wire
		a.Linear -= p.Wire.Tolerance
		b.Linear += p.Wire.Tolerance
		lo.Wire, hi.Wire = &a, &b
		out = append(out, [2]Part{lo, hi})
	case p.Wire == nil && o.ResistorTCR > 0:
		lo, hi := p, p
		lo.TCR, hi.TCR = -o.ResistorTCR, o.ResistorTCR
		out = append(out, [2]Part{lo, hi})
	}
	return out
}

func minus(a, b []float64) []float64 {
	d := make([]float64, len(a))
	for i := range a {
		d[i] = a[i] - b[i]
	}
	return d
}

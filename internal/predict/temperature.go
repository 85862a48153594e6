package predict

import (
	"math"

	"gridwright/internal/model"
)

// Temperature is how one bridge moves with temperature.
type Temperature struct {
	Rows         []Point // 21 equally spaced temperatures, both ends of the range included; nil without a range
	ZeroDrift    Figure  // (max − min of zero without gradient)/range, ratio of |rated output| per K
	ZeroGradient Figure  // output from the gradient alone at the reference temperature, ratio of |rated output|
	SpanDrift    Figure  // (max − min of S(T)/S(T0))/range, 1/K

	// Toward is the direction of the gradient across, rad: the stated one, or where
	// the file states none the one that is worst for this bridge (Worst).
	Toward float64
	Worst  bool
}

// Point is a bridge at one temperature.
type Point struct {
	Kelvin float64
	Zero   float64 // V/V, gradient included, from every grid at the reference temperature
	Span   Figure  // S(T)/S(T0) at uniform temperature
}

// points is how many temperatures the curves have.
const points = 21

func temperatureOf(m *model.Model, s *model.State, b int, br *Bridge) (Temperature, error) {
	t := &m.Design.Temperature
	reference := t.Reference.SI
	out := Temperature{
		ZeroDrift:    None("the file gives no temperature range"),
		ZeroGradient: None("the file gives no temperature gradient"),
		SpanDrift:    None("the file gives no temperature range"),
	}
	zero := func(kelvin float64, gradient bool) (float64, error) {
		c := model.At(kelvin)
		if gradient {
			c.Across, c.Toward, c.Along = t.Across.SI, out.Toward, t.Along.SI
		}
		return m.Output(s, b, &c)
	}
	rest, err := zero(reference, false)
	if err != nil {
		return out, err
	}
	if out.Toward = t.Toward.SI; t.Across.Set && t.Across.SI != 0 && !t.Toward.Set {
		if out.Toward, err = worstToward(m, s, b, rest); err != nil {
			return out, err
		}
		out.Worst = true
	}
	if t.Across.Set || t.Along.Set {
		v, err := zero(reference, true)
		if err != nil {
			return out, err
		}
		out.ZeroGradient = None(blind)
		if !br.Blind {
			out.ZeroGradient = Some((v - rest) / math.Abs(br.Rated))
		}
	}
	if !t.HasRange {
		return out, nil
	}
	zeros := newExtent()
	spans := newExtent()
	sens := make([]float64, len(m.Components))
	for i := 0; i < points; i++ {
		kelvin := t.Low.SI + (t.High.SI-t.Low.SI)*float64(i)/(points-1)
		p := Point{Kelvin: kelvin, Span: None(blind)}
		if p.Zero, err = zero(kelvin, true); err != nil {
			return out, err
		}
		p.Zero -= rest
		uniform, err := zero(kelvin, false)
		if err != nil {
			return out, err
		}
		zeros.add(uniform - rest)
		if !br.Blind {
			if _, err := m.Sensitivity(s, b, kelvin, sens); err != nil {
				return out, err
			}
			p.Span = Some(sens[br.Target] / br.Sensitivity[br.Target])
			spans.add(p.Span.Value)
		}
		out.Rows = append(out.Rows, p)
	}
	width := t.High.SI - t.Low.SI
	out.ZeroDrift, out.SpanDrift = None(blind), None(blind)
	if !br.Blind {
		out.ZeroDrift = Some(zeros.width() / width / math.Abs(br.Rated))
		out.SpanDrift = Some(spans.width() / width)
	}
	return out, nil
}

// extent is the range that values cover.
type extent struct{ low, high float64 }

func newExtent() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (e *extent) add(v float64) { e.low, e.high = math.Min(e.low, v), math.Max(e.high, v) }

func (e *extent) width() float64 { return e.high - e.low }

// worstToward is the direction of the hot side, rad in [0, 2π), in which the
// gradient across moves the zero most: the part of it that goes with cos and that
// with sin of the direction come from 0° and 90°, and the sense is the one that
// adds to what the gradient along does. Thermal output bends with temperature, so
// that this is exact for small gradients only.
func worstToward(m *model.Model, s *model.State, b int, rest float64) (float64, error) {
	t := &m.Design.Temperature
	at := func(across, toward, along float64) (float64, error) {
		c := model.At(t.Reference.SI)
		c.Across, c.Toward, c.Along = across, toward, along
		v, err := m.Output(s, b, &c)
		return v - rest, err
	}
	x, err := at(t.Across.SI, 0, 0)
	if err != nil {
		return 0, err
	}
	y, err := at(t.Across.SI, math.Pi/2, 0)
	if err != nil {
		return 0, err
	}
	along, err := at(0, 0, t.Along.SI)
	if err != nil {
		return 0, err
	}
	toward := math.Atan2(y, x) // here the part across is positive
	if along < 0 {
		toward += math.Pi
	}
	toward = math.Mod(toward+2*math.Pi, 2*math.Pi)
	if math.Hypot(x, y) < 1e-15 { // no direction is worse than another
		toward = 0
	}
	return toward, nil
}

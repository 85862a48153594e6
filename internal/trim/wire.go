package trim

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// Wire is a metal whose resistance rises with temperature.
type Wire struct {
	Name      string
	Linear    float64 // R/R(ref) = 1 + Linear·t + Square·t², t in °C from Reference
	Square    float64
	Reference float64 // °C
	Low, High float64 // °C, range of the law
	Tolerance float64 // of Linear, 1/K, limit; 0 where none is stated
	Stated    bool    // the user gave the coefficient
	Source    string
}

// Wires are the metals of compensating resistors.
var Wires = []Wire{
	{Name: "copper", Linear: model.CopperTCR, Reference: 20, Low: -50, High: 200,
		Source: "annealed copper, IEC 60028 at 20 °C; linear from −50 °C to 200 °C from memory"},
	{Name: "nickel", Linear: 5.4963e-3, Square: 6.7556e-6, Low: -60, High: 100,
		Source: "GOST 6651, resistance thermometers of nickel, −60 °C to 100 °C, from a secondary source"},
	{Name: "nickel-iron", Linear: 4.5e-3, Reference: 20, Low: -50, High: 100,
		Source: "70 % nickel, 30 % iron: common practice, from memory; lots reach 5200 ppm/K"},
}

// WireNames lists the metals.
func WireNames() []string {
	var n []string
	for _, w := range Wires {
		n = append(n, w.Name)
	}
	return n
}

// FindWire returns the metal of that name.
func FindWire(name string) (Wire, bool) {
	for _, w := range Wires {
		if w.Name == name {
			return w, true
		}
	}
	return Wire{}, false
}

const celsius0 = 273.15

// Ratio is R(T)/R(20 °C),
//
//	W(T)/W(20 °C),  W = 1 + Linear·t + Square·t²,  t = T − Reference
//
// T in K; t in K. The law holds from Low to High; Ratio does not check it.
func (w *Wire) Ratio(kelvin float64) float64 {
	law := func(celsius float64) float64 {
		t := celsius - w.Reference
		return 1 + t*(w.Linear+t*w.Square)
	}
	return law(kelvin-celsius0) / law(20)
}

// Coefficient is the mean temperature coefficient from T1 to T2 for the resistance
// at 20 °C, 1/K.
func (w *Wire) Coefficient(kelvin1, kelvin2 float64) float64 {
	return (w.Ratio(kelvin2) - w.Ratio(kelvin1)) / (kelvin2 - kelvin1)
}

func (w *Wire) holds(kelvin float64) error {
	if c := kelvin - celsius0; c < w.Low-1e-9 || c > w.High+1e-9 {
		return fmt.Errorf("the law of %s holds from %g °C to %g °C, not at %.4g °C; take another material", w.Name, w.Low, w.High, c)
	}
	return nil
}

// wire is the metal that the options name, with the coefficient of its lot.
func (o *Options) wire() (*Wire, error) {
	name := o.Material
	if name == "" {
		name = "copper"
	}
	w, ok := FindWire(name)
	if !ok {
		near := ""
		if n := quantity.Nearest(name, WireNames()); n != "" {
			near = "; the nearest known is " + n
		}
		return nil, fmt.Errorf("no compensating wire of %q; known are %s%s", name, strings.Join(WireNames(), ", "), near)
	}
	if o.TCR.SI != 0 {
		if !(o.TCR.SI >= 5e-4 && o.TCR.SI <= 2e-2) {
			return nil, fmt.Errorf("a temperature coefficient of %.4g ppm/K; that of a compensating wire lies from 500 to 20000 ppm/K", o.TCR.SI*1e6)
		}
		w.Linear, w.Square, w.Reference, w.Stated = o.TCR.SI, 0, 20, true
		w.Tolerance = o.TCR.Tolerance
		w.Low = math.Max(w.Low, 20-0.5/w.Linear)
		w.Source = "stated, linear about 20 °C"
	}
	return &w, nil
}

// Series is a series of preferred values for resistors (IEC 60063): so many to the
// decade.
type Series int

// The series of close tolerance.
const (
	E96  Series = 96
	E192 Series = 192
)

// Tolerance that goes with the series, ratio (IEC 60063: E96 ± 1 %, E192 ± 0.5 %).
func (s Series) Tolerance() float64 {
	if s == E192 {
		return 0.005
	}
	return 0.01
}

// String is the name of the series.
func (s Series) String() string { return fmt.Sprintf("E%d", int(s)) }

// Nearest is the preferred value nearest in ratio to ohm, which must be positive:
//
//	10^(i/n) rounded to three digits, times a power of ten
//
// (IEC 60063, which has 9.20 in E192 where the rule gives 9.19).
func (s Series) Nearest(ohm float64) float64 {
	values := s.decade()
	exponent := math.Floor(math.Log10(ohm))
	best, distance := 0.0, math.Inf(1)
	for e := exponent - 1; e <= exponent+1; e++ {
		for _, v := range values {
			x := preferred(v, int(e)-2)
			if d := math.Abs(math.Log(x / ohm)); d < distance {
				best, distance = x, d
			}
		}
	}
	return best
}

// preferred is digits·10^power, rounded once.
func preferred(digits, power int) float64 {
	if power < 0 {
		return float64(digits) / math.Pow(10, float64(-power))
	}
	return float64(digits) * math.Pow(10, float64(power))
}

// decade is the values from 100 to below 1000.
func (s Series) decade() []int {
	var v []int
	for i := 0; i < int(s); i++ {
		x := int(math.Round(100 * math.Pow(10, float64(i)/float64(s))))
		if x == 919 {
			x = 920
		}
		v = append(v, x)
	}
	sort.Ints(v)
	return v
}

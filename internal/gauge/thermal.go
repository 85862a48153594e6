package gauge

// Output is the thermal output of a grid: the polynomial of its lot and what the
// expansion of the part adds to it.
type Output struct {
	Coefficients [5]float64 // ascending powers of T in °C (or °F), µε
	Fahrenheit   bool
	ForFactor    float64 // gauge factor of the instrument of the statement
	ForExpansion float64 // of the specimen of the statement, 1/K
}

// degrees converts a temperature in K to that of the polynomial.
func (o *Output) degrees(kelvin float64) float64 {
	if o.Fahrenheit {
		return kelvin*9/5 - 459.67
	}
	return kelvin - 273.15
}

// Microstrain is the polynomial P(T), µε, at a temperature in K.
func (o *Output) Microstrain(kelvin float64) float64 {
	t := o.degrees(kelvin)
	p := 0.0
	for i := len(o.Coefficients) - 1; i >= 0; i-- {
		p = p*t + o.Coefficients[i]
	}
	return p
}

// OtherScale converts the coefficients of a polynomial of temperature, ascending
// powers, from °C to °F or, with fahrenheit, from °F to °C: the same polynomial
// of t' = (t − b)/a is
//
//	c'_k = Σ_n c_n · C(n,k) · a^k · b^(n−k)
//
// with t = a t' + b, so a = 5/9, b = −160/9 from °C to °F, a = 9/5, b = 32 back.
func OtherScale(c []float64, fahrenheit bool) []float64 {
	a, b := 5.0/9, -160.0/9
	if fahrenheit {
		a, b = 9.0/5, 32
	}
	out := make([]float64, len(c))
	for n := len(c) - 1; n >= 0; n-- { // Horner: out = out·(a t' + b) + c[n]
		for k := len(out) - 1; k >= 0; k-- {
			out[k] *= b
			if k > 0 {
				out[k] += a * out[k-1]
			}
		}
		out[0] += c[n]
	}
	return out
}

// Change is ΔR/R of an unloaded grid from temperature t0 to t, K,
//
//	(ΔR/R)_T = Fi·[P(T) − P(T0)]·1e-6 + F0 (1+Kt)/(1 − ν0 Kt)·(α_part − α_lot)(T − T0)
//
// with F0 the gauge factor at T0 and Kt its transverse sensitivity: the mismatch
// of expansion is an equal biaxial strain.
func (o *Output) Change(t, t0, factor, transverse, expansion float64) float64 {
	lot := o.ForFactor * (o.Microstrain(t) - o.Microstrain(t0)) * 1e-6
	return lot + Gain(factor, transverse)*(1+transverse)*(expansion-o.ForExpansion)*(t-t0)
}

// Curvature is the thermal strain that a layer of thickness h on a surface of
// curvature 1/R imposes on the foil above it, for each kelvin,
//
//	εa = (h/R)(1+νL)/(1−νL)(αL − α_part) sin²α,  εt = the same · cos²α
//
// α from the part's axis, the surface curved around it; derived from a biaxially
// constrained layer, within 3 % of the exact elastic cylinder.
func Curvature(standOff, curvature, layerPoisson, layerExpansion, expansion, sin, cos float64) Strain {
	k := standOff * curvature * (1 + layerPoisson) / (1 - layerPoisson) * (layerExpansion - expansion)
	return Strain{Along: k * sin * sin, Across: k * cos * cos}
}

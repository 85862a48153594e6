package bridge

import (
	"fmt"
	"math"
)

// boltzmann is the Boltzmann constant, J/K, exact in the SI since 2019.
const boltzmann = 1.380649e-23

// JohnsonNoise returns the thermal noise of a resistance, V rms,
//
//	√(4 k T R B)
//
// with k the Boltzmann constant, T in kelvin, R in Ω (for a bridge its output
// resistance) and B the noise bandwidth in Hz (J. B. Johnson and H. Nyquist,
// Phys. Rev. 32 (1928) 97 and 110). It holds while h·B ≪ k·T, at room temperature
// far beyond the bandwidth of any bridge amplifier. Negative or infinite arguments,
// and NaN, are errors.
func JohnsonNoise(ohm, kelvin, hertz float64) (float64, error) {
	for _, q := range [...]struct {
		name, unit string
		value      float64
	}{{"resistance", "Ω", ohm}, {"absolute temperature", "K", kelvin}, {"bandwidth", "Hz", hertz}} {
		if !(q.value >= 0 && q.value <= math.MaxFloat64) {
			return 0, fmt.Errorf("the %s for thermal noise is %g %s; it must be zero or more, and finite", q.name, q.value, q.unit)
		}
	}
	v := math.Sqrt(4*boltzmann*kelvin) * math.Sqrt(ohm) * math.Sqrt(hertz)
	if math.IsInf(v, 0) {
		return 0, fmt.Errorf("the thermal noise of %g Ω at %g K over %g Hz is too large to compute; check the units", ohm, kelvin, hertz)
	}
	return v, nil
}

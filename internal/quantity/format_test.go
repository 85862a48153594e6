package quantity

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		si     float64
		kind   Kind
		sys    System
		digits int
		want   string
	}{
		{0.06, Length, SI, 4, "60.00 mm"},
		{0.06, Length, US, 4, "2.362 in"},
		{0.06, Length, SI, 0, "60 mm"},
		{-0.0035, Length, SI, 2, "-3.5 mm"},
		{0, Length, SI, 3, "0 mm"},
		{math.Copysign(0, -1), Length, SI, 3, "0 mm"},
		{math.Pi / 2, Angle, SI, 3, "90.0°"},
		{15e3, Force, SI, 5, "15000 N"},
		{1234567, Force, SI, 3, "1230000 N"},
		{999999, Force, SI, 3, "1000000 N"},
		{4448.2216152605, Force, US, 4, "1000 lbf"},
		{1, Moment, US, 5, "8.8507 lbf·in"},
		{650e6, Stress, SI, 3, "650 MPa"},
		{6894757.293168361, Stress, US, 3, "1.00 ksi"},
		{293.15, Temperature, SI, 3, "20.0 °C"},
		{293.15, Temperature, US, 3, "68.0 °F"},
		{5, TemperatureDifference, SI, 2, "5.0 K"},
		{5, TemperatureDifference, US, 2, "9.0 Δ°F"},
		{1.5e-3, Strain, SI, 4, "1500 µε"},
		{5e-4, Ratio, US, 2, "0.050 %"},
		{2e-3, VoltageRatio, US, 4, "2.000 mV/V"},
		{11.3e-6, PerKelvin, SI, 3, "11.3 ppm/K"},
		{18e-6, PerKelvin, US, 3, "10.0 ppm/°F"},
		{350, Resistance, US, 4, "350.0 Ω"},
		{300e-6, Area, SI, 3, "300 mm²"},
		{0.0254 * 0.0254, Area, US, 3, "1.00 in²"},
		{45000e-12, SecondMoment, SI, 3, "45000 mm⁴"},
		{7850, Density, SI, 4, "7850 kg/m³"},
		{7850, Density, US, 3, "0.284 lb/in³"},
		{2.08, Number, SI, 3, "2.08"},
		{1e7, Number, US, 3, "10000000"},
		{1e-4, Number, SI, 3, "0.000100"},
		{1e-5, Number, SI, 3, "1.00e-5"},
		{999999999, Number, SI, 3, "1.00e9"},
		{2.5e9, Number, SI, 0, "2.5e9"},
		{1.0 / 3, Number, SI, 40, "0.33333333333333331"},
		{math.NaN(), Length, SI, 3, "—"},
		{math.Inf(-1), Number, SI, 3, "—"},
		{1e307, Strain, SI, 3, "—"},
		{-1, Temperature, SI, 3, "—"},
		{1, 0, SI, 3, "—"},
	} {
		if got := Format(c.si, c.kind, c.sys, c.digits); got != c.want {
			t.Errorf("Format(%v, %s, %d, %d) = %q, want %q", c.si, c.kind, c.sys, c.digits, got, c.want)
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	for _, c := range []struct {
		si   float64
		kind Kind
		unit string
	}{
		{1, Length, "N"}, {1, Length, ""}, {1, Length, "xyz"}, {1, Number, "mm"}, {1, 0, ""}, {1, 0, "mm"}, {1, TemperatureDifference, "°C"},
		{math.NaN(), Length, "mm"}, {math.Inf(1), Number, ""}, {1e307, Length, "µm"}, {5e-324, Stress, "GPa"}, {-1, Temperature, "K"},
	} {
		if x, err := Convert(c.si, c.kind, c.unit); err == nil {
			t.Errorf("Convert(%v, %s, %q) = %v", c.si, c.kind, c.unit, x)
		}
	}
}

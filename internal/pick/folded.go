package pick

import "math"

// folded95 is the 95 % quantile q of |X|, X = mean + U + N: U rectangular of
// half-width limit, N normal of standard deviation sigma.
//
//	P(|X| ≤ q) = G(q) − G(−q) = 0.95
//	G(x) = σ/2a·[H((x−µ+a)/σ) − H((x−µ−a)/σ)],  H(z) = zΦ(z) + φ(z)
//
// a limit, µ mean, σ sigma, all in one unit and not negative but for the mean.
// limit 0 is the folded normal distribution, sigma 0 the folded rectangular one.
// It allocates nothing.
func folded95(mean, sigma, limit float64) float64 {
	const covered = 0.95
	mean = math.Abs(mean)
	if limit < 1e-3*sigma { // of no matter: its variance joins that of the normal part
		sigma, limit = math.Hypot(sigma, limit/math.Sqrt(3)), 0
	}
	if sigma < 1e-7*limit || sigma == 0 {
		if mean < (1-covered)*limit {
			return covered * limit
		}
		return mean + (2*covered-1)*limit
	}
	// In units of sigma.
	m, a := mean/sigma, limit/sigma
	if a == 0 && m > 6 {
		return mean + oneSided95*sigma
	}
	low, high := 0.0, m+a+4
	q := m + math.Max(oneSided95, (2*covered-1)*a)
	for range 200 {
		p, density := spreadTo(q, m, a)
		if p < covered {
			low = q
		} else {
			high = q
		}
		next := q - (p-covered)/density
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-q) <= 1e-13*(1+q) {
			return next * sigma
		}
		q = next
	}
	return q * sigma
}

// Quantiles of the normal distribution: what 95 % of it lie below, and what 95 %
// lie within.
const (
	oneSided95 = 1.6448536269514722
	twoSided95 = 1.959963984540054
)

// spreadTo is P(|X| ≤ q) and its derivative for sigma 1.
func spreadTo(q, m, a float64) (p, density float64) {
	if a == 0 {
		return normal(q-m) - normal(-q-m), bell(q-m) + bell(q+m)
	}
	h := func(z float64) float64 { return z*normal(z) + bell(z) }
	p = (h(q-m+a) - h(q-m-a) - h(-q-m+a) + h(-q-m-a)) / (2 * a)
	density = (normal(q-m+a) - normal(q-m-a) + normal(-q-m+a) - normal(-q-m-a)) / (2 * a)
	return p, density
}

func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

func bell(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

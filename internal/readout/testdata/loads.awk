# The job of the benchmark for awk: two bridges to two loads with their standard
# uncertainties. Invented numbers, those of twoBridges in bench_test.go.
BEGIN {
	FS = OFS = ","
	OFMT = CONVFMT = "%.7g"
	n1 = 1e-14; n2 = 1.2e-14; rel = 5e-4
	d11 = 1.1e6; d12 = -2.3e3; d21 = -1.7e3; d22 = 6.2e5
	c1 = d11*d11*n1 + d12*d12*n2
	c2 = d21*d21*n1 + d22*d22*n2
}
NR == 1 { print $1, "torque [N·m]", "u(torque) [N·m]", "bending-y [N·m]", "u(bending-y) [N·m]"; next }
{
	a = $2 * 1e-3
	b = $3 * 1e-3
	t = d11*a + d12*b
	m = d21*a + d22*b
	printf "%s,%.7g,%.4g,%.7g,%.4g\n", $1, t, sqrt(c1 + 3e5*a*a + 20*a*b + 2e5*b*b + rel*rel*t*t), \
		m, sqrt(c2 + 1e5*a*a + 40*a*b + 2e5*b*b + rel*rel*m*m)
}

package work

import (
	"fmt"
	"strconv"
	"strings"
)

// Numbers lists the numbers of a step.
func Numbers(s Step) string {
	var with []string
	for _, n := range s.With {
		with = append(with, n.Symbol+"\u00A0=\u00A0"+strings.ReplaceAll(InWords(n.SI, n.Unit), " ", "\u00A0"))
	}
	return strings.Join(with, ", ")
}

// InWords is a number to nine digits with its unit.
func InWords(x float64, unit string) string {
	n := strconv.FormatFloat(x, 'g', 9, 64)
	if mantissa, power, ok := strings.Cut(n, "e"); ok {
		p, _ := strconv.Atoi(power)
		n = fmt.Sprintf("%se%d", mantissa, p)
	}
	if unit == "" {
		return n
	}
	return n + " " + unit
}

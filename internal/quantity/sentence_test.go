package quantity

import "testing"

func TestSentence(t *testing.T) {
	for text, want := range map[string]string{
		"grid A1 lies 12.7 mm from the end, at least 25.4 mm is wanted": "grid A1 lies 0.5 in (12.7 mm) from the end, at least 1 in (25.4 mm) is wanted",
		"rated 1200 N·m, and 15000 N of force":                          "rated 10620 lbf·in (1200 N·m), and 3372 lbf (15000 N) of force",
		"stress 100 MPa; write `wall: 3 mm` in the file":                "stress 14.5 ksi (100 MPa); write `wall: 3 mm` in the file",
		"between −10 °C and 60 °C":                                      "between 14 °F (−10 °C) and 140 °F (60 °C)",
		"0.5 %/10 K, 350 Ω, 2 mV/V, A1 and 45°":                         "0.5 %/10 K, 350 Ω, 2 mV/V, A1 and 45°",
		"2 mm/s is no length, nor is 5 mmx":                             "2 mm/s is no length, nor is 5 mmx",
		"":                                                              "",
	} {
		if got := Sentence(text, US); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
		if got := Sentence(text, SI); got != text {
			t.Errorf("%q in SI becomes %q", text, got)
		}
	}
}

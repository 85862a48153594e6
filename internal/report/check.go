package report

import (
	"gridwright/internal/check"
	"gridwright/internal/dossier"
)

// Verdict is the published shape of a check.
type Verdict struct {
	Pass     bool            `json:"pass"`
	Findings []check.Finding `json:"findings"`
}

// VerdictOf a dossier.
func VerdictOf(d *dossier.Dossier) Verdict {
	v := Verdict{Pass: check.Pass(d.Findings), Findings: d.Findings}
	if v.Findings == nil {
		v.Findings = []check.Finding{}
	}
	return v
}

// Check writes the verdict.
func (t Text) Check(d *dossier.Dossier) {
	count := map[check.Level]int{}
	for _, f := range d.Findings {
		count[f.Level]++
	}
	verdict := "pass"
	if !check.Pass(d.Findings) {
		verdict = "fail"
	}
	t.say("", d.Design.Title)
	t.printf("verdict: %s (%d fail, %d warning, %d note)\n\n", verdict, count["fail"], count["warning"], count["note"])
	t.Findings(d.Findings)
	t.assumed(d)
	t.Cautions()
}

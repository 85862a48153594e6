package report

import (
	"fmt"

	"gridwright/internal/dossier"
)

// assumed marks an output whose tolerances common practice filled in in part.
func (t Text) assumed(d *dossier.Dossier) {
	if n := len(d.Assumed); n > 0 {
		t.printf("\n")
		t.say("", fmt.Sprintf("Assumed: %d tolerances that the file leaves out were filled in by common practice; `predict` lists them.", n))
	}
}

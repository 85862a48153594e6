//go:build crosscheck

package boundary

import "testing"

func TestThousandRandomPolygonsBalance(t *testing.T) { randomPolygons(t, 0, 1000) }

func TestStatedErrorsHoldForMany(t *testing.T) { statedErrors(t, 12, 150) }

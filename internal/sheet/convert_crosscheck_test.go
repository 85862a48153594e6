//go:build crosscheck

package sheet

import "testing"

// TestRoundTripThousand is TestRoundTrip for a thousand designs.
func TestRoundTripThousand(t *testing.T) { roundTrip(t, 1000) }

//go:build crosscheck

package section

import "testing"

func TestResponseAgainst200Solutions(t *testing.T) { followsTheSolution(t, 200) }

//go:build crosscheck

package uncertainty_test

const full = true

//go:build !crosscheck

package uncertainty_test

const full = false // 200 full solutions run with the crosschecks

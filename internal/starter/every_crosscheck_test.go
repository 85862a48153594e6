//go:build crosscheck

package starter

func init() { everything = true }

//go:build !withpage

package pagefile

// Page returns the file; nil where this build does not have it.
func Page() []byte { return nil }

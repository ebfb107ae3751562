//go:build withpage

package pagefile

import _ "embed"

//go:embed kneepoint.html
var page []byte

// Page returns the file; nil where this build does not have it.
func Page() []byte { return page }

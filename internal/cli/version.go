package cli

import "runtime/debug"

// version says which kneepoint this is: that of the module, or, where it was built in a
// checkout, the commit.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of unknown version"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	commit, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			commit = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = " with changes"
		}
	}
	if commit == "" {
		return "built from source, without a version"
	}
	return "commit " + commit + changed
}

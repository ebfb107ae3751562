//go:build !js

package cli

import "github.com/spf13/cobra"

// usage is the form of every help text. Its name for a command is what it is
// here: a verb.
const usage = `Usage:
  {{if .HasAvailableSubCommands}}{{.CommandPath}} VERB [FILE] [flags]{{else}}{{.UseLine}}{{end}}
{{- if .HasAvailableSubCommands}}

Verbs:{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}}  {{.Short}}{{end}}{{end}}{{end}}
{{- if .HasExample}}

Examples:
{{.Example}}{{end}}
{{- if .HasAvailableLocalFlags}}

Flags:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}{{end}}
`

const help = `{{with or .Long .Short}}{{. | trimTrailingWhitespaces}}

{{end}}{{.UsageString}}`

// helpTexts gives the help texts their form. Whoever renders a template keeps every method
// of every type from being left out of the program, which a page cannot carry.
func helpTexts(root *cobra.Command) {
	root.SetUsageTemplate(usage)
	root.SetHelpTemplate(help)
}

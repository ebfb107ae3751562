package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/sim/scenario"
)

// complete has the shell complete the values of a flag.
func complete(cmd *cobra.Command, flag string, values cobra.CompletionFunc) {
	if err := cmd.RegisterFlagCompletionFunc(flag, values); err != nil {
		panic(err) // the flag was not added, or completed twice
	}
}

// endings completes names of files with the endings.
func endings(of ...string) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return of, cobra.ShellCompDirectiveFilterFileExt
	}
}

// completeFile completes the one scenario file.
func completeFile(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeSetting completes the path of a setting, then its value where that is
// one of some words.
func completeSetting(_ *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
	path, _, hasPath := strings.Cut(typed, "=")
	var out []string
	for _, k := range scenario.Keys() {
		full := k.Path
		if k.Repeated {
			table, rest, _ := strings.Cut(k.Path, ".")
			full = table + "[0]." + rest
		}
		switch {
		case !hasPath:
			if strings.HasPrefix(full, typed) {
				out = append(out, full+"=\t"+k.Doc)
			}
		case full == path:
			for _, word := range words(k) {
				out = append(out, path+"="+word)
			}
			return out, cobra.ShellCompDirectiveNoFileComp
		}
	}
	return out, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
}

// words are the values there are of a key, if they can be listed.
func words(k scenario.Key) []string {
	if len(k.Choices) == 0 && k.Kind == "true or false" {
		return []string{"true", "false"}
	}
	return k.Choices
}

// describeCompletion puts our words to the command that prints completion
// scripts.
func describeCompletion(cmd *cobra.Command) {
	cmd.Short = "Have your shell complete verbs, flags and keys"
	cmd.Long = `Prints a script that has your shell complete verbs, flags, files and the keys
of --set. "kneepoint completion bash --help" says where to put it.`
	cmd.Example = examples("source <(kneepoint completion bash)", "kneepoint completion zsh")
	for _, shell := range cmd.Commands() {
		shell.Short = "Print the script for " + shell.Name()
	}
}

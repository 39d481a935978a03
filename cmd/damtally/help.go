package main

import "github.com/spf13/cobra"

// helpLayout is how a command explains itself: how it goes, examples, what else
// can stand behind it.
const helpLayout = `How it goes:
  {{if .Runnable}}{{.UseLine}}{{end}}{{if .HasAvailableSubCommands}}
  {{.CommandPath}} COMMAND ...{{end}}
{{if .HasExample}}
Examples:
{{.Example}}
{{end}}{{if .HasAvailableSubCommands}}
Commands:{{range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}
{{end}}{{if .HasAvailableLocalFlags}}
Options:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}{{if .HasAvailableSubCommands}}
"{{.CommandPath}} COMMAND --help" says more of a command.
{{end}}`

// layHelp gives every command the layout and plain words for what cobra adds.
func layHelp(root *cobra.Command) {
	root.SetUsageTemplate(helpLayout)
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		c.DisableFlagsInUseLine = true
		switch c.Name() {
		case "help":
			c.Short = "Say how a command goes"
		case "completion":
			c.Short = "Make the Tab key complete commands and files in your shell"
		default:
			c.InitDefaultHelpFlag()
			c.Flags().Lookup("help").Usage = "say how this command goes"
		}
	}
	root.DisableFlagsInUseLine = true
}

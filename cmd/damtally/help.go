package main

import (
	"strings"

	"github.com/spf13/cobra"
)

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
			c.Run, c.RunE = nil, helpOn
		case "completion":
			c.Short = "Make the Tab key complete commands and files in your shell"
			c.Args, c.RunE = cobra.ArbitraryArgs, completionOf
			layCompletion(c)
		default:
			c.InitDefaultHelpFlag()
			c.Flags().Lookup("help").Usage = "say how this command goes"
		}
	}
	root.DisableFlagsInUseLine = true
}

// layCompletion gives the command of the shells the project's own words.
func layCompletion(c *cobra.Command) {
	c.Use = "completion SHELL"
	c.Long = `completion writes the lines that make the Tab key complete commands and files
in your shell. "damtally completion SHELL --help" says where they go.`
	c.InitDefaultHelpFlag()
	c.Flags().Lookup("help").Usage = "say how this command goes"
	for _, shell := range c.Commands() {
		shell.Short = "Lines for " + shell.Name()
	}
}

// helpOn shows the help of the command that is named, or of the whole program.
func helpOn(c *cobra.Command, args []string) error {
	about, rest, err := c.Root().Find(args)
	if err == nil && len(rest) == 0 {
		about.InitDefaultHelpFlag()
		return about.Help()
	}
	name := strings.Join(args, " ")
	if near := nearest(name, commandNames(c.Root())); near != "" {
		return wrongUse("there is no command %q; did you mean `damtally help %s`?", name, near)
	}
	return wrongUse("there is no command %q; there are: %s", name, strings.Join(commandNames(c.Root()), ", "))
}

// completionOf is reached when no shell that is known was named.
func completionOf(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return c.Help()
	}
	return wrongUse("there is no completion for %q; name one of: %s", args[0], strings.Join(commandNames(c), ", "))
}

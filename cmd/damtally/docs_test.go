package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// shown finds a command in running text: between backquotes, or at the
// beginning of a line, up to the words that explain it.
var (
	inText = regexp.MustCompile("`(damtally [^`]+)`")
	onLine = regexp.MustCompile(`(?m)^\s*(damtally .+?)(   .*)?$`)
)

// shownCommands are the commands that the README and the help show, without
// those that stand for others by a word in capitals.
func shownCommands(t *testing.T, root *cobra.Command) []string {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var found [][]string
	found = append(found, inText.FindAllStringSubmatch(string(readme), -1)...)
	for _, c := range append(root.Commands(), root) {
		found = append(found, onLine.FindAllStringSubmatch(c.Example, -1)...)
	}
	placeholder := regexp.MustCompile(`\b(SITE|PATH|FILE|COMMAND|TABLES)\b`)
	var commands []string
	for _, f := range found {
		if !placeholder.MatchString(f[1]) {
			commands = append(commands, strings.TrimSpace(f[1]))
		}
	}
	return commands
}

// words takes a command apart as a shell does, as far as quotes go.
func words(command string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(command, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}

// TestShownCommandsWork runs every command that the README and the help show.
// A site that one of them reads is first written by `new`.
func TestShownCommandsWork(t *testing.T) {
	w := systemWorld()
	commands := shownCommands(t, rootCommand(w))
	if len(commands) < 8 {
		t.Errorf("only %d commands are shown: %q", len(commands), commands)
	}
	for _, command := range commands {
		t.Run(command, func(t *testing.T) {
			l := newLab(t)
			l.engine = w.engine
			args := words(command)[1:]
			// The starter has neither a lake nor a season's loads.
			example := map[string]string{"crest": "demo", "reconcile": "season"}[args[0]]
			if site := siteOf(args); example != "" {
				if err := os.CopyFS(l.at(site), os.DirFS("../../testdata/sites/"+example)); err != nil {
					t.Fatal(err)
				}
			} else if site != "" {
				l.runs(t, exitDone, "new", site)
			}
			l.runs(t, exitDone, args...)
			if left, _ := filepath.Glob(l.at(".damtally*")); len(left) > 0 {
				t.Errorf("left behind: %q", left)
			}
		})
	}
}

// siteOf is the site that a command reads, or "".
func siteOf(args []string) string {
	switch {
	case args[0] == "check" || args[0] == "plan" || args[0] == "crest" || args[0] == "draw" || args[0] == "reconcile":
		args = args[1:]
	case args[0] == "new":
		return ""
	}
	if strings.HasPrefix(args[0], "-") {
		return ""
	}
	return args[0]
}

package main

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// farthestSuggestion is the number of slips of the finger up to which a name is
// offered as the one that was meant: two, or one in words of three letters.
const farthestSuggestion = 2

// nearest returns the name that word was most likely meant to be, or "".
func nearest(word string, names []string) string {
	best, least := "", min(farthestSuggestion, len(word)-2)+1
	for _, name := range names {
		if d := slips(strings.ToLower(word), name); d < least {
			best, least = name, d
		}
	}
	return best
}

// slips is the number of letters to put in, take out, change, or swap with
// their neighbour to turn a into b (optimal string alignment).
func slips(a, b string) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			same := rows[i-1][j-1]
			if a[i-1] != b[j-1] {
				same++
			}
			rows[i][j] = min(same, rows[i-1][j]+1, rows[i][j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(a)][len(b)]
}

// flagError says what is wrong with an option, and which was likely meant.
func flagError(c *cobra.Command, err error) error {
	text := err.Error()
	word, unknown := strings.CutPrefix(text, "unknown flag: --")
	dashes := "--"
	if strings.HasPrefix(text, "unknown shorthand flag: ") { // "... 'j' in -json"
		_, word, unknown = strings.Cut(text, " in -")
		dashes = "-"
	}
	if !unknown {
		return wrongUse("%s", strings.Replace(text, "flag needs an argument", "something must follow", 1))
	}
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if name := nearest(word, names); name != "" {
		return wrongUse("there is no option %s%s; did you mean --%s?", dashes, word, name)
	}
	return wrongUse("there is no option %s%s; `%s --help` lists them", dashes, word, c.CommandPath())
}

// commandNames lists what can stand right behind the program's name.
func commandNames(root *cobra.Command) []string {
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return names
}

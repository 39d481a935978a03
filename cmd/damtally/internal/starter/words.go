package starter

import (
	"fmt"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// Names of what explains the site; a site reader passes them over.
const (
	readMeName     = "Read me"
	moreTablesName = "More tables"
)

// invented stands wherever the example's figures do.
const invented = "INVENTED EXAMPLE. Nothing here is a real place, a real survey or a real test. Type your own figures over it."

// readMe explains a site to a beginner, one line a paragraph. kind is "sheet"
// or "file".
func readMe(kind string) []string {
	return []string{
		invented,
		"Each " + kind + " is a table. The first row that is no note names the columns, with the unit in brackets.",
		"You may change the unit in a heading: write (m) for (ft) and give metres in that column.",
		"You may leave out a column that you do not need, and put in any that \"" + moreTablesName + "\" names.",
		"Rows that are empty or begin with # are notes. They are passed over.",
		"A slope is how far across for 1 up: write 3 for 3:1.",
		"Stations may be written 1+50 or 150 in feet, 0+150 or 150 in metres.",
		"Bank is the soil as it lies in the pit, loose is the soil in the truck, compacted is the soil in the dam.",
		"1. Type your job over the tables, beginning with site, profile, crest and faces.",
		"2. Type the laboratory's points into proctor and your field tests into density. No tests? Then give a shrink factor and a swell in materials.",
		"3. Check it: damtally check SITE. It says what is wrong, where, and how to mend it.",
		"4. Plan it: damtally plan SITE -o FILE.xlsx. It writes the workbook.",
		"A dam can fail and kill. Most dams need a permit, a hazard class and a licensed engineer. Local codes come first.",
		"Trench walls cave in without warning: slope or shore them. Call before you dig, and look up for overhead lines.",
		"Wetlands and stormwater may need permits. A nuclear gauge needs a licence.",
	}
}

// tableWords is a table with what it adds and the columns that it may have.
type tableWords struct {
	name, state, purpose, columns string
}

// tablesInWords lists all tables for the beginner, those of the site first.
func tablesInWords(have []table) []tableWords {
	shown := map[string]table{}
	for _, t := range have {
		shown[t.spec.Name] = t
	}
	var here, more []tableWords
	for _, spec := range site.Schema() {
		w := tableWords{name: spec.Name, purpose: spec.Purpose, columns: columnsInWords(spec)}
		if _, ok := shown[spec.Name]; ok {
			w.state = "here"
			here = append(here, w)
			continue
		}
		w.state = "not here"
		more = append(more, w)
	}
	return append(here, more...)
}

// columnsInWords lists a table's columns, the needed ones marked with a star.
func columnsInWords(spec site.Table) string {
	words := make([]string, 0, len(spec.Columns))
	for _, c := range spec.Columns {
		word := c.Name
		if c.Needed {
			word += "*"
		}
		words = append(words, word)
	}
	return strings.Join(words, ", ")
}

// starHelp explains the star of columnsInWords.
const starHelp = "A star marks a column that the table can't do without."

// settingInWords is what one setting of the table `site` does.
func settingInWords(i site.Item) string {
	words := i.Help
	if len(i.Words) > 0 {
		words += ": " + strings.Join(i.Words, ", ")
	}
	words += "."
	if i.Default != "" {
		words += fmt.Sprintf(" Left out: %q.", i.Default)
	}
	return words
}

// columnHelp is a column's help with its words, for the row above the heading.
func columnHelp(c site.Column) string {
	help := c.Help
	if len(c.Words) > 0 && !slices.ContainsFunc(c.Words, func(w string) bool { return strings.Contains(strings.ToLower(help), w) }) {
		help += ": " + strings.Join(c.Words, ", ")
	}
	if c.Needed {
		help += " (needed)"
	}
	return help
}

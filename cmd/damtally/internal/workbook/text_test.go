package workbook

import (
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// hostile are texts that a user or a file may hold.
var hostile = []string{
	`=1+1`, `+1`, `-1+2`, `@SUM(A1)`, `=cmd|'/c calc'!A1`, "tab\there\x00\x07\nline", `<b>&amp;"'</b>`, "\xff\xfe broken",
	`core'!A1`, `[x]:*?/\`, strings.Repeat("long ", 9000), "", " ", "Summary", "soil 土 \U0001F69C",
}

// TestHostileText puts such texts everywhere that a user's text goes.
func TestHostileText(t *testing.T) {
	for _, words := range hostile {
		r := planned(t, sampleSite())
		r.Site.Settings.Name, r.Site.Settings.Currency = words, words
		r.Notes = append(r.Notes, site.Note{Level: "danger", Text: words, Source: words}, site.Note{Level: words, Text: words})
		for i := range r.Materials {
			r.Materials[i].Row.Name = words + strconv.Itoa(i)
		}
		for i := range r.Quantities.Zones {
			r.Quantities.Zones[i].Zone = words
		}
		for i := range r.Tests {
			r.Tests[i].Row.Material, r.Tests[i].Row.ID, r.Tests[i].Row.Zone = words+"0", words, words
		}
		for i := range r.Items {
			r.Items[i].Row.Item, r.Items[i].Row.Unit, r.Items[i].Unpaid = words, words, words
		}
		for i := range r.Checks {
			r.Checks[i].What = words
		}
		for sheet, cells := range cellsOf(t, written(t, r)) {
			for at, c := range cells {
				if len(words) > 3 && strings.Contains(words, "=") && c.Formula != "" && strings.Contains(c.Formula, words) {
					t.Errorf("%s!%s: %q is part of the formula %s", sheet, at, words, c.Formula)
				}
				if strings.ContainsAny(show(c), "\x00\x07\t\n") {
					t.Errorf("%s!%s holds control characters: %q", sheet, at, show(c))
				}
				if n := len([]rune(show(c))); n > 32767 {
					t.Errorf("%s!%s holds %d characters", sheet, at, n)
				}
			}
		}
	}
}

func TestSheetNames(t *testing.T) {
	used := map[string]bool{}
	for _, c := range [][2]string{
		{"Zone core", "Zone core"},
		{"zone CORE", "zone CORE 2"},
		{"'[a]:b*?/\\'=1", "a  b      1"},
		{"", "Zone 4"},
		{strings.Repeat("x", 40), strings.Repeat("x", 31)},
		{strings.Repeat("x", 40), strings.Repeat("x", 29) + " 2"},
		{strings.Repeat("\U00020000", 20), strings.Repeat("\U00020000", 15)},
	} {
		if got := sheetName(c[0], "Zone 4", used); got != c[1] {
			t.Errorf("%q gives %q, want %q", c[0], got, c[1])
		}
	}
}

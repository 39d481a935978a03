package workbook

import (
	"math"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// dugAt is the cell that says how much is dug in the first pit of a material.
func dugAt(b *book, material string) at {
	for i, p := range b.r.Pits {
		if p.Row.Material == material {
			return at{"Pits", address(rowPitHead+1+i, 10)}
		}
	}
	return at{}
}

// shortLines are the lines of a summary that speak of what the pits hold.
func shortLines(cells map[string]stored) string {
	var out []string
	for row := 1; row < 20; row++ {
		if words := show(cells["A"+itoa(row)]); strings.HasPrefix(words, "DANGER") && strings.Contains(words, "the pits") {
			out = append(out, words)
		}
	}
	return strings.Join(out, "\n")
}

// dangersOf are the words of the plan itself on what the pits are short of.
func dangersOf(t *testing.T, s site.Site) string {
	t.Helper()
	var out []string
	for _, n := range planned(t, s).Notes {
		if n.Key == site.KeyShort {
			out = append(out, dangerWords(n))
		}
	}
	return strings.Join(out, "\n")
}

// shortBooks adds the workbook of a site that is short of one soil: as it is,
// and with the pits and the reserve changed.
func shortBooks(t *testing.T, books map[string][]byte) {
	t.Helper()
	r := planned(t, shortSite())
	b, short := build(r, "test"), written(t, r)
	books["short"] = short
	books["short more"] = withCell(t, short, "Pits", dugAt(b, "silty sand").cell, "900000")
	books["short less"] = withCell(t, short, "Pits", dugAt(b, "lean clay").cell, "1000")
	books["short bank"] = withCell(t, short, b.settings.name, placeOf(b.set.reserveOn).cell, "bank")
}

// checkShort sees that the lines on the shortage follow the pits and the
// reserve, in the very words of a plan made with the changed figures.
func checkShort(t *testing.T, got map[string]map[string]map[string]stored) {
	t.Helper()
	onBank := shortSite()
	onBank.Settings.ReserveOn = "bank"
	plain := dangersOf(t, shortSite())
	if plain == "" || plain == dangersOf(t, onBank) {
		t.Fatal("the site is short of nothing, or of the same on either base, so the check proves nothing")
	}
	nowShort := "DANGER: with the figures as changed, the pits no longer hold"
	for name, want := range map[string]string{"short": plain, "short bank": dangersOf(t, onBank), "short more": "", "short less": plain + "\n" + nowShort} {
		if lines := shortLines(got[name]["Summary"]); !strings.HasPrefix(lines, want) || want == "" && lines != "" {
			t.Errorf("%s: the summary says %q, want %q", name, lines, want)
		}
		if changed := starts(got[name]["Summary"], "Changed:"); changed != (name != "short") {
			t.Errorf("%s: the summary says that figures were changed: %v", name, changed)
		}
	}
}

// TestWordsOfShortage sees that the line is a formula in every variant that is
// short of something.
func TestWordsOfShortage(t *testing.T) {
	found := 0
	for name, s := range variants() {
		book := cellsOf(t, written(t, planned(t, s)))
		for _, c := range book["Summary"] {
			if words := show(c); strings.HasPrefix(words, "DANGER") && strings.Contains(words, "the pits") {
				found++
				if c.Formula == "" {
					t.Errorf("%s: %q does not follow the balance", name, words)
				}
			}
		}
	}
	if found == 0 {
		t.Error("no variant is short of anything")
	}
}

func TestGrouped(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 999.4: "999", 999.5: "1,000", 1234567.2: "1,234,567", -12345: "-12,345", -0.2: "0"} {
		if got := grouped(x); got != want {
			t.Errorf("%g is %q, want %q", x, got, want)
		}
	}
}

// TestNoHeightOfRounding: at its ends the dam has no height and no width, not
// one of 1e-8 ft that no other program repeats.
func TestNoHeightOfRounding(t *testing.T) {
	ends := 0
	for _, name := range exampleSites {
		b := build(planned(t, readSite(t, name)), "test")
		for i := range b.r.Quantities.Sections {
			for _, col := range []int{secHeight, secWidth} {
				switch x := b.sections.at(rowFirst+i, col).content.numeric(); {
				case x == 0:
					ends++
				case math.Abs(x) < snap:
					t.Errorf("%s: %s shows %g", name, address(rowFirst+i, col), x)
				}
			}
		}
	}
	if ends == 0 {
		t.Error("no section is without height, so the check proves nothing")
	}
}

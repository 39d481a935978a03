package workbook

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// takenUp lists every cell that a formula of the file names, "sheet!A1", read
// from the formulas' text.
func takenUp(t *testing.T, cells map[string]map[string]stored, b *book) map[string]bool {
	t.Helper()
	reference := regexp.MustCompile(`(?:(?:'([^']+)'|\b([A-Za-z]+))!)?\b([A-Z]{1,2})([0-9]+)(?::([A-Z]{1,2})([0-9]+))?\b`)
	out := map[string]bool{}
	named := map[string]string{}
	for _, s := range b.sheets() {
		for _, row := range s.rows {
			for _, c := range row {
				if c != nil && c.name != "" {
					named[c.name] = s.name + "!" + address(c.row, c.col)
				}
			}
		}
	}
	for sheet, list := range cells {
		for _, c := range list {
			formula := regexp.MustCompile(`"[^"]*"`).ReplaceAllString(c.Formula, "")
			for name, at := range named {
				if strings.Contains(formula, name) {
					out[at] = true
				}
			}
			for _, ref := range reference.FindAllStringSubmatch(formula, -1) {
				on := ref[1] + ref[2]
				if on == "" {
					on = sheet
				}
				from, _ := strconv.Atoi(ref[4])
				to := from
				if ref[6] != "" {
					to, _ = strconv.Atoi(ref[6])
				}
				for row := from; row <= to; row++ {
					out[on+"!"+ref[3]+itoa(row)] = true
				}
			}
		}
	}
	return out
}

// TestYellowCellsMoveSomething: a cell in the look of an input that no formula
// takes up would mislead.
func TestYellowCellsMoveSomething(t *testing.T) {
	plans := map[string]*plan.Result{}
	for name, s := range variants() {
		plans[name] = planned(t, s)
	}
	for _, name := range exampleSites {
		plans[name] = planned(t, readSite(t, name))
	}
	for name, r := range plans {
		b := build(r, "test")
		taken := takenUp(t, cellsOf(t, written(t, r)), b)
		yellow := 0
		for _, s := range b.sheets() {
			for _, row := range s.rows {
				for _, c := range row {
					if c == nil || c.look.role != roleInput {
						continue
					}
					yellow++
					at := s.name + "!" + address(c.row, c.col)
					if !taken[at] && c.content.val.text != "you may change this" {
						t.Errorf("%s: %s is yellow and moves nothing", name, at)
					}
				}
			}
		}
		if yellow < 20 {
			t.Errorf("%s: only %d yellow cells", name, yellow)
		}
	}
}

// TestWhiteWhereTestsRule: lean clay has tests in every state, silty sand typed
// factors alone.
func TestWhiteWhereTestsRule(t *testing.T) {
	s := sampleSite()
	s.Materials[0].ShrinkFactor, s.Materials[0].Swell, s.Materials[0].ExpectedCompaction = yes(0.8), yes(0.3), yes(0.98)
	b := build(planned(t, s), "test")
	clay, sand := &b.soil[0], &b.soil[1]
	pit := rowPitHead + 1
	for what, c := range map[string]struct {
		cell   *cell
		yellow bool
	}{
		"clay, typed shrink factor":   {clay.typedShrink, false},
		"clay, typed swell":           {clay.typedSwell, false},
		"clay, expected compaction":   {clay.expected, false},
		"clay, required compaction":   {clay.required, true},
		"clay, water limit":           {clay.low, true},
		"sand, typed shrink factor":   {sand.typedShrink, true},
		"sand, typed swell":           {sand.typedSwell, true},
		"sand, water limit, no test":  {sand.low, false},
		"pit, area":                   {b.pits.at(pit, pitArea), true},
		"pit, topsoil depth":          {b.pits.at(pit, 6), false},
		"pit, greatest depth":         {b.pits.at(pit, 7), false},
		"pit, all that is dug":        {b.pits.at(pit, 10), true},
		"lab, maximum of a sample":    {b.lab.at(rowSampleHead+1, sampleMax), true},
		"settings, what the crest is": {b.set.crestIs, true},
	} {
		if got := c.cell.look.role == roleInput; got != c.yellow {
			t.Errorf("%s: yellow is %v", what, got)
		}
	}
}

package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// tellFound writes the first of the two lines: what the site holds and what
// came of it.
func tellFound(to io.Writer, r *plan.Result) {
	say(to, "Found %s, %s, %s: the dam takes %s; %s.",
		count(len(r.Site.Tables), "table"), ground(r.Site)+dug(r.Dug), count(len(r.Quantities.Sections), "section"),
		volume(r, r.Quantities.Total, "compacted"), supply(r))
}

// ground says what the ground is known from.
func ground(s site.Site) string {
	switch {
	case len(s.Shots) > 0:
		return "ground from " + count(len(s.Shots), "cross-section shot")
	case len(s.Survey) > 0 && len(s.ExistingGround()) > 0:
		return "ground from " + count(len(s.Survey), "survey point") + " and " + count(len(s.ExistingGround()), "file")
	case len(s.Survey) > 0:
		return "ground from " + count(len(s.Survey), "survey point")
	case len(s.ExistingGround()) > 0:
		return "ground from " + count(len(s.ExistingGround()), "file")
	default:
		return "ground from " + count(len(s.Profile), "profile point")
	}
}

// dug says what was measured after stripping and in the open trench.
func dug(d *plan.Dug) string {
	if d == nil {
		return ""
	}
	text := ""
	if n := len(d.Stripped); n > 0 {
		text += ", the stripped ground from " + count(n, "file")
	}
	if n := len(d.Trench); n > 0 {
		text += ", the open trench from " + count(n, "file")
	}
	return text
}

// supply says in plain words whether the pits hold enough.
func supply(r *plan.Result) string {
	if len(r.Pits) == 0 {
		return "no pits to compare with"
	}
	var short, unsure []string
	hold := "the pits hold enough, reserve included"
	for _, b := range r.Balance {
		if len(b.Beside) > 0 {
			hold = "the pits and the sources beside them hold enough, reserve included"
		}
		switch {
		case b.Enough == nil:
			unsure = append(unsure, b.Material)
		case !*b.Enough:
			short = append(short, fmt.Sprintf("%s by %s", b.Material, volume(r, b.Short, "bank")))
		}
	}
	var said []string
	if len(short) > 0 {
		said = append(said, "NOT ENOUGH, short of "+strings.Join(short, " and of "))
	}
	if len(unsure) > 0 {
		said = append(said, "it cannot be said whether there is enough "+strings.Join(unsure, " and "))
	}
	if len(said) == 0 {
		return hold
	}
	return strings.Join(said, "; ")
}

// volume writes a volume with its state and unit: "12,345 bank yd3".
func volume(r *plan.Result, m3 float64, state string) string {
	unit := units.SystemOf(r.Site.Settings.OutputUnits).Volume
	return fmt.Sprintf("%s %s %s", units.Number(unit.FromSI(m3), 0), state, unit.Name)
}

// tellNotes writes the notes that ask the user to act, danger first, and
// returns how many there are. Plain notes stand in the outputs alone.
func tellNotes(to io.Writer, r *plan.Result) int { return tellThese(to, r.Notes) }

// tellThese is tellNotes for some notes.
func tellThese(to io.Writer, notes []site.Note) int {
	told := 0
	for _, level := range []string{"danger", "look"} {
		for _, n := range notes {
			if n.Level != level {
				continue
			}
			p := site.Problem{Ref: n.Ref, What: n.Text}
			say(to, "%s: %s", level, p)
			told++
		}
	}
	return told
}

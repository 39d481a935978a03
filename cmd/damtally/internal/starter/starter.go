// Package starter makes the site that a beginner types over: a few tables of an
// invented small pond, explained, as a folder of CSV files or as one workbook.
// It writes to no disk and reads none.
package starter

import (
	"embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// examples holds a CSV file a table, in feet and in metres. All figures are
// invented, and chosen so that any of the tables go together.
//
//go:embed tables
var examples embed.FS

// Options says what goes into a starter site.
type Options struct {
	With  []string // tables beyond those that every small pond needs
	Units string   // "us" or "metric"
}

// basic are the tables of every starter site.
var basic = []string{"site", "profile", "crest", "faces", "trench", "stripping", "zones", "materials", "proctor", "density"}

// brings are the tables that another needs beside it.
var brings = map[string][]string{
	"survey":     {"centreline"},
	"outlines":   {"pits"},
	"pits":       {"outlines"},
	"cuts":       {"outlines", "survey"}, // they are measured on ground in plan
	"blankets":   {"outlines", "survey"},
	"borings":    {"pits"},
	"hauls":      {"pits"},
	"stockpiles": {"pits"},
	"loads":      {"pits"},
}

// replaces are the tables that stand instead of another: a site has one ground.
var replaces = map[string][]string{
	"shots":  {"profile"},
	"survey": {"profile", "shots"},
}

// TwoGrounds returns the kinds of ground that o asks for, when they are more
// than one: they exclude each other. A centreline goes with each of them.
func TwoGrounds(o Options) []string {
	var asked []string
	for _, ground := range []string{"profile", "shots", "survey"} {
		if slices.ContainsFunc(o.With, func(name string) bool { return tidy(name) == ground }) {
			asked = append(asked, ground)
		}
	}
	if len(asked) < 2 {
		return nil
	}
	return asked
}

// OwnFile is the table that names ground files of the user's own, so that no
// example of it can be made.
const OwnFile = "surfaces"

// Tables returns the names of all tables that there is an example of, in the
// order of the data model.
func Tables() []string {
	var names []string
	for _, t := range site.Schema() {
		if t.Name != OwnFile {
			names = append(names, t.Name)
		}
	}
	return names
}

// Chosen returns the names of the tables that o asks for, with those that they
// bring and without those that they replace, in the order of the data model.
// Names in o.With that are no table are passed over.
func Chosen(o Options) []string {
	in := map[string]bool{}
	var put func(name string)
	put = func(name string) {
		if in[name] {
			return
		}
		in[name] = true
		for _, other := range broughtBy(name, o.With) {
			put(other)
		}
	}
	for _, name := range basic {
		put(name)
	}
	for _, name := range o.With {
		put(tidy(name))
	}
	for name, others := range replaces {
		for _, other := range others {
			if in[name] && in[other] {
				delete(in, other)
			}
		}
	}
	return slices.DeleteFunc(Tables(), func(name string) bool { return !in[name] })
}

// broughtBy is what a table brings. The outlines bring pits only when nothing
// else that has an outline was asked for.
func broughtBy(name string, with []string) []string {
	if name == "outlines" {
		for _, w := range with {
			if w := tidy(w); w == "cuts" || w == "blankets" {
				return nil
			}
		}
	}
	return brings[name]
}

// tidy is a table's name as the data model writes it.
func tidy(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// table is an example table with its place in the data model.
type table struct {
	spec   site.Table
	header []string
	rows   [][]string
}

// column is the data model's word on a column of the example: its name is the
// header's without the unit.
func (t table) column(i int) site.Column {
	name, _, _ := strings.Cut(t.header[i], " (")
	c, _ := t.spec.Column(name)
	return c
}

// without returns the table without a column.
func (t table) without(column string) table {
	at := slices.IndexFunc(t.header, func(head string) bool { return strings.HasPrefix(head, column+" (") })
	if at < 0 {
		return t
	}
	cut := func(row []string) []string { return slices.Delete(slices.Clone(row), at, at+1) }
	out := table{spec: t.spec, header: cut(t.header)}
	for _, row := range t.rows {
		out.rows = append(out.rows, cut(row))
	}
	return out
}

// chosen reads the example tables that o asks for.
func chosen(o Options) ([]table, error) {
	names := Chosen(o)
	var out []table
	for _, spec := range site.Schema() {
		if !slices.Contains(names, spec.Name) {
			continue
		}
		t, err := example(spec, o.Units)
		if err != nil {
			return nil, err
		}
		switch {
		case spec.Name == "outlines":
			t.rows, err = ownedOutlines(t.rows, names, o.Units)
		case spec.Name == "pits" && slices.Contains(names, "survey"):
			t = t.without("ground elevation") // the survey says it
		}
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

// example reads one example table.
func example(spec site.Table, units string) (table, error) {
	f, err := examples.Open("tables/" + units + "/" + spec.Name + ".csv")
	if err != nil {
		return table{}, fmt.Errorf("no example of the table %s in %s units: %w", spec.Name, units, err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return table{}, fmt.Errorf("example of the table %s: %w", spec.Name, err)
	}
	return table{spec, rows[0], rows[1:]}, nil
}

// ownedOutlines keeps the corners of what is in the site: those of pits, cuts
// and blankets that were not asked for belong to nothing.
func ownedOutlines(corners [][]string, names []string, units string) ([][]string, error) {
	owners := map[string]bool{}
	for _, spec := range site.Schema() {
		if !slices.Contains([]string{"pits", "cuts", "blankets"}, spec.Name) || !slices.Contains(names, spec.Name) {
			continue
		}
		t, err := example(spec, units)
		if err != nil {
			return nil, err
		}
		for _, row := range t.rows {
			owners[row[0]] = true
		}
	}
	return slices.DeleteFunc(corners, func(corner []string) bool { return !owners[corner[0]] }), nil
}

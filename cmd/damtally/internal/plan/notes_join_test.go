package plan

import (
	"slices"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// Notes that say the same of several things become one that names all of them;
// what differs in level, words or source stays apart.
func TestNotesThatSayTheSame(t *testing.T) {
	row := func(n int) site.Ref { return site.Ref{Table: "pits", Row: n} }
	got := together([]site.Note{
		{Level: "note", Ref: row(3), Text: "holes say it", Item: "north"},
		{Level: "note", Ref: row(9), Text: "alone"},
		{Level: "look", Ref: row(4), Text: "holes say it", Item: "south"},
		{Level: "note", Ref: row(5), Text: "holes say it", Item: "west, 3 holes"},
		{Level: "note", Ref: row(9), Text: "alone"},
	})
	want := []site.Note{
		{Level: "note", Ref: row(3), Text: "holes say it: north; west, 3 holes"},
		{Level: "note", Ref: row(9), Text: "alone"},
		{Level: "look", Ref: row(4), Text: "holes say it: south"},
		{Level: "note", Ref: row(9), Text: "alone"},
	}
	if !slices.Equal(want, got) {
		t.Errorf("%+v", got)
	}
}

// The heaviest come first, then the subjects in their order, then as they came.
func TestNotesByWeightAndSubject(t *testing.T) {
	got := weighed([]site.Note{
		{Level: "note", About: "site", Text: "6"},
		{Level: "note", About: "ground", Text: "4"},
		{Level: "look", About: "soil", Text: "3"},
		{Level: "danger", About: "borrow", Text: "1"},
		{Level: "look", About: "dam", Text: "2"},
		{Level: "note", About: "ground", Text: "5"},
	})
	var order []string
	for _, n := range got {
		order = append(order, n.Text)
	}
	if want := []string{"1", "2", "3", "4", "5", "6"}; !slices.Equal(order, want) {
		t.Error(order)
	}
}

// Every table and every setting belongs to one subject.
func TestEveryTableHasASubject(t *testing.T) {
	one := func(subjects map[string][]string, name string) {
		n := 0
		for subject, names := range subjects {
			if slices.Contains(noteSubjects, subject) && slices.Contains(names, name) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%s has %d subjects", name, n)
		}
	}
	for _, table := range site.Schema() {
		one(tableSubjects, table.Name)
	}
	for _, item := range site.Items() {
		one(itemSubjects, item.Name)
	}
}

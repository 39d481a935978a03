package plan

import (
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// noteLevels are the levels of notes, the heaviest first.
var noteLevels = []string{"danger", "look", "note"}

// allNotes puts together what the user should know: the heaviest first, those of
// one level by subject, those that say the same of several things as one.
func (j *Job) allNotes(r *Result) []site.Note {
	notes := append(append([]site.Note{}, j.site.Notes...), j.notes...)
	notes = append(notes, r.Notes...) // of lifts and lake
	for _, more := range []func(*Result) []site.Note{
		j.dugNotes, j.warnings, j.resultNotes, j.zoneNotes, j.prompts, j.doubts, j.doubtPits, j.pitNotes,
		j.doubtCuts, j.failedChecks, j.bidNotes, j.allocationNotes, j.excavatedNotes,
	} {
		notes = append(notes, more(r)...)
	}
	notes = together(notes)
	for i := range notes {
		notes[i].About = j.about(notes[i].Ref)
	}
	return weighed(notes)
}

// together makes one note of those that say the same of several things: the text,
// a colon and the things. Its row is that of the first.
func together(notes []site.Note) []site.Note {
	type saying struct{ level, text, source string }
	at := map[saying]int{}
	var out []site.Note
	for _, n := range notes {
		if n.Item == "" {
			out = append(out, n)
			continue
		}
		s := saying{n.Level, n.Text, n.Source}
		i, seen := at[s]
		if !seen {
			at[s] = len(out)
			n.Text += ": " + n.Item
			n.Item = ""
			out = append(out, n)
			continue
		}
		out[i].Text += "; " + n.Item
	}
	return out
}

// weighed sorts notes by level, then by subject, and leaves those of one subject
// in their order.
func weighed(notes []site.Note) []site.Note {
	slices.SortStableFunc(notes, func(a, b site.Note) int {
		if by := slices.Index(noteLevels, a.Level) - slices.Index(noteLevels, b.Level); by != 0 {
			return by
		}
		return slices.Index(noteSubjects, a.About) - slices.Index(noteSubjects, b.About)
	})
	return notes
}

// noteSubjects are the subjects of notes in the order in which they stand.
var noteSubjects = []string{"ground", "dam", "lake", "soil", "borrow", "haul", "bid", "site"}

// about is the subject of a note: that of the item of `site` whose row it names,
// else that of its table, else the site itself.
func (j *Job) about(ref site.Ref) string {
	if ref.Table == "site" && ref.Row > 0 {
		for item, at := range j.site.Settings.ItemRows {
			if at == ref {
				return subjectOf(itemSubjects, item)
			}
		}
	}
	return subjectOf(tableSubjects, ref.Table)
}

func subjectOf(subjects map[string][]string, name string) string {
	for _, subject := range noteSubjects {
		if slices.Contains(subjects[subject], name) {
			return subject
		}
	}
	return "site"
}

// tableSubjects says which tables belong to a subject.
var tableSubjects = map[string][]string{
	"ground": {"centreline", "profile", "shots", "survey", "surfaces", "stripping"},
	"dam":    {"crest", "faces", "zones", "blankets", "trench", "cuts", "conduits"},
	"soil":   {"materials", "density", "proctor"},
	"borrow": {"pits", "outlines", "borings", "stockpiles"},
	"haul":   {"fleet", "hauls", "loads"},
	"bid":    {"prices"},
	"site":   {"site"},
}

// itemSubjects says which items of the table `site` belong to a subject.
var itemSubjects = map[string][]string{
	"ground": {"upstream side", "section interval", "section accuracy", "extend ground", "longest edge", "datum"},
	"dam":    {"crest is", "settlement allowance", "settlement basis"},
	"lake":   {"normal pool elevation", "spillway elevation", "design high water elevation"},
	"soil":   {"test every", "least tests a lift", "drying rate", "evaporation"},
	"borrow": {"reserve ratio", "reserve on"},
	"haul":   {"haul winding", "hours per day", "start date", "work days a week", "weather days"},
	"bid":    {"currency", "overhead", "profit", "contingency"},
	"site":   {"name", "output units", "decimal mark"},
}

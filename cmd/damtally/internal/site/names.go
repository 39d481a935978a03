package site

import (
	"slices"
	"strings"
	"unicode"
)

// key is how a name is compared: small letters, no blanks.
func key(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, name)
}

// headKey is key for the names of tables, columns, items and words, where
// hyphens and underscores count as blanks too.
func headKey(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '-' || r == '_' {
			return -1
		}
		return unicode.ToLower(r)
	}, name)
}

// Synonym is a word of the trade that is accepted for one of ours.
type Synonym struct{ Theirs, Ours string }

// Synonyms lists the words that are accepted for ours in the names of tables,
// columns and settings. Each translation is noted.
func Synonyms() []Synonym {
	return []Synonym{
		{"centerline", "centreline"},
		{"center line", "centreline"},
		{"centre line", "centreline"},
		{"top of dam", "crest"},
		{"cutoff trench", "trench"},
		{"cut-off trench", "trench"},
		{"core trench", "trench"},
		{"keyway", "trench"},
		{"key trench", "trench"},
		{"berm", "bench"},
		{"moisture content", "water content"},
		{"dry unit weight", "dry density"},
		{"wet unit weight", "wet density"},
		{"easting", "x"},
		{"northing", "y"},
	}
}

// translate replaces the first synonym in a name, in any case and spacing; ok is
// false when there is none.
func translate(name string) (ours string, ok bool) {
	spaced := " " + strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return unicode.IsSpace(r) || r == '_'
	}), " ") + " "
	for _, s := range Synonyms() {
		if strings.Contains(spaced, " "+s.Theirs+" ") {
			return strings.TrimSpace(strings.Replace(spaced, s.Theirs, s.Ours, 1)), true
		}
		if headKey(spaced) == headKey(s.Theirs) {
			return s.Ours, true
		}
	}
	return "", false
}

// tidy makes a name that a user wrote fit to stand in a line of a message: no
// line ends or control characters, and cut when it is long.
func tidy(name string) string {
	name = strings.Join(strings.FieldsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || !unicode.IsPrint(r) }), " ")
	if r := []rune(name); len(r) > longestName {
		return string(r[:longestName]) + "..."
	}
	return name
}

// nearest returns the candidate nearest to a name by edit distance, "" when
// none is near enough to be meant.
func nearest(name string, candidates []string) string {
	wanted := []rune(headKey(name))
	if len(wanted) > longestName {
		return ""
	}
	// Two letters in five may be wrong, at least one, but never all.
	best, least := "", min(1+max(1, 2*len(wanted)/5), len(wanted))
	for _, c := range candidates {
		if d := distance(wanted, []rune(headKey(c))); d < least {
			best, least = c, d
		}
	}
	return best
}

// longestName guards the cost of the edit distance; no name of ours is longer.
const longestName = 60

// distance is the number of letters to put in, take out, change, or swap with
// their neighbour, to make one word of the other (optimal string alignment).
func distance(a, b []rune) int {
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		now := make([]int, len(b)+1)
		now[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			now[j+1] = min(now[j]+1, last[j+1]+1, last[j]+cost)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				now[j+1] = min(now[j+1], before[j-1]+1)
			}
		}
		before, last = last, now
	}
	return last[len(b)]
}

// suggest ends a mend: the nearest candidate, or all of them.
func suggest(name string, candidates []string) string {
	if near := nearest(name, candidates); near != "" {
		return `did you mean "` + near + `"?`
	}
	return "the choices are: " + strings.Join(candidates, ", ")
}

// matchWord finds a word in any case and spacing.
func matchWord(text string, words []string) (string, bool) {
	if slices.Contains(words, text) {
		return text, true
	}
	k := headKey(text)
	for _, w := range words {
		if headKey(w) == k {
			return w, true
		}
	}
	return "", false
}

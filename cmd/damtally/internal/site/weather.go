package site

import (
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// monthNames are the first three letters of the months in English.
var monthNames = [12]string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// monthDays are the most days that a month has.
var monthDays = [12]float64{31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// weatherDays reads the days lost to weather by month, such as
// `Jan 12, Feb 10`. A month that is left out loses none.
func (r *reading) weatherDays(ref Ref, text string) {
	const column = "weather days"
	const mend = "write months and days, such as Jan 12, Feb 10, Mar 8"
	s := &r.site.Settings
	var seen [12]bool
	for part := range strings.FieldsFuncSeq(text, func(c rune) bool { return c == ',' || c == ';' }) {
		words := strings.Fields(part)
		if len(words) == 0 {
			continue
		}
		if len(words) != 2 {
			r.wrong(ref, column, units.Quote(strings.TrimSpace(part))+" is no month with its days", mend)
			return
		}
		month := monthOf(words[0])
		days, f := parseNumber(words[1], r.mark)
		switch {
		case month < 0:
			r.wrong(ref, column, units.Quote(words[0])+" is no month", mend)
			return
		case f != nil:
			r.wrong(ref, column, units.Quote(words[1])+" is no number of days", mend)
			return
		case seen[month]:
			r.wrong(ref, column, units.Quote(words[0])+" stands twice", "keep one")
			return
		case days < 0 || days > monthDays[month]:
			r.wrong(ref, column, units.Quote(words[0])+" cannot lose "+words[1]+" days", mend)
			return
		}
		seen[month] = true
		s.WeatherDays[month] = days
	}
	s.WeatherGiven = true
}

// monthOf is the number of a month from 0, by its English name or the first
// three letters or more of it; -1 for none.
func monthOf(word string) int {
	full := [12]string{
		"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
	}
	word = strings.TrimSuffix(strings.ToLower(word), ".")
	for i, name := range monthNames {
		if strings.HasPrefix(word, name) && (strings.HasPrefix(full[i], word) || word == "sept") {
			return i
		}
	}
	return -1
}

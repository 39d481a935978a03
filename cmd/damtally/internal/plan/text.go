package plan

import (
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// note adds a note for the user.
func (j *Job) note(level string, ref site.Ref, text, source string) {
	j.notes = append(j.notes, site.Note{Level: level, Ref: ref, Text: text, Source: source})
}

// noteOf adds a note that may be said of several things: the text without them, and
// the one thing.
func (j *Job) noteOf(level string, ref site.Ref, text, item, source string) {
	j.notes = append(j.notes, site.Note{Level: level, Ref: ref, Text: text, Item: item, Source: source})
}

// length writes metres in the site's output units, to a tenth.
func (j *Job) length(m float64) string { return in(j.system.Length, m, 1) }

// level writes an elevation, to a hundredth.
func (j *Job) level(m float64) string { return in(j.system.Length, m, 2) }

// area writes square metres, whole.
func (j *Job) area(m2 float64) string { return in(j.system.Area, m2, 0) }

// density writes kg/m3, to a tenth.
func (j *Job) density(kgM3 float64) string { return in(j.system.Density, kgM3, 1) }

// volume writes cubic metres, whole, with the state: "1,234 bank yd3".
func (j *Job) volume(m3 float64, state string) string {
	text := in(j.system.Volume, m3, 0)
	if state == "" {
		return text
	}
	number, unit, _ := strings.Cut(text, " ")
	return number + " " + state + " " + unit
}

// station writes a station.
func (j *Job) station(m float64) string { return j.system.Station(m) }

// percent writes a fraction in percent, to a tenth, without a trailing zero.
func percent(f float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(f*100, 'f', 1, 64), ".0") + " %"
}

// in writes a value in a unit with thousands separators.
func in(u units.Unit, value float64, decimals int) string {
	return units.Number(u.FromSI(value), decimals) + " " + u.Name
}

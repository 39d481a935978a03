package plan

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/earthwork/soil"
)

// Lot is the fill tests of one material in one zone, and of one lift of it where
// Lift is not blank. The values are percent compaction, as fractions, of the
// tests that no retest replaces.
type Lot struct {
	Material, Zone, Lift string
	Done                 int // tests made, replaced ones among them
	Failed               int // tests that failed and that no retest replaces
	// Due is the tests that the zone takes as designed, or that the planned lift takes
	// in which the lot's tests lie; 0 where no frequency is set or the lift is not known.
	Due int
	soil.Lot
}

// lots sums the fill tests up: each zone and material, in order of the tests,
// followed by its lifts.
func (j *Job) lots(r *Result) []Lot {
	var keys []Lot
	values := map[Lot][]float64{}
	counts := map[Lot][2]int{}
	for _, t := range r.Tests {
		if t.Row.State != "fill" || math.IsNaN(t.Compaction) {
			continue
		}
		zone := Lot{Material: t.Row.Material, Zone: t.Row.Zone}
		lift := zone
		lift.Lift = t.Row.Lift
		for k, key := range []Lot{zone, lift} {
			if k == 1 && lift.Lift == "" {
				continue
			}
			if _, seen := counts[key]; !seen {
				keys = append(keys, key)
			}
			c := counts[key]
			c[0]++
			if !t.Replaced {
				values[key] = append(values[key], t.Compaction)
				if t.Pass != nil && !*t.Pass {
					c[1]++
				}
			}
			counts[key] = c
		}
	}
	var out []Lot
	for _, key := range keys {
		if key.Lift != "" {
			continue
		}
		for _, of := range keys { // the zone itself comes before its lifts
			if of.Material == key.Material && of.Zone == key.Zone {
				c := counts[of]
				of.Done, of.Failed = c[0], c[1]
				of.Lot = soil.SumUp(values[Lot{Material: of.Material, Zone: of.Zone, Lift: of.Lift}], j.least(of.Material), nil)
				if of.Lift == "" {
					of.Due = j.testsDue(r, of)
				}
				out = append(out, of)
			}
		}
	}
	return out
}

// least is the required compaction of a material, nil where none is.
func (j *Job) least(material string) *float64 {
	if s := j.soil(material); s != nil {
		return limit(s.row.RequiredCompaction)
	}
	return nil
}

// testsDue is how many tests the whole of a zone's material takes by the site's
// own frequency; 0 where none is set or the zone is not known.
func (j *Job) testsDue(r *Result, l Lot) int {
	every := j.site.Settings.TestEvery
	if !every.Given {
		return 0
	}
	volume := 0.0
	for _, m := range r.Materials {
		for _, s := range m.Shares {
			if m.Row.Name == l.Material && (l.Zone == "" || r.Quantities.Zones[s.Zone].Zone == l.Zone) {
				volume += s.Compacted
			}
		}
	}
	return earthwork.TestsDue(volume, every.Value, 0)
}

// dueByLift gives each lot of a lift the tests due of the planned lift in which its
// tests lie: by their mean elevation, else by the lift's number from the lowest.
func (j *Job) dueByLift(r *Result) {
	if r.Lifts == nil || !r.Lifts.Asked {
		return
	}
	for i := range r.Lots {
		l := &r.Lots[i]
		if l.Lift == "" {
			continue
		}
		level, known := j.levelOf(l)
		count := 0
		for _, lift := range r.Lifts.of(r.zoneIndex(l.Zone)) {
			count++
			if known && level >= lift.Bottom && level < lift.Top || !known && l.Lift == strconv.Itoa(count) {
				l.Due = lift.Tests
				break
			}
		}
	}
}

// levelOf is the mean elevation of a lot's tests that give one.
func (j *Job) levelOf(l *Lot) (float64, bool) {
	var levels []float64
	for _, t := range j.tests {
		if t.Row.State == "fill" && t.Row.Material == l.Material && t.Row.Zone == l.Zone && t.Row.Lift == l.Lift && t.Row.Elevation.Given {
			levels = append(levels, t.Row.Elevation.Value)
		}
	}
	mean, _ := soil.Mean(levels)
	return mean, len(levels) > 0
}

// zoneIndex is the index of a zone by name, -1 for none; without a name the only
// zone of a dam of one.
func (r *Result) zoneIndex(name string) int {
	if name == "" && len(r.Quantities.Zones) == 1 {
		return 0
	}
	return slices.IndexFunc(r.Quantities.Zones, func(z earthwork.ZoneVolume) bool { return z.Zone == name })
}

// of lists the lifts of a zone from the lowest, each with that zone's tests alone.
func (l *Lifts) of(zone int) []earthwork.Lift {
	var out []earthwork.Lift
	for _, set := range l.Sets {
		for _, lift := range set.Lifts {
			if mine := ofZones(lift, []int{zone}); len(mine.Parts) > 0 {
				out = append(out, mine)
			}
		}
	}
	return out
}

// fewWithin is the estimated share of a lot within the limit below which it is
// pointed out: nine tenths, the usual mark of acceptance plans by percent within
// limits (FHWA T 5080.12 and the plans built on it).
const fewWithin = 0.90

// lotNotes points out zones of which too much may lie below the requirement, and
// tests that lie far from their kind.
func (j *Job) lotNotes(r *Result) []site.Note {
	var out []site.Note
	for _, l := range r.Lots {
		if l.Lift == "" && l.Within < fewWithin {
			out = append(out, site.Note{Level: "look", Ref: site.Ref{Table: "density"}, Source: "FHWA T 5080.12 (1989)", Text: fmt.Sprintf(
				"%s: by its %d tests about %s of the fill is at or above the required compaction, although single tests pass; crews must average higher or vary less",
				l.words(), l.N, percent(l.Within))})
		}
	}
	var short []string
	for _, l := range r.Lots {
		if l.Lift != "" && l.Done < l.Due {
			short = append(short, fmt.Sprintf("%s has %d of %d", l.words(), l.Done, l.Due))
		}
	}
	if len(short) > 0 {
		more := ""
		if n := len(short) - mostNamed; n > 0 {
			short, more = short[:mostNamed], fmt.Sprintf(", and %d more lifts", n)
		}
		out = append(out, site.Note{Level: "look", Ref: site.Ref{Table: "density"}, Text: "lifts with fewer density tests than are due for them as planned: " + strings.Join(short, "; ") + more})
	}
	for i := range r.Materials {
		for _, state := range []string{"bank", "loose", "fill"} {
			if n, ok := j.outlierNote(r.Materials[i].Row.Name, state); ok {
				out = append(out, n)
			}
		}
	}
	return out
}

// mostNamed is how many lifts a note names before it counts the rest.
const mostNamed = 4

func (l Lot) words() string {
	words := l.Material
	if l.Zone != "" {
		words += " in zone " + l.Zone
	}
	if l.Lift != "" {
		words += ", lift " + l.Lift
	}
	return words
}

// outlierNote flags a test that lies farther from its kind than chance allows.
func (j *Job) outlierNote(material, state string) (site.Note, bool) {
	var values []float64
	var rows []site.DensityTest
	for _, t := range j.site.Density {
		if t.Material == material && t.State == state && !j.retested(t.ID) {
			values = append(values, t.DryDensity.Value)
			rows = append(rows, t)
		}
	}
	o, found := soil.FindOutlier(values, soil.OutlierLevel)
	if !found {
		return site.Note{}, false
	}
	return site.Note{Level: "look", Ref: rows[o.Index].Ref, Source: "ASTM E178 (Grubbs's test, 5 % on both sides)", Text: fmt.Sprintf(
		"%s test %s of %s (%s dry) lies %.1f standard deviations from the mean of its %d tests, more than chance allows; it is kept in the mean, so find out what it stood on",
		state, named(rows[o.Index].ID), material, j.density(values[o.Index]), o.G, len(values))}, true
}

// placeSlack is how far a test's place may lie outside the dam before it is
// pointed out, m: what a hand-held receiver and a level are off by.
const placeSlack = 1.0

// placeNotes points out fill tests that lie outside the dam or above its crest.
func (j *Job) placeNotes(r *Result) []site.Note {
	var out []site.Note
	for _, t := range r.Tests {
		if t.Row.State != "fill" || !t.Row.Station.Given {
			continue
		}
		if why := outside(r.Quantities.Sections, t.Row); why != "" {
			out = append(out, site.Note{Level: "look", Ref: t.Row.Ref, Text: fmt.Sprintf(
				"fill test %s at station %s lies %s; check its place", named(t.Row.ID), j.station(t.Row.Station.Value), why)})
		}
	}
	return out
}

// outside says in words how a test lies outside the dam, "" when it does not:
// beyond its ends, above the built crest, or beyond a toe, each in proportion
// between the sections before and after.
func outside(sections []earthwork.Section, t site.DensityTest) string {
	at := t.Station.Value
	var before, after *earthwork.Section
	for i := range sections {
		s := &sections[i]
		if !s.Fill {
			continue
		}
		if s.Station <= at+placeSlack {
			before = s
		}
		if s.Station >= at-placeSlack && after == nil {
			after = s
		}
	}
	if before == nil || after == nil {
		return "beyond the end of the dam"
	}
	share := 0.0
	if after.Station > before.Station {
		share = min(1, max(0, (at-before.Station)/(after.Station-before.Station)))
	}
	mix := func(a, b float64) float64 { return a + share*(b-a) }
	switch {
	case t.Elevation.Given && t.Elevation.Value > mix(before.BuiltCrest, after.BuiltCrest)+placeSlack:
		return "above the crest"
	case t.Offset.Given && t.Offset.Value < mix(before.UpstreamToe, after.UpstreamToe)-placeSlack:
		return "beyond the upstream toe"
	case t.Offset.Given && t.Offset.Value > mix(before.DownstreamToe, after.DownstreamToe)+placeSlack:
		return "beyond the downstream toe"
	}
	return ""
}

package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// askEngineer ends every prompt: the program sets figures side by side, and a
// licensed person who knows the site decides.
const askEngineer = "; this is no check of the design: ask your engineer"

// prompts sets the design beside published practice. A prompt is amber where a
// figure of the design is below one that was published, and plain else.
func (j *Job) prompts(r *Result) []site.Note {
	var out []site.Note
	for _, f := range []func(*Result) []site.Note{
		j.promptWidth, j.promptSlopes, j.promptFreeboard, j.promptTrench, j.promptFoundation, j.promptFilters, j.promptConduits, j.promptBlankets, j.promptLaw,
	} {
		out = append(out, f(r)...)
	}
	return out
}

// prompt is one prompt about a table.
func prompt(look bool, ref site.Ref, text, source string) []site.Note {
	level := "note"
	if look {
		level = "look"
	}
	return []site.Note{{Level: level, Ref: ref, Text: text, Source: source}}
}

// promptWidth sets the narrowest crest beside least widths for the height.
func (j *Job) promptWidth(r *Result) []site.Note {
	q := &r.Quantities
	if q.Highest < 0 {
		return nil
	}
	s := &q.Sections[q.Highest]
	height := s.Crest - s.GroundLevel
	width := math.Inf(1)
	for i := range q.Sections {
		if q.Sections[i].Fill {
			width = min(width, q.Sections[i].CrestWidth)
		}
	}
	var words, sources []string
	below := false
	for _, t := range topWidths {
		if feet := height/footPrinted - sameFeet; feet > t.over && feet <= t.upTo {
			words = append(words, j.length(t.feet*footPrinted))
			sources = append(sources, t.source)
			below = below || width < t.feet*footPrinted*(1-printedTo)
		}
	}
	if len(words) == 0 {
		return nil
	}
	return prompt(below, j.crestRef(), fmt.Sprintf(
		"the crest is %s wide at its narrowest and the dam %s high on the centreline; least widths published for that height: %s, more where the top carries a road%s",
		j.length(width), j.length(height), strings.Join(words, ", "), askEngineer), strings.Join(sources, "; "))
}

// promptSlopes sets the steepest part of each face beside steepest slopes.
func (j *Job) promptSlopes(r *Result) []site.Note {
	steepest := func(parts []earthwork.FacePart) float64 {
		s := math.Inf(1)
		for _, p := range parts {
			s = min(s, p.Slope)
		}
		return s
	}
	up, down := steepest(r.Design.Upstream), steepest(r.Design.Downstream)
	classes := j.soilClasses(r)
	var words, sources []string
	look := false
	for _, s := range slopeRules {
		fits := len(s.classes) == 0 || slices.ContainsFunc(s.classes, func(c string) bool { return slices.Contains(classes, c) })
		if !fits {
			continue
		}
		text := fmt.Sprintf("%s and %s for %s", slopeText(s.up), slopeText(s.down), s.soils)
		if s.both > 0 {
			text += fmt.Sprintf(" (together %g)", s.both)
		}
		words = append(words, text)
		if !slices.Contains(sources, s.source) {
			sources = append(sources, s.source)
		}
		look = look || up < s.up || down < s.down || up+down < s.both
	}
	return prompt(look, site.Ref{Table: "faces"}, fmt.Sprintf(
		"the steepest part of the upstream face is %s, of the downstream face %s; published as steepest, upstream and downstream: %s; what stands depends on soil, foundation and water%s",
		slopeText(up), slopeText(down), strings.Join(words, "; "), askEngineer), strings.Join(sources, "; "))
}

func slopeText(s float64) string { return fmt.Sprintf("%.3g:1", s) }

// soilClasses are the classes of the soils that the dam is built of.
func (j *Job) soilClasses(r *Result) []string {
	var out []string
	for _, m := range r.Materials {
		if c := strings.ToUpper(strings.TrimSpace(m.Row.SoilClass)); c != "" && m.Compacted > 0 && !m.Bought {
			out = append(out, c)
		}
	}
	return out
}

// waterLevels are the levels of the table `site`, in the order in which they
// must rise.
func (j *Job) waterLevels() []struct {
	item  string
	level site.Number
} {
	set := &j.site.Settings
	return []struct {
		item  string
		level site.Number
	}{
		{"normal pool elevation", set.NormalPool},
		{"spillway elevation", set.Spillway},
		{"design high water elevation", set.DesignHighWater},
	}
}

// promptTrench sets the cutoff trench beside its rules of practice. The caution
// about working in it stands by itself.
func (j *Job) promptTrench(r *Result) []site.Note {
	if r.Quantities.Trench <= 0 {
		return nil
	}
	width, slope, depth := math.Inf(1), math.Inf(1), 0.0
	for _, p := range r.Design.Trench.Points {
		width, slope = min(width, p.BottomWidth), min(slope, p.SideSlope)
	}
	for i := range r.Quantities.Sections {
		depth = max(depth, r.Quantities.Sections[i].TrenchDepth)
	}
	least := trenchWidthFeet * footPrinted
	return prompt(width < least*(1-printedTo) || slope < trenchSlope, site.Ref{Table: "trench"}, fmt.Sprintf(
		"the cutoff trench is at its narrowest %s wide at the bottom, its sides at their steepest %s, and it is up to %s deep; published: at least %s wide, or the dozer's blade, and sides no steeper than %s; "+
			"how deep it must go is seen in the ground%s and let them see the open trench before it is filled",
		j.length(width), slopeText(slope), j.length(depth), j.length(least), slopeText(trenchSlope), askEngineer), ah590)
}

// promptFilters asks for the gradation of filters and drains, which no table
// holds.
func (j *Job) promptFilters(r *Result) []site.Note {
	var names []string
	for _, z := range r.Design.Zones {
		if z.Kind == earthwork.Filter || z.Kind == earthwork.Drain || z.Kind == earthwork.Bedding {
			names = append(names, z.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return prompt(true, site.Ref{Table: "zones"}, fmt.Sprintf(
		"%s figured as volume only: no table holds a gradation, so nothing here says whether it holds back the soil it protects and lets the water through; have the gradations of both tested, the soil for dispersion too%s",
		wereFigured(names), askEngineer), "common practice")
}

func wereFigured(names []string) string {
	if len(names) == 1 {
		return names[0] + " is"
	}
	n := len(names) - 1
	return strings.Join(names[:n], ", ") + " and " + names[n] + " are"
}

// promptLaw sets the dam's height beside published thresholds of law, as a
// reason to ask.
func (j *Job) promptLaw(r *Result) []site.Note {
	height, at := 0.0, 0.0
	for i := range r.Quantities.Sections {
		s := &r.Quantities.Sections[i]
		strip := s.GroundLevel - s.StrippedLevel
		if h := s.Crest - min(s.DownstreamToeZ+strip, s.GroundLevel); s.Fill && h > height {
			height, at = h, s.Station
		}
	}
	if height == 0 {
		return nil
	}
	var words, sources []string
	for _, t := range thresholds {
		words = append(words, fmt.Sprintf("%s (%s)", t.says, t.source))
		sources = append(sources, t.source)
	}
	return prompt(false, j.crestRef(), fmt.Sprintf(
		"the crest stands up to %s over the lower of ground and downstream toe, at station %s%s; examples of where laws begin: %s; they differ from state to state and change, a dam below them may need a permit all the same, "+
			"and storage counts beside height: ask your dam-safety office before you build",
		j.length(height), j.station(at), j.poolText(r), strings.Join(words, "; ")), strings.Join(sources, "; "))
}

// poolText says how deep the water of the levels that are set stands over the
// lowest ground at the dam's upstream toe.
func (j *Job) poolText(r *Result) string {
	low := math.Inf(1)
	for i := range r.Quantities.Sections {
		if s := &r.Quantities.Sections[i]; s.Fill {
			low = min(low, s.UpstreamToeZ+s.GroundLevel-s.StrippedLevel)
		}
	}
	var words []string
	for _, w := range j.waterLevels() {
		if w.level.Given && w.level.Value > low {
			words = append(words, fmt.Sprintf("%s at the %s", j.length(w.level.Value-low), strings.TrimSuffix(w.item, " elevation")))
		}
	}
	text := ""
	if len(words) > 0 {
		text = ", and the water at the upstream toe " + strings.Join(words, ", ")
	}
	if stored := j.storedText(r); stored != "" {
		text += "; the lake stores " + stored
	}
	return text
}

// storedText says what the lake holds at the levels that are set and at the
// crest, in the unit of the thresholds; "" where no lake is figured.
func (j *Job) storedText(r *Result) string {
	if r.Lake == nil {
		return ""
	}
	unit, _ := units.Lookup("acre-ft")
	var words []string
	for _, p := range r.Lake.Pools {
		if p.Known {
			words = append(words, in(unit, p.At.Volume, 1)+" at the "+p.Name)
		}
	}
	if n := len(r.Lake.Rows); n > 0 {
		last := r.Lake.Rows[n-1]
		where := "crest"
		if last.Level < r.Lake.Crest {
			where = "level " + j.level(last.Level) + ", beyond which it is not known"
		}
		words = append(words, in(unit, last.Volume, 1)+" at the "+where)
	}
	return strings.Join(words, ", ")
}

package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// promptFreeboard sets the settled crest over the design high water beside least
// freeboards. From a normal pool it figures none.
func (j *Job) promptFreeboard(r *Result) []site.Note {
	out := j.levelsInOrder()
	lowest := math.Inf(1)
	for i := range r.Quantities.Sections {
		if s := &r.Quantities.Sections[i]; s.Fill {
			lowest = min(lowest, s.SettledCrest)
		}
	}
	high := j.site.Settings.DesignHighWater
	if !high.Given {
		for _, w := range j.waterLevels() {
			if w.level.Given && w.level.Value >= lowest {
				out = append(out, j.overtopped(w.item, w.level.Value, lowest))
			}
		}
		if j.site.Settings.NormalPool.Given || j.site.Settings.Spillway.Given {
			out = append(out, prompt(true, j.site.Settings.Ref,
				"the freeboard is not figured, since `design high water elevation` is not set: it counts from the highest water of the design storm, not from the normal pool or the spillway"+askEngineer, ah590)...)
		}
		return out
	}
	if high.Value >= lowest {
		return append(out, j.overtopped("design high water elevation", high.Value, lowest))
	}
	length, known := lakeLength(r.Plan, "design high water")
	var words, sources []string
	most := 0.0
	for _, f := range freeboardRules {
		if feet := length / footPrinted; known && f.upTo > 0 && (feet <= f.over || feet > f.upTo) {
			continue
		}
		words = append(words, fmt.Sprintf("%s for %s", j.length(f.feet*footPrinted), f.when))
		if !slices.Contains(sources, f.source) {
			sources = append(sources, f.source)
		}
		most = max(most, f.feet*footPrinted)
	}
	free := lowest - high.Value
	end := "for a longer lake an engineer decides"
	if known {
		end = fmt.Sprintf("the lake is then up to %s long in a straight line from shore to shore", j.length(length))
		if length > longestLake*footPrinted {
			end += ", longer than the half mile up to which a freeboard is published by length: an engineer decides"
			if !slices.Contains(sources, ah590) {
				sources = append(sources, ah590)
			}
		}
	}
	return append(out, prompt(free < most || known && length > longestLake*footPrinted, j.item("design high water elevation"), fmt.Sprintf(
		"freeboard: the settled crest is at its lowest %s and the design high water %s, %s apart; least published: %s; %s%s",
		j.level(lowest), j.level(high.Value), j.length(free), strings.Join(words, ", "), end, askEngineer), strings.Join(sources, "; "))...)
}

// overtopped warns of water above the crest.
func (j *Job) overtopped(item string, level, crest float64) site.Note {
	return site.Note{Level: "danger", Ref: j.item(item), Text: fmt.Sprintf(
		"`%s`, %s, lies at or above the settled crest at its lowest, %s: water would run over the dam and can wash it away", item, j.level(level), j.level(crest))}
}

// levelsInOrder tells of water levels that do not rise from normal pool over
// spillway to design high water.
func (j *Job) levelsInOrder() []site.Note {
	var out []site.Note
	below := -1
	levels := j.waterLevels()
	for i, w := range levels {
		if !w.level.Given {
			continue
		}
		if below >= 0 && levels[below].level.Value > w.level.Value {
			out = append(out, site.Note{Level: "look", Ref: j.item(w.item), Text: fmt.Sprintf(
				"`%s`, %s, lies below `%s`, %s; check both", w.item, j.level(w.level.Value), levels[below].item, j.level(levels[below].level.Value))})
		}
		below = i
	}
	return out
}

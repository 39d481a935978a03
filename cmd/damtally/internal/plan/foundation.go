package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// mostHoles is how many holes are told of in one prompt.
const mostHoles = 12

// promptFoundation sets the bottom of the trench beside the holes under the dam, as
// questions: a hole shows one spot, and what lies between holes is not known.
func (j *Job) promptFoundation(r *Result) []site.Note {
	var asked []string
	ref := site.Ref{}
	looked := 0
	for _, h := range j.site.Holes {
		if h.Pit != "" || len(h.Layers) == 0 {
			continue
		}
		at, ok := j.underSection(r, h)
		if !ok {
			continue
		}
		looked++
		if words := j.asksOf(h, at); words != "" {
			if ref.Table == "" {
				ref = h.Ref
			}
			asked = append(asked, fmt.Sprintf("hole %s (station %s): %s", h.Name, j.station(at.station), words))
		}
	}
	if looked == 0 {
		return nil
	}
	if len(asked) == 0 {
		return prompt(false, site.Ref{Table: "borings"}, fmt.Sprintf(
			"the trench's bottom lies in soil like the core's at every test hole under the dam, %d of them; between the holes the ground is not known%s and let them see the open trench before it is filled", looked, askEngineer), "common practice")
	}
	more := ""
	if n := len(asked) - mostHoles; n > 0 {
		asked, more = asked[:mostHoles], fmt.Sprintf("; and %d more", n)
	}
	return prompt(true, ref, strings.Join(asked, "; ")+more+"; between the holes the ground is not known"+askEngineer+" and let them see the open trench before it is filled", "common practice")
}

// holeUnder is where a hole stands under the dam.
type holeUnder struct {
	station float64
	ground  float64 // m
	bottom  float64 // of the trench there, m; NaN where none is dug
	tight   []string
}

// underSection finds the dam's section at a hole. It reports false for a hole beside
// the dam, and for one whose ground is not known.
func (j *Job) underSection(r *Result, h site.Hole) (holeUnder, bool) {
	line := j.place.Centreline
	if line == nil {
		return holeUnder{}, false
	}
	p := j.here(h.At)
	out := holeUnder{ground: h.Elevation.Value, bottom: math.NaN()}
	if !h.Elevation.Given {
		if j.surface == nil {
			return out, false
		}
		z, ok := elevationAt(j.surface, p)
		if !ok {
			return out, false
		}
		out.ground = z
	}
	points, stations := line.Chords(sagitta)
	out.station = nearestStation(points, stations, p)
	f := line.Frame(out.station, false)
	offset := (p[0]-f.At[0])*f.DownstreamDir[0] + (p[1]-f.At[1])*f.DownstreamDir[1]
	s := sections(r.Quantities.Sections).around(out.station)
	if s == nil || offset < s.UpstreamToe || offset > s.DownstreamToe {
		return out, false
	}
	out.bottom = trenchBottom(s)
	out.tight = j.trenchMaterials(r)
	return out, true
}

// sections are the sections of a dam in order of station.
type sections []earthwork.Section

// around is the section with fill that stands nearest to a station between two
// with fill; nil beside the dam.
func (list sections) around(station float64) *earthwork.Section {
	for i := 1; i < len(list); i++ {
		a, b := &list[i-1], &list[i]
		if a.Fill && b.Fill && a.Station <= station && station <= b.Station {
			if station-a.Station < b.Station-station {
				return a
			}
			return b
		}
	}
	return nil
}

// nearestStation is the station of the point of a line that lies nearest to p.
func nearestStation(points []orb.Point, stations []float64, p orb.Point) float64 {
	best, at := math.Inf(1), 0.0
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		whole := dx*dx + dy*dy
		if whole == 0 {
			continue
		}
		t := min(max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/whole, 0), 1)
		if d := math.Hypot(p[0]-a[0]-t*dx, p[1]-a[1]-t*dy); d < best {
			best, at = d, stations[i-1]+t*(stations[i]-stations[i-1])
		}
	}
	return at
}

// trenchMaterials are the soils that the trench is filled with: the core's, or
// without a core those of the zone that takes the trench.
func (j *Job) trenchMaterials(r *Result) []string {
	for i, z := range r.Design.Zones {
		if z.Kind == earthwork.Core {
			return j.zoneMaterials(i)
		}
	}
	for i, z := range r.Quantities.Zones {
		if z.Trench > 0 {
			return j.zoneMaterials(i)
		}
	}
	return nil
}

// asksOf is what a hole asks about the trench, "" for nothing.
func (j *Job) asksOf(h site.Hole, at holeUnder) string {
	level := func(depth float64) float64 { return at.ground - depth }
	last := h.Layers[len(h.Layers)-1]
	end := level(last.To)
	var words []string
	open := -1 // the deepest layer unlike the trench's soil that is not rock
	for i, l := range h.Layers {
		if !l.Hard() && !l.Topsoil() && !slices.Contains(at.tight, l.Material) {
			open = i
		}
	}
	dug := !math.IsNaN(at.bottom)
	switch {
	case open >= 0 && !dug:
		l := h.Layers[open]
		words = append(words, fmt.Sprintf("it shows %s down to %s, which is unlike the core's soil, and no trench is dug there: is none needed?", l.Material, j.level(level(l.To))))
	case open >= 0 && at.bottom > level(h.Layers[open].To)+earthwork.SurveyNoise:
		l := h.Layers[open]
		words = append(words, fmt.Sprintf("the trench's bottom, %s, stands %s above the bottom of its %s, which is unlike the core's soil: is that layer to be cut off?",
			j.level(at.bottom), j.length(at.bottom-level(l.To)), l.Material))
	}
	if open == len(h.Layers)-1 {
		words = append(words, fmt.Sprintf("it ends in %s at %s: how deep does that go?", last.Material, j.level(end)))
	}
	if dug && at.bottom < end-earthwork.SurveyNoise {
		words = append(words, fmt.Sprintf("it ends at %s, above the trench's bottom, %s: what does the trench stand in?", j.level(end), j.level(at.bottom)))
	}
	for _, l := range h.Layers {
		if dug && l.Hard() && at.bottom < level(l.From)-earthwork.SurveyNoise {
			words = append(words, fmt.Sprintf("the trench goes %s into its %s: can that be dug, and is it tight?", j.length(level(l.From)-at.bottom), l.Material))
			break
		}
	}
	if dug && h.Water.Given && at.bottom < level(h.Water.Value)-earthwork.SurveyNoise {
		words = append(words, fmt.Sprintf("water stands in it at %s, %s above the trench's bottom: how is the open trench kept dry?", j.level(level(h.Water.Value)), j.length(level(h.Water.Value)-at.bottom)))
	}
	return strings.Join(words, " ")
}

package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// zoneOf turns a row of the table `zones` into a zone of the design.
func zoneOf(z site.Zone) earthwork.Zone {
	return earthwork.Zone{
		Name: z.Zone, Kind: earthwork.Kind(z.Kind), Form: earthwork.Form(z.Form()),
		ByElevation: z.TopElevation.Given, TopElevation: z.TopElevation.Value, TopBelowCrest: z.TopBelowCrest.Value,
		TopWidth: z.TopWidth.Value, UpstreamSlope: z.UpstreamSlope.Value, DownstreamSlope: z.DownstreamSlope.Value,
		Thickness: z.Thickness.Value, Side: earthwork.DamSide(z.Side), Outside: z.Lies == "outside",
		FromElevation: z.FromElevation.Or(math.Inf(-1)), ToElevation: z.ToElevation.Or(math.Inf(1)),
		FromOffset: z.FromOffset.Or(math.Inf(-1)), ToOffset: z.ToOffset.Or(math.Inf(1)),
	}
}

// zoneRef is the row of a zone by its name.
func (j *Job) zoneRef(name string) site.Ref {
	for _, z := range j.site.Zones {
		if z.Zone == name {
			return z.Ref
		}
	}
	return site.Ref{Table: "zones"}
}

// zoneProblem says in the tables' words why a zone cannot be; it reports false
// for an error about something else.
func (j *Job) zoneProblem(err error) (site.Problem, bool) {
	switch e := err.(type) {
	case *earthwork.ZoneRuleError:
		p := site.Problem{Ref: j.zoneRef(e.Zone), Column: "kind", What: "zone " + e.Zone + ": " + string(e.Rule), Mend: "add a core above the shell"}
		switch e.Rule {
		case earthwork.NeedsFacing:
			p.Mend = "add a facing there, or mend `from elevation` and `to elevation`"
		case earthwork.BeddingOutside:
			p.Column, p.Mend = "lies", "write inside, or let the facing lie outside too"
		}
		return p, true
	case *earthwork.ZoneOutsideError:
		return site.Problem{
			Ref: j.zoneRef(e.Zone), Column: "top width",
			What: fmt.Sprintf("at station %s the %s is wider or higher than the dam: %s of it stand out of the outline%s",
				j.station(e.Station), e.Zone, j.area(max(e.Area, 1)), others(e.Others)),
			Mend: "make it narrower, lower or steeper than the faces, or the crest wider",
		}, true
	case *earthwork.ZoneNowhereError:
		return site.Problem{
			Ref: j.zoneRef(e.Zone), Column: "zone",
			What: fmt.Sprintf("%s lies nowhere in the dam, not even in the highest section at station %s", e.Zone, j.station(e.Station)),
			Mend: "check its elevations, offsets, side and units, and whether a zone in a row above takes all of it",
		}, true
	}
	return site.Problem{}, false
}

// zoneWarning says in words what is cut off from zones or overlaps in plan; it
// reports false for other warnings.
func (j *Job) zoneWarning(w earthwork.Warning) (site.Note, bool) {
	at := j.station(w.Station)
	look := func(table, format string, args ...any) (site.Note, bool) {
		return site.Note{Level: "look", Ref: site.Ref{Table: table}, Text: fmt.Sprintf(format, args...)}, true
	}
	switch w.Kind {
	case earthwork.ToeDrainCut:
		return look("zones", "at station %s the %s toe drain as drawn stands out of the face by %s, which are cut off; check its height and slopes", at, w.Side, j.area(max(w.Value, 1)))
	case earthwork.BlanketCut:
		return look("zones", "at the highest section, station %s, a blanket would run %s beyond the %s toe; it is cut off at the face", at, j.length(w.Value), w.Side)
	case earthwork.ChimneyTop:
		return look("zones", "at the highest section, station %s, the top of a %s chimney lies %s above the core's; it is cut off at the core's top", at, w.Side, j.length(w.Value))
	case earthwork.CurveOverlap:
		return look("centreline", "at station %s the %s toe, on the inside of the curve, lies %s beyond the curve's centre, so that sections overlap there; "+
			"the volume is corrected, but the toe is not where the sections show it: use a larger radius", at, w.Side, j.length(w.Value))
	case earthwork.BendOverlap:
		return look("centreline", "at the bend at station %s the %s faces of the two parts meet %s beyond the end of a part, so that sections overlap there; "+
			"put the corners farther apart or round them with a curve", at, w.Side, j.length(w.Value))
	case earthwork.BendGround:
		return look("centreline", "the ground does not reach the toe where the two parts of the dam meet at the bend at station %s; there the section beside the bend was taken for all of the wedge: survey farther out", at)
	}
	return site.Note{}, false
}

// zoneNotes tells how layers were laid and what the accuracy asked for gave.
func (j *Job) zoneNotes(r *Result) []site.Note {
	var out []site.Note
	note := func(ref site.Ref, text string) { out = append(out, site.Note{Level: "note", Ref: ref, Text: text}) }
	var outside []string
	chimneys := map[earthwork.DamSide][]string{}
	for _, z := range r.Design.Zones {
		if z.Outside {
			outside = append(outside, z.Name)
		}
		if z.Form == earthwork.Chimney {
			chimneys[z.Side] = append(chimneys[z.Side], z.Name)
		}
	}
	if len(outside) > 0 {
		note(site.Ref{Table: "zones"}, listed(outside)+" outside the outline of the dam: not part of the neat fill, but of all that is compacted; the settlement allowance adds nothing to it, and its foot ends at the stripped ground carried on beyond the toe")
	}
	for _, side := range []earthwork.DamSide{earthwork.UpstreamSide, earthwork.DownstreamSide} {
		if names := chimneys[side]; len(names) > 1 {
			note(site.Ref{Table: "zones"}, fmt.Sprintf("on the %s side of the core lie, from the core outwards: %s", side, strings.Join(names, ", ")))
		}
	}
	if n := r.Quantities.LayerEnds; n > 0 {
		note(site.Ref{Table: "zones"}, fmt.Sprintf("%d section%s more stand%s where a layer begins, ends or meets a bench along the dam, since average end area is far off for a thin layer that begins between two sections",
			n, plural(n), map[bool]string{true: "s", false: ""}[n == 1]))
	}
	if a := r.Design.Accuracy; a > 0 {
		f := r.Quantities.Refined
		all := r.Quantities.Fill.EndArea + r.Quantities.Trench
		note(j.item("section accuracy"), fmt.Sprintf("for an accuracy of %s, %d section%s stand between those of the tables; halving every reach once more would change fill and trench by %s, %.3f %%",
			percent(a), f.Added, plural(f.Added), j.volume(f.Change, "compacted"), 100*f.Change/max(all, 1)))
		if f.Short > 0 {
			out = append(out, site.Note{Level: "look", Ref: j.item("section accuracy"), Text: fmt.Sprintf(
				"%d reach%s between sections still change by more than `section accuracy` asks, although sections stand as close as anyone can stake: the ground or the dam steps there", f.Short, map[bool]string{true: "", false: "es"}[f.Short == 1])})
		}
	}
	return out
}

// listed writes names with the verb that follows: "a lies", "a and b lie".
func listed(names []string) string {
	if len(names) == 1 {
		return names[0] + " lies"
	}
	n := len(names) - 1
	return strings.Join(names[:n], ", ") + " and " + names[n] + " lie"
}

// hasSurface tells whether a zone is a layer whose surface can be paid for.
func hasSurface(z site.Zone) bool {
	switch z.Kind {
	case "facing", "bedding", "cover":
		return true
	}
	return z.Form() == "blanket"
}

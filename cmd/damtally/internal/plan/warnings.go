package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// warnings says in words what the dam's geometry shows.
func (j *Job) warnings(r *Result) []site.Note {
	var out []site.Note
	for _, w := range r.Quantities.Warnings {
		out = append(out, j.warning(w))
	}
	return out
}

func (j *Job) warning(w earthwork.Warning) site.Note {
	at := j.station(w.Station)
	ground := site.Ref{Table: j.groundTable()}
	switch w.Kind {
	case earthwork.OpenEnd:
		return site.Note{Level: "danger", Ref: j.crestRef(), Text: fmt.Sprintf(
			"the dam is still %s above the ground at its end, station %s, and stops there in a vertical face: water can go round it and the volume is short",
			j.length(w.Value), at)}
	case earthwork.BeyondHump:
		return site.Note{Level: "look", Ref: ground, Text: fmt.Sprintf(
			"at station %s the ground drops below the face again beyond a hump; %s there are not counted", at, j.area(w.Value))}
	case earthwork.Extended:
		return site.Note{Level: "look", Ref: ground, Text: fmt.Sprintf(
			"the ground was carried on by up to %s on the %s side to reach the toe (at station %s); survey it before you bid",
			j.length(w.Value), w.Side, at)}
	case earthwork.TrenchNotDug:
		return site.Note{Level: "look", Ref: site.Ref{Table: "trench"}, Text: fmt.Sprintf(
			"the trench's bottom lies above the stripped ground at station %s by up to %s, so nothing is dug there", at, j.length(w.Value))}
	case earthwork.CoreOutside:
		return site.Note{Level: "look", Ref: site.Ref{Table: "zones"}, Text: fmt.Sprintf(
			"where the dam is low a core stands out of it; %s of it at station %s are cut off", j.area(max(w.Value, 1)), at)}
	}
	if n, ok := j.zoneWarning(w); ok {
		return n
	}
	return site.Note{Level: "look", Text: string(w.Kind)}
}

// handbook is the publication behind the reserve and the allowance.
const handbook = "US Department of Agriculture Handbook 590 (1997)"

// resultNotes are the notes that depend on the figures.
func (j *Job) resultNotes(r *Result) []site.Note {
	var out []site.Note
	add := func(level string, ref site.Ref, text, source string) {
		out = append(out, site.Note{Level: level, Ref: ref, Text: text, Source: source})
	}
	set := r.Design.Settlement
	q := &r.Quantities
	if set.Allowance > 0 && !set.CrestIsBuilt {
		add("note", j.item("settlement allowance"), fmt.Sprintf(
			"the settlement allowance of %s adds %s taken on volume, %s on height with slopes kept, %s on height with toes kept; this plan takes it on %s. Handbook 590 states it on height, yet its own example applies it to volume",
			percent(set.Allowance), j.volume(q.ByVolume, "compacted"), j.volume(q.ByHeight, "compacted"), j.volume(q.ByToesKept, "compacted"), basisWords(set.Basis)), handbook)
	}
	for _, b := range r.Balance {
		if b.Enough != nil && !*b.Enough {
			out = append(out, site.Note{
				Level: "danger", Ref: site.Ref{Table: "pits"}, Text: j.shortText(b),
				Key: site.KeyShort, Subject: b.Material,
			})
		}
	}
	if len(j.site.Pits) == 0 && len(j.site.Materials) > 0 {
		add("look", site.Ref{}, "there is no table `pits`, so it is not known whether there is enough borrow", "")
	}
	for i := range r.Materials {
		out = append(out, j.shareNotes(r, &r.Materials[i])...)
		out = append(out, j.typicalNotes(&r.Materials[i])...)
		out = append(out, j.spreadNotes(&r.Materials[i])...)
		out = append(out, j.moistureNotes(&r.Materials[i])...)
	}
	out = append(out, j.layerWaterNotes(r)...)
	out = append(out, j.lotNotes(r)...)
	out = append(out, j.placeNotes(r)...)
	out = append(out, j.clayNotes(r)...)
	out = append(out, j.trialNotes(r)...)
	out = append(out, j.haulNotes(r)...)
	if v := r.SurfaceVolume; v != nil && math.IsNaN(*v) {
		add("note", site.Ref{}, "the volume between surfaces, a check of the volume by end area, is not figured: the ground was carried on to reach a toe, or drops below a face again beyond a hump", "")
	}
	if n, ok := j.sideNote(q); ok {
		out = append(out, n)
	}
	if q.Trench > 0 {
		add("danger", site.Ref{Table: "trench"}, trenchCaution, trenchSource)
	}
	return out
}

// wrongSide is how much lower the upstream toes must lie than the downstream
// toes, as a mean, before the side is called in question, m.
const wrongSide = 0.3

// sideNote asks whether the water is on the stated side: a valley falls
// downstream, so the upstream toe of a dam across it is as a rule the higher.
func (j *Job) sideNote(q *earthwork.Quantities) (site.Note, bool) {
	if j.site.Settings.UpstreamSide == "" {
		return site.Note{}, false
	}
	fall, n := 0.0, 0.0
	for i := range q.Sections {
		if s := &q.Sections[i]; s.Fill {
			fall += s.DownstreamToeZ - s.UpstreamToeZ
			n++
		}
	}
	if fall/n < wrongSide {
		return site.Note{}, false
	}
	return site.Note{Level: "look", Ref: j.item("upstream side"), Text: fmt.Sprintf(
		"the ground at the upstream toe is on the mean %s lower than at the downstream toe; check `upstream side`: is the water on the %s when looking up-station?",
		j.length(fall/n), j.site.Settings.UpstreamSide)}, true
}

// shortText says whether the need itself or only the reserve is not held.
func (j *Job) shortText(b Balance) string {
	if b.Available >= b.Needed*(1-sumTolerance) { // a source that is used up to the last shovel holds it
		return fmt.Sprintf("%s hold the %s of %s that the dam needs, but not the reserve: short by %s of the %s that should be available",
			b.Holders(), j.volume(b.Needed, "bank"), b.Material, j.volume(b.Short, "bank"), j.volume(b.Required, "bank"))
	}
	return fmt.Sprintf("%s do not hold enough %s: the dam needs %s and they hold %s; with the reserve they are short by %s",
		b.Holders(), b.Material, j.volume(b.Needed, "bank"), j.volume(b.Available, "bank"), j.volume(b.Short, "bank"))
}

// shareNotes tells how a zone of several materials was divided, and what loss a
// material with pits of unlike losses takes.
func (j *Job) shareNotes(r *Result, m *Material) []site.Note {
	var out []site.Note
	for _, s := range m.Shares {
		if a := r.Allocation; len(j.zoneMaterials(s.Zone)) > 1 && a != nil && slices.Contains(a.Free, r.Quantities.Zones[s.Zone].Zone) {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "zones"}, Text: fmt.Sprintf(
				"zone %s takes %s of its volume as %s: with haul roads or costs given, the %s decides among its materials, not the order named, each as far as its sources hold it with the reserve",
				r.Quantities.Zones[s.Zone].Zone, percent(s.Fraction), m.Row.Name, a.Basis)})
		} else if len(j.zoneMaterials(s.Zone)) > 1 {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "zones"}, Text: fmt.Sprintf(
				"zone %s takes %s of its volume as %s: its materials are used in the order named, each as far as its sources hold it with the reserve",
				r.Quantities.Zones[s.Zone].Zone, percent(s.Fraction), m.Row.Name)})
		}
	}
	if !m.Bought && m.Known && !close(m.Loss, m.Row.Loss.Value, sumTolerance) {
		out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "pits"}, Text: fmt.Sprintf(
			"%s: a loss of %s is taken from the pits' own losses, each by what it %s, in place of the material's %s",
			m.Row.Name, percent(m.Loss), lossBy(r, m.Row.Name), percent(m.Row.Loss.Value))})
	}
	return out
}

// lossBy says by what the losses of pits are weighed: by what each gives, or
// where that is not known by what it holds.
func lossBy(r *Result, material string) string {
	if r.Allocation != nil {
		if _, ok := r.Allocation.losses()[material]; ok {
			return "gives"
		}
	}
	return "holds"
}

func basisWords(b earthwork.Basis) string {
	switch b {
	case earthwork.OnVolume:
		return "volume"
	case earthwork.OnHeightToesKept:
		return "height with toes kept"
	}
	return "height with slopes kept"
}

// item is the row of a setting, or the table `site`.
func (j *Job) item(name string) site.Ref {
	if ref, ok := j.site.Settings.ItemRows[name]; ok {
		return ref
	}
	return j.site.Settings.Ref
}

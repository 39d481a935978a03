package report

import (
	"bytes"
	"encoding/json"
	"io"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/geometry"
)

// Write writes a result as indented JSON with a final line feed. The same
// result gives the same bytes. version names the program that figured it.
// The only errors are those of w.
func Write(w io.Writer, r *plan.Result, version string) error {
	var buffer bytes.Buffer
	encoder := json.NewEncoder(&buffer)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(documentOf(r, version)); err != nil {
		return err
	}
	_, err := w.Write(buffer.Bytes())
	return err
}

// documentOf builds the whole file from a result.
func documentOf(r *plan.Result, version string) document {
	b := &builder{r: r}
	d := document{
		Schema:    schemaNumber,
		Version:   version,
		Seed:      seed(r),
		Site:      siteInfo{r.Site.Settings.Name, r.Site.Settings.OutputUnits},
		Sections:  b.sections(),
		Volumes:   b.volumes(),
		Conduits:  each(r.Conduits, conduitOf),
		Cuts:      each(r.Cuts, cutOf),
		Blankets:  each(r.Blankets, blanketOf),
		Measured:  measuredOf(r),
		Materials: each(r.Materials, b.material),
		Tests:     each(r.Tests, b.test),
		Lots:      each(r.Lots, b.lot),
		Trials:    each(r.Trials, b.trial),
		Pits:      each(r.Pits, b.pit),
		Balance:   each(r.Balance, b.balance),
		Items:     each(r.Items, b.item),
		Bid:       b.bid(r.Bid),
		Unpaid:    each(r.Unpaid, b.unpaid),
		Checks:    each(r.Checks, b.check),

		Reconciled: b.reconciliation(),
	}
	d.Haul = b.haul()
	b.lake(&d)
	b.allocation(&d)
	d.Excavated = each(b.r.Excavated, excavatedOf)
	b.lifts(&d)
	d.Notes = append(each(r.Notes, noteOf), b.notes...)
	return d
}

// builder turns the parts of a result into those of the file, and collects a
// note for every value that it has to write as null.
type builder struct {
	r     *plan.Result
	notes []note
}

// value passes a figure on. One that is not a number gets a note: what names
// it, and why says in plain words what is missing.
func (b *builder) value(v float64, what, why string) number {
	n := number(v)
	if !n.finite() {
		b.notes = append(b.notes, note{Level: "note", Text: what + " could not be figured: " + why})
	}
	return n
}

// each maps a list; nothing gives an empty list, not a missing one.
func each[A, B any](list []A, f func(A) B) []B {
	out := make([]B, 0, len(list))
	for _, a := range list {
		out = append(out, f(a))
	}
	return out
}

// known returns a pointer to v, or nil when v is zero or no number, which in a
// density or a factor means "no input".
func known(v float64) *number {
	n := number(v)
	if n == 0 || !n.finite() {
		return nil
	}
	return &n
}

// given returns a pointer to the value of a cell, or nil when it was blank.
func given(v site.Number) *number {
	if !v.Given {
		return nil
	}
	n := number(v.Value)
	return &n
}

func noteOf(n site.Note) note {
	return note{n.Level, n.About, n.Ref.Table, n.Ref.Row, n.Text, n.Source}
}

func (b *builder) sections() []section {
	out := make([]section, 0, len(b.r.Quantities.Sections))
	for _, s := range b.r.Quantities.Sections {
		at := section{
			Station: number(s.Station), At: string(s.At),
			Ground: number(s.GroundLevel), Stripped: number(s.StrippedLevel),
			Crest: number(s.Crest), CrestWidth: number(s.CrestWidth), BuiltCrest: number(s.BuiltCrest), SettledCrest: number(s.SettledCrest),
			Area: number(s.Neat.Area), Stripping: number(s.Stripping.Area), Trench: number(s.Trench.Area), Outside: number(s.Outside.Area),
			Zones:  make([]zoneArea, 0, len(s.Zones)),
			Beyond: known(s.Beyond),
		}
		for i, z := range s.Zones {
			at.Zones = append(at.Zones, zoneArea{b.zone(i), area(z.Neat), area(z.Trench), area(z.Outside), known(z.Surface.Area)})
		}
		if s.Fill {
			up, down := number(s.UpstreamToe), number(s.DownstreamToe)
			at.UpstreamToe, at.DownstreamToe = &up, &down
		}
		out = append(out, at)
	}
	return out
}

func area(m geometry.Measure) number { return number(m.Area) }

// zone is the name of a zone by its index.
func (b *builder) zone(i int) string {
	if zones := b.r.Quantities.Zones; i >= 0 && i < len(zones) {
		return zones[i].Zone
	}
	return ""
}

// volumes lays out the dam's volumes. Fill and neat volumes hold the curve
// correction, so that fill, trench, settlement and outside add up to the total.
func (b *builder) volumes() volumes {
	q := b.r.Quantities
	v := volumes{
		Fill:   number(q.Fill.EndArea + q.Fill.Bend),
		Trench: number(q.Trench), Settlement: number(q.Settlement), Outside: number(q.Outside), Overbuild: number(q.Overbuild),
		TotalCompacted: number(q.Total),
		Stripping:      number(q.Stripping), Footprint: number(q.Footprint),
		Prismoidal:      number(q.Fill.Prismoidal + q.Fill.Bend),
		CurveCorrection: number(q.Fill.Bend),
		Options:         options{number(q.ByVolume), number(q.ByHeight), number(q.ByToesKept)},
		Reaches:         make([]reach, 0, len(q.Reaches)),
		Zones:           make([]zoneVolume, 0, len(q.Zones)),
	}
	if between := b.r.SurfaceVolume; between != nil {
		v.Check = &surfaces{number(*between), number((float64(v.Fill)/(*between) - 1) * 100)}
	}
	if a := b.r.Design.Accuracy; a > 0 {
		v.Accuracy = &accuracy{number(a), q.Refined.Added, number(q.Refined.Change), q.Refined.Short}
	}
	for _, r := range q.Reaches {
		v.Reaches = append(v.Reaches, reach{
			From: number(q.Sections[r.From].Station), To: number(q.Sections[r.To].Station),
			Fill: number(r.Fill.EndArea + r.Fill.Bend),
		})
	}
	for _, z := range q.Zones {
		v.Zones = append(v.Zones, zoneVolume{
			Zone: z.Zone, Neat: number(z.Neat.EndArea + z.Neat.Bend),
			Trench: number(z.Trench), Settlement: number(z.Settlement), Outside: number(z.Outside), Compacted: number(z.Compacted),
			Surface:    known(z.Surface),
			Prismoidal: number(z.Neat.Prismoidal + z.Neat.Bend), CurveCorrection: number(z.Neat.Bend),
		})
	}
	return v
}

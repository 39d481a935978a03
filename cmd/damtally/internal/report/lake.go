package report

import (
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork"
)

// storage is the lake at one elevation, with what the contour methods make of
// the areas up to it.
type storage struct {
	Elevation number  `json:"elevation_m"`
	Area      number  `json:"area_m2"`
	Volume    number  `json:"volume_m3"`
	WithPits  *number `json:"volume_with_pits_m3,omitempty"`
	EndArea   number  `json:"end_area_m3"`
	Conic     number  `json:"conic_m3"`
}

// pool is the lake at a level that the site names.
type pool struct {
	Pool          string  `json:"pool"`
	Elevation     number  `json:"elevation_m"`
	Area          *number `json:"area_m2,omitempty"`
	Volume        *number `json:"volume_m3,omitempty"`
	Shoreline     *number `json:"shoreline_m,omitempty"`
	MeanDepth     *number `json:"mean_depth_m,omitempty"`
	GreatestDepth *number `json:"greatest_depth_m,omitempty"`
}

// lakeLimit is where the water would leave the lake.
type lakeLimit struct {
	Kind      string `json:"kind"`
	Elevation number `json:"elevation_m"`
	X         number `json:"x_m"`
	Y         number `json:"y_m"`
	RoundDam  bool   `json:"round_dam"`
}

// lift is one compacted lift of the zones that are laid in one thickness.
type lift struct {
	Elevation number     `json:"elevation_m"`
	Bottom    number     `json:"bottom_m"`
	Area      number     `json:"area_m2"`
	Compacted number     `json:"compacted_m3"`
	Total     number     `json:"total_compacted_m3"`
	Tests     *int       `json:"tests_due,omitempty"`
	Set       number     `json:"thickness_m"`
	Parts     []liftPart `json:"parts"`
}

// liftPart is a zone's share of a lift: its fill, its share of the trench, or what
// lies outside the outline.
type liftPart struct {
	Zone      string `json:"zone"`
	Part      string `json:"part"`
	Area      number `json:"area_m2"`
	Compacted number `json:"compacted_m3"`
	Tests     *int   `json:"tests_due,omitempty"`
}

// liftAllowance is what the settlement allowance adds to a zone, placed as the crew
// shapes the dam.
type liftAllowance struct {
	Zone      string `json:"zone"`
	Compacted number `json:"compacted_m3"`
	Tests     *int   `json:"tests_due,omitempty"`
}

func storageRow(r earthwork.StorageRow) storage {
	return storage{Elevation: number(r.Level), Area: number(r.Area), Volume: number(r.Volume), EndArea: number(r.Contours.EndArea), Conic: number(r.Contours.Conic)}
}

// lake fills in storage by elevation, the pools and the limit.
func (b *builder) lake(d *document) {
	k := b.r.Lake
	if k == nil {
		return
	}
	d.Storage = each(k.Rows, storageRow)
	for i := range k.WithPits {
		d.Storage[i].WithPits = measured(k.WithPits[i])
	}
	d.Pools = each(k.Pools, poolOf)
	if k.Limit.Kind != earthwork.NoLimit {
		d.LakeLimit = &lakeLimit{
			Kind: string(k.Limit.Kind), Elevation: number(k.Limit.Level),
			X: number(k.Limit.At[0]), Y: number(k.Limit.At[1]), RoundDam: k.Limit.RoundDam,
		}
	}
}

// poolOf is a level that the site names. One that could not be figured, which a note
// of the plan explains, has its elevation alone.
func poolOf(p plan.Pool) pool {
	out := pool{Pool: p.Name, Elevation: number(p.Level)}
	if !p.Known {
		return out
	}
	figures := [5]number{number(p.At.Area), number(p.At.Volume), number(p.At.Shoreline), number(p.At.MeanDepth), number(p.At.GreatestDepth)}
	out.Area, out.Volume, out.Shoreline, out.MeanDepth, out.GreatestDepth = &figures[0], &figures[1], &figures[2], &figures[3], &figures[4]
	return out
}

// lifts fills in the lifts, the thinnest ones first, each set from the bottom up.
func (b *builder) lifts(d *document) {
	all := b.r.Lifts
	if all == nil {
		return
	}
	for _, set := range all.Sets {
		for _, l := range set.Lifts {
			out := lift{
				Elevation: number(l.Top), Bottom: number(l.Bottom), Area: number(l.Area), Compacted: number(l.Compacted),
				Total: number(l.Total), Tests: b.due(l.Tests), Set: number(set.Thickness), Parts: []liftPart{},
			}
			for _, p := range l.Parts {
				out.Parts = append(out.Parts, liftPart{b.zone(p.Zone), partWord(p), number(p.Area), number(p.Compacted), b.due(p.Tests)})
			}
			d.Lifts = append(d.Lifts, out)
		}
	}
	for _, v := range all.Curve {
		d.FillByLevel = append(d.FillByLevel, fillBelow{number(v.Level), number(v.Compacted)})
	}
	for _, p := range all.Allowance {
		d.LiftAllowance = append(d.LiftAllowance, liftAllowance{b.zone(p.Zone), number(p.Compacted), b.due(p.Tests)})
	}
}

// fillBelow is what of the dam lies below a level, without the settlement allowance.
type fillBelow struct {
	Elevation number `json:"elevation_m"`
	Compacted number `json:"compacted_m3"`
}

// due is a number of tests, nil where the site sets no rule of testing.
func (b *builder) due(tests int) *int {
	if !b.r.Lifts.Asked {
		return nil
	}
	return &tests
}

func partWord(p earthwork.LiftPart) string {
	switch {
	case p.Trench:
		return "trench"
	case p.Outside:
		return "outside"
	}
	return "fill"
}

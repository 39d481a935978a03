package report

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// dugGround is what was surveyed after stripping or digging the trench, beside what
// was planned. The volumes of the file rest on what was measured.
type dugGround struct {
	Stripped         []string     `json:"stripped"`
	Trench           []string     `json:"trench_dug"`
	StrippingPlanned number       `json:"stripping_planned_m3"`
	Stripping        number       `json:"stripping_m3"`
	TrenchPlanned    number       `json:"trench_planned_m3"`
	TrenchDug        number       `json:"trench_m3"`
	FillPlanned      number       `json:"fill_planned_m3"`
	Fill             number       `json:"fill_m3"`
	Stations         []measuredAt `json:"stations"`
}

type measuredAt struct {
	Station          number  `json:"station_m"`
	At               string  `json:"at"`
	Width            number  `json:"width_m"`
	Seen             number  `json:"measured_width_m"`
	StrippingPlanned number  `json:"stripping_planned_m2"`
	Stripping        number  `json:"stripping_m2"`
	TrenchPlanned    number  `json:"trench_planned_m2"`
	Trench           number  `json:"trench_m2"`
	TrenchSeen       bool    `json:"trench_measured"`
	BottomPlanned    *number `json:"trench_bottom_planned_m,omitempty"`
	Bottom           *number `json:"trench_bottom_m,omitempty"`
}

func measuredOf(r *plan.Result) *dugGround {
	d := r.Dug
	if d == nil {
		return nil
	}
	q, p := &r.Quantities, &d.Planned
	out := &dugGround{
		Stripped: append([]string{}, d.Stripped...), Trench: append([]string{}, d.Trench...),
		StrippingPlanned: number(p.Stripping), Stripping: number(q.Stripping),
		TrenchPlanned: number(p.Trench), TrenchDug: number(q.Trench),
		FillPlanned: number(p.Fill.EndArea + p.Fill.Bend), Fill: number(q.Fill.EndArea + q.Fill.Bend),
	}
	for i := range q.Sections {
		s, row := &q.Sections[i], &d.Rows[i]
		out.Stations = append(out.Stations, measuredAt{
			Station: number(s.Station), At: string(s.At), Width: number(s.Width.Area), Seen: number(s.StrippedSeen),
			StrippingPlanned: number(row.PlannedStripping), Stripping: number(s.Stripping.Area),
			TrenchPlanned: number(row.PlannedTrench), Trench: number(s.Trench.Area), TrenchSeen: s.DugSeen,
			BottomPlanned: level(row.PlannedBottom), Bottom: level(row.Bottom),
		})
	}
	return out
}

// level is a pointer to an elevation, nil for none; unlike known it keeps 0.
func level(z float64) *number {
	if math.IsNaN(z) || math.IsInf(z, 0) {
		return nil
	}
	n := number(z)
	return &n
}

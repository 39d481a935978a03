package plan

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// HoleView is a test hole as it stands in the plan.
type HoleView struct {
	site.Hole
	Ground  float64 // elevation, m: as typed, else of the ground as surveyed; NaN where neither is known
	Station float64 // of a hole under the dam, m; NaN for any other
}

// holeViews are the test holes in the order of the table.
func (j *Job) holeViews(r *Result) []HoleView {
	var out []HoleView
	for _, h := range j.site.Holes {
		if len(h.Layers) == 0 {
			continue
		}
		v := HoleView{Hole: h, Ground: math.NaN(), Station: math.NaN()}
		switch {
		case h.Elevation.Given:
			v.Ground = h.Elevation.Value
		case j.surface != nil:
			if z, ok := elevationAt(j.surface, j.here(h.At)); ok {
				v.Ground = z
			}
		}
		if h.Pit == "" {
			if at, ok := j.underSection(r, h); ok {
				v.Station = at.station
			}
		}
		out = append(out, v)
	}
	return out
}

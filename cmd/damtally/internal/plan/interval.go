package plan

import (
	"fmt"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// mostSections is how many sections the interval may ask for. It guards time and
// memory against a slipped unit: a dam of ten miles at 3 ft has fewer.
const mostSections = 20000

// tooManySections finds an interval that is far too small for the dam's length.
func (j *Job) tooManySections(d *earthwork.Design) site.Problems {
	if !(d.Interval > 0) || j.place.Ground == nil {
		return nil
	}
	from, to := j.place.Ground.Extent()
	if n := len(d.Crest); n > 1 {
		from, to = max(from, d.Crest[0].Station), min(to, d.Crest[n-1].Station)
	}
	if to-from <= mostSections*d.Interval {
		return nil
	}
	return site.Problems{{
		Ref: j.item("section interval"), Column: "section interval",
		What: fmt.Sprintf("asks for %s sections on %s of dam, more than the %s that are cut",
			units.Number((to-from)/d.Interval, 0), j.length(to-from), units.Number(float64(mostSections), 0)),
		Mend: "set it to " + j.length(roomyInterval((to-from)/mostSections, j.system.Length.SI)) + " or more, or look at the stations and their units",
	}}
}

// roomyInterval rounds an interval up to whole units.
func roomyInterval(m, unit float64) float64 { return unit * float64(int(m/unit)+1) }

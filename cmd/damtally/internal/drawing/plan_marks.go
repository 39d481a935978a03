package drawing

import (
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
)

// A mark of a drawn cross-section: a stroke on each side of the dam, points from
// the toe and long.
const (
	markAway = 4.0
	markLong = 9.0
)

// sectionMarks shows beside the dam where the cross-sections of the set are cut. A
// stroke that would run over words is left out: the other one shows the place.
func (p *planSheet) sectionMarks() {
	p.on("section marks")
	for _, c := range p.d.chosenSections() {
		f := p.v.Line.Frame(c.Station, c.At == earthwork.After)
		away, long := markAway/p.scale.perMetre, markLong/p.scale.perMetre
		for _, side := range [2]orb.LineString{
			{f.Plan(c.UpstreamToe - away), f.Plan(c.UpstreamToe - away - long)},
			{f.Plan(c.DownstreamToe + away), f.Plan(c.DownstreamToe + away + long)},
		} {
			for _, l := range p.drawn(side) {
				if !p.overWords(segment{l[0], l[len(l)-1]}) {
					p.guarded(medium, l)
				}
			}
		}
		p.legend("Cross-section drawn, its ends", lineOf(medium))
	}
}

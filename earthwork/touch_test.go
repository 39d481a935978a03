package earthwork_test

import (
	"testing"

	"github.com/damtally/damtally/earthwork"
)

// A dam in a valley with straight sides, whose crest meets the ground at both
// ends: its top is crest width x length (closed form), whatever the interval,
// though the sections at the ends have no area.
func TestCrestCoverReachesTheEnds(t *testing.T) {
	const length, crest, width, thick = 200.0, 10.0, 4.0, 0.2
	for _, outside := range []bool{false, true} {
		d := plain(crest, width, 3, 2.5)
		road := layer("road", earthwork.Cover, earthwork.CrestSide, thick)
		road.Outside = outside
		d.Zones = []earthwork.Zone{road, shell}
		q := cut(t, d, profile(0, crest, length/2, 0, length, crest))
		near(t, "surface of the road", zone(t, q, "road").Surface, width*length, exact)
		if outside {
			near(t, "road outside", zone(t, q, "road").Outside, thick*width*length, exact)
		}
	}
}

package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// drawn is a surveyor's own triangles among ground that is joined, and which of
// the joined points are theirs.
type drawn struct {
	row         site.SurfaceFile
	faces       *geometry.Faces
	first, next int
}

// narrowHole is the width, m, up to which an opening in a surveyor's triangles is a
// seam where two of them do not quite meet. It is that of geometry.Faces.
const narrowHole = 0.01

// keepHoles keeps the holes in surveyors' triangles open, unless other ground has
// points in them.
func (g *groundUnion) keepHoles() {
	for _, d := range g.drawn {
		rims := d.faces.Rims()
		islands := make([]bool, len(rims))
		kept := 0
		for _, hole := range rims {
			if !isHole(hole) || g.pointsWithin(hole, d.first, d.next) {
				continue
			}
			kept++
			g.limits.Holes = append(g.limits.Holes, hole)
			for i, island := range rims { // ground again
				if !islands[i] && island.Orientation() == orb.CCW && planar.RingContains(hole, island[0]) {
					islands[i] = true
					g.limits.Holes = append(g.limits.Holes, island)
				}
			}
		}
		if kept > 0 {
			g.j.note("look", d.row.Ref, fmt.Sprintf("the triangles of %s leave %d hole%s open; no ground is taken there", d.row.File, kept, plural(kept)), "")
		}
	}
}

// isHole tells a ring round a hole, which runs clockwise, from an outer one and
// from a seam.
func isHole(r orb.Ring) bool {
	around := 0.0
	for i := 1; i < len(r); i++ {
		around += math.Hypot(r[i][0]-r[i-1][0], r[i][1]-r[i-1][1])
	}
	return r.Orientation() == orb.CW && math.Abs(planar.Area(r)) > around/2*narrowHole
}

// pointsWithin tells whether a joined point that is not one of those from first up
// to next lies within a ring.
func (g *groundUnion) pointsWithin(ring orb.Ring, first, next int) bool {
	box := ring.Bound()
	for i, p := range g.points {
		if (i < first || i >= next) && box.Contains(p.At) && planar.RingContains(ring, p.At) {
			return true
		}
	}
	return false
}

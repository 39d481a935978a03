package plan

import (
	"fmt"
	"os"
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/terrain"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// readBoundaries reads the boundaries of pits that stand in files.
func (j *Job) readBoundaries() site.Problems {
	var root *os.Root
	var ps site.Problems
	j.site.Pits = slices.Clone(j.site.Pits)
	for i := range j.site.Pits {
		p := &j.site.Pits[i]
		if p.Boundary == "" {
			continue
		}
		if root == nil {
			var err error
			if root, err = j.openSite(); err != nil {
				return site.Problems{openProblem(p.Ref, err)}
			}
			defer root.Close()
		}
		ring, problem := j.readBoundary(root, *p)
		if problem != nil {
			ps = append(ps, *problem)
		}
		p.Ring = ring
	}
	return ps
}

// readBoundary reads one boundary, in the site's coordinates. The file does not
// say its unit, so it is taken to be that of the centreline, with a note.
func (j *Job) readBoundary(root *os.Root, row site.Pit) (orb.Ring, *site.Problem) {
	unit, ok := units.Lookup(j.planUnit)
	if !ok {
		return nil, &site.Problem{Ref: row.Ref, Column: "boundary", What: "the unit of a boundary's file is that of the centreline, and there is none", Mend: "give a table centreline"}
	}
	opt := terrain.Options{Unit: unit, Origin: j.origin, Format: "geojson"}
	if c := j.place.Centreline; c != nil { // tells grid coordinates from degrees
		points, _ := c.Chords(sagitta)
		opt.Window = orb.MultiPoint(points).Bound().Pad(mostAway)
	}
	found, err := terrain.Open(root, row.Boundary, opt)
	if err != nil {
		return nil, fileProblem(row.Ref, "boundary", err)
	}
	if len(found.Boundary) != 1 || len(found.Holes) > 0 {
		return nil, &site.Problem{
			Ref: row.Ref, Column: "boundary",
			What: fmt.Sprintf("%s holds %d polygons and %d holes in them, where one polygon should be", row.Boundary, len(found.Boundary), len(found.Holes)),
			Mend: "save the boundary of this pit alone to a file of its own",
		}
	}
	ring := slices.Clone(found.Boundary[0])
	if ring.Orientation() == orb.CW {
		slices.Reverse(ring)
	}
	for i := range ring {
		ring[i][0] += j.origin[0]
		ring[i][1] += j.origin[1]
	}
	j.note("note", row.Ref, fmt.Sprintf("the boundary of pit %s in %s is taken to be in %s, as the centreline is", row.Name, row.Boundary, unit.Name), "")
	return ring, nil
}

// mostAway is how far from the centreline a pit may be, m. It guards against a
// boundary in other units or of another place; dirt is not hauled so far.
const mostAway = 50_000

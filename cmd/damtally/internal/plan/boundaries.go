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

// readBoundaries reads the boundaries of pits, cuts and blankets that stand in
// files.
func (j *Job) readBoundaries() site.Problems {
	b := boundaryReader{j: j}
	defer b.close()
	j.site.Pits = slices.Clone(j.site.Pits)
	for i := range j.site.Pits {
		p := &j.site.Pits[i]
		b.into(&p.Ring, p.Ref, "pit "+p.Name, p.Boundary)
	}
	j.site.Cuts = slices.Clone(j.site.Cuts)
	for i := range j.site.Cuts {
		c := &j.site.Cuts[i]
		b.into(&c.Ring, c.Ref, "cut "+c.Name, c.Boundary)
	}
	j.site.Blankets = slices.Clone(j.site.Blankets)
	for i := range j.site.Blankets {
		l := &j.site.Blankets[i]
		b.into(&l.Ring, l.Ref, "blanket "+l.Name, l.Boundary)
	}
	return b.problems
}

// boundaryReader reads boundaries; it opens the site's folder once, when there
// is a file to read.
type boundaryReader struct {
	j        *Job
	root     *os.Root
	problems site.Problems
}

// into reads the boundary of what a row describes, where a file holds it.
func (b *boundaryReader) into(ring *orb.Ring, ref site.Ref, what, file string) {
	if file == "" {
		return
	}
	if b.root == nil {
		var err error
		if b.root, err = b.j.openSite(); err != nil {
			b.problems = append(b.problems, openProblem(ref, err))
			return
		}
	}
	read, problem := b.j.readBoundary(b.root, ref, what, file)
	if problem != nil {
		b.problems = append(b.problems, *problem)
	}
	*ring = read
}

func (b *boundaryReader) close() {
	if b.root != nil {
		b.root.Close()
	}
}

// readBoundary reads one boundary, in the site's coordinates. The file does not
// say its unit, so it is taken to be that of the centreline, with a note.
func (j *Job) readBoundary(root *os.Root, ref site.Ref, what, file string) (orb.Ring, *site.Problem) {
	unit, ok := units.Lookup(j.planUnit)
	if !ok {
		return nil, &site.Problem{Ref: ref, Column: "boundary", What: "the unit of a boundary's file is that of the centreline, and there is none", Mend: "give a table centreline"}
	}
	opt := terrain.Options{Unit: unit, Origin: j.origin, Format: "geojson"}
	if c := j.place.Centreline; c != nil { // tells grid coordinates from degrees
		points, _ := c.Chords(sagitta)
		opt.Window = orb.MultiPoint(points).Bound().Pad(mostAway)
	}
	found, err := terrain.Open(root, file, opt)
	if err != nil {
		return nil, fileProblem(ref, "boundary", err)
	}
	if len(found.Boundary) != 1 || len(found.Holes) > 0 {
		return nil, &site.Problem{
			Ref: ref, Column: "boundary",
			What: fmt.Sprintf("%s holds %d polygons and %d holes in them, where one polygon should be", file, len(found.Boundary), len(found.Holes)),
			Mend: "save the boundary of " + what + " alone to a file of its own",
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
	j.note("note", ref, fmt.Sprintf("the boundary of %s in %s is taken to be in %s, as the centreline is", what, file, unit.Name), "")
	return ring, nil
}

// mostAway is how far from the centreline a pit may be, m. It guards against a
// boundary in other units or of another place; dirt is not hauled so far.
const mostAway = 50_000

package plan

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/terrain"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// groundFile is a file of ground that was read.
type groundFile struct {
	row   site.SurfaceFile
	found terrain.Found
}

// openSite opens the folder that files are named from: the site itself, or the
// folder of its workbook.
func (j *Job) openSite() (*os.Root, error) {
	folder := j.site.Path
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		folder = filepath.Dir(folder)
	}
	return os.OpenRoot(folder)
}

// readGround reads one file. The problem stands at its row.
func (j *Job) readGround(root *os.Root, row site.SurfaceFile, window orb.Bound) (terrain.Found, *site.Problem) {
	opt := terrain.Options{
		Shift: row.ElevationShift, Origin: j.origin, Window: window,
		Format: row.Format, ColumnOrder: row.ColumnOrder, Name: row.Name,
	}
	opt.Unit, _ = units.Lookup(row.Unit)
	opt.ElevationUnit, _ = units.Lookup(row.ElevationUnit)
	if j.progress != nil {
		opt.Progress = func(done, total int64) { j.progress(row.File, done, total) }
	}
	found, err := terrain.Open(root, row.File, opt)
	if err != nil {
		return found, fileProblem(row.Ref, "file", err)
	}
	return found, nil
}

// fileProblem says where in a table stands what is wrong with a file. column is
// where its name stands.
func fileProblem(ref site.Ref, column string, err error) *site.Problem {
	p := site.Problem{Ref: ref, Column: column, What: err.Error(), Mend: "check the file"}
	var e *terrain.Error
	if errors.As(err, &e) {
		p.What, p.Mend = e.File+": "+e.What, e.Mend
		if e.Where != "" {
			p.What = e.File + ", " + e.Where + ": " + e.What
		}
		if e.Column != "" && column == "file" {
			p.Column = e.Column
		}
	}
	return &p
}

// openProblem is the problem of a folder that cannot be opened.
func openProblem(ref site.Ref, err error) site.Problem {
	return site.Problem{Ref: ref, Column: "file", What: "the site's folder cannot be opened: " + err.Error(), Mend: "check that it is there and may be read"}
}

// readFiles reads every file of existing ground.
func (j *Job) readFiles() ([]groundFile, site.Problems) {
	rows := j.site.ExistingGround()
	if len(rows) == 0 {
		return nil, nil
	}
	root, err := j.openSite()
	if err != nil {
		return nil, site.Problems{openProblem(rows[0].Ref, err)}
	}
	defer root.Close()
	var out []groundFile
	var ps site.Problems
	for _, row := range rows {
		found, p := j.readGround(root, row, j.window())
		if p != nil {
			ps = append(ps, *p)
			continue
		}
		out = append(out, groundFile{row, found})
		j.noteFile(row, found)
	}
	return out, ps
}

// noteFile tells what was found in a file.
func (j *Job) noteFile(row site.SurfaceFile, found terrain.Found) {
	text := fmt.Sprintf("%s is read as %s, its coordinates in %s", row.File, found.Format, found.Unit.Name)
	if n := len(found.Points); n > 0 {
		text += ": " + units.Number(float64(n), 0) + " points"
	}
	j.note("note", row.Ref, text, "")
	for _, n := range found.Notes {
		j.note("note", row.Ref, row.File+": "+n, "")
	}
	if len(j.site.Centreline) > 0 && len(found.Alignments) > 0 {
		j.note("note", row.Ref, row.File+" holds an alignment too, which is not used since there is a table `centreline`", "")
	}
	if _, cloud := found.Surface.(*geometry.Faces); cloud && j.site.Settings.LongestEdge.Given {
		j.note("note", j.item("longest edge"), "`longest edge` is not used on the triangles of "+row.File+", which are the surveyor's own", "")
	}
}

// leastMargin is how far around the centreline and the pits ground is read at
// the least, m. It guards against a window so narrow that a toe lies outside;
// four times the size of the site itself is read where that is more, for the lake.
const leastMargin = 2000

// window is where ground is wanted, in the job's own coordinates.
func (j *Job) window() orb.Bound {
	points, _ := j.place.Centreline.Chords(sagitta)
	b := orb.MultiPoint(points).Bound()
	for _, p := range j.site.Pits {
		if len(p.Ring) > 0 {
			b = b.Union(j.local(p.Ring).Bound())
		}
	}
	for _, c := range j.site.Cuts {
		if len(c.Ring) > 0 {
			b = b.Union(j.local(c.Ring).Bound())
		}
	}
	for _, l := range j.site.Blankets {
		if len(l.Ring) > 0 {
			b = b.Union(j.local(l.Ring).Bound())
		}
	}
	for _, r := range j.site.Survey {
		b = b.Extend(j.here(r.At))
	}
	size := math.Hypot(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
	return b.Pad(max(leastMargin, 4*size))
}

// alignFromFiles takes the centreline from the alignment of a file.
func (j *Job) alignFromFiles() site.Problems {
	var rows []site.SurfaceFile
	for _, row := range j.site.ExistingGround() {
		if row.MayAlign() {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		return nil
	}
	root, err := j.openSite()
	if err != nil {
		return site.Problems{openProblem(rows[0].Ref, err)}
	}
	defer root.Close()
	for _, row := range rows {
		found, p := j.readGround(root, row, orb.Bound{})
		if p != nil {
			return site.Problems{*p}
		}
		if len(found.Alignments) == 0 {
			continue
		}
		a, p := chooseAlignment(row, found)
		if p != nil {
			return site.Problems{*p}
		}
		return j.layOutAlignment(row, found, a)
	}
	return site.Problems{{
		Ref: rows[0].Ref, Column: "file", What: "there is no table `centreline`, and " + rows[0].File + " holds no alignment to take for it",
		Mend: "add the table, or export the alignment with the surface",
	}}
}

// chooseAlignment picks the alignment of the row's name, or the only one.
func chooseAlignment(row site.SurfaceFile, found terrain.Found) (terrain.Alignment, *site.Problem) {
	var names []string
	for _, a := range found.Alignments {
		if strings.EqualFold(strings.TrimSpace(a.Name), strings.TrimSpace(row.Name)) {
			return a, nil
		}
		names = append(names, units.Quote(a.Name))
	}
	if len(found.Alignments) == 1 {
		return found.Alignments[0], nil
	}
	return terrain.Alignment{}, &site.Problem{
		Ref: row.Ref, Column: "name",
		What: fmt.Sprintf("%s holds %d alignments: %s", row.File, len(names), strings.Join(names[:min(len(names), 20)], ", ")),
		Mend: "write the name of the centreline's as the row's `name`, or give a table centreline",
	}
}

// layOutAlignment makes the centreline of an alignment, which sets the job's
// origin and the plan's unit as well.
func (j *Job) layOutAlignment(row site.SurfaceFile, found terrain.Found, a terrain.Alignment) site.Problems {
	if a.Fault != nil {
		return site.Problems{*fileProblem(row.Ref, "file", a.Fault)}
	}
	first := a.Parts[0].From
	j.origin = orb.Point{math.Round(first[0]), math.Round(first[1])}
	parts := make([]geometry.Part, len(a.Parts))
	for i, p := range a.Parts {
		parts[i] = geometry.Part{From: j.here(p.From), To: j.here(p.To), Center: j.here(p.Center), Turn: p.Turn}
	}
	c, err := geometry.NewCentrelineOf(parts, a.Start, j.site.Settings.UpstreamSide == "left")
	if err != nil {
		p := site.Problem{Ref: row.Ref, Column: "file", What: row.File + ": " + err.Error(), Mend: "export the alignment again, or give a table centreline"}
		var at *geometry.VertexError
		if errors.As(err, &at) {
			p.What = fmt.Sprintf("%s: part %d of the alignment %s: %s", row.File, at.Vertex+1, units.Quote(a.Name), at.Say(j.level))
		}
		return site.Problems{p}
	}
	j.place.Centreline = c
	j.alignment = &row
	j.planUnit = found.Unit.Name
	j.note("note", row.Ref, fmt.Sprintf("the centreline is the alignment %s of %s, from station %s to %s, since there is no table `centreline`",
		units.Quote(a.Name), row.File, j.station(c.Start()), j.station(c.End())), "")
	for _, n := range a.Notes {
		j.note("look", row.Ref, row.File+": "+n, "")
	}
	return nil
}

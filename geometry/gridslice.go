package geometry

import (
	"math"

	"github.com/paulmach/orb"
)

const (
	// onPosting is how near to a line of postings, in cells, a segment's end is
	// taken to lie on it. It guards what is drawn along the edge of a grid or of
	// a gap against the rounding of the conversion to columns and rows; a
	// thousand-millionth of a cell moves no elevation that could be told apart.
	onPosting = 1e-9

	// sameCrossing is the length along a segment, in cells, within which two
	// crossings are one: through a posting the segment crosses six edges at once.
	sameCrossing = 1e-9

	// nearPosting is how near to a posting, in cells, an edge is taken to be
	// crossed at the posting. It is wider than the two above, so that what they
	// join is never taken from beside the posting.
	nearPosting = 4e-9
)

// Slice returns the ground under the straight segment from a to b; see Surface.
// A knot on an edge takes its elevation from that edge's two postings. There is
// no ground under a segment of no length, or with an end that is no number within
// 100,000,000 m. The cursor is not used.
func (g *Grid) Slice(_ *Cursor, a, b orb.Point) []Line {
	for _, v := range [4]float64{a[0], a[1], b[0], b[1]} {
		if !(math.Abs(v) <= farthest) {
			return nil
		}
	}
	length := distance(a, b)
	if length == 0 {
		return nil
	}
	w := g.newWalk(a, b)
	if !w.clip() {
		return nil
	}
	return w.pieces(length)
}

// gridWalk is a straight walk through a grid, in columns and rows. Three families
// of lines are crossed on the way: columns (u whole), rows (v whole) and cuts
// (u - v whole). A share is the part of the segment's length walked.
type gridWalk struct {
	g        *Grid
	from, to [2]float64
	family   [3]gridFamily
	first    float64 // share where the segment enters the grid
	last     float64 // share where it leaves it
	together float64 // share within which two crossings are one
}

// gridFamily is one family of lines on a walk.
type gridFamily struct {
	at, change float64 // at share 0; over the whole segment
	next, step float64 // the next line to be crossed
	along      bool    // the walk runs along one of its lines
}

func (g *Grid) newWalk(a, b orb.Point) gridWalk {
	w := gridWalk{g: g, from: g.snapped(a), to: g.snapped(b), first: 0, last: 1}
	du, dv := w.to[0]-w.from[0], w.to[1]-w.from[1]
	w.family[0] = newFamily(w.from[0], w.to[0])
	w.family[1] = newFamily(w.from[1], w.to[1])
	w.family[2] = newFamily(w.from[0]-w.from[1], w.to[0]-w.to[1])
	w.together = sameCrossing / max(math.Abs(du), math.Abs(dv))
	return w
}

func newFamily(from, to float64) gridFamily {
	f := gridFamily{at: from, change: to - from}
	near := math.Round(from)
	f.along = math.Abs(from-near) <= onPosting && math.Abs(to-near) <= onPosting
	if f.along {
		f.at, f.change = near, 0
	}
	return f
}

// snapped is index, on a line of postings where it is near one.
func (g *Grid) snapped(p orb.Point) [2]float64 {
	q := g.index(p)
	for k := range 2 {
		if near := math.Round(q[k]); math.Abs(q[k]-near) <= onPosting {
			q[k] = near
		}
	}
	return q
}

// clip finds the part of the segment within the grid. It reports false when
// there is none, or no more than a point.
func (w *gridWalk) clip() bool {
	for k, n := range [2]int{w.g.cols - 1, w.g.rows - 1} {
		f := &w.family[k]
		if f.change == 0 {
			if f.at < 0 || f.at > float64(n) {
				return false
			}
			continue
		}
		a, b := (0-f.at)/f.change, (float64(n)-f.at)/f.change
		w.first, w.last = max(w.first, min(a, b)), min(w.last, max(a, b))
	}
	if !(w.last-w.first > w.together) {
		return false
	}
	for k := range w.family {
		w.family[k].start(w.first)
	}
	return true
}

// start sets the first line that lies at or ahead of a share.
func (f *gridFamily) start(share float64) {
	here := f.at + float64(f.change*share)
	switch {
	case f.change > 0:
		f.next, f.step = math.Ceil(here-onPosting), 1
	case f.change < 0:
		f.next, f.step = math.Floor(here+onPosting), -1
	}
}

// share at which the next line is crossed, beyond any when there is none.
func (f *gridFamily) share() float64 {
	if f.change == 0 {
		return math.Inf(1)
	}
	return (f.next - f.at) / f.change
}

// pieces walks and collects knots for a segment of a length in metres.
func (w *gridWalk) pieces(length float64) []Line {
	var out []Line
	var piece Line
	here := w.first
	k := Knot{here * length, w.elevation(here, -1)}
	for here < w.last {
		share, across := w.ahead(here)
		next := Knot{share * length, w.elevation(share, across)}
		if math.IsNaN(k.Elevation) || math.IsNaN(next.Elevation) || !w.ground((here+share)/2) {
			if piece != nil {
				out, piece = append(out, piece), nil
			}
		} else {
			if piece == nil {
				piece = append(make(Line, 0, w.room(here)), k)
			}
			piece = append(piece, next)
		}
		here, k = share, next
	}
	if piece != nil {
		out = append(out, piece)
	}
	return out
}

// room is how many knots the rest of a walk has at most, within reason.
func (w *gridWalk) room(here float64) int {
	lines := 0.0
	for _, f := range w.family {
		lines += math.Abs(f.change)
	}
	return int(min(lines*(w.last-here), mostRoom)) + 4
}

// mostRoom is the most knots for which room is made beforehand.
const mostRoom = 4096

// ahead is the share of the next crossing and the family crossed there, none
// (-1) at the end of the walk.
func (w *gridWalk) ahead(here float64) (share float64, across int) {
	for {
		across = 0
		share = w.family[0].share()
		for k := 1; k < 3; k++ {
			if s := w.family[k].share(); s < share {
				share, across = s, k
			}
		}
		if share >= w.last-w.together {
			return w.last, -1
		}
		w.family[across].next += w.family[across].step
		if share > here+w.together {
			return share, across
		}
	}
}

// at is the column and row at a share, exactly on the line of a family, if any,
// that was crossed last and of those along which the walk runs.
func (w *gridWalk) at(share float64, across int) (u, v float64) {
	u = mix(w.from[0], w.to[0], share)
	v = mix(w.from[1], w.to[1], share)
	line := func(k int) (float64, bool) {
		f := w.family[k]
		if k == across {
			return f.next - f.step, true
		}
		return f.at, f.along
	}
	if c, ok := line(0); ok {
		u = c
	}
	if r, ok := line(1); ok {
		v = r
	}
	if d, ok := line(2); ok {
		if _, ok := line(1); ok {
			u = v + d
		} else {
			v = u - d
		}
	}
	return u, v
}

func (w *gridWalk) elevation(share float64, across int) float64 {
	return w.g.elevation(w.at(share, across))
}

// ground tells whether there is ground around a share strictly between two
// crossings: in the triangle there, or along an edge on one of its sides.
func (w *gridWalk) ground(share float64) bool {
	u, v := w.at(share, -1)
	col, row := int(math.Floor(u)), int(math.Floor(v))
	switch {
	case w.family[0].along:
		col = int(u)
		return w.g.hasLower(col-1, row) || w.g.hasUpper(col, row)
	case w.family[1].along:
		row = int(v)
		return w.g.hasLower(col, row) || w.g.hasUpper(col, row-1)
	case w.family[2].along:
		return w.g.hasLower(col, row) || w.g.hasUpper(col, row)
	case u-float64(col) > v-float64(row):
		return w.g.hasLower(col, row)
	}
	return w.g.hasUpper(col, row)
}

func (g *Grid) hasCell(col, row int) bool {
	return col >= 0 && row >= 0 && col < g.cols-1 && row < g.rows-1
}

func (g *Grid) hasLower(col, row int) bool {
	return g.hasCell(col, row) && !math.IsNaN(g.at(col, row)+g.at(col+1, row)+g.at(col+1, row+1))
}

func (g *Grid) hasUpper(col, row int) bool {
	return g.hasCell(col, row) && !math.IsNaN(g.at(col, row)+g.at(col+1, row+1)+g.at(col, row+1))
}

// split parts a column or row into a whole one and the share of the way to the
// next, 0 where it is near a whole one.
func split(v float64, n int) (whole int, share float64) {
	if near := math.Round(v); math.Abs(v-near) <= nearPosting {
		return min(max(int(near), 0), n-1), 0
	}
	whole = min(max(int(math.Floor(v)), 0), n-2)
	return whole, min(max(v-float64(whole), 0), 1)
}

// elevation at a column and row within the grid: of the posting, else along the
// edge, else on the triangle there; NaN where one of its postings has none.
func (g *Grid) elevation(u, v float64) float64 {
	col, s := split(u, g.cols)
	row, t := split(v, g.rows)
	near := g.at(col, row)
	switch {
	case s == 0 && t == 0:
		return near
	case s == 0:
		return mix(near, g.at(col, row+1), t)
	case t == 0:
		return mix(near, g.at(col+1, row), s)
	}
	far := g.at(col+1, row+1)
	switch {
	case math.Abs(s-t) <= nearPosting:
		return mix(near, far, s)
	case s > t:
		right := g.at(col+1, row)
		return near + float64(s*(right-near)) + float64(t*(far-right))
	}
	left := g.at(col, row+1)
	return near + float64(t*(left-near)) + float64(s*(far-left))
}

// Elevation returns the elevation of the ground at a place, m. It reports false
// where there is no ground. The cursor is not used.
func (g *Grid) Elevation(_ *Cursor, at orb.Point) (float64, bool) {
	if !(math.Abs(at[0]) <= farthest && math.Abs(at[1]) <= farthest) {
		return math.NaN(), false
	}
	q := g.snapped(at)
	if q[0] < 0 || q[1] < 0 || q[0] > float64(g.cols-1) || q[1] > float64(g.rows-1) || !g.covers(q[0], q[1]) {
		return math.NaN(), false
	}
	z := g.elevation(q[0], q[1])
	return z, !math.IsNaN(z)
}

// covers tells whether a triangle that a column and row lie in, or on the edge
// of, holds ground.
func (g *Grid) covers(u, v float64) bool {
	col, s := split(u, g.cols)
	row, t := split(v, g.rows)
	switch {
	case s == 0 && t == 0:
		return g.hasLower(col, row) || g.hasUpper(col, row) || g.hasLower(col-1, row) ||
			g.hasUpper(col, row-1) || g.hasLower(col-1, row-1) || g.hasUpper(col-1, row-1)
	case s == 0:
		return g.hasUpper(col, row) || g.hasLower(col-1, row)
	case t == 0:
		return g.hasLower(col, row) || g.hasUpper(col, row-1)
	case math.Abs(s-t) <= nearPosting:
		return g.hasLower(col, row) || g.hasUpper(col, row)
	case s > t:
		return g.hasLower(col, row)
	}
	return g.hasUpper(col, row)
}

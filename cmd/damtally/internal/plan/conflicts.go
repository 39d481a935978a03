package plan

import (
	"fmt"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// pitConflicts finds pits that cannot be: of a material that is bought, or over
// ground that another pit has already.
func (j *Job) pitConflicts() site.Problems {
	var ps site.Problems
	for i, p := range j.site.Pits {
		if s := j.soil(p.Material); s != nil && s.bought {
			ps = append(ps, site.Problem{
				Ref: p.Ref, Column: "material",
				What: fmt.Sprintf("pit %s holds %s, which `materials` says is bought", p.Name, p.Material),
				Mend: "write borrow as its source, or give the pit another material",
			})
		}
		for _, o := range j.site.Pits[:i] {
			if overlap(o.Ring, p.Ring) {
				ps = append(ps, site.Problem{
					Ref: p.Ref, Column: "pit",
					What: fmt.Sprintf("pits %s and %s overlap, so the ground they share would be counted twice", o.Name, p.Name),
					Mend: "move the corners of one of them in `outlines`",
				})
			}
		}
	}
	return ps
}

// overlap tells whether two rings share ground: a corner or a middle of one
// within the other, or sides that cross.
func overlap(a, b orb.Ring) bool {
	if !a.Bound().Intersects(b.Bound()) {
		return false
	}
	for i := 1; i < len(a); i++ {
		for k := 1; k < len(b); k++ {
			if cross(a[i-1], a[i], b[k-1], b[k]) {
				return true
			}
		}
	}
	return inside(a, b) || inside(b, a)
}

// inside tells whether a ring has a point of its own strictly within another: a
// middle between two corners of it that lies in both.
func inside(a, b orb.Ring) bool {
	for i := 0; i+1 < len(a); i++ {
		for k := i + 1; k+1 < len(a); k++ {
			m := orb.Point{(a[i][0] + a[k][0]) / 2, (a[i][1] + a[k][1]) / 2}
			if strictly(a, m) && strictly(b, m) {
				return true
			}
		}
	}
	return false
}

// strictly tells whether a point lies within a ring and not on its side.
func strictly(r orb.Ring, p orb.Point) bool {
	for i := 1; i < len(r); i++ {
		if planar.DistanceFromSegment(r[i-1], r[i], p) < sameEnd {
			return false
		}
	}
	return planar.RingContains(r, p)
}

// cross tells whether two segments cross at a point inside both.
func cross(a, b, c, d orb.Point) bool {
	side := func(p, q, r orb.Point) float64 {
		return (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// stateConflict finds a pay item whose `measured` names another state than the
// result that it takes its quantity from.
func stateConflict(row site.PayItem) (site.Problem, bool) {
	state, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(row.QuantityOf)), " ")
	if row.Measured != "bank" && row.Measured != "loose" {
		return site.Problem{}, false
	}
	if state == row.Measured || row.Measured == "bank" && dugInBank(row.QuantityOf) {
		return site.Problem{}, false
	}
	return site.Problem{
		Ref: row.Ref, Column: "measured",
		What: fmt.Sprintf("the item is measured %s, but %s is not a %s volume", row.Measured, row.QuantityOf, row.Measured),
		Mend: fmt.Sprintf("take the quantity of `%s MATERIAL`, or change `measured`", row.Measured),
	}, true
}

// dugInBank tells whether a result is measured as the ground lies.
func dugInBank(name string) bool {
	name = itemKey(name)
	return strings.HasPrefix(name, "cut ") || name == "conduit trench"
}

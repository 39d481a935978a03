package plan

import (
	"errors"
	"math"
	"slices"
	"sync"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// pitCache keeps the pits as they are beside the last dam asked for.
type pitCache struct {
	mu        sync.Mutex
	made      bool
	footprint []orb.Ring
	pits      []Pit
}

// footprint is the ground under the neat dam in plan; nil without a centreline.
func (j *Job) footprint(q *earthwork.Quantities) []orb.Ring {
	if j.place.Centreline == nil {
		return nil
	}
	s := sectionLines{j.place.Centreline, q.Sections}
	up := s.trace(func(c *earthwork.Section) (float64, bool) { return c.UpstreamToe, c.Fill })
	down := s.trace(func(c *earthwork.Section) (float64, bool) { return c.DownstreamToe, c.Fill })
	return ringsBetween(up, down)
}

// pitsBeside are the pits beside a dam: nothing is dug under it, nor nearer to
// its foot than a pit's setback.
func (j *Job) pitsBeside(q *earthwork.Quantities) []Pit {
	if len(j.pits) == 0 {
		return nil
	}
	rings := j.footprint(q)
	j.beside.mu.Lock()
	defer j.beside.mu.Unlock()
	same := func(a, b orb.Ring) bool { return slices.Equal(a, b) }
	if j.beside.made && slices.EqualFunc(rings, j.beside.footprint, same) {
		return slices.Clone(j.beside.pits)
	}
	out := slices.Clone(j.pits)
	for i := range out {
		j.besideDam(&out[i], rings)
	}
	j.beside.made, j.beside.footprint, j.beside.pits = true, rings, out
	return slices.Clone(out)
}

// besideDam cuts a pit back from the dam.
func (j *Job) besideDam(p *Pit, rings []orb.Ring) {
	if len(rings) == 0 {
		return
	}
	away := math.Inf(1)
	for _, r := range rings {
		away = min(away, ringsApart(p.shape.Ring, r))
	}
	if away > 0 && away >= p.shape.Setback {
		p.FromDam = away
		return
	}
	whole := p.Capacity.Bank
	for _, r := range rings {
		p.shape.Keep = append(p.shape.Keep, borrow.Keep{Ring: r, Distance: p.shape.Setback})
	}
	p.whole = nil
	err := j.digWhole(p)
	var ring *borrow.RingError
	if errors.As(err, &ring) { // a toe that crosses itself, as on a sharp curve
		p.shape.Keep = nil
		for _, r := range rings {
			p.shape.Keep = append(p.shape.Keep, borrow.Keep{Ring: hullOf(r), Distance: p.shape.Setback})
		}
		err = j.digWhole(p)
	}
	if err != nil { // nothing is left of it
		j.fill(p, borrow.Capacity{Area: p.Capacity.Area, DugTo: p.Capacity.DugTo, Layers: make([]float64, len(p.Capacity.Layers))})
	}
	p.FromDam, p.CutBack = away, max(0, whole-p.Capacity.Bank)
}

// hullOf is the convex hull of a ring, closed and counter-clockwise.
func hullOf(r orb.Ring) orb.Ring {
	points := slices.Clone(r)
	slices.SortFunc(points, func(a, b orb.Point) int {
		switch {
		case a[0] < b[0] || a[0] == b[0] && a[1] < b[1]:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	half := func(points orb.Ring) orb.Ring {
		var out orb.Ring
		for _, p := range points {
			for n := len(out); n > 1; n = len(out) {
				a, b := out[n-2], out[n-1]
				if (b[0]-a[0])*(p[1]-a[1])-(b[1]-a[1])*(p[0]-a[0]) > 0 {
					break
				}
				out = out[:n-1]
			}
			out = append(out, p)
		}
		return out
	}
	lower := half(points)
	slices.Reverse(points)
	upper := half(points)
	return append(lower[:len(lower)-1], upper...)
}

// ringsApart is the least distance between two rings in plan, m; 0 where they
// share ground or touch.
func ringsApart(a, b orb.Ring) float64 {
	if overlap(a, b) || planar.RingContains(a, b[0]) || planar.RingContains(b, a[0]) {
		return 0
	}
	best := math.Inf(1)
	for _, pair := range [2][2]orb.Ring{{a, b}, {b, a}} {
		for _, p := range pair[0] {
			for i := 1; i < len(pair[1]); i++ {
				best = min(best, planar.DistanceFromSegment(pair[1][i-1], pair[1][i], p))
			}
		}
	}
	return best
}

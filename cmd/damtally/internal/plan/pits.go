package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// preparePits measures every pit as if no dam stood near it.
func (j *Job) preparePits() site.Problems {
	var ps site.Problems
	rows := j.site.Pits
	measured := make([]Pit, len(rows))
	errs := make([]error, len(rows))
	for i, row := range rows {
		strata, wrong := j.strataOf(row)
		ps = append(ps, wrong...)
		measured[i] = Pit{Row: row, Strata: strata, shape: j.shapeOf(row, strata)}
	}
	if len(ps) > 0 {
		return ps
	}
	var wait sync.WaitGroup
	for i := range measured {
		wait.Go(func() {
			errs[i] = j.digWhole(&measured[i])
		})
	}
	wait.Wait()
	for i, row := range rows {
		if errs[i] != nil {
			ps = append(ps, j.pitProblem(row, errs[i]))
			continue
		}
		p := &measured[i]
		if row.GroundElevation.Given && j.surface != nil {
			j.note("look", row.Ref, fmt.Sprintf("pit %s is measured from its typed ground elevation %s, not from the survey", row.Name, j.level(row.GroundElevation.Value)), "")
		}
		if p.Capacity.Bank == 0 {
			j.note("look", row.Ref, fmt.Sprintf("pit %s holds nothing below its topsoil", row.Name), "")
		}
		j.strataNotes(p)
	}
	if len(ps) == 0 {
		j.pits = measured
		j.noteStrayHoles()
	}
	return ps
}

// digWhole digs a pit to its own floor and fills in what it holds.
func (j *Job) digWhole(p *Pit) error {
	w, err := p.shape.DigWhole()
	if err != nil {
		return err
	}
	p.whole = w
	j.fill(p, w.Excavation().Capacity)
	return nil
}

// shapeOf is the pit that a row describes.
func (j *Job) shapeOf(row site.Pit, strata *borrow.Strata) borrow.Pit {
	p := borrow.Pit{
		Ring: j.local(row.Ring), SideSlope: row.SideSlope, Strip: row.StripDepth,
		Floor: row.FloorElevation.Value, ByDepth: row.Depth.Given, Level: row.GroundElevation.Value,
		Setback: row.Setback.Value, Cover: row.CoverToLeave.Value, Strata: strata,
	}
	if row.Depth.Given {
		p.Floor = row.Depth.Value
	}
	if !row.Depth.Given && !row.FloorElevation.Given {
		p.Follow, p.Floor = true, math.Inf(-1)
	}
	if strata != nil {
		p.Near = j.farFromHole()
	}
	if !row.GroundElevation.Given {
		p.Surface = j.surface
	}
	return p
}

// fill sets what hangs on a pit's capacity.
func (j *Job) fill(p *Pit, c borrow.Capacity) {
	p.Capacity = c
	p.Strip, p.Waste, p.BelowWater = c.Strip, c.Waste, c.BelowWater
	p.ShareBeyond, p.Beyond = math.NaN(), p.shape.Near
	p.FromDam, p.InPool = math.NaN(), math.NaN()
	p.ByMaterial = nil
	if p.Strata == nil {
		p.UsableDepth = usableDepth(p.shape)
		p.ByMaterial = []PitMaterial{{p.Row.Material, c.Bank, j.pitLoss(p.Row, p.Row.Material), math.NaN()}}
	} else {
		p.Holes = len(p.Strata.Holes)
		if c.Bank > 0 {
			p.ShareBeyond = c.Far / c.Bank
		}
		p.UsableDepth = p.usableInHoles()
		for _, l := range p.Strata.Layers {
			if !l.Usable || slices.ContainsFunc(p.ByMaterial, func(m PitMaterial) bool { return m.Material == l.Material }) {
				continue
			}
			p.ByMaterial = append(p.ByMaterial, PitMaterial{
				l.Material, c.Of(p.Strata, l.Material), j.pitLoss(p.Row, l.Material), p.unsure(l.Material),
			})
		}
	}
	p.Loss = p.Row.Loss.Value
	if len(p.ByMaterial) > 0 {
		p.Loss = p.ByMaterial[0].Loss
	}
}

// pitLoss is the loss that applies to a material in a pit: the pit's own, else the
// material's.
func (j *Job) pitLoss(row site.Pit, material string) float64 {
	if s := j.soil(material); s != nil {
		return row.Loss.Or(s.row.Loss.Value)
	}
	return row.Loss.Value
}

// usableDepth is the mean depth from ground to floor at the pit's corners, less
// the topsoil, m.
func usableDepth(p borrow.Pit) float64 {
	sum, n := 0.0, 0
	for _, corner := range p.Ring[:len(p.Ring)-1] {
		z, ok := p.Level, true
		if p.Surface != nil {
			z, ok = elevationAt(p.Surface, corner)
		}
		if !ok {
			continue
		}
		depth := p.Floor
		if !p.ByDepth {
			depth = z - p.Floor
		}
		sum += max(0, depth-p.Strip)
		n++
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}

// usableInHoles is the mean thickness in a pit's holes of all that is usable
// between the topsoil and the floor, m.
func (p *Pit) usableInHoles() float64 {
	sum := 0.0
	for _, h := range p.Strata.Holes {
		sum += p.thickness(h, "")
	}
	return sum / float64(len(p.Strata.Holes))
}

// thickness is the thickness of a usable material, or of all for "", that would be
// dug in a hole, m.
func (p *Pit) thickness(h borrow.Hole, material string) float64 {
	to := p.dugTo(h)
	sum := 0.0
	for _, l := range h.Layers {
		if l.Usable && (material == "" || l.Material == material) {
			sum += max(0, min(to, l.To)-max(p.shape.Strip, l.From))
		}
	}
	return sum
}

// dugTo is how deep would be dug in a hole, m below the ground.
func (p *Pit) dugTo(h borrow.Hole) float64 {
	base, _ := h.Base(p.shape.Follow)
	to := base - p.shape.Cover
	switch {
	case p.shape.Follow:
		return to
	case p.shape.ByDepth:
		return min(to, p.shape.Floor)
	}
	return min(to, h.Elevation-p.shape.Floor)
}

// probe is the length of the slice that finds a surface's elevation at a point,
// m; any short length serves.
const probe = 0.01

// elevationAt is the elevation of a surface at a point.
func elevationAt(s geometry.Surface, p orb.Point) (float64, bool) {
	for _, piece := range s.Slice(nil, orb.Point{p[0] - probe, p[1]}, orb.Point{p[0] + probe, p[1]}) {
		if z, ok := piece.At(probe); ok {
			return z, true
		}
	}
	return 0, false
}

// pitProblem says in the table's words why a pit has no volume.
func (j *Job) pitProblem(row site.Pit, err error) site.Problem {
	p := site.Problem{Ref: row.Ref, Column: "pit", What: fmt.Sprintf("pit %s: %v", row.Name, err), Mend: "check its corners, floor and slope"}
	var ground *borrow.GroundError
	var ring *borrow.RingError
	switch {
	case errors.As(err, &ground):
		p.What = fmt.Sprintf("pit %s reaches off the survey near x %s, y %s, along %s", row.Name,
			j.level(ground.At[0]+j.origin[0]), j.level(ground.At[1]+j.origin[1]), j.length(ground.Gap))
		p.Mend = "survey the whole pit, move its corners in, or give `ground elevation`"
	case errors.As(err, &ring):
		p.What = fmt.Sprintf("the boundary of pit %s is no pit near x %s, y %s: %s", row.Name,
			j.level(ring.At[0]+j.origin[0]), j.level(ring.At[1]+j.origin[1]), ring.What)
		p.Mend = "give its corners in order round the pit in `outlines`"
	case errors.Is(err, borrow.ErrSteepGround):
		p.Column = "side slope"
		p.What = fmt.Sprintf("pit %s: the ground falls away from the boundary as steeply as the sides, so nothing can be dug", row.Name)
		p.Mend = "make the sides steeper or move the corners"
	case errors.Is(err, borrow.ErrFloorAbove):
		p.Column = "floor elevation"
		p.What = fmt.Sprintf("pit %s: the floor lies above the ground everywhere", row.Name)
		p.Mend = "check the floor's elevation and the ground's"
	case errors.Is(err, borrow.ErrNoRoom):
		p.Column = "setback"
		p.What = fmt.Sprintf("pit %s: a setback of %s leaves no room inside its boundary", row.Name, j.length(row.Setback.Value))
		p.Mend = "check the setback and its unit, or move the corners out"
	case errors.Is(err, borrow.ErrNothingUsable):
		p.Column = "cover to leave"
		p.What = fmt.Sprintf("pit %s: no hole shows usable soil that is thicker than the cover of %s to leave", row.Name, j.length(row.CoverToLeave.Value))
		p.Mend = "check the cover and its unit, and what `borings` says is usable, or take the pit out"
	}
	return p
}

// noteStrayHoles tells of holes that lie in a pit and do not name it.
func (j *Job) noteStrayHoles() {
	for _, h := range j.site.Holes {
		if h.Pit != "" {
			continue
		}
		for i := range j.pits {
			if row := j.pits[i].Row; strictly(j.local(row.Ring), j.here(h.At)) {
				j.note("look", h.Ref, fmt.Sprintf("hole %s lies in pit %s, but its cell `pit` is blank, so it is taken for a hole under the dam and says nothing of the pit", h.Name, row.Name), "")
			}
		}
	}
}

package plan

import (
	"errors"
	"fmt"
	"math"
	"sync"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// preparePits measures every pit.
func (j *Job) preparePits() site.Problems {
	var ps site.Problems
	rows := j.site.Pits
	measured := make([]Pit, len(rows))
	errs := make([]error, len(rows))
	var wait sync.WaitGroup
	for i := range rows {
		wait.Go(func() { measured[i], errs[i] = j.measurePit(rows[i]) })
	}
	wait.Wait()
	for i, row := range rows {
		if errs[i] != nil {
			ps = append(ps, j.pitProblem(row, errs[i]))
			continue
		}
		out := measured[i]
		c := out.Capacity
		j.pits = append(j.pits, out)
		if row.GroundElevation.Given && j.surface != nil {
			j.note("look", row.Ref, fmt.Sprintf("pit %s is measured from its typed ground elevation %s, not from the survey", row.Name, j.level(row.GroundElevation.Value)), "")
		}
		if c.Bank == 0 {
			j.note("look", row.Ref, fmt.Sprintf("pit %s holds nothing below its topsoil", row.Name), "")
		}
	}
	return ps
}

// measurePit measures one pit.
func (j *Job) measurePit(row site.Pit) (Pit, error) {
	p := borrow.Pit{
		Ring: j.local(row.Ring), SideSlope: row.SideSlope, Strip: row.StripDepth,
		Floor: row.FloorElevation.Value, ByDepth: row.Depth.Given, Level: row.GroundElevation.Value,
	}
	if row.Depth.Given {
		p.Floor = row.Depth.Value
	}
	if !row.GroundElevation.Given {
		p.Surface = j.surface
	}
	c, err := p.Measure()
	if err != nil {
		return Pit{}, err
	}
	return Pit{
		Row: row, Capacity: c, Loss: j.pitLoss(row), UsableDepth: usableDepth(p),
		ByMaterial: []PitMaterial{{row.Material, c.Bank}}, Strip: c.Strip, ShareBeyond: math.NaN(),
	}, nil
}

// pitLoss is the loss that applies to a pit: its own, else its material's.
func (j *Job) pitLoss(row site.Pit) float64 {
	if s := j.soil(row.Material); s != nil {
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
	}
	return p
}

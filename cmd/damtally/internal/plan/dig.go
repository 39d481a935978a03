package plan

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// mapCells is the number of cells along the longer side of a map of depths.
const mapCells = 60

// digPits works out how deep each pit is dug for its share of the allocation.
func (j *Job) digPits(r *Result) {
	if r.Allocation == nil {
		return
	}
	var wait sync.WaitGroup
	for i := range r.Pits {
		wait.Go(func() { r.Pits[i].Dig = j.digPit(&r.Pits[i], r.Allocation) })
	}
	wait.Wait()
}

// digPit digs one pit to the floor that its share needs: the deepest that one of
// its materials asks for.
func (j *Job) digPit(p *Pit, a *Allocation) *PitDig {
	out := &PitDig{By: make([]PitUse, len(p.ByMaterial)), Floor: math.NaN(), Left: p.Capacity.Bank}
	out.Capacity.DugTo = math.NaN()
	shape, found := p.shape, false
	for i, m := range p.ByMaterial {
		used := min(m.Bank, a.UsedOf(borrow.FromPit, p.Row.Name, m.Material))
		out.By[i].Used = used
		out.Used += used
		if !(used > 0) || p.whole == nil {
			continue
		}
		name := m.Material
		if p.Strata == nil {
			name = ""
		}
		e, floor, err := p.whole.For(name, used)
		if err != nil { // a share never is more than the pit holds
			continue
		}
		if deeper := floor < out.Floor != shape.ByDepth; !found || deeper {
			out.Floor, out.Capacity, out.excavation, found = floor, e.Capacity, e, true
		}
	}
	if !found {
		return out
	}
	for i, m := range p.ByMaterial {
		name := m.Material
		if p.Strata == nil {
			name = ""
		}
		out.By[i].Over = max(0, out.Capacity.Of(p.Strata, name)-out.By[i].Used)
	}
	out.Left = max(0, p.Capacity.Bank-out.Capacity.Bank)
	out.Map = out.excavation.Map(mapCells)
	return out
}

// dugOut is a pit as it lies when the dam is done: dug for its share, or to its
// own floor where it is not known who feeds what; nil where nothing is dug.
func (p *Pit) dugOut() *borrow.Excavation {
	if p.Dig != nil {
		return p.Dig.excavation
	}
	if p.whole == nil {
		return nil
	}
	return p.whole.Excavation()
}

// poolPits works out what the pits add to the lake's storage at each of its levels.
func (j *Job) poolPits(r *Result) {
	k := r.Lake
	if k == nil || len(r.Pits) == 0 {
		return
	}
	l, err := j.flooded(&r.Design)
	if err != nil {
		return
	}
	k.WithPits = make([]float64, len(k.Rows))
	for i, row := range k.Rows {
		k.WithPits[i] = row.Volume
	}
	added := make([][]float64, len(r.Pits))
	var wait sync.WaitGroup
	for i := range r.Pits {
		wait.Go(func() { added[i] = r.Pits[i].addsTo(l, k.Rows) })
	}
	wait.Wait()
	for _, by := range added {
		for n, v := range by {
			k.WithPits[n] += v
		}
	}
}

// addsTo notes where a lake reaches a pit, and is what the pit adds to its storage at
// each of its rows, m3; nil where that is nothing.
func (p *Pit) addsTo(l *earthwork.Lake, rows []earthwork.StorageRow) []float64 {
	p.InPool = l.Reaches(p.shape.Ring)
	e := p.dugOut()
	if !(p.InPool < rows[len(rows)-1].Level) || e == nil {
		return nil
	}
	out := make([]float64, len(rows))
	for n, row := range rows {
		if row.Level > p.InPool {
			out[n] = e.Below(row.Level)
		}
	}
	return out
}

// highestPool is the highest level that the site names for the water, else the top
// of the table of storage; NaN without a lake.
func (r *Result) highestPool() float64 {
	if r.Lake == nil {
		return math.NaN()
	}
	high := math.Inf(-1)
	for _, p := range r.Lake.Pools {
		if p.Known {
			high = max(high, p.Level)
		}
	}
	if math.IsInf(high, -1) {
		return r.Lake.Rows[len(r.Lake.Rows)-1].Level
	}
	return high
}

// Distances that were published for levees, which hold water as dams do; a dam
// wants its own engineer's figure.
const (
	leveeLandside  = 100 * 0.3048
	leveeWaterside = 40 * 0.3048
	leveeCover     = 2 * 0.3048
	leveeSource    = "US Army Corps of Engineers, EM 1110-2-1913 (31 March 1978) p. 4-3, for levees: least widths used often in the past, and cover on the water side"
)

// pitNotes asks for what is left blank about the pits, and tells what the dam and
// the lake mean for them.
func (j *Job) pitNotes(r *Result) []site.Note {
	out := j.holeNotes(r)
	out = append(out, j.setbackNotes(r)...)
	out = append(out, j.coverNotes(r)...)
	for i := range r.Pits {
		p := &r.Pits[i]
		out = append(out, j.cutBackNotes(p)...)
		out = append(out, j.leakNotes(r, p)...)
		if d := p.Dig; d != nil && d.Used > 0 {
			out = append(out, site.Note{Level: "note", Ref: p.Row.Ref, Text: "a pit's share of what the dam takes is had by digging it so deep", Item: j.digText(p)})
		}
	}
	for _, b := range r.Balance {
		if b.NoChance != "" {
			out = append(out, site.Note{Level: "note", Ref: site.Ref{Table: "borings"}, Text: "no chance is told that there is enough", Item: b.Material + ", as " + b.NoChance})
		} else if b.Chance != nil {
			why := "how far the thickness in each hole differs from what the others foretell, over the root of the number of holes"
			if b.ChanceBasis == ChanceOfTests {
				why = "each hole shows what the others foretell down to the floor, so the layers leave nothing open as far as the holes tell"
			}
			out = append(out, site.Note{
				Level: "note", Ref: site.Ref{Table: "borings"},
				Text: fmt.Sprintf("the chance that there is what the dam needs rests on %s: %s; survey and loss are not in it", b.ChanceBasis, why),
				Item: b.Material + " " + ChanceWords(*b.Chance),
			})
		}
	}
	return out
}

// pitsThat names the pits for which holds is true, and the row of the first; false
// for none.
func (r *Result) pitsThat(holds func(*Pit) bool) (names []string, ref site.Ref, some bool) {
	for i := range r.Pits {
		if p := &r.Pits[i]; holds(p) {
			if len(names) == 0 {
				ref = p.Row.Ref
			}
			names = append(names, p.Row.Name)
		}
	}
	return names, ref, len(names) > 0
}

// pitsNamed lists pits in words, with the verb that fits.
func pitsNamed(names []string, one, many string) string {
	if len(names) == 1 {
		return "pit " + names[0] + " " + one
	}
	return "pits " + andList(names) + " " + many
}

// holeNotes tells of pits of which only the table's word is known.
func (j *Job) holeNotes(r *Result) []site.Note {
	names, ref, some := r.pitsThat(func(p *Pit) bool { return p.Strata == nil })
	if !some {
		return nil
	}
	return []site.Note{{Level: "look", Ref: ref, Text: pitsNamed(names, "has", "have") +
		" no test hole in `borings`: what they hold, that it goes on all the way down, and that there is no rock, sand or water in it, is the word of the table alone; dig test pits before you bid on it"}}
}

// digText says how deep a pit is dug.
func (j *Job) digText(p *Pit) string {
	d := p.Dig
	to := "to a floor at " + j.level(d.Floor)
	switch {
	case p.shape.ByDepth:
		to = j.level(d.Floor) + " deep"
	case p.shape.Follow:
		to = "along its layers, down to " + j.level(d.Floor)
	}
	return fmt.Sprintf("%s %s for %s, with %s of usable soil left", p.Row.Name, to, j.volume(d.Used, "bank"), j.volume(d.Left, "bank"))
}

// setbackNotes ask for the distance from the boundary and from the dam.
func (j *Job) setbackNotes(r *Result) []site.Note {
	names, ref, some := r.pitsThat(func(p *Pit) bool { return !p.Row.Setback.Given })
	if !some {
		return nil
	}
	var near []string
	for i := range r.Pits {
		if p := &r.Pits[i]; !p.Row.Setback.Given && !math.IsNaN(p.FromDam) {
			near = append(near, fmt.Sprintf("%s %s", p.Row.Name, j.length(p.FromDam)))
		}
	}
	where := ""
	if len(near) > 0 {
		where = "; from the foot of the dam to their boundary: " + strings.Join(near, ", ")
	}
	return []site.Note{{Level: "look", Ref: ref, Source: leveeSource, Text: fmt.Sprintf(
		"%s no `setback`, so the dig is measured right up to the boundary: is there none?%s. Published for levees: %s from the toe on the water side and %s on the land side; local codes ask for a distance from a property line. Write 0 if none is meant",
		pitsNamed(names, "has", "have"), where, j.length(leveeWaterside), j.length(leveeLandside))}}
}

// cutBackNotes tell of what the dam takes away of a pit.
func (j *Job) cutBackNotes(p *Pit) []site.Note {
	if !(p.CutBack > 0) {
		return nil
	}
	level, left := "look", ""
	if p.Capacity.Bank == 0 {
		level, left = "danger", "; nothing is left of the pit"
	}
	text := fmt.Sprintf("pit %s reaches nearer to the foot of the dam than its setback: %s of usable soil is not counted for that", p.Row.Name, j.volume(p.CutBack, "bank"))
	if p.FromDam == 0 {
		text = fmt.Sprintf("pit %s reaches under the dam: %s of usable soil there and within its setback is not counted", p.Row.Name, j.volume(p.CutBack, "bank"))
	}
	return []site.Note{{Level: level, Ref: p.Row.Ref, Text: text + left}}
}

// coverNotes ask for what is to be left above rock, sand or unknown ground.
func (j *Job) coverNotes(r *Result) []site.Note {
	pool := r.highestPool()
	names, ref, some := r.pitsThat(func(p *Pit) bool { return !p.Row.CoverToLeave.Given })
	if !some {
		return nil
	}
	var wet []string
	for i := range r.Pits {
		if p := &r.Pits[i]; !p.Row.CoverToLeave.Given && p.InPool < pool {
			wet = append(wet, fmt.Sprintf("%s from %s on", p.Row.Name, j.level(p.InPool)))
		}
	}
	where := ""
	if len(wet) > 0 {
		where = "; the lake reaches " + strings.Join(wet, ", ")
	}
	return []site.Note{{Level: "look", Ref: ref, Source: leveeSource, Text: fmt.Sprintf(
		"%s no `cover to leave`, so nothing is left above rock, sand or what no hole shows: is there none?%s. Published for levees: at least %s of tight soil left over pervious ground on the water side. Write 0 if none is meant",
		pitsNamed(names, "has", "have"), where, j.length(leveeCover))}}
}

// leakNotes are about pits in the lake over ground that may leak.
func (j *Job) leakNotes(r *Result, p *Pit) []site.Note {
	row := p.Row
	if !(p.InPool < r.highestPool()) { // false where there is no lake
		return nil
	}
	var out []site.Note
	add := func(level, text, source string) {
		out = append(out, site.Note{Level: level, Ref: row.Ref, Text: text, Source: source})
	}
	if p.Strata == nil {
		add("look", fmt.Sprintf("pit %s lies in the lake and has no test hole, so it is not known how much tight soil stays over sand or cracked rock below it; the lake may leak there", row.Name), "")
		return out
	}
	var bare []string
	for _, h := range p.Strata.Holes {
		base, below := h.Base(p.shape.Follow)
		if below != nil && h.Usable(row.StripDepth, base) < row.CoverToLeave.Value {
			bare = append(bare, h.Name)
		}
	}
	if len(bare) > 0 {
		add("danger", fmt.Sprintf("pit %s lies in the lake, and the soil over the layer below it is thinner in %s than the cover of %s to leave: the lake may leak there; ask your engineer", row.Name, holesNamed(bare), j.length(row.CoverToLeave.Value)), "")
	}
	if p.throughWaste() {
		add("danger", fmt.Sprintf("pit %s lies in the lake and is dug through a layer that cannot go into the dam; if that is sand or gravel the lake may leak into its sides; ask your engineer", row.Name), "")
	}
	return out
}

// throughWaste tells whether the pit digs through a layer of no use that has a
// usable one below it.
func (p *Pit) throughWaste() bool {
	last := -1
	for i, l := range p.Strata.Layers {
		if l.Usable && p.Capacity.Layers[i] > 0 {
			last = i
		}
	}
	for i := range max(last, 0) {
		if l := p.Strata.Layers[i]; !l.Usable && !l.Topsoil && p.Capacity.Layers[i] > 0 {
			return true
		}
	}
	return false
}

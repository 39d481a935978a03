package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// Lengthwise is ground that can also be looked along, beside its centreline.
// Ground that is a surface offers it, so that a hill or a saddle which no
// section meets is not missed.
type Lengthwise interface {
	// Along returns the ground between two stations along a line whose offset
	// runs straight from one at the start to one at the end, m: a point wherever
	// the ground's slope changes, by rising station.
	Along(from, to, offsetFrom, offsetTo float64) []ProfilePoint
}

// alongSagitta is how far a chord may lie inside a curve when the ground along
// the crest is looked at, m. Along finds where to look, not what is there.
const alongSagitta = 0.01

// Along implements Lengthwise.
func (t Terrain) Along(from, to, offsetFrom, offsetTo float64) []ProfilePoint {
	_, stations := t.Centreline.Chords(alongSagitta)
	stations = merged(append([]float64{from, to}, stations...), from, to)
	offset := func(s float64) float64 { return mix(offsetFrom, offsetTo, (s-from)/(to-from)) }
	var out []ProfilePoint
	cursor := &geometry.Cursor{}
	for i := 1; i < len(stations); i++ {
		a := t.Centreline.Frame(stations[i-1], true).Plan(offset(stations[i-1]))
		b := t.Centreline.Frame(stations[i], false).Plan(offset(stations[i]))
		length := math.Hypot(b[0]-a[0], b[1]-a[1])
		if length == 0 {
			continue
		}
		for _, piece := range t.Surface.Slice(cursor, a, b) {
			for _, p := range piece {
				out = append(out, ProfilePoint{mix(stations[i-1], stations[i], p.Offset/length), p.Elevation})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b ProfilePoint) int {
		switch {
		case a.Station < b.Station:
			return -1
		case a.Station > b.Station:
			return 1
		}
		return 0
	})
	return out
}

// hiddenHeight is how far the ground must rise above the crest, or the crest
// above the ground, between two sections for a section to be put there, m. It
// guards against ground that lies in the crest's own level.
const hiddenHeight = 0.001

// hidden returns the stations at which a hill above the crest, or a saddle below
// it, is highest, where no section of those given stands on it. The crest is set
// against the ground on the centreline and along both edges of the crest.
func (k *cutter) hidden(stations []float64) []float64 {
	g, ok := k.ground.(Lengthwise)
	if !ok || len(stations) < 2 {
		return nil
	}
	lines := k.alongCrest(g, stations[0], stations[len(stations)-1])
	at := slices.Clone(stations)
	for _, l := range lines {
		for _, p := range l {
			at = append(at, p.Station)
		}
	}
	slices.Sort(at)
	at = slices.Compact(at)
	var out []float64
	run := hiddenRun{stations: stations}
	cursors := make([]int, len(lines))
	for _, s := range at {
		if h, ok := over(lines, cursors, s); ok {
			out = run.add(out, s, h)
		}
	}
	return run.end(out)
}

// alongCrest returns how far the crest lies above the stripped ground along the
// centreline and both edges of the crest, as lines of height against station.
func (k *cutter) alongCrest(g Lengthwise, from, to float64) [][]ProfilePoint {
	var breaks []float64
	for _, p := range k.design.Crest {
		breaks = append(breaks, p.Station)
	}
	breaks = merged(append(breaks, from, to), from, to)
	out := make([][]ProfilePoint, 3)
	for i := 1; i < len(breaks); i++ {
		a, b := breaks[i-1], breaks[i]
		_, wa := k.design.CrestAt(a)
		_, wb := k.design.CrestAt(b)
		for j, side := range []float64{-0.5, 0, 0.5} {
			for _, p := range g.Along(a, b, side*wa, side*wb) {
				crest, _ := k.design.CrestAt(p.Station)
				out[j] = append(out[j], ProfilePoint{p.Station, crest + k.design.stripAt(p.Station, JustBefore) - p.Elevation})
			}
		}
	}
	return out
}

// over is the greatest height of the crest over the ground on any of the lines.
func over(lines [][]ProfilePoint, cursors []int, station float64) (float64, bool) {
	most, ok := math.Inf(-1), false
	for j, l := range lines {
		i := cursors[j]
		for i+1 < len(l) && l[i+1].Station <= station {
			i++
		}
		cursors[j] = i
		if i+1 >= len(l) || l[i].Station > station {
			if i < len(l) && l[i].Station == station {
				most, ok = max(most, l[i].Elevation), true
			}
			continue
		}
		a, b := l[i], l[i+1]
		most, ok = max(most, mix(a.Elevation, b.Elevation, (station-a.Station)/(b.Station-a.Station))), true
	}
	return most, ok
}

// hiddenRun follows stretches in which the crest lies above the ground, or not.
type hiddenRun struct {
	stations []float64
	started  bool
	above    bool
	from, to float64
	best     float64 // how far the crest lies from the ground at its most
	at       float64
}

// add takes the next height; when it begins a new stretch, the old one is ended.
func (r *hiddenRun) add(out []float64, station, height float64) []float64 {
	if !r.started || (height > 0) != r.above {
		out = r.end(out)
		*r = hiddenRun{stations: r.stations, started: true, above: height > 0, from: station, best: -1}
	}
	r.to = station
	if h := math.Abs(height); h > r.best {
		r.best, r.at = h, station
	}
	return out
}

// end adds the stretch's place when it needs a section and has none.
func (r *hiddenRun) end(out []float64) []float64 {
	i, _ := slices.BinarySearch(r.stations, r.from)
	if !r.started || r.best <= hiddenHeight || (i < len(r.stations) && r.stations[i] <= r.to) {
		return out
	}
	return append(out, r.at)
}

// stripAt is the depth of topsoil at a station, looked at from a side.
func (d *Design) stripAt(station float64, side Side) float64 {
	for _, r := range d.Stripping {
		if covers(r.From, r.To, station, side) {
			return r.Depth
		}
	}
	return 0
}

// between returns the sections to stand between two neighbours so that the dam
// ends where it meets the ground. Where the ground runs straight between
// surveyed sections a ridge may cross the crest askew: both neighbours have
// fill, and there is none in the middle.
func (k *cutter) between(a, b *Section) []Section {
	if a.meets() != b.meets() || !a.meets() || k.ground.Stations() == nil || sharedCrest(a, b) {
		return k.ends(a, b)
	}
	station, height := k.lowestCrest(a.Station, b.Station)
	if height >= -geometry.SameLevel {
		return nil
	}
	mid, ok := k.cut(station, JustBefore)
	if !ok || mid.meets() {
		return nil
	}
	out := append(k.ends(a, &mid), mid)
	return append(out, k.ends(&mid, b)...)
}

// sharedCrest tells whether at some offset the crest lies above the ground in
// both sections; then it does all the way between them, since at one offset
// both run straight.
func sharedCrest(a, b *Section) bool {
	half := min(a.CrestWidth, b.CrestWidth) / 2
	for _, x := range []float64{0, -half, half} {
		za, oka := a.Stripped.At(x)
		zb, okb := b.Stripped.At(x)
		if oka && okb && a.Crest > za && b.Crest > zb {
			return true
		}
	}
	return false
}

// searchSteps is how often the stretch is cut to two thirds in the search for
// the lowest crest: enough to come from a kilometre to a hair.
const searchSteps = 45

// lowestCrest finds where between two stations the crest stands least high over
// the ground. Between neighbours at which the ground was surveyed that height is
// the greatest of straight lines, so that it has one lowest place.
func (k *cutter) lowestCrest(from, to float64) (station, height float64) {
	for range searchSteps {
		a, b := from+(to-from)/3, to-(to-from)/3
		if k.crestOver(a) < k.crestOver(b) {
			to = b
		} else {
			from = a
		}
	}
	station = (from + to) / 2
	return station, k.crestOver(station)
}

// crestOver is how far at most the crest lies above the stripped ground, over
// its width; below zero when it lies in the ground.
func (k *cutter) crestOver(station float64) float64 {
	crest, width := k.design.CrestAt(station)
	c := crossSection{strip: k.design.stripAt(station, JustBefore)}
	line := k.strippedOf(k.ground.Section(station, JustBefore, width/2), station, JustBefore, c)
	most := math.Inf(-1)
	for _, p := range line {
		most = max(most, crest-p.Elevation)
	}
	return most
}

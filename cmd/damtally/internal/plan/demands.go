package plan

import (
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/earthwork"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// mostStretches is how many stretches the dam is parted into for who feeds what:
// enough that a long dam is fed from both ends, few enough to read.
const mostStretches = 20

// stretchLengths are the lengths that a stretch may have, m: round ones in feet
// or metres.
var (
	stretchFeet   = scaled([]float64{50, 100, 200, 250, 500, 1000}, 0.3048)
	stretchMetres = []float64{10, 20, 25, 50, 100, 200, 500, 1000}
)

func scaled(list []float64, by float64) []float64 {
	for i := range list {
		list[i] *= by
	}
	return list
}

// part is a stretch of the dam and what each zone takes in it, compacted m3.
type part struct {
	from, to float64
	zones    []float64
}

// parts divides the dam into stretches of a round length, at its sections. Each
// zone's volumes add up to its compacted volume. What curves and bends add is
// spread in proportion.
func (j *Job) parts(q *earthwork.Quantities) []part {
	var out []part
	length, begin := j.stretch(q)
	for _, r := range q.Reaches {
		a, b := &q.Sections[r.From], &q.Sections[r.To]
		volumes := make([]float64, len(q.Zones))
		all := 0.0
		for i := range volumes {
			volumes[i] = earthwork.EndArea(r.Length, zoneArea(&a.Zones[i]), zoneArea(&b.Zones[i]))
			all += volumes[i]
		}
		if all == 0 {
			continue
		}
		n := len(out)
		cell := func(station float64) float64 { return math.Floor((station - begin) / length) }
		if n == 0 || cell((a.Station+b.Station)/2) != cell(out[n-1].to-min(length, out[n-1].to-out[n-1].from)/2) {
			out = append(out, part{from: a.Station, to: b.Station, zones: volumes})
			continue
		}
		out[n-1].to = b.Station
		for i, v := range volumes {
			out[n-1].zones[i] += v
		}
	}
	for i, z := range q.Zones {
		sum := 0.0
		for _, p := range out {
			sum += p.zones[i]
		}
		for _, p := range out {
			if sum > 0 {
				p.zones[i] *= z.Compacted / sum
			}
		}
	}
	return out
}

// zoneArea is all of a zone that is compacted, m2 of a section.
func zoneArea(z *earthwork.ZoneArea) float64 {
	return z.Neat.Area + z.Trench.Area + z.Settlement.Area + z.Outside.Area
}

// stretch is the length of the stretches and the station from which they count.
func (j *Job) stretch(q *earthwork.Quantities) (length, begin float64) {
	n := len(q.Sections)
	if n == 0 {
		return 1, 0
	}
	first, last := q.Sections[0].Station, q.Sections[n-1].Station
	lengths := stretchMetres
	if j.system.Name == "us" {
		lengths = stretchFeet
	}
	for _, length = range lengths {
		begin = math.Floor(first/length) * length
		if (last-begin)/length <= mostStretches {
			return length, begin
		}
	}
	return (last - first) / mostStretches, first
}

// demand is what one stretch of a zone, or a blanket, takes and of what.
type demand struct {
	borrow.Demand
	zone      int // index into Quantities.Zones, -1 for a blanket
	materials []string
	at        orb.Point // middle of the stretch on the centreline; of the blanket
	located   bool
}

// demands lists what is to be filled with soil that is dug: by stretch and zone,
// then the blankets. A zone of several materials is parted as the materials'
// shares have it, or where free is true may be fed by any of them.
func (j *Job) demands(r *Result, free bool) []demand {
	var out []demand
	for _, p := range j.parts(&r.Quantities) {
		at, located := j.onCentreline((p.from + p.to) / 2)
		for i, volume := range p.zones {
			base := borrow.Demand{Zone: r.Quantities.Zones[i].Zone, From: p.from, To: p.to, Compacted: volume}
			open := j.openShares(r, i)
			if volume > 0 && free && len(open) > 1 {
				d := demand{Demand: base, zone: i, at: at, located: located}
				d.Compacted = 0
				for _, s := range open {
					d.Compacted += volume * s.fraction
					d.materials = append(d.materials, s.material)
				}
				if d.Compacted > 0 {
					out = append(out, d)
				}
				continue
			}
			for _, s := range open {
				if d := (demand{Demand: base, zone: i, at: at, located: located, materials: []string{s.material}}); s.fraction > 0 && volume > 0 {
					d.Compacted = volume * s.fraction
					out = append(out, d)
				}
			}
		}
	}
	return append(out, j.blanketDemands(r)...)
}

// openShare is the share of a zone that a material fills.
type openShare struct {
	material string
	fraction float64
}

// openShares lists the materials of a zone that are dug and whose factors are
// known, with their shares, also those of 0.
func (j *Job) openShares(r *Result, zone int) []openShare {
	var out []openShare
	for _, name := range j.zoneMaterials(zone) {
		m := materialNamed(r, name)
		if m == nil || m.Bought || !m.Known {
			continue
		}
		for _, s := range m.Shares {
			if s.Zone == zone {
				out = append(out, openShare{name, s.Fraction})
			}
		}
	}
	return out
}

// blanketDemands lists what the blankets take. Their soil goes to the middle of
// their outline.
func (j *Job) blanketDemands(r *Result) []demand {
	var out []demand
	for i := range j.blankets {
		b := &j.blankets[i]
		m := materialNamed(r, b.Row.Material)
		if m == nil || m.Bought || !m.Known || !(b.Compacted > 0) {
			continue
		}
		at, _ := planar.CentroidArea(j.local(b.Row.Ring))
		out = append(out, demand{
			Demand:    borrow.Demand{Zone: "blanket " + b.Row.Name, From: math.NaN(), To: math.NaN(), Compacted: b.Compacted},
			zone:      -1,
			materials: []string{b.Row.Material}, at: at, located: true,
		})
	}
	return out
}

// onCentreline is the point of the centreline at a station; false without one.
func (j *Job) onCentreline(station float64) (orb.Point, bool) {
	if j.place.Centreline == nil {
		return orb.Point{}, false
	}
	return j.place.Centreline.Frame(station, false).Plan(0), true
}

package drawing

import (
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/paulmach/orb"
)

// source is where soil is hauled from: a boundary, or a heap at a point.
type source struct {
	name string
	from orb.Point
	ring orb.LineString // nil for a heap
	pit  bool
}

// sources are the pits, and what else the table of haul roads names.
func (p *planSheet) sources() []source {
	var out []source
	for i, r := range p.v.Pits {
		row := &p.d.r.Pits[i].Row
		s := source{name: row.Name, from: ringMiddle(orb.LineString(r)), ring: orb.LineString(r), pit: true}
		if row.HaulFromX.Given && row.HaulFromY.Given {
			s.from = p.local(orb.Point{row.HaulFromX.Value, row.HaulFromY.Value})
		}
		out = append(out, s)
	}
	for i := range p.d.r.Cuts {
		row := &p.d.r.Cuts[i].Row
		ring := p.localRing(row.Ring)
		out = append(out, source{name: row.Name, from: ringMiddle(ring), ring: ring})
	}
	for _, row := range p.d.r.Site.Stockpiles {
		out = append(out, source{name: row.Name, from: p.local(row.At)})
	}
	return out
}

// hauls draws the way from each pit to the dam, and from other sources that have a
// haul road: a straight line, since the tables give a road's length and not its
// course.
func (p *planSheet) hauls() {
	p.on("hauls")
	for _, s := range p.sources() {
		road, ok := p.road(s.name)
		if !ok && !s.pit {
			continue
		}
		to := p.haulEnd(road)
		l := p.drawn(orb.LineString{lastCrossing(s.ring, s.from, to), to})
		p.line(haulPen, l...)
		p.guard(l...)
		p.legend("Haul: straight line, not a road", lineOf(haulPen))
		if ok && len(l) > 0 {
			p.besideLine(l[0], words{text: "haul " + p.d.length(road.Length, 0), size: smallWords, anchor: atMiddle, halo: true})
		}
	}
}

// road is the first haul road of a source, if the table has one.
func (p *planSheet) road(name string) (site.Haul, bool) {
	for _, h := range p.d.r.Site.Hauls {
		if h.Pit == name {
			return h, true
		}
	}
	return site.Haul{}, false
}

// haulEnd is where a haul meets the dam: the middle of the stretch that its road
// serves, else of the centreline.
func (p *planSheet) haulEnd(h site.Haul) orb.Point {
	line := p.v.Line
	from, to := h.FromStation.Or(line.Start()), h.ToStation.Or(line.End())
	return line.Frame((from+to)/2, false).At
}

// lastCrossing is where the way from a to b leaves a ring for good; a where it does
// not cross it.
func lastCrossing(ring orb.LineString, a, b orb.Point) orb.Point {
	last := 0.0
	for i := 1; i < len(ring); i++ {
		p, q := ring[i-1], ring[i]
		ux, uy, vx, vy := b[0]-a[0], b[1]-a[1], q[0]-p[0], q[1]-p[1]
		cross := ux*vy - uy*vx
		if cross == 0 {
			continue
		}
		t := ((p[0]-a[0])*vy - (p[1]-a[1])*vx) / cross
		s := ((p[0]-a[0])*uy - (p[1]-a[1])*ux) / cross
		if s >= 0 && s <= 1 && t > last && t <= 1 {
			last = t
		}
	}
	return between(a, b, last)
}

// besideLine writes words along a straight line, beside it.
func (p *planSheet) besideLine(l orb.LineString, w words) {
	a, b := l[0], l[len(l)-1]
	w.angle = upright(math.Atan2(a[1]-b[1], b[0]-a[0]) * 180 / math.Pi)
	sin, cos := math.Sincos(w.angle * math.Pi / 180)
	for _, t := range []float64{0.4, 0.5, 0.3, 0.6, 0.25, 0.7, 0.2, 0.8} {
		m := between(a, b, t)
		for _, up := range []float64{4, -4 - w.size} {
			w.at = orb.Point{m[0] - sin*up, m[1] - cos*up}
			if p.free(w, p.port) {
				p.write(w)
				return
			}
		}
	}
}

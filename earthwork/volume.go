package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// EndArea is the volume between two sections by average end area,
// L (A1 + A2) / 2, in the unit of the areas times that of the length. It is the
// trade's pay method; on a body that tapers to a point it is high.
// Source: US Department of Agriculture Handbook 590, sum of end areas.
func EndArea(length, a1, a2 float64) float64 { return length * (a1 + a2) / 2 }

// PrismoidalVolume is the volume between two sections by the prismoidal
// formula, L (A1 + 4 Am + A2) / 6, with the area am of a section cut half way.
// It is exact where the area is a cubic of the station, which it is between
// flat ground and straight crest. Source: the prismoidal formula of surveying
// (Simpson's rule).
func PrismoidalVolume(length, a1, am, a2 float64) float64 {
	return length * (a1 + 4*am + a2) / 6
}

// part picks one measure out of a section.
type part func(*Section) geometry.Measure

// sum adds the sections up.
func (q *Quantities) sum(k *cutter, line *geometry.Centreline) {
	q.Highest = tallest(q.Sections)
	zones := k.design.Zones
	if len(zones) == 0 {
		zones = []Zone{{Name: DefaultZone}}
	}
	q.Zones = make([]ZoneVolume, len(zones))
	for i, z := range zones {
		q.Zones[i].Zone = z.Name
	}
	for i := 1; i < len(q.Sections); i++ {
		a, b := &q.Sections[i-1], &q.Sections[i]
		if b.Station-a.Station > sameStation {
			q.addReach(k, i-1, i)
		}
	}
	q.addBends(line)
	q.total()
}

// addReach adds the stretch between two neighbouring sections.
func (q *Quantities) addReach(k *cutter, i, j int) {
	a, b := &q.Sections[i], &q.Sections[j]
	r := Reach{From: i, To: j, Length: b.Station - a.Station}
	mid, ok := k.middle((a.Station + b.Station) / 2)
	if !ok {
		return // the fault is noted
	}
	body := func(p part) Volume {
		return Volume{
			EndArea:    EndArea(r.Length, p(a).Area, p(b).Area),
			Prismoidal: PrismoidalVolume(r.Length, p(a).Area, p(&mid).Area, p(b).Area),
		}
	}
	plain := func(p part) float64 { return EndArea(r.Length, p(a).Area, p(b).Area) }
	r.Fill = body(func(s *Section) geometry.Measure { return s.Neat })
	q.Reaches = append(q.Reaches, r)
	q.add(r.Fill, body, plain)
}

// add puts the volumes of one reach or bend on the totals.
func (q *Quantities) add(fill Volume, body func(part) Volume, plain func(part) float64) {
	q.Fill = q.Fill.Plus(fill)
	q.Trench += plain(func(s *Section) geometry.Measure { return s.Trench })
	q.ByHeight += plain(func(s *Section) geometry.Measure { return s.AddHeight })
	q.ByToesKept += plain(func(s *Section) geometry.Measure { return s.AddToesKept })
	q.ByVolume += plain(func(s *Section) geometry.Measure { return s.AddVolume })
	q.Stripping += plain(func(s *Section) geometry.Measure { return s.Stripping })
	q.Overbuild += plain(func(s *Section) geometry.Measure { return s.Overbuild })
	q.Footprint += plain(func(s *Section) geometry.Measure { return s.Width })
	for i := range q.Zones {
		z := &q.Zones[i]
		z.Neat = z.Neat.Plus(body(func(s *Section) geometry.Measure { return s.Zones[i].Neat }))
		z.Trench += plain(func(s *Section) geometry.Measure { return s.Zones[i].Trench })
		z.Settlement += plain(func(s *Section) geometry.Measure { return s.Zones[i].Settlement })
		z.Outside += plain(func(s *Section) geometry.Measure { return s.Zones[i].Outside })
		z.Surface += plain(func(s *Section) geometry.Measure { return s.Zones[i].Surface })
	}
}

// addBends adds what curves and bends change. On a curve the volume grows by
// the curvature times the moment over the length (Pappus); at a bend the two
// parts are mitred, which adds the moment of each times the tangent of half the
// turn. Each is put on the reach it belongs to.
func (q *Quantities) addBends(line *geometry.Centreline) {
	if line == nil {
		return
	}
	for i := range q.Reaches {
		r := &q.Reaches[i]
		a, b := &q.Sections[r.From], &q.Sections[r.To]
		if c := line.Curvature((a.Station+b.Station)/2, false); c != 0 {
			q.bend(r, func(p part) float64 { return c * r.Length * (p(a).Moment + p(b).Moment) / 2 })
		}
	}
	for _, b := range line.Bends() {
		t := math.Tan(b.Turn / 2)
		for i := range q.Reaches {
			r := &q.Reaches[i]
			if s := &q.Sections[r.To]; math.Abs(s.Station-b.Station) < sameStation {
				q.bend(r, func(p part) float64 { return t * p(s).Moment })
			}
			if s := &q.Sections[r.From]; math.Abs(s.Station-b.Station) < sameStation {
				q.bend(r, func(p part) float64 { return t * p(s).Moment })
			}
		}
	}
}

// bend adds a correction to a reach and to the totals.
func (q *Quantities) bend(r *Reach, correction func(part) float64) {
	body := func(p part) Volume { return Volume{Bend: correction(p)} }
	fill := body(func(s *Section) geometry.Measure { return s.Neat })
	r.Fill = r.Fill.Plus(fill)
	q.add(fill, body, correction)
}

// total sums zones and the whole.
func (q *Quantities) total() {
	q.Settlement, q.Outside = 0, 0
	for i := range q.Zones {
		z := &q.Zones[i]
		z.Compacted = z.Neat.EndArea + z.Neat.Bend + z.Trench + z.Settlement + z.Outside
		q.Settlement += z.Settlement
		q.Outside += z.Outside
	}
	q.Total = q.Fill.EndArea + q.Fill.Bend + q.Trench + q.Settlement + q.Outside
}

// tallest is the index of the section with the greatest height of the crest
// over the ground on the centreline, -1 when none has fill.
func tallest(sections []Section) int {
	best, at := 0.0, -1
	for i, s := range sections {
		if h := s.Crest - s.StrippedLevel; s.Fill && (at < 0 || h > best) {
			best, at = h, i
		}
	}
	return at
}

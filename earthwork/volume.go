package earthwork

import "github.com/damtally/damtally/geometry"

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

// sum adds the sections up.
func (q *Quantities) sum(k *cutter, line *geometry.Centreline) {
	q.Highest = tallest(q.Sections)
	q.Zones = make([]ZoneVolume, len(k.zones))
	for i := range k.zones {
		q.Zones[i].Zone = k.zones[i].Name
	}
	middles := make([]Section, len(q.Sections)) // half way to the section before
	holds := make([]bool, len(q.Sections))
	k.each(len(q.Sections), func(k *cutter, i int) {
		if i > 0 && q.Sections[i].Station-q.Sections[i-1].Station > sameStation {
			middles[i], holds[i] = k.middle((q.Sections[i-1].Station + q.Sections[i].Station) / 2)
		}
	})
	for i := range middles {
		if holds[i] { // else the fault is noted
			q.addReach(i-1, i, &middles[i])
		}
	}
	if line != nil {
		q.mitres(k, line)
		q.addBends(line)
	}
	q.total()
}

// addReach adds the stretch between two neighbouring sections with the section
// half way between them.
func (q *Quantities) addReach(i, j int, mid *Section) {
	a, b := &q.Sections[i], &q.Sections[j]
	r := Reach{From: i, To: j, Length: b.Station - a.Station}
	prismoid := func(a, m, b geometry.Measure) float64 { return PrismoidalVolume(r.Length, a.Area, m.Area, b.Area) }
	r.Fill = Volume{EndArea: EndArea(r.Length, a.Neat.Area, b.Neat.Area), Prismoidal: prismoid(a.Neat, mid.Neat, b.Neat)}
	q.Reaches = append(q.Reaches, r)
	q.Fill.Prismoidal += r.Fill.Prismoidal
	for i := range q.Zones {
		q.Zones[i].Neat.Prismoidal += prismoid(a.Zones[i].Neat, mid.Zones[i].Neat, b.Zones[i].Neat)
	}
	// By average end area, L (A1 + A2) / 2, each section has half the length.
	q.take(a, r.Length/2, 0)
	q.take(b, r.Length/2, 0)
}

// take puts a section's share on the totals: a length, m, times each of its
// areas, and a number of radians times each area's moment, for curves and bends.
func (q *Quantities) take(s *Section, length, turn float64) {
	plain := func(m geometry.Measure) float64 { return length*m.Area + turn*m.Moment }
	q.Fill.EndArea += length * s.Neat.Area
	q.Fill.Bend += turn * s.Neat.Moment
	q.Trench += plain(s.Trench)
	q.ByHeight += plain(s.AddHeight)
	q.ByToesKept += plain(s.AddToesKept)
	q.ByVolume += plain(s.AddVolume)
	q.Stripping += plain(s.Stripping)
	q.Overbuild += plain(s.Overbuild)
	q.Footprint += plain(s.Width)
	for i := range q.Zones {
		z, part := &q.Zones[i], &s.Zones[i]
		z.Neat.EndArea += length * part.Neat.Area
		z.Neat.Bend += turn * part.Neat.Moment
		z.Trench += plain(part.Trench)
		z.Settlement += plain(part.Settlement)
		z.Outside += plain(part.Outside)
		z.Surface += plain(part.Surface)
	}
}

// addBends adds what curves and bends change. On a curve the volume grows by
// the curvature times the moment over the length (Pappus); at a bend the two
// parts are mitred, see Mitre. Each is put on the reach it belongs to.
func (q *Quantities) addBends(line *geometry.Centreline) {
	bend := func(r *Reach, s *Section, turn float64) {
		r.Fill.Bend += turn * s.Neat.Moment
		q.take(s, 0, turn)
	}
	for i := range q.Reaches {
		r := &q.Reaches[i]
		a, b := &q.Sections[r.From], &q.Sections[r.To]
		if c := line.Curvature((a.Station+b.Station)/2, false); c != 0 {
			bend(r, a, c*r.Length/2)
			bend(r, b, c*r.Length/2)
		}
	}
	for i := range q.Mitres {
		m := &q.Mitres[i]
		for j, turn := range m.Turns {
			bend(&q.Reaches[m.Reach], m.section(q, j), turn)
		}
	}
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

package earthwork

import (
	"math"

	"github.com/damtally/damtally/geometry"
)

// tallShare is the share of the dam's greatest height from which on a section
// counts as not low: there a core that sticks out of the dam is an error, while
// near the abutments, where any dam tapers to nothing, it is cut off and told.
const tallShare = 0.5

// coreArea is the area of a core or a toe drain outside the dam that is worth a
// word, m2.
const coreArea = 0.01

// judge notes zones that cannot be: a core that sticks out where the dam is not
// low, and any zone but a shell that gets nothing at all.
func (k *cutter) judge(q *Quantities) []error {
	if q.Highest < 0 {
		return nil
	}
	tall := tallShare * heightOf(&q.Sections[q.Highest])
	var out []error
	for i := range k.zones {
		z := &k.zones[i]
		if z.Kind == Core {
			if e := sticksOut(q, i, tall); e != nil {
				e.Zone, e.Kind = z.Name, z.Kind
				out = append(out, e)
				continue
			}
		}
		if z.Kind != Shell && isNowhere(q, i) {
			out = append(out, &ZoneNowhereError{Zone: z.Name, Kind: z.Kind, Station: q.Sections[q.Highest].Station})
		}
	}
	return out
}

// heightOf is the height of the crest over the stripped ground on the
// centreline.
func heightOf(s *Section) float64 { return s.Crest - s.StrippedLevel }

// sticksOut finds the worst section at least tall in which a zone is cut off.
func sticksOut(q *Quantities, zone int, tall float64) *ZoneOutsideError {
	var worst *ZoneOutsideError
	n := 0
	for i := range q.Sections {
		s := &q.Sections[i]
		if !s.Fill || heightOf(s) < tall || s.Zones[zone].CutOff <= coreArea {
			continue
		}
		n++
		if worst == nil || s.Zones[zone].CutOff > worst.Area {
			worst = &ZoneOutsideError{Station: s.Station, Area: s.Zones[zone].CutOff}
		}
	}
	if worst != nil {
		worst.Others = n - 1
	}
	return worst
}

// isNowhere tells whether a zone has no area worth a word in any section.
func isNowhere(q *Quantities, zone int) bool {
	for i := range q.Sections {
		if z := &q.Sections[i].Zones[zone]; z.Neat.Area+z.Outside.Area+z.Trench.Area > smallArea {
			return false
		}
	}
	return true
}

// openHeight is the height of a face at the dam's end that is worth a word, m.
const openHeight = 0.01

// beyondArea is the area past a hump that is worth a word, m2.
const beyondArea = 1

// cutLength is a length by which a layer is cut that is worth a word, m.
const cutLength = 0.01

// warn collects what the builder must know.
func (q *Quantities) warn(k *cutter, line *geometry.Centreline) {
	n := len(q.Sections)
	closed := line != nil && line.Closed() // a ring has no ends
	for _, i := range []int{0, n - 1} {
		s := &q.Sections[i]
		if h := heightOf(s); !closed && s.Fill && s.Neat.Area > smallArea && h > openHeight {
			q.Warnings = append(q.Warnings, Warning{Kind: OpenEnd, Danger: true, Station: s.Station, Value: h})
		}
	}
	for side, by := range k.extended {
		if by > 0 {
			q.Warnings = append(q.Warnings, Warning{Kind: Extended, Station: k.extendedAt[side], Value: by, Side: sideNames[side]})
		}
	}
	q.warnWorst(BeyondHump, "", func(s *Section) float64 { return s.Beyond }, beyondArea)
	q.warnWorst(CoreOutside, "", func(s *Section) float64 { return s.CoreOutside }, coreArea)
	q.warnWorst(TrenchNotDug, "", func(s *Section) float64 { return -s.TrenchDepth }, 0)
	q.warnZones(k)
	if line != nil {
		q.warnOverlaps(line)
	}
}

// warnZones tells what of drains and filters is cut off.
func (q *Quantities) warnZones(k *cutter) {
	for i := range k.zones {
		z := &k.zones[i]
		if z.Kind != Filter && z.Kind != Drain {
			continue
		}
		switch z.Form {
		case Toe:
			q.warnWorst(ToeDrainCut, string(z.Side), func(s *Section) float64 { return s.Zones[i].CutOff }, coreArea)
		case Chimney:
			q.warnHighest(ChimneyTop, string(z.Side), k.chimneyCut(z, &q.Sections[max(0, q.Highest)]))
		case Blanket:
			s := &q.Sections[max(0, q.Highest)]
			if !math.IsInf(z.FromOffset, 0) {
				q.warnHighest(BlanketCut, string(UpstreamSide), s.UpstreamToe-z.FromOffset)
			}
			if !math.IsInf(z.ToOffset, 0) {
				q.warnHighest(BlanketCut, string(DownstreamSide), z.ToOffset-s.DownstreamToe)
			}
		}
	}
}

// chimneyCut is by how much a chimney's own top passes the core's.
func (k *cutter) chimneyCut(z *placedZone, s *Section) float64 {
	v := view{c: crossSection{crest: s.Crest}, ground: s.StrippedLevel}
	if !z.ByElevation && z.TopBelowCrest == 0 {
		return 0 // no top of its own
	}
	return v.top(&z.Zone) - v.top(z.core)
}

// warnHighest adds a warning about the highest section.
func (q *Quantities) warnHighest(kind WarningKind, side string, value float64) {
	if value > cutLength && q.Highest >= 0 {
		q.Warnings = append(q.Warnings, Warning{Kind: kind, Station: q.Sections[q.Highest].Station, Value: value, Side: side})
	}
}

// warnWorst adds one warning for the section in which a value is greatest.
func (q *Quantities) warnWorst(kind WarningKind, side string, value func(*Section) float64, least float64) {
	worst, at := least, -1
	for i := range q.Sections {
		if v := value(&q.Sections[i]); v > worst {
			worst, at = v, i
		}
	}
	if at >= 0 {
		q.Warnings = append(q.Warnings, Warning{Kind: kind, Station: q.Sections[at].Station, Value: worst, Side: side})
	}
}

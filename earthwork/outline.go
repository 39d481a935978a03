package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// crossSection is the design at one station and side: everything needed to cut
// a section but the ground.
type crossSection struct {
	crest, width float64
	up, down     []FacePart
	strip        float64
	trench       *TrenchPoint // nil where there is none
	byDepth      bool
	// outer is the section with room for overbuild and for layers outside the
	// outline, nil when there is neither.
	outer *crossSection
}

// at works out the design at a station, looked at from a side.
func (d *Design) at(station float64, side Side) crossSection {
	c := crossSection{byDepth: d.Trench.ByDepth}
	c.crest, c.width = d.CrestAt(station)
	c.up = d.ledges(partsAt(d.Upstream, station, side), c.crest, station, side)
	c.down = d.ledges(partsAt(d.Downstream, station, side), c.crest, station, side)
	c.strip = d.stripAt(station, side)
	c.trench = d.Trench.at(station, side)
	return c
}

// Stands tells whether the crest profile covers a station; a level crest of a
// single point covers all.
func (d *Design) Stands(station float64) bool {
	p := d.Crest
	return len(p) == 1 || (station >= p[0].Station && station <= p[len(p)-1].Station)
}

// CrestAt is the crest's elevation and width at a station, m, straight between
// points and level beyond them. The design needs a crest.
func (d *Design) CrestAt(station float64) (elevation, width float64) {
	p := d.Crest
	if len(p) == 1 || station <= p[0].Station {
		return p[0].Elevation, p[0].Width
	}
	for i := 1; i < len(p); i++ {
		if station <= p[i].Station {
			t := (station - p[i-1].Station) / (p[i].Station - p[i-1].Station)
			return mix(p[i-1].Elevation, p[i].Elevation, t), mix(p[i-1].Width, p[i].Width, t)
		}
	}
	last := p[len(p)-1]
	return last.Elevation, last.Width
}

// at returns the trench at a station, nil where there is none.
func (t Trench) at(station float64, side Side) *TrenchPoint {
	p := t.Points
	if len(p) == 1 {
		return &p[0]
	}
	if len(p) == 0 || !covers(p[0].Station, p[len(p)-1].Station, station, side) {
		return nil
	}
	i := 1
	for i < len(p)-1 && station > p[i].Station {
		i++
	}
	a, b := p[i-1], p[i]
	f := (station - a.Station) / (b.Station - a.Station)
	return &TrenchPoint{
		Station:     station,
		BottomWidth: mix(a.BottomWidth, b.BottomWidth, f),
		SideSlope:   mix(a.SideSlope, b.SideSlope, f),
		Level:       mix(a.Level, b.Level, f),
		Offset:      mix(a.Offset, b.Offset, f),
	}
}

// covers tells whether the reach from..to holds at a station seen from a side.
func covers(from, to, station float64, side Side) bool {
	if side == JustBefore {
		return from+sameStation < station && station <= to+sameStation
	}
	return from-sameStation <= station && station < to-sameStation
}

// partsAt returns the parts that stand at a station.
func partsAt(parts []FacePart, station float64, side Side) []FacePart {
	n := 0
	for _, p := range parts {
		if covers(p.From, p.To, station, side) {
			n++
		}
	}
	if n == len(parts) {
		return parts
	}
	out := make([]FacePart, 0, n)
	for _, p := range parts {
		if covers(p.From, p.To, station, side) {
			out = append(out, p)
		}
	}
	return out
}

// sameLedge is how close the crest's level is to that of a bench where a station
// stands for the place at which the two meet, m: as close as sameStation takes
// stations as one, on a crest that falls no steeper than 1 in 1.
const sameLedge = sameStation

// ledges returns the parts of a face with those settled that end just at the
// crest's level. On the side of the station where the crest is higher such a part
// still has its bench; on the other it is left out with it.
func (d *Design) ledges(parts []FacePart, crest, station float64, side Side) []FacePart {
	for i, p := range parts {
		if !(p.Bench > 0) || math.Abs(p.ToElevation-crest) > sameLedge {
			continue
		}
		parts = slices.Clone(parts)
		parts[i].ToElevation, parts[i].ledge = crest, d.higherBeside(station, side)
		break
	}
	return parts
}

// higherBeside tells whether the crest is higher on the given side of a station.
func (d *Design) higherBeside(station float64, side Side) bool {
	p := d.Crest
	for i := 1; i < len(p); i++ {
		if covers(p[i-1].Station, p[i].Station, station, side) {
			if side == JustBefore {
				return p[i-1].Elevation > p[i].Elevation
			}
			return p[i].Elevation > p[i-1].Elevation
		}
	}
	return false
}

// benchEnds returns the stations at which the crest comes down to a bench, which
// ends there with its whole width.
func (d *Design) benchEnds() []float64 {
	var out []float64
	for _, p := range slices.Concat(d.Upstream, d.Downstream) {
		if !(p.Bench > 0) {
			continue
		}
		for i := 1; i < len(d.Crest); i++ {
			a, b := d.Crest[i-1], d.Crest[i]
			if (a.Elevation-p.ToElevation)*(b.Elevation-p.ToElevation) > 0 || a.Elevation == b.Elevation {
				continue
			}
			if s := mix(a.Station, b.Station, (a.Elevation-p.ToElevation)/(a.Elevation-b.Elevation)); s >= p.From && s <= p.To {
				out = append(out, s)
			}
		}
	}
	return out
}

// raised returns the section with its crest raised by the allowance a times the
// height over the level g, slopes kept. Benches rise by the same share of their
// own height, so that they settle to where the design has them.
func (c crossSection) raised(a, g float64) crossSection {
	c.crest = rise(c.crest, a, g)
	c.up, c.down = raiseParts(c.up, a, g), raiseParts(c.down, a, g)
	return c
}

func raiseParts(parts []FacePart, a, g float64) []FacePart {
	out := make([]FacePart, len(parts))
	for i, p := range parts {
		p.ToElevation = rise(p.ToElevation, a, g)
		out[i] = p
	}
	return out
}

// rise lifts an elevation by the share a of its height over g; what lies at or
// below g stays.
func rise(z, a, g float64) float64 {
	if z <= g || math.IsInf(z, 1) {
		return z
	}
	return z + a*(z-g)
}

// face returns the side's corners from the crest's edge out to at least the
// distance reach, the last one on the last slope.
func (c crossSection) face(parts []FacePart, reach float64) faceLine {
	return c.faceOn(make(faceLine, 0, 2*len(parts)+1), parts, reach)
}

// faceOn is face, put on the empty list given.
func (c crossSection) faceOn(points faceLine, parts []FacePart, reach float64) faceLine {
	x, z := c.width/2, c.crest
	points = append(points, facePoint{x, z})
	slope := parts[len(parts)-1].Slope
	for _, p := range parts {
		slope = p.Slope
		if math.IsInf(p.ToElevation, -1) {
			break
		}
		if p.ToElevation >= z {
			if p.ledge {
				x += p.Bench
				points = append(points, facePoint{x, z})
			}
			continue
		}
		x += p.Slope * (z - p.ToElevation)
		z = p.ToElevation
		points = append(points, facePoint{x, z})
		if p.Bench > 0 {
			x += p.Bench
			points = append(points, facePoint{x, z})
		}
	}
	if reach > x {
		points = append(points, facePoint{reach, z - (reach-x)/slope})
	}
	return points
}

// outline returns the design's surface from offset from to offset to, which
// must lie on either side of 0.
func (c crossSection) outline(from, to float64) geometry.Line {
	return joinedFaces(c.face(c.up, -from), c.face(c.down, to))
}

// joinedFaces is the line down both faces from the crest between them.
func joinedFaces(up, down faceLine) geometry.Line {
	out := make(geometry.Line, 0, len(up)+len(down))
	for i := len(up) - 1; i >= 0; i-- {
		out = append(out, geometry.Knot{Offset: -up[i].out, Elevation: up[i].z})
	}
	for _, p := range down {
		out = append(out, geometry.Knot{Offset: p.out, Elevation: p.z})
	}
	return out
}

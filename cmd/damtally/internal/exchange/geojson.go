package exchange

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// RFC 7946 knows longitude and latitude alone, and lets others be used where both
// sides agree (section 4). So the file says in words what its coordinates are.

// collection is the head of a GeoJSON file, with two members of our own; its
// features follow, one a line.
type collection struct {
	Type       string     `json:"type"`
	Name       string     `json:"name"`
	Note       string     `json:"note"`
	Coordinate coordinate `json:"coordinates_in"`
}

// coordinate says what the coordinates are.
type coordinate struct {
	Unit   string  `json:"unit"`
	Metres float64 `json:"metres_in_one"`
	Axes   string  `json:"axes"`
	Datum  string  `json:"datum,omitempty"`
}

type feature struct {
	Type       string         `json:"type"`
	Properties map[string]any `json:"properties"` // written in the order of their names
	Geometry   shape          `json:"geometry"`
}

// shape is a geometry whose coordinates are written already.
type shape struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
}

// mapmaker gathers features.
type mapmaker struct {
	*scribe
	features []feature
}

// geoJSON is the dam in plan.
func (s *scribe) geoJSON() ([]byte, error) {
	m := &mapmaker{scribe: s}
	m.dam()
	m.sections()
	m.pits()
	m.pools()
	m.borings()
	m.hauls()
	name := s.r.Site.Settings.Name
	if name == "" {
		name = "dam"
	}
	var out bytes.Buffer
	head, err := compact(collection{
		Type: "FeatureCollection", Name: name, Note: s.gridNote() + " Quantities to plan by, no design.",
		Coordinate: coordinate{s.grid.Name, s.grid.SI, "east, north", s.r.Site.Settings.Datum},
	})
	if err != nil {
		return nil, err
	}
	out.Write(head[:len(head)-1])
	out.WriteString(",\"features\":[")
	for i, f := range m.features {
		if i > 0 {
			out.WriteByte(',')
		}
		line, err := compact(f)
		if err != nil {
			return nil, err
		}
		out.WriteByte('\n')
		out.Write(line)
	}
	out.WriteString("\n]}\n")
	return out.Bytes(), nil
}

// compact is a value as JSON on one line.
func compact(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimRight(out.Bytes(), "\n"), err
}

// add puts in a feature. A property that is no number is left out.
func (m *mapmaker) add(kind, name string, g shape, properties map[string]any) {
	all := map[string]any{"kind": kind}
	if name != "" {
		all["name"] = name
	}
	for key, v := range properties {
		if x, ok := v.(float64); ok {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				continue
			}
			v = json.Number(fixed(x, gridDecimals))
		}
		all[key] = v
	}
	m.features = append(m.features, feature{"Feature", all, g})
}

// dam draws centreline, footprint, toes, crest, benches and trench.
func (m *mapmaker) dam() {
	v, q := m.r.Plan, &m.r.Quantities
	length, area := m.system.Length, m.system.Area
	m.add("centreline", "", m.line(v.Centreline), map[string]any{
		"from_station_" + length.Name: length.FromSI(v.Line.Start()), "to_station_" + length.Name: length.FromSI(v.Line.End()),
	})
	for _, ring := range v.Footprint {
		m.add("footprint", "", m.polygon(orb.Polygon{ring}), map[string]any{"area_" + area.Name: area.FromSI(q.Footprint)})
	}
	for _, l := range []struct {
		kind, side string
		lines      orb.MultiLineString
	}{
		{"toe", "upstream", v.UpstreamToe},
		{"toe", "downstream", v.DownstreamToe},
		{"crest edge", "upstream", v.CrestUpstream},
		{"crest edge", "downstream", v.CrestDownstream},
	} {
		for _, line := range l.lines {
			m.add(l.kind, "", m.line(line), map[string]any{"side": l.side})
		}
	}
	for _, line := range v.Breaks {
		m.add("break of slope", "", m.line(line), nil)
	}
	for _, ring := range v.TrenchTop {
		m.add("trench", "", m.polygon(orb.Polygon{ring}), nil)
	}
}

// sections draws each section from toe to toe.
func (m *mapmaker) sections() {
	length, area := m.system.Length, m.system.Area
	for i := range m.r.Quantities.Sections {
		s := &m.r.Quantities.Sections[i]
		if !s.Fill {
			continue
		}
		f := m.frame(s)
		m.add("section", m.system.Station(s.Station), m.line(orb.LineString{f.Plan(s.UpstreamToe), f.Plan(s.DownstreamToe)}), map[string]any{
			"station_" + length.Name: length.FromSI(s.Station), "at": string(s.At), "crest_" + length.Name: length.FromSI(s.Crest),
			"ground_" + length.Name: length.FromSI(s.GroundLevel), "area_" + area.Name: area.FromSI(s.Neat.Area),
			"trench_" + area.Name:                  area.FromSI(s.Trench.Area),
			"upstream_toe_offset_" + length.Name:   length.FromSI(s.UpstreamToe),
			"downstream_toe_offset_" + length.Name: length.FromSI(s.DownstreamToe),
		})
	}
}

// frame is a section's place in plan.
func (s *scribe) frame(c *earthwork.Section) geometry.Frame {
	return s.r.Plan.Line.Frame(c.Station, c.At == earthwork.After)
}

// pits draws the boundary of each pit.
func (m *mapmaker) pits() {
	volume, area, length := m.system.Volume, m.system.Area, m.system.Length
	for i, ring := range m.r.Plan.Pits {
		if len(ring) < 4 {
			continue
		}
		p := &m.r.Pits[i]
		m.add("pit", p.Row.Name, m.polygon(orb.Polygon{ring}), map[string]any{
			"material": p.Row.Material, "area_" + area.Name: area.FromSI(p.Capacity.Area), "capacity_bank_" + volume.Name: volume.FromSI(p.Capacity.Bank),
			"topsoil_bank_" + volume.Name: volume.FromSI(p.Capacity.Strip), "dug_to_" + length.Name: length.FromSI(p.Capacity.DugTo),
		})
	}
}

// pools draws the edge of the water at each level that the site names.
func (m *mapmaker) pools() {
	length := m.system.Length
	for _, p := range m.r.Plan.Pools {
		level := map[string]any{"level_" + length.Name: length.FromSI(p.Level)}
		for _, water := range p.Water {
			m.add("pool", p.Name, m.polygon(water), level)
		}
		for _, edge := range p.Open {
			m.add("edge of pool", p.Name, m.line(edge), level)
		}
	}
}

// line and polygon write coordinates in the site's grid.
func (m *mapmaker) line(l orb.LineString) shape {
	return shape{"LineString", m.points(l)}
}

func (m *mapmaker) polygon(p orb.Polygon) shape {
	var out bytes.Buffer
	out.WriteByte('[')
	for i, ring := range p {
		if i > 0 {
			out.WriteByte(',')
		}
		out.Write(m.points(orb.LineString(ring)))
	}
	out.WriteByte(']')
	return shape{"Polygon", out.Bytes()}
}

func (m *mapmaker) points(l orb.LineString) []byte {
	out := []byte{'['}
	for i, p := range l {
		if i > 0 {
			out = append(out, ',')
		}
		x, y := m.place(p)
		out = append(append(append(append(append(out, '['), fixed(x, gridDecimals)...), ','), fixed(y, gridDecimals)...), ']')
	}
	return append(out, ']')
}

package terrain

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

func beginsGeoJSON(head []byte) bool {
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	return len(head) > 0 && head[0] == '{'
}

// geoReader gathers what a GeoJSON file holds: points and lines with elevations
// as ground, polygons as limits. RFC 7946, sections 3.1 to 3.3.
type geoReader struct {
	s       *source
	feature int // counted from 1; 0 for a file of a single geometry

	points  [][3]float64
	lines   [][]int // through points
	outer   [][][2]float64
	holes   [][][2]float64
	low     [2]float64
	high    [2]float64
	noLevel int // points and lines without elevations
	level0  int // points whose elevation stands for none
}

// readGeoJSON reads a GeoJSON file in grid coordinates. RFC 7946 knows longitude
// and latitude alone; such files are refused, others are taken when their unit is
// given.
func readGeoJSON(s *source, opt Options) (Found, error) {
	r := &geoReader{s: s, low: [2]float64{math.Inf(1), math.Inf(1)}, high: [2]float64{math.Inf(-1), math.Inf(-1)}}
	d := json.NewDecoder(skipMark(s.stream(opt)))
	if err := r.document(d); err != nil {
		return Found{}, r.broken(err, d)
	}
	if r.inDegrees(opt) {
		return Found{}, s.inDegrees()
	}
	g, err := s.gather(opt)
	if err != nil {
		return Found{}, err
	}
	return r.found(g)
}

// skipMark passes over a byte order mark.
func skipMark(r io.Reader) io.Reader {
	mark := make([]byte, 3)
	n, err := io.ReadFull(r, mark)
	mark = bytes.TrimPrefix(mark[:n], []byte("\ufeff"))
	if err != nil {
		return bytes.NewReader(mark)
	}
	return io.MultiReader(bytes.NewReader(mark), r)
}

// broken says where JSON is no JSON.
func (r *geoReader) broken(err error, d *json.Decoder) error {
	var known *Error
	if errors.As(err, &known) {
		return known
	}
	where := fmt.Sprintf("byte %d", d.InputOffset())
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return r.s.fault(where, "the file ends too soon", "copy or export it again")
	}
	return r.s.fault(where, "it is no GeoJSON: "+err.Error(), "export it again")
}

// geoFeature is a feature; its properties are not looked at.
type geoFeature struct {
	Type     string       `json:"type"`
	Geometry *geoGeometry `json:"geometry"`
}

// geoGeometry is a geometry whose coordinates wait until its type is known.
type geoGeometry struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
	Geometries  []geoGeometry   `json:"geometries"`
}

// document reads the whole file, feature by feature.
func (r *geoReader) document(d *json.Decoder) error {
	if t, err := d.Token(); err != nil {
		return err
	} else if t != json.Delim('{') {
		return r.s.fault("byte 0", "it is no GeoJSON object", "export it again")
	}
	var single geoGeometry
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return err
		}
		switch key {
		case "features":
			err = r.features(d)
		case "type":
			err = d.Decode(&single.Type)
		case "coordinates":
			err = d.Decode(&single.Coordinates)
		case "geometries":
			err = d.Decode(&single.Geometries)
		case "geometry":
			var g *geoGeometry
			if err = d.Decode(&g); err == nil && g != nil {
				err = r.take(*g, 0)
			}
		default:
			var other json.RawMessage
			err = d.Decode(&other)
		}
		if err != nil {
			return err
		}
	}
	if _, err := d.Token(); err != nil {
		return err
	}
	if single.Coordinates != nil || single.Geometries != nil {
		return r.take(single, 0)
	}
	return nil
}

func (r *geoReader) features(d *json.Decoder) error {
	if t, err := d.Token(); err != nil {
		return err
	} else if t != json.Delim('[') {
		return r.s.fault("", "its `features` are no list", "export it again")
	}
	for d.More() {
		r.feature++
		var f geoFeature
		if err := d.Decode(&f); err != nil {
			return err
		}
		if f.Geometry == nil {
			continue
		}
		if err := r.take(*f.Geometry, 0); err != nil {
			return err
		}
	}
	_, err := d.Token()
	return err
}

// deepest is how deep collections of geometries may lie in one another.
const deepest = 8

// take takes a geometry by its type.
func (r *geoReader) take(g geoGeometry, depth int) error {
	if depth > deepest {
		return r.wrong("collections lie too deep in one another")
	}
	switch g.Type {
	case "Point":
		return coordinates(r, g, func(p []float64) error { return r.point(p) })
	case "MultiPoint":
		return coordinates(r, g, func(list [][]float64) error { return each(list, r.point) })
	case "LineString":
		return coordinates(r, g, r.line)
	case "MultiLineString":
		return coordinates(r, g, func(list [][][]float64) error { return each(list, r.line) })
	case "Polygon":
		return coordinates(r, g, r.polygon)
	case "MultiPolygon":
		return coordinates(r, g, func(list [][][][]float64) error { return each(list, r.polygon) })
	case "GeometryCollection":
		return each(g.Geometries, func(one geoGeometry) error { return r.take(one, depth+1) })
	}
	return r.wrong(fmt.Sprintf("there is no geometry of type %s", units.Quote(shorten(g.Type))))
}

func (r *geoReader) wrong(what string) error {
	where := ""
	if r.feature > 0 {
		where = fmt.Sprintf("feature %d", r.feature)
	}
	return r.s.fault(where, what, "mend it, or export the file again")
}

// coordinates reads the coordinates of a geometry and hands them on.
func coordinates[T any](r *geoReader, g geoGeometry, use func(T) error) error {
	var v T
	if len(g.Coordinates) == 0 {
		return r.wrong("a " + g.Type + " has no coordinates")
	}
	if err := json.Unmarshal(g.Coordinates, &v); err != nil {
		return r.wrong("the coordinates of a " + g.Type + " are no lists of numbers as its type asks for")
	}
	return use(v)
}

func each[T any](list []T, use func(T) error) error {
	for _, one := range list {
		if err := use(one); err != nil {
			return err
		}
	}
	return nil
}

// see checks a position and widens the bounds.
func (r *geoReader) see(p []float64) error {
	if len(p) < 2 {
		return r.wrong("a position has fewer than two numbers")
	}
	for k := range 2 {
		r.low[k], r.high[k] = min(r.low[k], p[k]), max(r.high[k], p[k])
	}
	return nil
}

func (r *geoReader) point(p []float64) error {
	if err := r.see(p); err != nil {
		return err
	}
	switch {
	case len(p) < 3:
		r.noLevel++
	case noGround(p[2]):
		r.level0++
	default:
		r.points = append(r.points, [3]float64{p[0], p[1], p[2]})
	}
	return nil
}

// line takes a line as a breakline. Where an elevation is missing it is no
// ground at all.
func (r *geoReader) line(list [][]float64) error {
	first := len(r.points)
	var line []int
	for _, p := range list {
		before := len(r.points)
		if err := r.point(p); err != nil {
			return err
		}
		if len(r.points) > before {
			line = append(line, before)
		}
	}
	if len(line) < len(list) { // parts between known points would be guesses
		r.points = r.points[:first]
		r.noLevel++
		return nil
	}
	r.lines = append(r.lines, line)
	return nil
}

// polygon takes a polygon as a limit: its first ring is the outer one. Rings of
// either direction are taken.
func (r *geoReader) polygon(rings [][][]float64) error {
	for i, ring := range rings {
		if len(ring) < 4 {
			return r.wrong("a ring has fewer than four positions, the last as the first")
		}
		var out [][2]float64
		for _, p := range ring {
			if err := r.see(p); err != nil {
				return err
			}
			out = append(out, [2]float64{p[0], p[1]})
		}
		if out[0] != out[len(out)-1] {
			return r.wrong("a ring is not closed: its last position is not its first")
		}
		if i == 0 {
			r.outer = append(r.outer, out)
		} else {
			r.holes = append(r.holes, out)
		}
	}
	return nil
}

// inDegrees reports coordinates that are longitude and latitude: all within 180
// and 90, and either close together, as a site is in degrees, or away from the
// site when they are taken as a grid.
func (r *geoReader) inDegrees(opt Options) bool {
	if !(r.low[0] <= r.high[0] && r.low[0] >= -180 && r.high[0] <= 180 && r.low[1] >= -90 && r.high[1] <= 90) {
		return false
	}
	if opt.Unit.SI == 0 || r.high[0]-r.low[0] < 1 && r.high[1]-r.low[1] < 1 {
		return true
	}
	b := orb.Bound{
		Min: orb.Point{opt.Unit.ToSI(r.low[0]), opt.Unit.ToSI(r.low[1])},
		Max: orb.Point{opt.Unit.ToSI(r.high[0]), opt.Unit.ToSI(r.high[1])},
	}
	return opt.whole() || !moved(b, opt.Origin, -1).Intersects(opt.Window)
}

// found converts what was read.
func (r *geoReader) found(g *gatherer) (Found, error) {
	f := Found{Unit: g.plan, Breaklines: r.lines}
	if len(r.points) > mostGround {
		return f, g.tooMany()
	}
	for i, p := range r.points {
		if err := g.sound(fmt.Sprintf("point %d", i+1), p[0], p[1], p[2]); err != nil {
			return f, err
		}
		f.Points = append(f.Points, geometry.GroundPoint{At: g.place(p[0], p[1]), Elevation: g.level(p[2])})
	}
	for _, list := range [2]struct {
		from [][][2]float64
		to   *[]orb.Ring
	}{{r.outer, &f.Boundary}, {r.holes, &f.Holes}} {
		for _, ring := range list.from {
			var out orb.Ring
			for _, p := range ring {
				if err := g.soundPlace("a polygon", p[0], p[1]); err != nil {
					return f, err
				}
				out = append(out, g.place(p[0], p[1]))
			}
			*list.to = append(*list.to, out)
		}
	}
	if len(f.Points) == 0 && len(f.Boundary) == 0 {
		what := "it holds neither points with elevations nor polygons"
		if r.noLevel+r.level0 > 0 {
			what = "none of its points and lines has elevations"
		}
		return f, r.s.fault("", what, "export it with elevations as the third number of each position")
	}
	f.Bound = orb.Bound{Min: g.place(r.low[0], r.low[1]), Max: g.place(r.high[0], r.high[1])}
	if n := r.noLevel + r.level0; n > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("%d points or lines without elevations left out", n))
	}
	return f, nil
}

package terrain

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// drawnSurface is a surface as its file has it: northing, easting, elevation.
type drawnSurface struct {
	name      string
	ids       idIndex
	points    [][3]float64 // by number of id
	defined   []bool
	wanted    map[int32]int // the line on which a face first named a number
	refers    []reference
	faces     [][3]int32
	invisible int
	quads     int

	loose    [][3]float64 // of the source data
	lines    [][][3]float64
	outer    [][][3]float64
	holes    [][][3]float64
	noLevels int // lines or points of the source data without elevations
}

// reference is a point whose place another point has.
type reference struct {
	number int32
	name   string
	line   int
}

// idIndex numbers ids in the order in which they are first seen. Ids that are
// plain numbers, as most are, take little room.
type idIndex struct {
	small []int32 // number + 1 by id
	large map[uint64]int32
	named map[string]int32
	count int32
}

// roomFor is how far ahead of the count an id may be and still have a place in
// a plain list.
const roomFor = 1 << 12

func (x *idIndex) number(id []byte) int32 {
	v, ok := wholeNumber(id)
	switch {
	case ok && v < 4*uint64(x.count)+roomFor:
		for uint64(len(x.small)) <= v {
			x.small = append(x.small, 0)
		}
		if x.small[v] == 0 {
			if n, there := x.large[v]; there { // seen when the list was shorter
				x.small[v] = n + 1
			} else {
				x.count++
				x.small[v] = x.count
			}
		}
		return x.small[v] - 1
	case ok:
		if v < uint64(len(x.small)) && x.small[v] > 0 {
			return x.small[v] - 1
		}
		return numberIn(&x.large, v, &x.count)
	}
	return numberIn(&x.named, string(id), &x.count)
}

func numberIn[K comparable](m *map[K]int32, key K, count *int32) int32 {
	if n, ok := (*m)[key]; ok {
		return n
	}
	if *m == nil {
		*m = map[K]int32{}
	}
	n := *count
	(*m)[key] = n
	*count++
	return n
}

// wholeNumber reads an id that is a number without leading zeros.
func wholeNumber(id []byte) (uint64, bool) {
	if len(id) == 0 || len(id) > 18 || id[0] == '0' && len(id) > 1 {
		return 0, false
	}
	var v uint64
	for _, c := range id {
		if c < '0' || c > '9' {
			return 0, false
		}
		v = 10*v + uint64(c-'0')
	}
	return v, true
}

// name finds the id of a number, for a message.
func (x *idIndex) name(number int32) string {
	for id, n := range x.small {
		if n == number+1 {
			return strconv.Itoa(id)
		}
	}
	for id, n := range x.large {
		if n == number {
			return strconv.FormatUint(id, 10)
		}
	}
	for id, n := range x.named {
		if n == number {
			return id
		}
	}
	return ""
}

// surface reads a surface.
func (x *landXML) surface(e element) error {
	d := &drawnSurface{name: strings.Clone(e.attr("name")), wanted: map[int32]int{}}
	x.surfaces = append(x.surfaces, d)
	return x.inside(e, func(in element) error {
		switch in.name {
		case "Definition":
			return x.inside(in, func(part element) error { return x.definition(d, part) }, nil)
		case "SourceData":
			return x.inside(in, func(part element) error { return x.sourceData(d, part) }, nil)
		}
		return x.skip(in)
	}, nil)
}

func (x *landXML) definition(d *drawnSurface, e element) error {
	switch e.name {
	case "Pnts":
		plain := func() error {
			return x.plain("P", func(p plainElement) (bool, error) { return x.plainPoint(d, p) })
		}
		return x.insidePlain(e, plain, func(p element) error {
			if p.name != "P" {
				return x.skip(p)
			}
			return x.surfacePoint(d, p)
		})
	case "Faces":
		plain := func() error {
			return x.plain("F", func(f plainElement) (bool, error) { return x.plainFace(d, f) })
		}
		return x.insidePlain(e, plain, func(f element) error {
			if f.name != "F" {
				return x.skip(f)
			}
			return x.face(d, f)
		})
	}
	return x.skip(e)
}

// surfacePoint reads a P.
func (x *landXML) surfacePoint(d *drawnSurface, e element) error {
	id := strings.TrimSpace(e.attr("id"))
	if id == "" || len(id) > longestID {
		return x.faultAt(e.line, "a point has no id", "export it again")
	}
	refers, at, err := x.place(e)
	if err != nil {
		return err
	}
	if err := x.definePoint(d, []byte(id), at, e.line); err != nil {
		return err
	}
	if refers != "" {
		d.refers = append(d.refers, reference{d.number([]byte(id), 0), refers, e.line})
	}
	return nil
}

// definePoint keeps the place of a point.
func (x *landXML) definePoint(d *drawnSurface, id []byte, at [3]float64, line int) error {
	n := d.number(id, 0)
	if d.defined[n] {
		return x.faultAt(line, fmt.Sprintf("two points have the id %s", shorten(string(id))), "export it again")
	}
	d.defined[n], d.points[n] = true, at
	return nil
}

// number is the number of an id, with room for its point. line is that of a
// face, 0 for a point.
func (d *drawnSurface) number(id []byte, line int) int32 {
	n := d.ids.number(id)
	if int(n) == len(d.points) {
		d.points, d.defined = append(d.points, [3]float64{}), append(d.defined, false)
		if line > 0 {
			d.wanted[n] = line
		}
	}
	return n
}

// face reads an F: three ids, or the four of a grid's cell.
func (x *landXML) face(d *drawnSurface, e element) error {
	var err error
	if x.buffer, err = x.text(e, x.buffer); err != nil {
		return err
	}
	if e.attr("i") == "1" {
		d.invisible++
		return nil
	}
	var corners [4]int32
	count := 0
	for rest := x.buffer; ; count++ {
		var id []byte
		if id, rest = nextWord(rest); len(id) == 0 {
			break
		}
		if count == len(corners) || len(id) > longestID {
			count = len(corners) + 1
			break
		}
		corners[count] = d.number(id, e.line)
	}
	switch count {
	case 3:
		d.faces = append(d.faces, [3]int32(corners[:3]))
	case 4:
		d.quads++
		d.faces = append(d.faces, [3]int32{corners[0], corners[1], corners[2]}, [3]int32{corners[0], corners[2], corners[3]})
	default:
		return x.faultAt(e.line, "a face does not name three points", "export it again")
	}
	return nil
}

// sourceData reads what a surface was made of.
func (x *landXML) sourceData(d *drawnSurface, e element) error {
	into := func(e element, take func(element) error) error { return x.inside(e, take, nil) }
	switch e.name {
	case "DataPoints":
		return into(e, func(in element) error {
			list, err := x.list(d, in, noElevation)
			d.loose = append(d.loose, list...)
			return err
		})
	case "Breaklines":
		return into(e, func(line element) error { return into(line, x.lineTaker(d, noElevation)) })
	case "Contours":
		return into(e, func(line element) error {
			level, ok := parseDecimal([]byte(line.attr("elev")))
			if !ok {
				level = noElevation
			}
			return into(line, x.lineTaker(d, level))
		})
	case "Boundaries":
		return into(e, func(b element) error {
			return into(b, func(in element) error {
				ring, err := x.list(nil, in, 0)
				if len(ring) < 3 {
					return err
				}
				if b.attr("bndType") == "outer" {
					d.outer = append(d.outer, ring)
				} else { // void, or island: ground again within a void
					d.holes = append(d.holes, ring)
				}
				return err
			})
		})
	}
	return x.skip(e)
}

// lineTaker takes a list of places as a breakline.
func (x *landXML) lineTaker(d *drawnSurface, level float64) func(element) error {
	return func(in element) error {
		line, err := x.list(d, in, level)
		if len(line) > 1 {
			d.lines = append(d.lines, line)
		}
		return err
	}
}

// list reads PntList3D, and PntList2D where a level stands for its elevations.
func (x *landXML) list(d *drawnSurface, e element, level float64) ([][3]float64, error) {
	each := map[string]int{"PntList3D": 3, "PntList2D": 2}[e.name]
	if each == 0 {
		return nil, x.skip(e)
	}
	v, err := x.coordinates(e)
	if err != nil {
		return nil, err
	}
	if len(v)%each != 0 {
		return nil, x.faultAt(e.line, fmt.Sprintf("<%s> holds %d numbers, which are not %d for each point", e.name, len(v), each), "export it again")
	}
	if each == 2 && level == noElevation {
		d.noLevels++
		return nil, nil
	}
	out := make([][3]float64, 0, len(v)/each)
	for ; len(v) > 0; v = v[each:] {
		p := [3]float64{v[0], v[1], level}
		if each == 3 {
			p[2] = v[2]
		}
		out = append(out, p)
	}
	return out, nil
}

// build makes ground of a surface: of its own triangles as they are, or where it
// has none of its points, breaklines and boundaries.
func (x *landXML) build(d *drawnSurface, g *gatherer, f *Found) error {
	for _, r := range d.refers {
		p, err := x.refer(r.name, r.line)
		if err != nil {
			return err
		}
		d.points[r.number] = p
	}
	points := make([]geometry.GroundPoint, len(d.points))
	for i, p := range d.points {
		if !d.defined[i] {
			return x.faultAt(d.wanted[int32(i)], fmt.Sprintf("a face names the point %s, which is not there", shorten(d.ids.name(int32(i)))), "export the surface again, with all its points")
		}
		if p[2] == noElevation {
			return x.s.fault("", fmt.Sprintf("point %s of the surface has no elevation", shorten(d.ids.name(int32(i)))), "export it again with elevations")
		}
		var err error
		if points[i], err = x.groundPoint(g, p); err != nil {
			return err
		}
	}
	if len(d.faces) == 0 {
		return x.loosePoints(d, points, g, f)
	}
	surface, err := geometry.NewFaces(points, d.faces)
	if err != nil {
		return x.facesFault(d, err, g)
	}
	f.Surface = surface
	f.Notes = append(f.Notes, d.notes(surface.Summary())...)
	return nil
}

// groundPoint converts a point: northing comes first in the file.
func (x *landXML) groundPoint(g *gatherer, p [3]float64) (geometry.GroundPoint, error) {
	if err := g.sound("", p[1], p[0], p[2]); err != nil {
		return geometry.GroundPoint{}, err
	}
	at := g.place(p[1], p[0])
	g.see(at)
	return geometry.GroundPoint{At: at, Elevation: g.level(p[2])}, nil
}

func (d *drawnSurface) notes(s geometry.FacesSummary) []string {
	notes := []string{fmt.Sprintf("the surface %s is taken as its %s, as they are", strings.TrimSpace(shorten(d.name)), plural(s.Triangles, "triangle"))}
	for _, n := range []struct {
		count int
		text  string
	}{
		{d.invisible, "marked as invisible left out"},
		{s.Flat, "without area left out"},
		{s.Repeated, "that stand twice left out once"},
	} {
		if n.count > 0 {
			notes = append(notes, plural(n.count, "triangle")+" "+n.text)
		}
	}
	if d.quads > 0 {
		notes = append(notes, plural(d.quads, "four-cornered face")+" cut in two from the first corner named to the third")
	}
	return notes
}

// facesFault says in the file's words what is wrong with its triangles.
func (x *landXML) facesFault(d *drawnSurface, err error, g *gatherer) error {
	var e *geometry.FacesError
	if !errors.As(err, &e) {
		return err
	}
	what, mend := e.Rule.String(), "export the surface again"
	if e.Rule == geometry.FacesOverlap {
		var ids [2]string
		for k, i := range e.Faces {
			for c, v := range d.faces[i] {
				ids[k] += strings.Repeat(" ", min(c, 1)) + shorten(d.ids.name(v))
			}
		}
		what = fmt.Sprintf("two faces lie over one another near x %.2f, y %.2f: those of the points %s and of the points %s",
			g.plan.FromSI(e.At[0]+g.opt.Origin[0]), g.plan.FromSI(e.At[1]+g.opt.Origin[1]), ids[0], ids[1])
		mend = "a surface has one elevation at each place; mend it in the program that drew it and export it again"
	}
	return x.s.fault("", what, mend)
}

// loosePoints takes a surface without triangles as points, breaklines and
// limits.
func (x *landXML) loosePoints(d *drawnSurface, points []geometry.GroundPoint, g *gatherer, f *Found) error {
	add := func(list [][3]float64) error {
		for _, p := range list {
			q, err := x.groundPoint(g, p)
			if err != nil {
				return err
			}
			points = append(points, q)
		}
		return nil
	}
	if err := add(d.loose); err != nil {
		return err
	}
	for _, list := range d.lines {
		first := len(points)
		if err := add(list); err != nil {
			return err
		}
		line := make([]int, len(list))
		for i := range line {
			line[i] = first + i
		}
		f.Breaklines = append(f.Breaklines, line)
	}
	if len(points) == 0 {
		return x.s.fault("", fmt.Sprintf("its surface %q holds neither faces nor points", shorten(d.name)), "export the surface with its points and faces")
	}
	for _, set := range [2]struct {
		from [][][3]float64
		to   *[]orb.Ring
	}{{d.outer, &f.Boundary}, {d.holes, &f.Holes}} {
		for _, list := range set.from {
			var ring orb.Ring
			for _, p := range list {
				if err := g.soundPlace("", p[1], p[0]); err != nil {
					return err
				}
				ring = append(ring, g.place(p[1], p[0]))
			}
			*set.to = append(*set.to, ring)
		}
	}
	f.Points = points
	f.Notes = append(f.Notes, fmt.Sprintf("the surface %s has no faces, so its points are joined by triangles here", strings.TrimSpace(shorten(d.name))))
	if d.noLevels > 0 {
		f.Notes = append(f.Notes, plural(d.noLevels, "list")+" of points without elevations left out")
	}
	return nil
}

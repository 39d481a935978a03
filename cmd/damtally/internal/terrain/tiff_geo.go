package terrain

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// Keys of the geo key directory and their values, OGC GeoTIFF Standard
// 19-008r4, annex B and D.
const (
	geoModelType    = 1024
	geoRasterType   = 1025
	geoProjected    = 3072
	geoLinearUnits  = 3076
	geoLinearSize   = 3077
	geoVertical     = 4096
	geoVerticalUnit = 4099

	modelProjected  = 1
	modelGeographic = 2
	modelGeocentric = 3

	rasterIsArea  = 1
	rasterIsPoint = 2

	userDefined = 32767
)

// geoUnitCodes are the EPSG codes of units of length.
var geoUnitCodes = map[uint16]string{9001: "m", 9002: "ft", 9003: "ftUS"}

// geoVerticalCodes are the units of vertical reference systems by EPSG code, for
// files that name the system without its unit: NAVD88, NGVD29, EGM2008, EGM96,
// mean sea level, EVRF2007, Newlyn.
var geoVerticalCodes = map[uint16]string{
	5703: "m", 6360: "ftUS", 8228: "ft", 5702: "ftUS", 3855: "m", 5773: "m", 5714: "m", 5621: "m", 5701: "m",
}

// geo is what the geo keys say.
type geo struct {
	model, raster       uint16
	projected           uint16     // EPSG code
	linear, vertical    units.Unit // zero where they say nothing
	verticalCode        uint16
	unknown, unknownVer uint16 // unit codes that are not known
}

// geoKeys reads the geo key directory; a file without has none of it.
func (t *tiff) geoKeys(tags map[uint16]entry) (geo, error) {
	g := geo{raster: rasterIsArea}
	e, ok := tags[tagGeoKeys]
	if !ok {
		return g, nil
	}
	if e.count < 4 || e.count > mostText {
		return g, t.fault(tagText(tagGeoKeys), fmt.Sprintf("it holds %d values", max(e.count, 0)), "export it again")
	}
	v, err := t.values(e, 0, e.count)
	if err != nil {
		return g, err
	}
	keys := map[uint16]uint16{}
	size := math.NaN()
	doubles, err := t.doubles(tags, tagGeoDoubles)
	if err != nil {
		return g, err
	}
	for i := 4; i+3 < len(v) && uint64(i/4) <= v[3]; i += 4 {
		switch id, at := uint16(v[i]), v[i+1]; {
		case at == 0:
			keys[id] = uint16(v[i+3])
		case at == tagGeoDoubles && id == geoLinearSize && v[i+3] < uint64(len(doubles)):
			size = doubles[v[i+3]]
		}
	}
	g.model, g.projected, g.verticalCode = keys[geoModelType], keys[geoProjected], keys[geoVertical]
	if r, ok := keys[geoRasterType]; ok {
		g.raster = r
	}
	g.units(keys, size)
	if g.raster != rasterIsArea && g.raster != rasterIsPoint {
		return g, t.fault(tagText(tagGeoKeys), fmt.Sprintf("raster type %d is neither area nor point", g.raster), "export it again")
	}
	return g, nil
}

// units finds the units that the keys name.
func (g *geo) units(keys map[uint16]uint16, size float64) {
	of := func(code uint16, names map[uint16]string) units.Unit {
		u, _ := units.Lookup(names[code])
		return u
	}
	code := keys[geoLinearUnits]
	g.linear = of(code, geoUnitCodes)
	if code == userDefined {
		for _, name := range []string{"m", "ft", "ftUS"} {
			if u, _ := units.Lookup(name); math.Abs(size-u.SI) < sameUnitSize*u.SI {
				g.linear = u
			}
		}
	}
	switch {
	case g.linear.SI == 0 && code == 0:
		g.linear = projectedUnit(g.projected)
	case g.linear.SI == 0:
		g.unknown = code
	}
	code = keys[geoVerticalUnit]
	g.vertical = of(code, geoUnitCodes)
	if code == 0 {
		g.vertical = of(g.verticalCode, geoVerticalCodes)
	} else if g.vertical.SI == 0 {
		g.unknownVer = code
	}
}

// sameUnitSize is how unlike, as a share, a unit's size may be to be that unit. The
// two feet differ by 2e-6; writers keep nine digits or more.
const sameUnitSize = 1e-7

// geoUnits decides the units of plan and elevation from what the options and the
// file say. Two that differ are an error; none for the plan is one too.
func (t *tiff) geoUnits(g geo, opt Options) (plan, elevation units.Unit, notes []string, err error) {
	switch {
	case g.model == modelGeographic:
		return plan, elevation, nil, t.fault(tagText(tagGeoKeys), "its places are in degrees of longitude and latitude, which measure no volume", "export it on a projected grid, such as state plane or UTM")
	case g.model == modelGeocentric:
		return plan, elevation, nil, t.fault(tagText(tagGeoKeys), "its places are measured from the centre of the earth", "export it on a projected grid, such as state plane or UTM")
	}
	plan, err = t.agree("unit", "across", opt.Unit, g.linear, g.unknown)
	if err != nil {
		return plan, elevation, nil, err
	}
	if plan.SI == 0 {
		return plan, elevation, nil, t.unitMissing(g)
	}
	elevation, err = t.agree("elevation unit", "up", opt.ElevationUnit, g.vertical, g.unknownVer)
	if err == nil && elevation.SI == 0 {
		elevation = plan
		notes = append(notes, fmt.Sprintf("the file does not say in which unit its elevations are; they are taken in %s, as its places are", plan.Name))
	}
	return plan, elevation, notes, err
}

// unitMissing asks for the unit of places.
func (t *tiff) unitMissing(g geo) error {
	what := "it does not say in which unit its places are"
	if g.projected != 0 && g.projected != userDefined {
		what += fmt.Sprintf(", only that they are on the grid EPSG %d", g.projected)
	}
	return t.atColumn("unit", "", what, "give its `unit`: m, ft or ftUS")
}

// atColumn is an error about an option.
func (s *source) atColumn(column, where, what, mend string) *Error {
	e := s.fault(where, what, mend)
	e.Column = column
	return e
}

// agree is the unit that was given or that the file names.
func (t *tiff) agree(column, way string, given, named units.Unit, unknown uint16) (units.Unit, error) {
	switch {
	case given.SI == 0 && unknown != 0:
		return given, t.atColumn(column, tagText(tagGeoKeys), fmt.Sprintf("its unit %s, code %d, is not known", way, unknown), fmt.Sprintf("give its `%s`", column))
	case given.SI == 0:
		return named, nil
	case named.SI != 0 && named.SI != given.SI:
		return given, t.atColumn(column, tagText(tagGeoKeys), fmt.Sprintf("the file says that it measures %s in %s, the `%s` given is %s", way, named.Name, column, given.Name), fmt.Sprintf("leave the `%s` blank, or mend the file", column))
	}
	return given, nil
}

// tiePlace is where the postings of a raster stand, in the file's units, and how
// a sample becomes an elevation: step x sample + base.
type tiePlace struct {
	raster
	step, base float64
	notes      []string
}

// placed finds where the postings stand.
func (t *tiff) placed(m *tiffImage, g geo) (tiePlace, error) {
	var v [3][]float64
	for i, tag := range [3]uint16{tagPixelScale, tagTiepoint, tagTransform} {
		var err error
		if v[i], err = t.doubles(m.tags, tag); err != nil {
			return tiePlace{}, err
		}
	}
	scale, tie, matrix := v[0], v[1], v[2]
	p := tiePlace{raster: raster{cols: m.cols, rows: m.rows}, step: 1}
	switch {
	case len(scale) == 3 && len(tie) > 6:
		return p, t.fault(tagText(tagTiepoint), "it ties several places, so that the grid may be bent", "export it on a regular grid")
	case len(scale) == 3 && len(tie) == 6:
		p.byTie(scale, tie)
	case len(matrix) == 16 && (matrix[8] != 0 || matrix[9] != 0):
		return p, t.fault(tagText(tagTransform), "its elevations depend on the place in the grid", "export it on a regular grid")
	case len(matrix) == 16:
		p.frame.At = orb.Point{matrix[3], matrix[7]}
		p.frame.Column, p.frame.Row = orb.Point{matrix[0], matrix[4]}, orb.Point{matrix[1], matrix[5]}
		p.vertical(matrix[10], matrix[11])
	default:
		if there, err := p.byWorld(t.source); there || err != nil {
			if err == nil {
				err = t.sound(p.raster)
			}
			return p, err
		}
		return p, t.fault("", "it does not say where it lies", "export it as a GeoTIFF with its place, or with a world file (.tfw) beside it")
	}
	if g.raster == rasterIsArea { // the tie is a cell's corner, its posting the middle
		p.frame.At = p.frame.Place(0.5, 0.5)
	}
	return p, t.sound(p.raster)
}

// byTie places the raster by one tied place and the size of a cell; rows run
// against the y of the grid.
func (p *tiePlace) byTie(scale, tie []float64) {
	p.frame.Column, p.frame.Row = orb.Point{scale[0], 0}, orb.Point{0, -scale[1]}
	p.frame.At = orb.Point{tie[3] - tie[0]*scale[0], tie[4] + tie[1]*scale[1]}
	p.vertical(scale[2], tie[5]-tie[2]*scale[2])
}

// vertical takes a vertical step and base; a step of 0 says that samples are
// elevations as they stand.
func (p *tiePlace) vertical(step, base float64) {
	if step != 0 {
		p.step, p.base = step, base
	} else if base != 0 {
		p.notes = append(p.notes, fmt.Sprintf("the file ties its place to the elevation %v but names no vertical step; that elevation is not added", base))
	}
}

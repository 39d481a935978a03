package terrain

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

const geoGround = `{"features":[
 {"type":"Feature","geometry":{"coordinates":[100,200,30],"type":"Point"},"properties":{"a":[1,{"b":2}]}},
 {"type":"Feature","geometry":null},
 {"type":"Feature","geometry":{"type":"MultiPoint","coordinates":[[900,200,31],[900,700,0],[500,500]]}},
 {"type":"Feature","geometry":{"type":"LineString","coordinates":[[100,300,40],[200,310,41],[300,300,42]]}},
 {"type":"Feature","geometry":{"type":"MultiLineString","coordinates":[[[100,400,40],[200,410]],[[1,2,3],[4,5,6]]]}},
 {"type":"Feature","geometry":{"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[7,8,9,10]}]}},
 {"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[0,0],[1000,0],[1000,1000],[0,0]],[[500,100],[600,100],[600,200],[500,100]]]}}
],"type":"FeatureCollection","crs":{"type":"name"}}`

func TestGeoJSON(t *testing.T) {
	found := must(t, []byte("\ufeff"+geoGround), "a.json", inFeet())
	if len(found.Points) != 8 || len(found.Breaklines) != 2 || len(found.Boundary) != 1 || len(found.Holes) != 1 || len(found.Notes) != 1 {
		t.Fatalf("%+v", found)
	}
	const ft = 0.3048
	samePoint(t, found.Points[0], 100*ft, 200*ft, 30*ft, 1e-12)
	samePoint(t, found.Points[found.Breaklines[0][2]], 300*ft, 300*ft, 42*ft, 1e-12)
	samePoint(t, found.Points[found.Breaklines[1][1]], 4*ft, 5*ft, 6*ft, 1e-12)
	samePoint(t, found.Points[7], 7*ft, 8*ft, 9*ft, 1e-12)
	if got := found.Holes[0][1]; got != (orb.Point{600 * ft, 100 * ft}) {
		t.Errorf("hole %v", found.Holes)
	}
	if found.Bound.Max != (orb.Point{1000 * ft, 1000 * ft}) {
		t.Errorf("bound %v", found.Bound)
	}
	single := must(t, []byte(`{"type":"Feature","geometry":{"type":"Point","coordinates":[1000,2,3]}}`), "a.geojson", inFeet())
	samePoint(t, single.Points[0], 1000*ft, 2*ft, 3*ft, 1e-12)
	pit := must(t, file(t, "pit.geojson"), "pit.geojson", inFeet())
	if len(pit.Boundary) != 1 || len(pit.Boundary[0]) != 5 {
		t.Errorf("pit %v", pit.Boundary)
	}
}

// RFC 7946 asks for longitude and latitude; no volume can be measured in them.
func TestGeoJSONInDegrees(t *testing.T) {
	text := []byte(`{"type":"MultiPoint","coordinates":[[-97.1,33.2,200],[-97.101,33.201,201],[-97.1,33.202,202]]}`)
	near := inFeet()
	near.Window = orb.Bound{Min: orb.Point{-1000, -1000}, Max: orb.Point{1000, 1000}}
	for _, opt := range []Options{{}, inFeet(), near} {
		fails(t, text, "a.geojson", opt, "longitude and latitude in degrees")
	}
	// A small local grid at the site is no longitude and latitude.
	local := []byte(`{"type":"MultiPoint","coordinates":[[10,20,200],[90,33,201],[50,80,202]]}`)
	if n := len(must(t, local, "a.geojson", near).Points); n != 3 {
		t.Errorf("%d points", n)
	}
	fails(t, local, "a.geojson", Options{}, "longitude and latitude")
}

func TestGeoJSONFaults(t *testing.T) {
	for name, c := range map[string]struct{ text, word string }{
		"list":           {`{"features":{}}`, "no list"},
		"no numbers":     {`{"type":"Point","coordinates":["a",2,3]}`, "no lists of numbers"},
		"wrong depth":    {`{"type":"Point","coordinates":[[1000,2,3]]}`, "no lists of numbers"},
		"type":           {`{"features":[{"geometry":{"type":"Circle","coordinates":[1]}}]}`, `feature 1: there is no geometry of type "Circle"`},
		"no coordinates": {`{"features":[{"geometry":{"type":"Point"}}]}`, "a Point has no coordinates"},
		"one number":     {`{"type":"Point","coordinates":[1000]}`, "fewer than two numbers"},
		"open ring":      {`{"type":"Polygon","coordinates":[[[0,0],[1000,0],[1000,1000],[0,1]]]}`, "not closed"},
		"short ring":     {`{"type":"Polygon","coordinates":[[[0,0],[1000,0],[0,0]]]}`, "fewer than four"},
		"flat":           {`{"type":"MultiPoint","coordinates":[[1000,2],[3,4]]}`, "none of its points and lines has elevations"},
		"nothing":        {`{"type":"FeatureCollection","features":[]}`, "neither points with elevations nor polygons"},
		"huge":           {`{"type":"Point","coordinates":[1e300,2,3]}`, "within 100,000,000 m"},
		"overflow":       {`{"type":"Point","coordinates":[1e999,2,3]}`, "no lists of numbers"},
		"no json":        {`{features}`, "it is no GeoJSON"},
		"nested":         {`{"type":"GeometryCollection","geometries":` + strings.Repeat(`[{"type":"GeometryCollection","geometries":`, 20) + `[]` + strings.Repeat(`}]`, 20) + `}`, "too deep"},
		"deep":           {`{"a":` + strings.Repeat("[", 20000), "it is no GeoJSON"},
	} {
		t.Run(name, func(t *testing.T) { fails(t, []byte(c.text), "a.geojson", inFeet(), c.word) })
	}
	fails(t, []byte(`[1]`), "a.geojson", inFeet(), "no geojson file")
	fails(t, []byte(geoGround), "a.geojson", Options{}, "what unit")
	cutOffs(t, []byte(geoGround), "a.geojson", inFeet(), nil)
}

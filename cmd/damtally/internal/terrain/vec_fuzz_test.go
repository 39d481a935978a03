package terrain

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// sound checks what every reader promises whatever the bytes: an *Error that says
// what and how, or ground of finite numbers whose lines name points that are
// there, that can be sliced, for no more memory than the file's size explains.
func sound(t *testing.T, data []byte, name string, opt Options) {
	t.Helper()
	const perByte = 2000 // of memory; a pair of braces may become a map or a list
	var found Found
	var err error
	if took := allocated(func() { found, err = readBytes(data, name, opt) }); took > mostForSmall+perByte*uint64(len(data)) {
		t.Fatalf("%d bytes took %d MB", len(data), took>>20)
	}
	if err != nil {
		var e *Error
		if !errors.As(err, &e) || e.What == "" || e.Mend == "" || e.File != name {
			t.Fatalf("not a whole *Error: %#v", err)
		}
		return
	}
	for _, p := range found.Points {
		if !(math.Abs(p.At[0]) <= 2*farthest && math.Abs(p.At[1]) <= 2*farthest && math.Abs(p.Elevation) <= farthest) {
			t.Fatalf("point %v", p)
		}
	}
	for _, line := range found.Breaklines {
		for _, p := range line {
			if p < 0 || p >= len(found.Points) {
				t.Fatalf("a breakline names point %d of %d", p, len(found.Points))
			}
		}
	}
	for _, a := range found.Alignments {
		if a.Fault == nil && len(a.Parts) == 0 {
			t.Fatalf("an alignment without parts and without a fault")
		}
	}
	if found.Surface == nil && len(found.Points)+len(found.Boundary)+len(found.Alignments) == 0 {
		t.Fatal("neither ground nor a fault")
	}
	if s := found.Surface; s != nil {
		b := s.Bound()
		for _, line := range s.Slice(nil, b.Min, b.Max) {
			for i, k := range line {
				if math.IsNaN(k.Offset) || math.IsNaN(k.Elevation) || i > 0 && k.Offset < line[i-1].Offset {
					t.Fatalf("slice %v", line)
				}
			}
		}
	}
}

func FuzzLandXML(f *testing.F) {
	f.Add(file(f, "pond.xml"), "ground")
	f.Add(document(metric, surfaceOf(`<SourceData><Breaklines><Breakline><PntList3D>0 0 1 10 10 2</PntList3D></Breakline></Breaklines></SourceData><Definition>`+threePoints+`<Faces><F i="1">1 2 3</F></Faces></Definition>`)), "")
	f.Add(document(metric, surfaceOf(`<Definition>`+threePoints+`<Faces><F>1 2 3</F><F n="1 2">3 2 1</F><F
>1 2 3</F ></Faces></Definition>`)), "")
	f.Add([]byte(`<!DOCTYPE x [<!ENTITY a "a">]><LandXML/>`), "")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		sound(t, data, "a.xml", Options{Name: name, Unit: unitOf("m"), Format: "landxml"})
		sound(t, data, "a.xml", Options{Name: name, Format: "landxml"})
	})
}

func FuzzLAS(f *testing.F) {
	f.Add(file(f, "scan.las")[:227+20*34])
	f.Add(scan{minor: 4, format: 6, extra: 3, points: []scanPoint{{1, 2, 3, 2, 0}}, vlrCount: 1, vlrs: geoKeysRecord(keyModel, 1, keyLinearUnit, 9002)}.bytes())
	f.Add(scan{minor: 4, format: 6, points: []scanPoint{{1, 2, 3, 2, 0}}, vlrCount: 1, vlrs: vlr(vlrWKT, []byte(`PROJCS["a",UNIT["foot",0.3048]]`))}.bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		sound(t, data, "a.las", Options{Unit: unitOf("ft")})
		sound(t, data, "a.las", Options{Format: "las all"})
	})
}

func FuzzPoints(f *testing.F) {
	f.Add([]byte("1,100,200,30,GR\n\"2\",101,201,31,\n"), "point easting northing elevation code")
	f.Add([]byte("# x\n1 2 3\r\n4;5;6\n"), "x y z")
	f.Add([]byte("1,2,3\n"), "")
	f.Fuzz(func(t *testing.T, data []byte, order string) {
		sound(t, data, "a.csv", Options{Unit: unitOf("ft"), ColumnOrder: order, Window: orb.Bound{Max: orb.Point{1000, 1000}}})
	})
}

func FuzzGeoJSON(f *testing.F) {
	f.Add([]byte(geoGround))
	f.Add(file(f, "pit.geojson"))
	f.Add([]byte(`{"type":"Point","coordinates":[1000,2,3]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		sound(t, data, "a.geojson", Options{Unit: unitOf("m")})
	})
}

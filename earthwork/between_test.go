package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// terrain is a centreline on a surface, with the stations that lie on it.
func terrain(t testing.TB, points []geometry.GroundPoint, vertices ...geometry.Vertex) earthwork.Terrain {
	t.Helper()
	tin, err := geometry.NewTIN(points, geometry.TINOptions{})
	if err != nil {
		t.Fatal(err)
	}
	line, err := geometry.NewCentreline(vertices, 0, true)
	if err != nil {
		t.Fatal(err)
	}
	return earthwork.Terrain{Surface: tin, Centreline: line, From: 0, To: line.End()}
}

// ground samples an elevation on a lattice.
func ground(n int, x0, y0, x1, y1 float64, z func(x, y float64) float64) []geometry.GroundPoint {
	var out []geometry.GroundPoint
	for i := range n + 1 {
		for j := range n + 1 {
			x, y := x0+(x1-x0)*float64(i)/float64(n), y0+(y1-y0)*float64(j)/float64(n)
			out = append(out, geometry.GroundPoint{At: orb.Point{x, y}, Elevation: z(x, y)})
		}
	}
	return out
}

func onTerrain(t testing.TB, d earthwork.Design, g earthwork.Terrain) (earthwork.Quantities, float64) {
	t.Helper()
	q, err := earthwork.Cut(d, earthwork.Site{Ground: g, Centreline: g.Centreline})
	if err != nil {
		t.Fatal(err)
	}
	n := len(q.Sections)
	return q, earthwork.Between(d, g, q.Sections[0].Station, q.Sections[n-1].Station)
}

// A V valley straight across: V = 2 L (b H/2 + z H^2/3), as in
// volume/analytic_dam_vee_valley.csv.
func TestBetweenInAVeeValley(t *testing.T) {
	points := []geometry.GroundPoint{}
	for _, y := range []float64{-100, 100} {
		for _, p := range [][2]float64{{-90, 7.2}, {0, 0}, {90, 7.2}} {
			points = append(points, geometry.GroundPoint{At: orb.Point{p[0], y}, Elevation: p[1]})
		}
	}
	g := terrain(t, points, geometry.Vertex{At: orb.Point{-90, 0}}, geometry.Vertex{At: orb.Point{90, 0}})
	d := plain(6, 4, 3, 2.5)
	d.Interval = 30
	_, v := onTerrain(t, d, g)
	near(t, "V valley", v, 2*75*(4*6/2.0+2.75*36/3), 1e-9)
}

// With stripping, benches and a crest that falls and grows wider, on a plane: the sections' prismoids are exact there, so the two ways agree.
func TestBetweenAgreesWithPrismoidsOnAPlane(t *testing.T) {
	g := terrain(t, ground(3, -200, -200, 400, 400, func(x, y float64) float64 { return 0.01*x - 0.02*y }),
		geometry.Vertex{At: orb.Point{0, 0}}, geometry.Vertex{At: orb.Point{150, 60}})
	d := plain(9, 4, 3, 2.5)
	all := func(p earthwork.FacePart) earthwork.FacePart { p.From, p.To = math.Inf(-1), math.Inf(1); return p }
	d.Downstream = []earthwork.FacePart{
		all(earthwork.FacePart{Slope: 2, ToElevation: 6.5, Bench: 3}),
		all(earthwork.FacePart{Slope: 2.5, ToElevation: math.Inf(-1)}),
	}
	d.Stripping = []earthwork.StripReach{{Depth: 0.3, From: math.Inf(-1), To: 50}, {Depth: 0.5, From: 50, To: math.Inf(1)}}
	q, v := onTerrain(t, d, g)
	near(t, "level crest", v, q.Fill.Prismoidal+q.Fill.Bend, 1e-9)

	d.Crest = []earthwork.CrestPoint{{Station: 0, Elevation: 9, Width: 4}, {Station: 60, Elevation: 7, Width: 5}, {Station: 120, Elevation: 7.5, Width: 4.5}}
	q, v = onTerrain(t, d, g)
	near(t, "crest that falls and rises", v, q.Fill.Prismoidal+q.Fill.Bend, 1e-9)
}

// On smooth ground end area comes near the volume between surfaces as the
// square of the interval: a quarter of the error each time it is halved. Both
// ends are upright and lie on multiples of the interval, so that nothing else
// changes with it.
func TestEndAreaConvergesAtSecondOrder(t *testing.T) {
	hills := func(x, y float64) float64 { return 2*math.Sin(x/30) - 0.01*y + 0.4*math.Sin(y/25) }
	g := terrain(t, ground(200, -90, -70, 90, 70, hills), geometry.Vertex{At: orb.Point{-80, 0}}, geometry.Vertex{At: orb.Point{80, 0}})
	d := plain(8, 5, 3, 2.5)
	var errs []float64
	for _, interval := range []float64{20, 10, 5} {
		d.Interval = interval
		q, v := onTerrain(t, d, g)
		errs = append(errs, q.Fill.EndArea/v-1)
	}
	for i := 1; i < len(errs); i++ {
		if r := errs[i-1] / errs[i]; math.Abs(r-4) > 0.4 {
			t.Errorf("errors %v: halving the interval divides by %.2f, want about 4", errs, r)
		}
	}
}

// A mitred bend on level ground is two prisms, which the correction by moments
// gives exactly.
func TestBetweenAtABend(t *testing.T) {
	g := terrain(t, ground(1, -100, -100, 300, 200, func(x, y float64) float64 { return 1 }),
		geometry.Vertex{At: orb.Point{0, 0}}, geometry.Vertex{At: orb.Point{80, 10}}, geometry.Vertex{At: orb.Point{150, 60}})
	q, v := onTerrain(t, plain(7, 4, 3, 2), g)
	near(t, "bend", v, q.Fill.EndArea+q.Fill.Bend, 1e-9)
}

// On a ring of chords: Pappus within the stated error of the chords.
func TestBetweenOnACurve(t *testing.T) {
	const radius = 60.0
	g := terrain(t, ground(1, -120, -120, 120, 120, func(x, y float64) float64 { return 0 }),
		geometry.Vertex{At: orb.Point{0, -radius}}, geometry.Vertex{At: orb.Point{radius, -radius}, Radius: radius}, geometry.Vertex{At: orb.Point{radius, 0}})
	d := plain(5, 4, 3, 2)
	q, v := onTerrain(t, d, g)
	footprint := q.Footprint
	near(t, "curve", v, q.Fill.EndArea+q.Fill.Bend, footprint*0.01/radius/(q.Fill.EndArea+q.Fill.Bend)*10)
}

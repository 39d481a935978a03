package earthwork

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/geometry"
	"github.com/damtally/damtally/testdata/published"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// A ground as steep as one likes: the water over a triangle against the same by
// cutting it into many thin level slices (Simpson's rule is exact for the area,
// a quadratic of the level between the corners).
func TestWaterOverIsTheSumOfItsLevels(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		z := [3]float64{}
		for k := range z {
			z[k] = rapid.Float64Range(-10, 10).Draw(r, "z")
		}
		tri := geometry.Triangle{At: [3]orb.Point{{0, 0}, {7, 1}, {2, 5}}, Elevation: z}
		level := rapid.Float64Range(-12, 12).Draw(r, "level")
		area, volume := waterOver(&tri, level)
		i, j, k := byHeight(&tri)
		sum := 0.0
		for _, part := range [][2]float64{{z[i], z[j]}, {z[j], z[k]}, {z[k], 12}} {
			a, b := part[0], min(part[1], level)
			if b <= a {
				continue
			}
			// Just inside the ends, where the area is continuous in any case but
			// that of a level triangle.
			at := func(l float64) float64 { v, _ := waterOver(&tri, l); return v }
			sum += (b - a) / 6 * (at(math.Nextafter(a, b)) + 4*at((a+b)/2) + at(b))
		}
		if math.Abs(sum-volume) > 1e-9*(1+volume) {
			r.Errorf("volume %g, sum of levels %g", volume, sum)
		}
		if whole := planArea(&tri); area < 0 || area > whole || level > z[k] && area != whole {
			r.Errorf("area %g of %g", area, whole)
		}
	})
}

// Open terrain, Maunga Whau: all ground below a level, every depression, for the
// two regular diagonals of a cell; the table's head gives the closed form and
// the order of the grid.
func TestTerrainBelowLevel(t *testing.T) {
	z := terrainGrid(t)
	for _, row := range published.Read(t, "volume/terrain_below_level.csv") {
		level := row.Number(t, "level_m")
		for name, diagonal := range map[string]int{"SWNE": 0, "SENW": 1} {
			area, volume := 0.0, 0.0
			for e := 1; e < len(z); e++ {
				for n := 1; n < len(z[e]); n++ {
					for _, tri := range halves(z, e, n, diagonal) {
						a, v := waterOver(&tri, level)
						area += a
						volume += v
					}
				}
			}
			// The table prints ten digits.
			for _, c := range []struct{ got, want float64 }{
				{area, row.Number(t, "area_"+name+"_m2")}, {volume, row.Number(t, "volume_"+name+"_m3")},
			} {
				if math.Abs(c.got-c.want) > 1e-9*c.want {
					t.Errorf("%s below %g m: %.6f, want %.6f", name, level, c.got, c.want)
				}
			}
		}
	}
}

// halves are the two triangles of the cell whose north-east corner is e, n, in
// cells of 10 m.
func halves(z [][]float64, e, n, diagonal int) [2]geometry.Triangle {
	at := func(i, j int) (orb.Point, float64) { return orb.Point{10 * float64(i), 10 * float64(j)}, z[i][j] }
	var p [4]orb.Point
	var h [4]float64
	for k, c := range [4][2]int{{e - 1, n - 1}, {e, n - 1}, {e, n}, {e - 1, n}} {
		p[k], h[k] = at(c[0], c[1])
	}
	pick := func(a, b, c int) geometry.Triangle {
		return geometry.Triangle{At: [3]orb.Point{p[a], p[b], p[c]}, Elevation: [3]float64{h[a], h[b], h[c]}}
	}
	if diagonal == 0 {
		return [2]geometry.Triangle{pick(0, 1, 2), pick(0, 2, 3)}
	}
	return [2]geometry.Triangle{pick(0, 1, 3), pick(1, 2, 3)}
}

// terrainGrid reads the hill's elevations, by easting, then northing.
func terrainGrid(t *testing.T) [][]float64 {
	t.Helper()
	text, err := os.ReadFile("../testdata/published/terrain/maunga_whau_10m.csv")
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	for line := range strings.Lines(string(text)) {
		if line[0] == '#' || line[0] == 'z' {
			continue
		}
		var row []float64
		for cell := range strings.SplitSeq(strings.TrimSpace(line), ",") {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, v)
		}
		out = append(out, row)
	}
	if len(out) != 61 || len(out[0]) != 87 {
		t.Fatalf("%d lines of %d values", len(out), len(out[0]))
	}
	return out
}

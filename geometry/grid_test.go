package geometry

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// mustGrid makes a grid that passes the self-check, equal steps making its
// diagonals as good as any.
func mustGrid(t testing.TB, g GridLayout, z []float64) *TIN {
	t.Helper()
	grid, err := NewGrid(g, z)
	if err != nil {
		t.Fatal(err)
	}
	if err := grid.Validate(); err != nil {
		t.Fatal(err)
	}
	return grid
}

// The same published areas and volumes as by a triangulation, for the diagonal
// that a grid draws; see the notes in the file.
func TestGridAgainstPublishedLevels(t *testing.T) {
	rows := readRows(t, "terrain/maunga_whau_10m.csv")
	g := GridLayout{StepX: 10, StepY: 10, Columns: len(rows), Rows: len(rows[0])}
	var z []float64
	for j := range g.Rows {
		for i := range g.Columns {
			z = append(z, number(t, rows[i][j]))
		}
	}
	grid := mustGrid(t, g, z)
	for _, row := range readRows(t, "volume/terrain_below_level.csv") {
		got, err := VolumeOver(grid, orb.Polygon{grid.Bound().ToRing()}, number(t, row[1]))
		if err != nil {
			t.Fatal(err)
		}
		if area, volume := number(t, row[2]), number(t, row[3]); math.Abs(got.FillArea-area) > 1e-9*area || math.Abs(got.Fill-volume) > 1e-9*volume {
			t.Errorf("level %s: area %v, volume %v, published %v, %v", row[1], got.FillArea, got.Fill, area, volume)
		}
	}
}

func TestGridWithoutSomeElevations(t *testing.T) {
	g := GridLayout{SouthWest: orb.Point{100, 200}, StepX: 2, StepY: 2, Columns: 12, Rows: 9}
	z := make([]float64, g.Columns*g.Rows)
	r := rand.New(rand.NewPCG(51, 52))
	for i := range z {
		z[i] = 10 * r.Float64()
		if r.IntN(8) == 0 {
			z[i] = math.NaN()
		}
	}
	grid := mustGrid(t, g, z)
	for range 1000 {
		a := orb.Point{95 + 32*r.Float64(), 195 + 26*r.Float64()}
		checkSlice(t, grid, a, orb.Point{95 + 32*r.Float64(), 195 + 26*r.Float64()}, 1e-8)
		checkSlice(t, grid, a, orb.Point{100 + 2*float64(r.IntN(12)), 200 + 2*float64(r.IntN(9))}, 1e-8)
	}
	low, high := grid.Range()
	if math.IsNaN(low) || math.IsNaN(high) || grid.Summary().Empty == 0 {
		t.Errorf("range %v to %v, summary %+v", low, high, grid.Summary())
	}
}

func TestGridErrors(t *testing.T) {
	nan := math.NaN()
	for name, tc := range map[string]struct {
		g    GridLayout
		z    []float64
		rule TINRule
	}{
		"one row":    {GridLayout{orb.Point{}, 1, 1, 3, 1}, []float64{1, 2, 3}, TooFewPoints},
		"nothing":    {GridLayout{orb.Point{}, 1, 1, 0, 0}, nil, TooFewPoints},
		"no ground":  {GridLayout{orb.Point{}, 1, 1, 2, 2}, []float64{nan, 2, 3, nan}, NoGroundLeft},
		"infinite":   {GridLayout{orb.Point{}, 1, 1, 2, 2}, []float64{1, math.Inf(1), 3, 4}, OutOfRange},
		"far corner": {GridLayout{orb.Point{nan, 0}, 1, 1, 2, 2}, []float64{1, 2, 3, 4}, OutOfRange},
	} {
		var e *TINError
		if _, err := NewGrid(tc.g, tc.z); !errors.As(err, &e) || e.Rule != tc.rule {
			t.Errorf("%s: error %v, want rule %q", name, err, tc.rule)
		}
	}
}

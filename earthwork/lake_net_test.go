package earthwork_test

import (
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// bare is a surface that does not know its triangles' neighbours.
type bare struct{ geometry.Surface }

// pocketShare is the share of the lake's water that NewLake may leave out in a
// pocket against the wall, as its comment says.
const pocketShare = 0.001

// The lake is the same whether the surface knows its triangles' neighbours or
// they are found by their corners.
func TestLakeOnBareSurface(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		tin, err := geometry.NewTIN(anyGround(r, 0.8), geometry.TINOptions{})
		if err != nil {
			r.Fatal(err)
		}
		line := centreline(r, true, orb.Point{-70, 5}, orb.Point{0, -10}, orb.Point{70, 0})
		a, errA := earthwork.NewLake(tin, line, 0, 140)
		b, errB := earthwork.NewLake(bare{tin}, line, 0, 140)
		if errA != nil || errB != nil {
			if errA == nil || errB == nil || errA.Error() != errB.Error() {
				r.Fatalf("%v, bare %v", errA, errB)
			}
			return
		}
		alike(r, "lowest", a.Lowest(), b.Lowest(), 1e-9)
		alike(r, "limit", a.Limit().Level, b.Limit().Level, 1e-9)
		if x, y := below(a), below(b); x != y {
			r.Fatalf("%d hollows below the limit, bare %d: %v, %v", x, y, a.Hollows(1e-3), b.Hollows(1e-3))
		}
		for _, share := range []float64{0.3, 0.99} {
			level := a.Lowest() + share*(a.Limit().Level-a.Lowest())
			p, errA := a.Pool(level, nil)
			q, errB := b.Pool(level, nil)
			if errA != nil || errB != nil {
				r.Fatal(errA, errB)
			}
			// A mere pocket may run empty at another of two openings that are as high.
			alike(r, "volume", p.Volume, q.Volume, 2*pocketShare)
		}
	})
}

// below counts the hollows below the limit. At the limit itself rounding decides
// which of several openings at one point the water takes first.
func below(l *earthwork.Lake) int {
	n := 0
	for _, h := range l.Hollows(1e-3) {
		if h.Level < l.Limit().Level-1e-6 {
			n++
		}
	}
	return n
}

package borrow

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

func TestRingErrors(t *testing.T) {
	for name, ring := range map[string]orb.Ring{
		"empty":           nil,
		"two points":      {{0, 0}, {10, 0}, {0, 0}},
		"no area":         {{0, 0}, {10, 0}, {20, 0}, {0, 0}},
		"figure of eight": {{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}},
		"lopsided eight":  {{0, 0}, {30, 0}, {30, 20}, {10, -5}, {0, 20}, {0, 0}},
		"not a number":    {{0, 0}, {math.NaN(), 0}, {10, 10}, {0, 0}},
		"infinite":        {{0, 0}, {10, 0}, {10, math.Inf(1)}, {0, 0}},
	} {
		_, err := Pit{Ring: ring, Level: 10, Floor: 5}.Measure()
		var re *RingError
		if !errors.As(err, &re) || re.Error() == "" {
			t.Errorf("%s: %v, want a RingError", name, err)
		}
	}
}

func TestPitValueErrors(t *testing.T) {
	good := Pit{Ring: rectangle(20, 20), SideSlope: 1, Level: 10, Floor: 8}
	measure(t, good)
	for name, spoil := range map[string]func(p *Pit){
		"negative slope":    func(p *Pit) { p.SideSlope = -1 },
		"hairline slope":    func(p *Pit) { p.SideSlope = 1e-6 },
		"slope not known":   func(p *Pit) { p.SideSlope = math.NaN() },
		"negative topsoil":  func(p *Pit) { p.Strip = -0.1 },
		"infinite topsoil":  func(p *Pit) { p.Strip = math.Inf(1) },
		"floor not known":   func(p *Pit) { p.Floor = math.NaN() },
		"no depth":          func(p *Pit) { p.ByDepth, p.Floor = true, 0 },
		"ground not known":  func(p *Pit) { p.Level = math.NaN() },
		"bottomless by inf": func(p *Pit) { p.Floor = math.Inf(-1) },
	} {
		p := good
		spoil(&p)
		_, err := p.Measure()
		var ve *ValueError
		if !errors.As(err, &ve) || ve.Error() == "" {
			t.Errorf("%s: %v, want a ValueError", name, err)
		}
	}
}

func TestNothingToDig(t *testing.T) {
	for name, c := range map[string]struct {
		pit  Pit
		want error
	}{
		"floor above level ground":  {Pit{Ring: rectangle(20, 20), Level: 10, Floor: 10.5}, ErrFloorAbove},
		"floor at level ground":     {Pit{Ring: rectangle(20, 20), SideSlope: 2, Level: 10, Floor: 10}, ErrFloorAbove},
		"floor above a plane":       {Pit{Ring: rectangle(20, 20), SideSlope: 2, Floor: 12, Surface: planeGround(100, 10, 0.1, 0)}, ErrFloorAbove},
		"ground steeper than sides": {Pit{Ring: rectangle(20, 20), SideSlope: 2, Floor: 0, Surface: planeGround(100, 10, 0.6, 0)}, ErrSteepGround},
	} {
		if _, err := c.pit.Measure(); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	// One corner above the floor is enough: a pyramid of planes on end.
	p := Pit{Ring: rectangle(20, 20), Floor: 10.5, Surface: planeGround(100, 10, 0.05, 0.05)}
	near(t, "a corner", measure(t, p).Dug, 10*10*0.5/6)
}

// Where the ground is not known the error says where, and for how long.
func TestGroundMissing(t *testing.T) {
	whole := gridGround(20, 200, saddle) // 10 m cells
	without := func(x0, y0, x1, y1 float64) triangles {
		var out triangles
		for _, tri := range whole {
			m := middleOf(tri.At[:])
			if m[0] < x0 || m[0] > x1 || m[1] < y0 || m[1] > y1 {
				out = append(out, tri)
			}
		}
		return out
	}
	for name, c := range map[string]struct {
		ring   orb.Ring
		ground triangles
		want   GroundError
	}{
		"beyond the survey": {
			orb.Ring{{80, 0}, {130, 0}, {130, 40}, {80, 40}, {80, 0}},
			whole,
			GroundError{orb.Point{115, 0}, 30, true},
		},
		"hole under the boundary": {
			orb.Ring{{-35, -15}, {35, -15}, {35, 15}, {-35, 15}, {-35, -15}},
			without(10, -20, 20, -10),
			GroundError{orb.Point{15, -15}, 10, true},
		},
		"hole inside": {
			orb.Ring{{-35, -15}, {35, -15}, {35, 15}, {-35, 15}, {-35, -15}},
			without(10, -10, 20, 0),
			GroundError{orb.Point{15, -5}, 10, false},
		},
		"all outside": {
			orb.Ring{{200, 200}, {220, 200}, {220, 220}, {200, 200}},
			whole,
			GroundError{orb.Point{210, 200}, 20, true},
		},
	} {
		_, err := Pit{Ring: c.ring, SideSlope: 2, Floor: 10, Surface: c.ground}.Measure()
		var ge *GroundError
		if !errors.As(err, &ge) {
			t.Errorf("%s: %v, want a GroundError", name, err)
			continue
		}
		published.Near(t, name+" x", ge.At[0], c.want.At[0], 5)
		published.Near(t, name+" y", ge.At[1], c.want.At[1], 1e-6)
		published.Near(t, name+" gap", ge.Gap, c.want.Gap, 1e-6)
		if ge.OnRing != c.want.OnRing || ge.Error() == "" {
			t.Errorf("%s: %v", name, ge)
		}
	}
	overlap := append(planeGround(200, 10, 0, 0), planeGround(20, 11, 0, 0)...)
	if _, err := (Pit{Ring: rectangle(60, 60), Floor: 5, Surface: overlap}).Measure(); !errors.Is(err, ErrOverlap) {
		t.Errorf("overlapping ground: %v", err)
	}
}

// A boundary on the very edge of the survey is within it, rounding or not.
func TestRingOnSurveyEdge(t *testing.T) {
	ground := gridGround(7, 100, func(x, y float64) float64 { return 10 + x/30 })
	for _, w := range []float64{100, 100 + 1e-9, 100 - 1e-9} {
		got := measure(t, Pit{Ring: rectangle(w, w), Floor: 5, Surface: ground})
		published.Near(t, "dug", got.Dug, 100*100*5, 1e-3)
	}
}

// Measure changes neither the ring nor anything else that it is given, and the
// same pit gives the same bits.
func TestMeasureIsPure(t *testing.T) {
	ring := orb.Ring{{0, 0}, {10, 30}, {40, 0}, {12, 8}, {0, 0}}
	kept := ring.Clone()
	p := Pit{Ring: ring, SideSlope: 1, Strip: 0.2, Floor: 12, Surface: gridGround(12, 200, saddle)}
	first := measure(t, p)
	if diff := cmp.Diff(first, measure(t, p)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(kept, ring); diff != "" {
		t.Error(diff)
	}
}

func FuzzMeasureRing(f *testing.F) {
	f.Add(0.0, 0.0, 30.0, 0.0, 30.0, 20.0, 5.0, 5.0, 2.0)
	f.Add(0.0, 0.0, 10.0, 10.0, 10.0, 0.0, 0.0, 10.0, 1.0)
	f.Add(1e7, 1e7, 1e7+1, 1e7, 1e7, 1e7+1, 1e7, 1e7, 0.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, slope float64) {
		p := Pit{Ring: orb.Ring{{a, b}, {c, d}, {e, g}, {h, i}, {a, b}}, SideSlope: slope, Level: 10, Floor: 5}
		got, err := p.Measure()
		if err != nil {
			return
		}
		if !(got.Dug > 0 && got.Dug <= got.Area*5*(1+1e-9)) || !(got.Floor <= got.Area*(1+1e-9)) || !(got.Deepest <= 5+1e-9) {
			t.Fatalf("%+v gives %+v", p, got)
		}
	})
}

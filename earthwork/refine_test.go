package earthwork_test

import (
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
)

// On a vee valley the true volume is known; with an accuracy the end area comes
// within it, and what the result says is left is what is left: a quadratic's
// error shrinks to a quarter with each halving, so that the change by one more
// halving is three quarters of it.
func TestSectionsByAccuracy(t *testing.T) {
	d := plain(20, 5, 3, 2)
	p := profile(0, 20, 150, 0, 300, 20)
	before := cut(t, d, p)
	exactVolume := before.Fill.Prismoidal
	for _, accuracy := range []float64{0.05, 0.005, 0.0005} {
		d.Accuracy = accuracy
		q := cut(t, d, p)
		over := q.Fill.EndArea - exactVolume
		if over < 0 || q.Refined.Change > accuracy*before.Fill.EndArea {
			t.Errorf("accuracy %v: off by %.6f of %.3f", accuracy, over, exactVolume)
		}
		if q.Refined.Short != 0 || q.Refined.Added != len(q.Sections)-3 {
			t.Errorf("accuracy %v: %+v with %d sections", accuracy, q.Refined, len(q.Sections))
		}
		near(t, "left", q.Refined.Change, 0.75*over, 1e-9)
	}
}

// Level ground needs no section more, a step cannot be had.
func TestAccuracyEnds(t *testing.T) {
	d := plain(20, 5, 3, 2)
	d.Accuracy = 0.001
	if q := cut(t, d, profile(0, 4, 100, 4)); q.Refined.Added != 0 || q.Refined.Change > 1e-9 {
		t.Errorf("level ground: %+v", q.Refined)
	}
	// A tip of a dam, where halving always changes the last reach by a third.
	q := cut(t, d, profile(0, 20, 100, 4))
	if q.Refined.Added > 200 {
		t.Errorf("the tip took %d sections", q.Refined.Added)
	}
	if math.Abs(q.Fill.EndArea-q.Fill.Prismoidal) > 0.002*q.Fill.Prismoidal {
		t.Errorf("end area %.3f, prismoidal %.3f", q.Fill.EndArea, q.Fill.Prismoidal)
	}
	if q.Refined.Change > 0.001*q.Fill.EndArea {
		t.Errorf("left %.3f of %.3f", q.Refined.Change, q.Fill.EndArea)
	}
	var none earthwork.Refined
	d.Accuracy = 0
	if q := cut(t, d, profile(0, 20, 100, 4)); q.Refined != none {
		t.Errorf("nothing was asked for: %+v", q.Refined)
	}
}

package earthwork_test

import (
	"errors"
	"testing"

	"github.com/damtally/damtally/earthwork"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// A section cut alone is the one that the whole dam has there.
func TestCutAtIsTheDamsSection(t *testing.T) {
	d, at := benchDam(t, 20)
	q, err := earthwork.Cut(d, at)
	if err != nil {
		t.Fatal(err)
	}
	var stations []float64
	var want []earthwork.Section
	for _, s := range q.Sections {
		if s.Fill && s.At == earthwork.On {
			stations, want = append(stations, s.Station), append(want, s)
		}
	}
	if len(want) < 3 {
		t.Fatalf("the dam has %d sections with fill", len(want))
	}
	got, err := earthwork.CutAt(d, at, stations)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(earthwork.Section{})); diff != "" {
		t.Error(diff)
	}
}

// Level ground at 0, crest at 5 m and 4 m wide, 3 to 1: 4x5 + 3x5x5 = 95 m2 at any station.
func TestCutAtAnyStation(t *testing.T) {
	got, err := earthwork.CutAt(plain(5, 4, 3, 3), earthwork.Site{Ground: profile(0, 0, 100, 0)}, []float64{63.21, 0, 100})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range got {
		near(t, "area", s.Neat.Area, 95, 1e-12)
	}
}

func TestCutAtOffTheDam(t *testing.T) {
	for _, station := range []float64{-1, 100.5} {
		_, err := earthwork.CutAt(plain(5, 4, 3, 3), earthwork.Site{Ground: profile(0, 0, 100, 0)}, []float64{50, station})
		var off *earthwork.NoSectionError
		if !errors.As(err, &off) || off.Station != station || off.From != 0 || off.To != 100 {
			t.Errorf("station %g: %v", station, err)
		}
	}
}

package earthwork_test

import (
	"errors"
	"math"
	"testing"

	"github.com/damtally/damtally/earthwork"
)

// What no dam can have is an error, never a panic or a figure.
func TestDesignsThatCannotBe(t *testing.T) {
	for name, spoil := range map[string]func(*earthwork.Design){
		"no crest":     func(d *earthwork.Design) { d.Crest = nil },
		"crest at NaN": func(d *earthwork.Design) { d.Crest[0].Elevation = math.NaN() },
		"no width":     func(d *earthwork.Design) { d.Crest[0].Width = 0 },
		"no face":      func(d *earthwork.Design) { d.Upstream = nil },
		"slope of 0":   func(d *earthwork.Design) { d.Downstream[0].Slope = 0 },
		"face nowhere": func(d *earthwork.Design) { d.Downstream[0].From, d.Downstream[0].To = 0, 0 },
		"stripping below 0": func(d *earthwork.Design) {
			d.Stripping = []earthwork.StripReach{{Depth: -1, From: math.Inf(-1), To: math.Inf(1)}}
		},
		"allowance of nothing": func(d *earthwork.Design) { d.Settlement = earthwork.Settlement{Allowance: 0.1} },
		"trench upside down": func(d *earthwork.Design) {
			d.Trench.Points = []earthwork.TrenchPoint{{BottomWidth: -1}}
		},
	} {
		d := plain(10, 4, 3, 3)
		spoil(&d)
		_, err := earthwork.Cut(d, earthwork.Site{Ground: profile(0, 0, 50, 0)})
		var value *earthwork.ValueError
		if !errors.As(err, &value) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A trench that runs off narrow cross-sections says so.
func TestTrenchOffTheGround(t *testing.T) {
	d := plain(2, 2, 1, 1)
	d.Trench = earthwork.Trench{ByDepth: true, Points: []earthwork.TrenchPoint{{Station: 0, BottomWidth: 8, SideSlope: 1, Level: 4}, {Station: 10, BottomWidth: 8, SideSlope: 1, Level: 4}}}
	line := []earthwork.SurveyedSection{{Station: 0, Line: flat(-6, 6)}, {Station: 10, Line: flat(-6, 6)}}
	_, err := earthwork.Cut(d, earthwork.Site{Ground: earthwork.Shots{Sections: line}})
	var short *earthwork.GroundShortError
	if !errors.As(err, &short) || !short.Trench {
		t.Fatalf("got %v", err)
	}
}

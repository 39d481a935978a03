package plan_test

import (
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// problemsOf are the problems of a plan, from reading to running.
func problemsOf(t testing.TB, texts map[string]string) string {
	t.Helper()
	s, err := site.Read(tables(t, texts))
	if err != nil {
		return err.Error()
	}
	job, err := plan.Prepare(s)
	if err != nil {
		return err.Error()
	}
	if _, err = job.Run(job.Design()); err != nil {
		return err.Error()
	}
	return ""
}

func TestIntervalTooSmallForTheDam(t *testing.T) {
	long := map[string]string{
		"site":    "item,value\nsection interval,0.25 ft\n",
		"profile": "station (ft),elevation (ft)\n0,30\n3000,10\n6000,30\n",
		"crest":   "elevation (ft),width (ft)\n32,12\n",
		"faces":   "side,slope (h:v)\nupstream,3\ndownstream,2.5\n",
	}
	want := "site row 2, section interval: asks for 24,000 sections on 6,000.0 ft of dam, more than the 20,000 that are cut; set it to 1.0 ft or more, or look at the stations and their units"
	if got := problemsOf(t, long); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	long["site"] = "item,value\nsection interval,25 ft\n"
	if got := problemsOf(t, long); got != "" {
		t.Error(got)
	}
}

// A curve that does not fit is told in the site's own units.
func TestCurveTooWideInFeet(t *testing.T) {
	demo := demoTables(t)
	demo["centreline"] = "x (ft),y (ft),radius (ft)\n5000,10000,\n5400,10122,4000\n5800,10100,\n"
	got := problemsOf(t, demo)
	if !strings.Contains(got, " ft of straight line, there are 418.19 ft") || strings.Contains(got, " m") {
		t.Errorf("%q", got)
	}
}

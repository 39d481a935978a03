package plan

import (
	"fmt"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// liftRoom is how much higher than another a test must lie to be on a lift above it,
// m: half of a thin lift, and more than a level is off by.
const liftRoom = 0.05

// buriedWords says of a failed fill test whether fill was tested above it since, so
// that it is buried.
func (j *Job) buriedWords(t site.DensityTest) string {
	for _, o := range j.site.Density {
		if o.State == "fill" && o.Zone == t.Zone && liesOn(o, t) && o.Date >= t.Date {
			return fmt.Sprintf("fill test %s was made on a lift above it, so it may be buried: dig down to it, or have the engineer say what is to be done", named(o.ID))
		}
	}
	return "see that it is not buried"
}

// liesOn tells whether a test lies on a lift above another, by elevation where both
// give one, else by the numbers of their lifts.
func liesOn(above, below site.DensityTest) bool {
	if above.Elevation.Given && below.Elevation.Given {
		return above.Elevation.Value > below.Elevation.Value+liftRoom
	}
	a, err1 := strconv.Atoi(above.Lift)
	b, err2 := strconv.Atoi(below.Lift)
	return err1 == nil && err2 == nil && a > b
}

// noteEarlyRetests points out retests that are dated before the test that they
// repeat.
func (j *Job) noteEarlyRetests() {
	dates := map[string]string{}
	for _, t := range j.site.Density {
		if _, seen := dates[t.ID]; !seen && t.ID != "" {
			dates[t.ID] = t.Date
		}
	}
	for _, t := range j.site.Density {
		if first := dates[t.RetestOf]; t.RetestOf != "" && first != "" && t.Date != "" && t.Date < first {
			j.note("look", t.Ref, fmt.Sprintf("retest %s is dated %s, before the test %s that it repeats (%s); check the dates and the numbers", named(t.ID), t.Date, t.RetestOf, first), "")
		}
	}
}

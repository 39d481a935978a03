package exchange

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/paulmach/orb"
)

// File is one file of an exchange: its name, without a folder, and what is in it.
type File struct {
	Name  string
	Bytes []byte
}

// Names are the names that files of an exchange may have, in their order.
func Names() []string { return []string{planFile, surfaceFile, stakeFile, quantitiesFile, testsFile} }

const (
	planFile       = "plan.geojson"
	surfaceFile    = "design-surface.xml"
	stakeFile      = "stake-out.csv"
	quantitiesFile = "quantities.csv"
	testsFile      = "tests.csv"
)

// Files makes the files of a plan. Those that need the dam's place in plan are
// left out where the site has no centreline, and the test log where there are no
// tests; left tells what was left out and why, in words. err is an encoder's, which
// no result of a plan should bring about.
func Files(r *plan.Result, version string) (files []File, left []string, err error) {
	s := newScribe(r, version)
	add := func(name string, make func() ([]byte, error)) {
		content, failed := make()
		if failed != nil && err == nil {
			err = fmt.Errorf("%s: %w", name, failed)
		}
		files = append(files, File{name, content})
	}
	if r.Plan == nil {
		left = append(left, planFile+", "+surfaceFile+" and "+stakeFile+" are left out, since the site has no centreline and so no place in plan")
	} else {
		add(planFile, s.geoJSON)
		if content, why := s.landXML(); why == "" {
			files = append(files, File{surfaceFile, content})
		} else {
			left = append(left, surfaceFile+" is left out: "+why)
		}
		add(stakeFile, s.stakeOut)
	}
	add(quantitiesFile, s.quantities)
	if len(r.Tests) > 0 {
		add(testsFile, s.tests)
	}
	return files, left, err
}

// scribe writes a result in the units of its site.
type scribe struct {
	r       *plan.Result
	version string
	system  units.System
	grid    units.Unit // of coordinates and of elevations beside them
	origin  orb.Point
}

func newScribe(r *plan.Result, version string) *scribe {
	s := &scribe{r: r, version: version, system: units.SystemOf(r.Site.Settings.OutputUnits)}
	s.grid = s.system.Length
	if r.Plan != nil {
		s.origin = r.Plan.Origin
		if u, ok := units.Lookup(r.Plan.Unit); ok {
			s.grid = u
		}
	}
	return s
}

// place is a point of the job in the site's grid.
func (s *scribe) place(p orb.Point) (x, y float64) {
	return s.grid.FromSI(p[0] + s.origin[0]), s.grid.FromSI(p[1] + s.origin[1])
}

// gridDecimals is how many decimals coordinates have: a hundredth of a millimetre
// in metres, and 1e-7 of a unit in LandXML, so that it reads back to 1e-6 m.
const (
	gridDecimals    = 5
	surfaceDecimals = 8
)

// fixed writes a number with so many decimals at most, without trailing zeros.
func fixed(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// gridNote says what the coordinates are.
func (s *scribe) gridNote() string {
	return "Coordinates are the site's own grid in " + s.grid.Name + ": x to the east, y to the north. They are not longitude and latitude."
}

package drawing

import (
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// Options says how a set of drawings is made.
type Options struct {
	Paper    Paper               // the zero value takes tabloid or A3, by the site's units
	Sections []earthwork.Section // the cross-sections to draw; none takes a choice of the result's
	Version  string              // of the program
}

// set is the drawings of one result in the making.
type set struct {
	r      *plan.Result
	system units.System
	paper  Paper
	opt    Options
	sheets []*Sheet
	scales []string // of each sheet, for its block of titles
}

// Draw draws all sheets of a result that it holds anything for: the plan, the
// profile, cross-sections, test holes, depths to dig, curves.
func Draw(r *plan.Result, opt Options) []*Sheet { return drawn(r, opt).sheets }

func drawn(r *plan.Result, opt Options) *set {
	d := &set{r: r, system: units.SystemOf(r.Site.Settings.OutputUnits), opt: opt, paper: opt.Paper}
	if d.paper.Width == 0 {
		d.paper = usualPaper(d.system)
	}
	d.plan()
	d.profile()
	d.sections()
	d.logs()
	d.digs()
	d.curves()
	h := headingOf(r, opt.Version, len(d.sheets))
	for i, s := range d.sheets {
		s.frame(h, d.scales[i], i)
	}
	return d
}

// sheet begins a sheet. Its frame is drawn last, when the number of sheets is known.
func (d *set) sheet(name, title string) *Sheet {
	s := newSheet(name, title, d.paper)
	d.sheets = append(d.sheets, s)
	d.scales = append(d.scales, "none")
	return s
}

// spread puts n things on as many sheets as they need, at most so many on each; one
// draws those from one to before another. Sheets of several are numbered.
func (d *set) spread(stem, title string, n, each int, one func(s *Sheet, from, to int)) {
	sheets := (n + each - 1) / each
	for k := range sheets {
		name, heading := stem, title
		if sheets > 1 {
			name += "-" + strconv.Itoa(k+1)
			heading += ", " + strconv.Itoa(k+1) + " of " + strconv.Itoa(sheets)
		}
		one(d.sheet(name, heading), k*each, min(n, (k+1)*each))
	}
}

// scaled notes the scale of the newest sheet.
func (d *set) scaled(text string) { d.scales[len(d.scales)-1] = text }

// length writes metres in the site's unit.
func (d *set) length(m float64, decimals int) string { return with(d.system.Length, m, decimals) }

// level writes an elevation.
func (d *set) level(m float64) string { return in(d.system.Length, m, 2) }

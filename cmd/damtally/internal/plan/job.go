package plan

import (
	"errors"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// Job is a site made ready for planning. It is immutable and may be used from
// several goroutines.
type Job struct {
	site   site.Site
	system units.System
	place  earthwork.Site
	design earthwork.Design
	// origin is where the job's own plan coordinates start, in the site's.
	origin  orb.Point
	surface geometry.Surface // nil without a survey
	// surveyed is the stretch of the centreline that lies on the surface.
	surveyed stretch
	// alignment is the row of the file that the centreline comes from, nil when
	// it is a table. planUnit is the unit of the centreline's coordinates.
	alignment *site.SurfaceFile
	planUnit  string
	progress  func(file string, done, total int64) // while files are read; may be nil
	terrain   *earthwork.Terrain                   // nil without a surface
	soils     []soilOf                             // one a material in use, in the order of Result.Materials
	tests     []Test
	pits      []Pit // as if no dam stood near them
	beside    pitCache
	cuts      []Cut
	blankets  []Blanket // without their lifts
	measured  []workSurvey
	kept      lakeCache
	notes     []site.Note
}

// Prepare makes a Job of a checked site: it lays out the centreline, builds the
// ground, reads the laboratory's curves and works out the factors, and measures
// the pits. The error is site.Problems, all that could be found at once.
func Prepare(s site.Site) (*Job, error) { return PrepareWatched(s, nil) }

// PrepareWatched is Prepare that tells now and then how many bytes of which file
// of ground are read, of how many.
func PrepareWatched(s site.Site, progress func(file string, done, total int64)) (*Job, error) {
	j := &Job{site: s, system: units.SystemOf(s.Settings.OutputUnits), progress: progress}
	var found finder
	found.add(j.prepareGround())
	if len(found.problems) == 0 {
		found.add(j.prepareMeasured())
	}
	found.add(j.prepareDesign())
	if len(found.problems) == 0 {
		j.floodAhead()
	}
	found.add(j.prepareSoils())
	if len(found.problems) == 0 { // the pits need the ground
		found.add(j.pitConflicts())
		found.add(j.preparePits())
		found.add(j.prepareCuts())
		found.add(j.prepareBlankets())
		j.noteStockpiles()
		found.add(j.checkItems())
	}
	if len(found.problems) > 0 {
		return nil, found.problems
	}
	return j, nil
}

// finder collects problems.
type finder struct{ problems site.Problems }

func (f *finder) add(ps site.Problems) { f.problems = append(f.problems, ps...) }

// Design returns the site's own design, a copy that may be changed and given
// to Quantities or Run.
func (j *Job) Design() earthwork.Design { return cloneDesign(j.design) }

// Quantities cuts a design and adds it up. It is fast and keeps nothing, so
// that it may be called over and over. The error is site.Problems.
func (j *Job) Quantities(d earthwork.Design) (earthwork.Quantities, error) {
	if ps := j.surveyEnds(&d); len(ps) > 0 {
		return earthwork.Quantities{}, ps
	}
	if ps := j.tooManySections(&d); len(ps) > 0 {
		return earthwork.Quantities{}, ps
	}
	q, err := earthwork.Cut(d, j.place)
	if err != nil {
		return earthwork.Quantities{}, j.problemsOf(err)
	}
	return q, nil
}

// SectionsAt cuts single sections of a design, in the order of the stations, m. A
// station off the dam is a *earthwork.NoSectionError; every other error is
// site.Problems.
func (j *Job) SectionsAt(d earthwork.Design, stations []float64) ([]earthwork.Section, error) {
	cut, err := earthwork.CutAt(d, j.place, stations)
	var off *earthwork.NoSectionError
	if err != nil && !errors.As(err, &off) {
		return nil, j.problemsOf(err)
	}
	return cut, err
}

// Run works out the whole result of a design. The error is site.Problems.
func (j *Job) Run(d earthwork.Design) (*Result, error) {
	q, err := j.Quantities(d)
	if err != nil {
		return nil, err
	}
	if ps := j.offTheDam(&q); len(ps) > 0 {
		return nil, ps
	}
	r := &Result{
		Site:       j.site,
		Design:     cloneDesign(d),
		Quantities: q,
		Tests:      j.tests,
		Pits:       j.pitsBeside(&q),
		Cuts:       j.cuts,
	}
	beside := j.startAhead(&r.Design, &q)
	var wrong site.Problems
	if r.Conduits, wrong = j.conduits(d); len(wrong) > 0 {
		return nil, wrong
	}
	if r.Dug, wrong = j.dug(d, &q); len(wrong) > 0 {
		return nil, wrong
	}
	r.Materials = j.materials(d, q)
	j.conduitFills(r)
	j.feed(r)
	j.weighWater(r)
	r.Lots = j.lots(r)
	r.Trials = j.trials(r)
	r.Balance = j.balance(r)
	r.Excavated = j.excavated(r)
	if ps := j.byLevel(r, beside); len(ps) > 0 {
		return nil, ps
	}
	j.dueByLift(r)
	j.digPits(r)
	j.poolPits(r)
	r.Plan = j.planView(r, beside)
	r.SurfaceVolume = beside.volumeOf()
	r.Haul = j.haulage(r)
	r.Items = j.items(r)
	r.Bid, r.Unpaid = j.bid(r)
	r.Checks = j.checks(r)
	r.Notes = j.allNotes(r)
	return r, nil
}

// cloneDesign copies a design with its lists.
func cloneDesign(d earthwork.Design) earthwork.Design {
	d.Crest = append([]earthwork.CrestPoint(nil), d.Crest...)
	d.Upstream = append([]earthwork.FacePart(nil), d.Upstream...)
	d.Downstream = append([]earthwork.FacePart(nil), d.Downstream...)
	d.Trench.Points = append([]earthwork.TrenchPoint(nil), d.Trench.Points...)
	d.Stripping = append([]earthwork.StripReach(nil), d.Stripping...)
	d.Zones = append([]earthwork.Zone(nil), d.Zones...)
	return d
}

// prepareDesign turns the design tables into a design.
func (j *Job) prepareDesign() site.Problems {
	s := &j.site
	d := &j.design
	for _, p := range s.Crest {
		d.Crest = append(d.Crest, earthwork.CrestPoint{Station: p.Station.Value, Elevation: p.Elevation, Width: p.Width})
	}
	for _, p := range s.Faces {
		part := earthwork.FacePart{
			Slope: p.Slope, ToElevation: p.ToElevation.Or(math.Inf(-1)), Bench: p.BenchWidth,
			From: p.FromStation.Or(math.Inf(-1)), To: p.ToStation.Or(math.Inf(1)), Overbuild: p.Overbuild,
		}
		if p.Side == "upstream" {
			d.Upstream = append(d.Upstream, part)
		} else {
			d.Downstream = append(d.Downstream, part)
		}
	}
	for _, p := range s.Trench {
		d.Trench.ByDepth = p.Depth.Given
		level := p.BottomElevation.Value
		if p.Depth.Given {
			level = p.Depth.Value
		}
		d.Trench.Points = append(d.Trench.Points, earthwork.TrenchPoint{
			Station: p.Station, BottomWidth: p.BottomWidth, SideSlope: p.SideSlope, Level: level, Offset: p.Offset,
		})
	}
	for _, r := range s.Stripping {
		d.Stripping = append(d.Stripping, earthwork.StripReach{Depth: r.Depth, From: r.FromStation.Or(math.Inf(-1)), To: r.ToStation.Or(math.Inf(1))})
	}
	for _, z := range s.Zones {
		d.Zones = append(d.Zones, zoneOf(z))
	}
	d.Settlement = j.settlement()
	d.Interval = j.interval()
	d.Accuracy = s.Settings.SectionAccuracy.Value
	return nil
}

func (j *Job) settlement() earthwork.Settlement {
	set := j.site.Settings
	out := earthwork.Settlement{
		Allowance:    set.Allowance.Value,
		Basis:        earthwork.Basis(set.AllowanceBasis),
		CrestIsBuilt: set.CrestIs == "built",
	}
	if out.Basis == "" {
		out.Basis = earthwork.OnHeight
	}
	return out
}

// The intervals between sections on a surface when the site sets none.
const (
	usInterval     = 25 * 0.3048 // 25 ft
	metricInterval = 10.0
)

// interval is the greatest distance between sections: the site's own, else on a
// surface the default, else none beyond the surveyed stations.
func (j *Job) interval() float64 {
	set := j.site.Settings
	if set.SectionInterval.Given || j.surface == nil {
		return set.SectionInterval.Value
	}
	interval := metricInterval
	if j.system.Name == "us" {
		interval = usInterval
	}
	j.note("note", site.Ref{}, "sections stand every "+j.length(interval)+" and at every change, since `section interval` is not set", "")
	return interval
}

package plan

import (
	"errors"
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// Wish is what a crest is looked for. One of Storage, PoolArea and Borrow is set.
type Wish struct {
	Storage  float64 // below the normal pool, m3
	PoolArea float64 // of the normal pool, m2
	Borrow   bool    // the highest crest that the pits can build, reserve included
	// Freeboard is how far the normal pool stands below the crest, m; not given, it
	// is that of the site's own crest and normal pool.
	Freeboard site.Number
}

// CrestFound is an answer to a wish. The whole crest was raised or lowered alike,
// so Crest is its lowest point; faces, benches and zones stay as the site has them.
type CrestFound struct {
	Crest float64 // m, a whole hundredth of the shown unit
	Was   float64 // of the site, m
	Pool  *earthwork.Pool
	// Again is a crest above it that does not meet the wish any more, where the water's
	// face has a bench or a change of slope that a higher crest takes up.
	Again  site.Number
	Result *Result // of the dam with that crest
}

// Crest looks for the crest that a wish asks for: the lowest with the wanted
// storage or pool area, or the highest that the borrow can build. The error is
// site.Problems, also when there is no such crest.
func (j *Job) Crest(w Wish) (*CrestFound, error) {
	if w.Borrow {
		return j.crestForBorrow()
	}
	s, ps := j.newSearch(w.Freeboard)
	if len(ps) > 0 {
		return nil, ps
	}
	b, ps := s.bracket()
	if len(ps) > 0 {
		return nil, ps
	}
	figure := func(of func(earthwork.Pool) float64) earthwork.PoolFigure {
		return func(crest, level float64) (float64, error) {
			p, err := s.pool(crest, level)
			return of(p), err
		}
	}
	wanted, of := w.PoolArea, figure(func(p earthwork.Pool) float64 { return p.Area })
	if w.Storage > 0 {
		wanted, of = w.Storage, figure(func(p earthwork.Pool) float64 { return p.Volume })
	}
	crest, again, err := s.first(of, wanted, b)
	if err != nil {
		return nil, s.noCrest(err, w)
	}
	out, err := s.met(j.toHundredth(crest, math.Ceil), w)
	if err == nil && !math.IsNaN(again) && again > out.Crest {
		out.Again = site.Number{Value: again, Given: true}
	}
	return out, err
}

// scans is in how many steps a crest is looked for where the pool may fall as the
// crest rises.
const scans = 64

// first is the lowest crest that meets a wish, and the first one above it that does
// not any more, NaN for none.
func (s *search) first(of earthwork.PoolFigure, wanted float64, b earthwork.Bracket) (crest, again float64, err error) {
	f := func(crest float64) (float64, error) { return of(crest, crest-s.freeboard) }
	d := &s.j.design
	steps := d.CrestSteps(s.freeboard, crestTolerance)
	if steps == nil {
		crest, err = earthwork.Least(f, wanted, b)
		return crest, math.NaN(), err
	}
	var scan []float64
	for _, p := range d.Crest { // a higher point of the crest passes a bench earlier
		for _, z := range steps {
			scan = append(scan, z-(p.Elevation-lowestCrest(d)))
		}
	}
	for i := 1; i < scans; i++ {
		scan = append(scan, b.Low+(b.High-b.Low)*float64(i)/scans)
	}
	return earthwork.First(f, wanted, b, scan)
}

// mostRaised is how many hundredths a crest is raised at most when rounding took it
// below the wish.
const mostRaised = 100

// met is the first crest from a level up, by hundredths, whose pool holds or covers
// what is wished. Rounding up may pass a level at which the pool falls, so that it
// alone does not keep the wish.
func (s *search) met(crest float64, w Wish) (*CrestFound, error) {
	unit := s.j.system.Length
	for range mostRaised {
		p, err := s.pool(crest, crest-s.freeboard)
		if err != nil || p.Volume >= w.Storage && p.Area >= w.PoolArea {
			break
		}
		crest = unit.ToSI((math.Round(unit.FromSI(crest)*hundredth) + 1) / hundredth)
	}
	return s.found(crest)
}

// A crest is looked for to closer than anyone builds, and given in whole hundredths
// of the shown unit, so that what is typed is what was figured.
const (
	crestTolerance = 0.0005 // m
	hundredth      = 100
)

// toHundredth rounds a level up or down to a hundredth of the shown unit. A level
// that is next to one already counts as one.
func (j *Job) toHundredth(level float64, round func(float64) float64) float64 {
	x := j.system.Length.FromSI(level) * hundredth
	if near := math.Round(x); math.Abs(x-near) < 1e-6 {
		return j.system.Length.ToSI(near / hundredth)
	}
	return j.system.Length.ToSI(round(x) / hundredth)
}

// withCrest is the site's design with its whole crest moved alike, so that its
// lowest point comes to a level.
func (j *Job) withCrest(lowest float64) earthwork.Design {
	d := j.Design()
	by := lowest - lowestCrest(&d)
	for i := range d.Crest {
		d.Crest[i].Elevation += by
	}
	return d
}

// search looks for a crest by the lake behind it.
type search struct {
	j         *Job
	lake      *earthwork.Lake
	freeboard float64
}

// newSearch floods the ground and finds out how far the pool stands below the crest.
func (j *Job) newSearch(freeboard site.Number) (*search, site.Problems) {
	if j.surface == nil || j.place.Centreline == nil {
		return nil, site.Problems{{
			Ref:  site.Ref{Table: j.groundTable()},
			What: "the lake behind the dam is not known, since the ground is not known in plan",
			Mend: "give `survey` or `surfaces` with a `centreline`",
		}}
	}
	l, err := j.flooded(&j.design)
	if err != nil {
		return nil, site.Problems{{Ref: site.Ref{Table: j.groundTable()}, What: noLakeText(err), Mend: "mend the site first"}}
	}
	pool := j.site.Settings.NormalPool
	if !freeboard.Given && pool.Given && lowestCrest(&j.design) > pool.Value {
		freeboard = site.Number{Value: lowestCrest(&j.design) - pool.Value, Given: true}
	}
	if !freeboard.Given {
		return nil, site.Problems{{
			Ref: j.site.Settings.Ref, Column: "normal pool elevation",
			What: "it is not known how far the normal pool is to stand below the crest",
			Mend: "say it with --freeboard, such as --freeboard \"5 ft\", or set `normal pool elevation`",
		}}
	}
	return &search{j, l, freeboard.Value}, nil
}

// bracket is where the crest is looked for: from the lowest water to the highest
// ground on the survey, or the lake's limit.
func (s *search) bracket() (earthwork.Bracket, site.Problems) {
	b := earthwork.Bracket{Low: s.lake.Lowest() + s.freeboard, High: math.Inf(-1), Tolerance: crestTolerance}
	for t := range s.j.surface.Triangles(s.j.surface.Bound()) {
		b.High = max(b.High, t.Elevation[0], t.Elevation[1], t.Elevation[2])
	}
	b.High += s.freeboard
	if !(b.Low < b.High) {
		return b, site.Problems{{Ref: site.Ref{Table: s.j.groundTable()}, What: "the ground along the dam is the highest of the survey, so no lake can stand", Mend: "survey the valley's sides"}}
	}
	return b, nil
}

// errOpenEnd says that a crest is higher than the ground at the ends of the dam.
var errOpenEnd = errors.New("the ends of the crest would lie above the ground, so that water goes round the dam; lengthen the centreline and the survey")

// pool is the lake at a level behind the dam with a crest. Zones, trench and
// allowance do not touch it and are left out, so that a low crest does not fail on
// a core that would not fit in it.
func (s *search) pool(crest, level float64) (earthwork.Pool, error) {
	d := s.j.withCrest(crest)
	d.Zones, d.Trench, d.Settlement.Allowance = nil, earthwork.Trench{}, 0
	q, err := earthwork.Cut(d, s.j.place)
	if err != nil {
		var under *earthwork.BelowGroundError
		if errors.As(err, &under) {
			return earthwork.Pool{}, nil // no dam yet, so no water
		}
		return earthwork.Pool{}, s.j.problemsOf(err)
	}
	for _, w := range q.Warnings {
		if w.Kind == earthwork.OpenEnd && crest > lowestCrest(&s.j.design) {
			return earthwork.Pool{}, errOpenEnd
		}
	}
	return s.lake.Pool(level, s.j.face(s.lake, &d, &q))
}

// found works out the whole plan with a crest and the lake at its pool.
func (s *search) found(crest float64) (*CrestFound, error) {
	p, err := s.pool(crest, crest-s.freeboard)
	if err != nil {
		return nil, s.noCrest(&earthwork.NoAnswerError{Reason: earthwork.CannotFigure, At: crest, Err: err, Figure: math.NaN()}, Wish{})
	}
	out, err := s.j.crestResult(crest)
	if err != nil {
		return nil, err
	}
	out.Pool = &p
	return out, nil
}

// crestResult is the whole plan of the site with another crest.
func (j *Job) crestResult(crest float64) (*CrestFound, error) {
	r, err := j.Run(j.withCrest(crest))
	if err != nil {
		return nil, err
	}
	return &CrestFound{Crest: crest, Was: lowestCrest(&j.design), Result: r}, nil
}

// noCrest says in plain words why no crest does what is wished.
func (s *search) noCrest(err error, w Wish) site.Problems {
	j := s.j
	p := site.Problem{Ref: j.crestRef(), Column: "elevation", What: err.Error(), Mend: "ask for less"}
	var no *earthwork.NoAnswerError
	if !errors.As(err, &no) {
		return site.Problems{p}
	}
	wanted := j.poolWords(w)
	switch no.Reason {
	case earthwork.AlreadyAtLow:
		p.What, p.Mend = fmt.Sprintf("a crest as low as the ground gives %s", wanted), "ask for more"
	case earthwork.NotAtHigh:
		p.What = fmt.Sprintf("no crest gives %s: not even one of %s, above all the ground of the survey", wanted, j.level(no.At))
	case earthwork.CannotFigure:
		at := ""
		if !math.IsNaN(no.Figure) {
			last := Wish{Storage: no.Figure}
			if w.PoolArea > 0 {
				last = Wish{PoolArea: no.Figure}
			}
			at = " and gives " + j.poolWords(last)
		}
		p.What = fmt.Sprintf("no crest gives %s: the highest that can be figured is %s%s; above it %s", wanted, j.level(no.At), at, j.whyNot(no.Err))
		p.Mend = "ask for less, give less freeboard, or mend what stands in the way"
	}
	return site.Problems{p}
}

// whyNot says why a crest cannot be figured.
func (j *Job) whyNot(err error) string {
	var above *earthwork.AboveLimitError
	var ps site.Problems
	switch {
	case errors.As(err, &above) && above.Limit.Kind == earthwork.SurveyEdge:
		return fmt.Sprintf("the water, at %s, reaches the edge of the survey", j.level(above.Limit.Level))
	case errors.As(err, &above):
		return fmt.Sprintf("the water, at %s, spills over a saddle", j.level(above.Limit.Level))
	case errors.As(err, &ps) && len(ps) > 0:
		return ps[0].What
	}
	return err.Error()
}

// poolWords writes a wanted storage or area.
func (j *Job) poolWords(w Wish) string {
	switch {
	case w.PoolArea > 0:
		return "a pool of " + in(j.system.LandArea, w.PoolArea, 2)
	case w.Storage > 0:
		return "a storage of " + j.storageText(w.Storage)
	}
	return "it"
}

// storageText writes a storage as owners do: acre-ft, or m3.
func (j *Job) storageText(m3 float64) string {
	name, decimals := "m3", 0
	if j.system.Name == units.US.Name {
		name, decimals = "acre-ft", 1
	}
	u, _ := units.Lookup(name)
	return in(u, m3, decimals)
}

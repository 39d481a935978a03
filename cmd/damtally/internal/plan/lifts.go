package plan

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// Lifts is the dam cut into lifts, and the tests that they need.
type Lifts struct {
	// Sets hold the zones that are laid in lifts of one thickness, thinnest first.
	// Together they hold each zone once.
	Sets []LiftSet
	// Curve is the volume of all zones by elevation, at whole steps from the bottom of
	// the trench to the top; nil without a dam.
	Curve []VolumeBelow
	// Allowance is what the settlement allowance adds, one line a zone.
	Allowance []earthwork.LiftPart
	// TestEvery, m3, and LeastTests are the site's rule of testing; Asked says that
	// it sets one, else no tests are counted.
	TestEvery  float64
	LeastTests int
	Asked      bool
	Tests      int // due in all
}

// VolumeBelow is what is compacted below a level: neat fill, trench and layers
// outside the outline, without the settlement allowance.
type VolumeBelow struct {
	Level     float64 // m
	Compacted float64 // m3
}

// LiftSet is the zones that are laid in lifts of one thickness.
type LiftSet struct {
	Thickness float64 // compacted, m
	Zones     []int   // indices into Quantities.Zones
	// Lifts hold the parts of these zones alone; Total sums them from the lowest.
	Lifts     []earthwork.Lift
	Compacted float64 // m3, of all of them
	Tests     int
}

// The thickness of a compacted lift where no material states one: 6 in or 0.15 m,
// common practice for clayey fill.
const (
	usLift     = 0.5 * 0.3048
	metricLift = 0.15
)

// mostListed is how many lifts are listed at most. More are no plan that a crew
// can follow, and more likely a slip in the thickness.
const mostListed = 5000

// sameLift is the difference of two thicknesses that counts as none, m.
const sameLift = 1e-6

// lifts cuts the dam into lifts by the thicknesses of its materials. The notes say
// what was taken for granted.
func (j *Job) lifts(r *Result) (*Lifts, []site.Note, site.Problems) {
	out := &Lifts{
		TestEvery: j.site.Settings.TestEvery.Value, LeastTests: int(math.Ceil(j.site.Settings.LeastTestsALift.Value)),
		Asked: j.site.Settings.TestEvery.Given || j.site.Settings.LeastTestsALift.Given,
	}
	zones := j.zoneLifts(r)
	for _, set := range zones.sets() {
		if ps := j.cutSet(r, &set, out); len(ps) > 0 {
			return nil, nil, ps
		}
		out.Sets = append(out.Sets, set)
		out.Tests += set.Tests
	}
	for _, p := range out.Allowance {
		out.Tests += p.Tests
	}
	out.Curve = j.volumeCurve(r, out)
	return out, zones.notes, nil
}

// volumeCurve is the volume of the whole dam by elevation, whatever lifts its zones
// are laid in.
func (j *Job) volumeCurve(r *Result, all *Lifts) []VolumeBelow {
	low, high := math.Inf(1), math.Inf(-1)
	for _, set := range all.Sets {
		if n := len(set.Lifts); n > 0 {
			low, high = min(low, set.Lifts[0].Bottom), max(high, set.Lifts[n-1].Top)
		}
	}
	if !(low < high) {
		return nil
	}
	levels := distinct(j.lakeLevels(low, high))
	out := make([]VolumeBelow, len(levels))
	for i, v := range earthwork.FillBelow(&r.Quantities, j.place.Centreline, levels) {
		out[i] = VolumeBelow{levels[i], v}
	}
	return out
}

// cutSet cuts the whole dam in the set's thickness and keeps the set's zones.
func (j *Job) cutSet(r *Result, set *LiftSet, all *Lifts) site.Problems {
	opt := earthwork.LiftOptions{
		Thickness: set.Thickness, TestEvery: all.TestEvery, LeastTests: all.LeastTests,
		Tested: func(zone int) bool { return all.Asked && j.tested(zone) },
	}
	p, err := earthwork.Lifts(&r.Quantities, j.place.Centreline, opt)
	if err != nil || len(p.Lifts) > mostListed {
		return site.Problems{j.thinLift(set)}
	}
	all.Allowance = p.Allowance
	for _, l := range p.Lifts {
		if l = ofZones(l, set.Zones); len(l.Parts) == 0 {
			continue
		}
		set.Compacted += l.Compacted
		l.Total = set.Compacted
		set.Tests += l.Tests
		set.Lifts = append(set.Lifts, l)
	}
	return nil
}

// ofZones is what a lift holds of some zones.
func ofZones(l earthwork.Lift, zones []int) earthwork.Lift {
	in := map[int]bool{}
	for _, z := range zones {
		in[z] = true
	}
	out := earthwork.Lift{Bottom: l.Bottom, Top: l.Top}
	for _, p := range l.Parts {
		if in[p.Zone] {
			out.Parts = append(out.Parts, p)
			out.Compacted += p.Compacted
			out.Tests += p.Tests
		}
	}
	out.Area = out.Compacted / (out.Top - out.Bottom)
	return out
}

// thinLift says that a thickness gives too many lifts.
func (j *Job) thinLift(set *LiftSet) site.Problem {
	p := site.Problem{
		Ref: site.Ref{Table: "materials"}, Column: "lift thickness",
		What: fmt.Sprintf("lifts of %.3g mm compacted would be more than %d in this dam", set.Thickness*1000, mostListed),
		Mend: "check the number and its unit",
	}
	for _, z := range set.Zones {
		for _, name := range j.zoneMaterials(z) {
			if s := j.soil(name); s != nil && s.row.LiftThickness.Given {
				p.Ref = s.row.Ref
				return p
			}
		}
	}
	return p
}

// tested tells whether a zone is tested for density: what is laid and rolled as
// soil, not bought stone and not topsoil or a layer on a face.
func (j *Job) tested(zone int) bool {
	if len(j.site.Zones) > 0 {
		switch j.site.Zones[zone].Kind {
		case "facing", "bedding", "cover":
			return false
		}
	}
	for _, name := range j.zoneMaterials(zone) {
		if s := j.soil(name); s == nil || !s.bought {
			return true
		}
	}
	return false
}

// zoneLifts is the compacted thickness by zone, 0 where it goes with the others.
type zoneLifts struct {
	thickness []float64
	notes     []site.Note
}

// zoneLifts finds the thickness of each zone's lifts. A zone of several materials
// takes the thinnest. A zone that is not tested and states no thickness goes with
// the others; one that is takes the common one.
func (j *Job) zoneLifts(r *Result) zoneLifts {
	out := zoneLifts{thickness: make([]float64, len(r.Quantities.Zones))}
	known := map[string]float64{}
	for i := range r.Materials {
		m := &r.Materials[i]
		if m.Row.LiftThickness.Given {
			t, note := j.compactedLift(m)
			known[m.Row.Name] = t
			out.notes = append(out.notes, note)
		}
	}
	var assumed []string
	for z := range out.thickness {
		t := math.Inf(1)
		for _, name := range j.zoneMaterials(z) {
			if k, ok := known[name]; ok {
				t = min(t, k)
			}
		}
		switch {
		case !math.IsInf(t, 1):
			out.thickness[z] = t
		case j.tested(z) || len(known) == 0:
			out.thickness[z] = j.commonLift()
			assumed = append(assumed, r.Quantities.Zones[z].Zone)
		}
	}
	if len(assumed) > 0 {
		out.notes = append(out.notes, site.Note{Level: "note", Ref: site.Ref{Table: "materials"}, Source: "common practice", Text: fmt.Sprintf(
			"lifts of %s compacted are taken for %s, since no `lift thickness` is given for what it is built of; roller, soil and specification set it",
			j.thickness(j.commonLift()), strings.Join(assumed, ", "))})
	}
	return out
}

func (j *Job) commonLift() float64 {
	if j.system.Name == "us" {
		return usLift
	}
	return metricLift
}

// compactedLift is the compacted thickness of a material's lifts, from the
// thickness as it is measured, and how it was found.
func (j *Job) compactedLift(m *Material) (float64, site.Note) {
	t := m.Row.LiftThickness.Value
	note := site.Note{Level: "note", Ref: m.Row.Ref}
	loose, fill := m.Factors.Loose.Value, m.Factors.Fill.Value
	switch {
	case m.Row.LiftMeasured == "compacted":
		note.Text = fmt.Sprintf("%s is laid in lifts of %s compacted", m.Row.Name, j.thickness(t))
		if loose > 0 && fill > 0 {
			note.Text += fmt.Sprintf("; by its dry densities that is %s spread loose", j.thickness(earthwork.SpreadThickness(t, fill, loose)))
		}
		return t, note
	case m.Row.LiftMeasured == "loose" && loose > 0 && fill > 0:
		c := earthwork.CompactedThickness(t, fill, loose)
		note.Text = "soil is spread loose; by its dry densities that rolls down to compacted lifts"
		note.Item = j.rolledDown(m, t, c)
		return c, note
	case m.Row.LiftMeasured == "loose" && m.Known && m.Factors.LoadFactor > 0 && !m.Bought:
		// loose to bank to compacted, by typed factors
		c := t * m.Factors.LoadFactor * m.Factors.Shrink
		note.Text = "soil is spread loose; by its swell and shrink factor that rolls down to compacted lifts"
		note.Item = j.rolledDown(m, t, c)
		return c, note
	}
	note.Level = "look"
	note.Text = fmt.Sprintf("lifts of %s of %s are taken as compacted, since ", j.thickness(t), m.Row.Name)
	if m.Row.LiftMeasured == "" {
		note.Text += "`lift measured` does not say loose or compacted"
	} else {
		note.Text += "without its loose and fill dry density it is not known what that much loose soil rolls down to"
	}
	return t, note
}

// rolledDown writes the loose and the compacted thickness of a material's lifts.
func (j *Job) rolledDown(m *Material, loose, compacted float64) string {
	return fmt.Sprintf("%s %s loose to %s", m.Row.Name, j.thickness(loose), j.thickness(compacted))
}

// thickness writes a lift's thickness as crews do: inches or centimetres.
func (j *Job) thickness(m float64) string {
	if j.system.Name == "us" {
		return fmt.Sprintf("%.1f in", m/0.0254)
	}
	return fmt.Sprintf("%.1f cm", m*100)
}

// sets gathers the zones by thickness, thinnest first. Zones without a thickness
// go with the first zone that has one.
func (l *zoneLifts) sets() []LiftSet {
	var out []LiftSet
	with := func(t float64) *LiftSet {
		for i := range out {
			if math.Abs(out[i].Thickness-t) <= sameLift {
				return &out[i]
			}
		}
		return nil
	}
	main := 0.0
	for _, t := range l.thickness {
		if main == 0 {
			main = t
		}
	}
	for z, t := range l.thickness {
		if t == 0 {
			t = main
		}
		set := with(t)
		if set == nil {
			out = append(out, LiftSet{Thickness: t})
			set = &out[len(out)-1]
		}
		set.Zones = append(set.Zones, z)
	}
	// Sets differ in thickness, so the order is whole.
	sort.Slice(out, func(a, b int) bool { return out[a].Thickness < out[b].Thickness })
	return out
}

// byLevel works out what goes by elevation, the lifts and the lake side by side,
// and leaves their notes in the result.
func (j *Job) byLevel(r *Result, a *ahead) site.Problems {
	var notes []site.Note
	var ps site.Problems
	r.Lifts, notes, ps = j.lifts(r)
	var lakeNotes []site.Note
	r.Lake, lakeNotes = a.lakeOf()
	j.conduitTests(r)
	var linings []site.Note
	r.Blankets, linings = j.blanketLifts(r)
	r.Notes = append(append(append(r.Notes, notes...), linings...), lakeNotes...)
	return ps
}

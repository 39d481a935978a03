package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
)

// Bounds of the checks. Each says what is worth a second look.
const (
	// sumTolerance guards the rounding of sums, relative.
	sumTolerance = 1e-9
	// sectionTolerance is how far the highest section may lie from that of a
	// dam on level ground before it is worth a look, relative. Ground that
	// slopes across and faces with benches differ by some percent.
	sectionTolerance = 0.15
	// pitTolerance is the same for a pit against its area times its depth.
	pitTolerance = 0.15
	// endAreaExcess is how far average end area may exceed the prismoidal
	// volume before closer sections are worth their cost, relative (common
	// practice).
	endAreaExcess = 0.03
)

// The ratios outside which a factor is worth a second look (common practice).
const (
	leastOfBank, mostOfBank   = 0.75, 1.00
	leastOfLoose, mostOfLoose = 0.50, 0.85
)

// checks lists the ways in which the plan checks itself.
func (j *Job) checks(r *Result) []Check {
	out := []Check{j.sumCheck(r), j.sectionCheck(r), j.endAreaCheck(r)}
	if v := r.SurfaceVolume; v != nil && !math.IsNaN(*v) {
		out = append(out, j.surfaceCheck(r, *v))
	}
	out = append(out, j.endChecks(r)...)
	for i := range r.Materials {
		out = append(out, materialChecks(&r.Materials[i])...)
	}
	for i := range r.Pits {
		out = append(out, j.pitCheck(&r.Pits[i]))
	}
	return append(out, j.allocationChecks(r)...)
}

func (j *Job) sumCheck(r *Result) Check {
	sum := 0.0
	for _, z := range r.Quantities.Zones {
		sum += z.Compacted
	}
	return Check{
		Key: "zones_sum", What: "the zones add up to all that is compacted", Unit: "m3",
		Ours: sum, Other: r.Quantities.Total, Tolerance: sumTolerance, Holds: close(sum, r.Quantities.Total, sumTolerance), Costly: true,
		Mend: "report this: the sections and their zones disagree",
	}
}

// sectionCheck sets the highest section beside h (w + h (z1 + z2) / 2), the
// area on level ground with each face's mean slope.
func (j *Job) sectionCheck(r *Result) Check {
	c := Check{Key: "highest_section", Unit: "m2", Mend: "look at the highest section: its ground, its slopes and its crest"}
	q := &r.Quantities
	if q.Highest < 0 {
		c.What = "the highest section beside h (w + h (z1 + z2) / 2)"
		return c
	}
	s := &q.Sections[q.Highest]
	h := s.Crest - s.StrippedLevel
	after := s.At == earthwork.After || q.Highest == 0
	z1, z2 := meanSlope(r.Design.Upstream, s, h, after), meanSlope(r.Design.Downstream, s, h, after)
	c.What = fmt.Sprintf("the highest section, at station %s, beside h (w + h (z1 + z2) / 2) with h %s, w %s, z1 %.2f, z2 %.2f",
		j.station(s.Station), j.level(h), j.length(s.CrestWidth), z1, z2)
	c.Ours, c.Other = s.Neat.Area, h*(s.CrestWidth+h*(z1+z2)/2)
	c.Tolerance = sectionTolerance
	c.Holds = close(c.Ours, c.Other, sectionTolerance)
	return c
}

// meanSlope is the horizontal run of a face down the height h, benches
// included, over h. after says that the section stands for what follows its station,
// where one set of parts ends and another begins.
func meanSlope(parts []earthwork.FacePart, s *earthwork.Section, h float64, after bool) float64 {
	z, run := s.Crest, 0.0
	bottom := s.Crest - h
	for _, p := range parts {
		stands := p.From+sameEnd < s.Station && s.Station <= p.To+sameEnd
		if after {
			stands = p.From-sameEnd <= s.Station && s.Station < p.To-sameEnd
		}
		if !stands || p.ToElevation >= z {
			continue
		}
		to := max(p.ToElevation, bottom)
		run += p.Slope * (z - to)
		z = to
		if z <= bottom {
			break
		}
		run += p.Bench
	}
	return run / h
}

func (j *Job) endAreaCheck(r *Result) Check {
	f := r.Quantities.Fill
	return Check{
		Key: "end_area", What: "neat fill by average end area beside the prismoidal volume", Unit: "m3",
		Ours: f.EndArea + f.Bend, Other: f.Prismoidal + f.Bend,
		Tolerance: endAreaExcess, Holds: close(f.EndArea+f.Bend, f.Prismoidal+f.Bend, endAreaExcess),
		Mend: "average end area is high where the height changes fast between sections; set a shorter `section interval`",
	}
}

// surfaceCheck sets the sections' volume beside that between surfaces.
func (j *Job) surfaceCheck(r *Result, v float64) Check {
	f := r.Quantities.Fill
	return Check{
		Key: "surface_to_surface", What: "neat fill by average end area beside the volume between the design and the ground, triangle by triangle", Unit: "m3",
		Ours: f.EndArea + f.Bend, Other: v, Tolerance: endAreaExcess, Holds: close(f.EndArea+f.Bend, v, endAreaExcess),
		Mend: "the ground between the sections is not like the ground at them; set a shorter `section interval`",
	}
}

// endChecks see that the crest meets the ground at both ends.
func (j *Job) endChecks(r *Result) []Check {
	s := r.Quantities.Sections
	open := map[float64]float64{}
	for _, w := range r.Quantities.Warnings {
		if w.Kind == earthwork.OpenEnd {
			open[w.Station] = w.Value
		}
	}
	var out []Check
	for i, name := range []string{"first", "last"} {
		at := s[i*(len(s)-1)].Station
		out = append(out, Check{
			Key: "crest_meets_ground_" + name, Unit: "m", Costly: true,
			What: fmt.Sprintf("the crest meets the ground at the %s station, %s", name, j.station(at)),
			Ours: open[at], Other: 0, Holds: open[at] == 0,
			Mend: "the dam ends in a vertical face, water can go round it and the volume is short; carry crest and survey on into the hillside",
		})
	}
	return out
}

func materialChecks(m *Material) []Check {
	var out []Check
	name := m.Row.Name
	if m.Bought || !m.Known {
		return nil
	}
	f := m.Factors
	if f.Bank.N > 0 && f.Fill.Value > 0 {
		dug := borrow.DryMass(m.Bank, f.Bank.Value) * (1 - m.Loss)
		out = append(out, Check{
			Key: "dry_mass_pit", Subject: name, Tolerance: sumTolerance, What: name + ": dry mass dug less loss is the dry mass in the dam", Unit: "kg",
			Ours: dug, Other: m.DryMass, Holds: close(dug, m.DryMass, sumTolerance), Costly: true,
			Mend: "the three states disagree; look at the densities",
		})
	}
	if f.Loose.N > 0 && f.Fill.Value > 0 && !math.IsNaN(m.Loose) {
		hauled := borrow.DryMass(m.Loose, f.Loose.Value) * (1 - m.Loss)
		out = append(out, Check{
			Key: "dry_mass_truck", Subject: name, Tolerance: sumTolerance, What: name + ": dry mass hauled less loss is the dry mass in the dam", Unit: "kg",
			Ours: hauled, Other: m.DryMass, Holds: close(hauled, m.DryMass, sumTolerance), Costly: true,
			Mend: "the three states disagree; look at the densities",
		})
	}
	out = append(out, rangeCheck("compacted_of_bank", name, "compacted volume per bank volume", f.Shrink, leastOfBank, mostOfBank))
	if f.LoadFactor > 0 {
		out = append(out, rangeCheck("compacted_of_loose", name, "compacted volume per loose volume", f.Shrink*f.LoadFactor, leastOfLoose, mostOfLoose))
	}
	return out
}

// rangeCheck holds when a ratio lies within usual bounds. Other is the bound
// that it passes, or the nearer one.
func rangeCheck(key, subject, what string, ratio, least, most float64) Check {
	c := Check{
		Key: key, Subject: subject, Unit: "1", Least: least, Most: most,
		What: fmt.Sprintf("%s: %s, usually %.2f to %.2f (common practice)", subject, what, least, most),
		Ours: ratio, Other: most, Holds: ratio >= least && ratio <= most, Costly: true,
		Mend: "look again at the bank, loose and fill densities, their units, and whether wet and dry were mixed up",
	}
	if math.Abs(ratio-least) < math.Abs(ratio-most) {
		c.Other = least
	}
	return c
}

// pitCheck sets a pit's capacity beside its mean area times its mean usable
// depth at the corners.
func (j *Job) pitCheck(p *Pit) Check {
	c := p.Capacity
	mean := (c.Opened + c.Floor) / 2 * p.UsableDepth
	where := "corners"
	if p.Strata != nil {
		where = "test holes"
	}
	return Check{
		Key: "pit_capacity", Subject: p.Row.Name, Tolerance: pitTolerance,
		What: fmt.Sprintf("pit %s: capacity beside mean area x usable depth of %s at its %s", p.Row.Name, j.length(p.UsableDepth), where),
		Unit: "m3", Ours: c.Bank, Other: mean, Holds: close(c.Bank, mean, pitTolerance),
		Mend: "uneven ground or sides that meet above the floor can explain it; else check the pit's floor, corners and units",
	}
}

// failedChecks says which checks do not hold. An end of the dam in the air has a
// danger of its own.
func (j *Job) failedChecks(r *Result) []site.Note {
	var out []site.Note
	for _, c := range r.Checks {
		if c.Holds || strings.HasPrefix(c.Key, "crest_meets_ground") {
			continue
		}
		out = append(out, site.Note{Level: "look", Text: fmt.Sprintf("a check does not hold: %s: %s beside %s; %s",
			c.What, j.checkFigure(c, c.Ours), j.checkFigure(c, c.Other), c.Mend)})
	}
	return out
}

// checkFigure writes a figure of a check in the site's output units.
func (j *Job) checkFigure(c Check, v float64) string {
	switch c.Unit {
	case "m3":
		return j.volume(v, "")
	case "m2":
		return j.area(v)
	case "m":
		return j.level(v)
	case "kg":
		return in(j.system.Bulk, v, 0)
	}
	return strconv.FormatFloat(v, 'f', 3, 64)
}

// close tells whether two values differ by no more than the share of the larger.
func close(a, b, share float64) bool {
	return math.Abs(a-b) <= share*math.Max(math.Abs(a), math.Abs(b))
}

package site

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Limits of what can be, against slips of a unit or of the decimal point.
const (
	mostFill    = 1.5  // bucket fill: handbooks go up to 1.2 (common practice)
	mostSpeed   = 30.0 // m/s, 67 mph: no loaded truck drives faster on a site
	steepest    = 0.5  // grade of a haul road
	mostRolling = 0.5  // rolling resistance; soft sand has 0.2 (common practice)
	mostWinding = 10.0
	mostDrying  = 0.05 // m of water a day; hot deserts reach 0.015 (common practice)
)

// checkFleet checks the machines, the haul roads and the working calendar.
func (r *reading) checkFleet() {
	gather(r, "fleet", "machine", r.site.Fleet, func(m Machine) (Ref, string) { return m.Ref, m.Name })
	for i := range r.site.Fleet {
		r.checkMachine(&r.site.Fleet[i])
	}
	for i := range r.site.Density { // trial strips name machines too, but they need not be in the fleet
		if written, ok := r.names["fleet"].written[key(r.site.Density[i].Machine)]; ok {
			r.site.Density[i].Machine = written
		}
	}
	r.checkRoads()
	r.checkCalendar()
}

func (r *reading) checkMachine(m *Machine) {
	whole := func(column string, n Number) {
		if n.Given && n.Value != math.Trunc(n.Value) {
			r.wrong(m.Ref, column, short(n.Value)+" is no whole number", "write a whole number")
		}
	}
	whole("count", m.Count)
	whole("passes", m.Passes)
	if m.Efficiency.Given && m.Efficiency.Value > 1 {
		r.wrong(m.Ref, "efficiency", "is more than 60 minutes of an hour", "write the working minutes of an hour over 60, such as 50 minutes = 83 %")
	}
	if m.BucketFill.Given && m.BucketFill.Value > mostFill {
		r.wrong(m.Ref, "bucket fill", short(100*m.BucketFill.Value)+" % of the capacity cannot lie in it", "write such as 95 %")
	}
	if m.CapacityMeasured != "" && !m.Capacity.Given {
		r.wrongOnce(m.Ref, "capacity", "is blank, yet `capacity measured` says how it was measured", "give the capacity, or leave both blank")
	}
	for _, c := range []struct {
		column string
		speed  Number
	}{{"loaded speed", m.LoadedSpeed}, {"empty speed", m.EmptySpeed}, {"speed", m.Speed}} {
		if c.speed.Given && c.speed.Value > mostSpeed {
			r.wrong(m.Ref, c.column, "is faster than any such machine drives", "look at the number and at the header's unit")
		}
	}
}

// checkRoads checks the rows of `hauls` against each other: two of one source and
// zone must not serve the same station.
func (r *reading) checkRoads() {
	for i := range r.site.Hauls {
		h := &r.site.Hauls[i]
		h.Zone = r.referIn(h.Ref, "zone", h.Zone, "zones", "no zone of the table zones")
		if h.Grade.Given && math.Abs(h.Grade.Value) > steepest {
			r.wrong(h.Ref, "grade", short(100*h.Grade.Value)+" % is too steep for any haul", "look at the number and at the header's unit")
		}
		if h.RollingResistance.Given && h.RollingResistance.Value > mostRolling {
			r.wrong(h.Ref, "rolling resistance", short(100*h.RollingResistance.Value)+" % of the weight is too much for any road", "write such as 3 %; 20 lb a ton are 1 %")
		}
		at := reachOf(h.FromStation, h.ToStation)
		if r.backwards(h.Ref, at) {
			continue
		}
		bounded := h.FromStation.Given || h.ToStation.Given
		for k := range i {
			o := &r.site.Hauls[k]
			alike := key(o.Pit) == key(h.Pit) && key(o.Zone) == key(h.Zone) && bounded == (o.FromStation.Given || o.ToStation.Given)
			if alike && !at.apart(reachOf(o.FromStation, o.ToStation)) {
				r.wrong(h.Ref, "pit", fmt.Sprintf("the road from %s in row %d serves the same place", units.Quote(h.Pit), o.Ref.Row),
					"keep one of the two, or give them stations or zones that differ")
				break
			}
		}
	}
}

// checkCalendar checks the settings of haul and time.
func (r *reading) checkCalendar() {
	s := &r.site.Settings
	for _, c := range []struct {
		item       string
		n          Number
		low, high  float64
		what, mend string
	}{
		{"work days a week", s.WorkDaysAWeek, 0, 7, "days are no part of a week", "write 7 or less, such as 5"},
		{"hours per day", s.HoursPerDay, 0, 24, "hours are no part of a day", "write 24 or less, such as 10"},
		{"haul winding", s.HaulWinding, 1, mostWinding, "times the straight distance is no haul road", "write 1 or more, such as 1.3"},
		{"evaporation", s.Evaporation, 0, mostDrying, "m of water do not dry off in a day", "write a depth of water a day, such as 0.2 in"},
	} {
		if c.n.Given && (c.n.Value < c.low || c.n.Value > c.high) {
			r.wrong(s.ItemRows[c.item], c.item, short(c.n.Value)+" "+c.what, c.mend)
		}
	}
}

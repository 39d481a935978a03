package site

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// fullestTruck is the fill of a truck beyond which a cell is a slip, a fraction:
// a bed heaped to half as much again as it is rated for.
const fullestTruck = 1.5

// checkLoads checks the truck tally against the other tables.
func (r *reading) checkLoads() {
	for i := range r.site.Loads {
		l := &r.site.Loads[i]
		l.Pit = r.loadedAt(l.Ref, l.Pit)
		l.Zone = r.referIn(l.Ref, "zone", l.Zone, "zones", "no zone of the table zones")
		if l.MaterialName != "" {
			l.MaterialName = r.material(l.Ref, l.MaterialName)
		}
		if l.Loads != math.Trunc(l.Loads) {
			r.wrong(l.Ref, "loads", "is not a whole number of loads", "count the loads, and give a half load its `fill`")
		}
		if l.Rejected.Given && l.Rejected.Value > l.Loads {
			r.wrong(l.Ref, "rejected", "is more than the loads of the row", "count rejected loads among the `loads`")
		}
		if l.Fill.Given && l.Fill.Value > fullestTruck {
			r.wrong(l.Ref, "fill", fmt.Sprintf("is more than %g %% of the truck's capacity", 100*fullestTruck), "write 90 % or 0.9 for a truck that is nine tenths full")
		}
		if l.NetWeight.Given && l.NetWeight.Value == 0 {
			r.wrong(l.Ref, "net weight", "is 0", "leave it blank where the loads were not weighed")
		}
	}
}

// loadedAt refers to the pit, cut or stockpile that loads came from.
func (r *reading) loadedAt(ref Ref, name string) string {
	k := key(name)
	if k == "" {
		return name
	}
	for _, table := range []string{"pits", "cuts"} {
		if written, ok := r.names[table].written[k]; ok {
			return written
		}
	}
	for _, s := range r.site.Stockpiles {
		if key(s.Name) == k {
			return s.Name
		}
	}
	for _, table := range []string{"pits", "cuts", "stockpiles"} {
		if r.has(table) && !r.whole(table) {
			return name
		}
	}
	list := append(r.names["pits"].list(), r.names["cuts"].list()...)
	mend := "mend the name, or add the pit to " + r.container("pits")
	if near := nearest(name, list); near != "" {
		mend = "did you mean " + units.Quote(near) + "?"
	}
	r.wrong(ref, "pit", units.Quote(name)+" is no pit, cut or stockpile of the site", mend)
	return name
}

// checkProgressSurface checks a surface that shows the work at some day.
func (r *reading) checkProgressSurface(f *SurfaceFile) {
	ofPit := f.Use == "pit survey" || f.Use == "pit stripped"
	switch pits := r.names["pits"].list(); {
	case !ofPit && f.Pit != "":
		r.wrong(f.Ref, "pit", "stands beside the use "+units.Quote(f.Use)+", which is not of a pit", "leave it blank, or mend the `use`")
	case !ofPit:
	case f.Pit != "":
		f.Pit = r.refer(f.Ref, "pit", f.Pit, "pits", "no pit of the table pits")
	case len(pits) == 1:
		f.Pit = pits[0]
	default:
		r.wrong(f.Ref, "pit", "is blank", "name the pit that the survey shows")
	}
	if f.Date == "" && (f.Use == "pit survey" || f.Use == "fill survey") && !r.foundAt(f.Ref, "date") {
		r.wrong(f.Ref, "date", "is blank", "write the day of the survey, year-month-day, since loads are compared up to that day")
	}
}

// foundAt tells whether a problem stands at a cell already.
func (r *reading) foundAt(ref Ref, column string) bool {
	for _, p := range r.found {
		if p.Ref.Table == ref.Table && p.Ref.Row == ref.Row && p.Column == column {
			return true
		}
	}
	return false
}

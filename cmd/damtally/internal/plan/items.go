package plan

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// result is a quantity that a pay item may name: its value and its kind of unit.
type result struct {
	value float64 // SI; NaN when it could not be figured
	kind  units.Kind
}

// resultNames lists the names that `quantity of` takes, for this site. With a
// nil result only the names and kinds hold.
func (j *Job) resultNames(r *Result) map[string]result {
	out := map[string]result{}
	set := func(name string, kind units.Kind, value func() float64) {
		v := math.NaN()
		if r != nil {
			v = value()
		}
		out[itemKey(name)] = result{v, kind}
	}
	q := func() *quantitiesOf { return &quantitiesOf{r} }
	set("fill", units.Volume, func() float64 { return q().fill() })
	set("total compacted", units.Volume, func() float64 { return r.Quantities.Total })
	set("trench", units.Volume, func() float64 { return r.Quantities.Trench })
	set("settlement", units.Volume, func() float64 { return r.Quantities.Settlement })
	set("overbuild", units.Volume, func() float64 { return r.Quantities.Overbuild })
	set("stripping", units.Volume, func() float64 { return r.Quantities.Stripping })
	if len(j.site.Conduits) > 0 {
		conduitResults(set, func() []Conduit { return r.Conduits })
	}
	set("pit stripping", units.Volume, func() float64 { return pitStripping(r) })
	set("outside", units.Volume, func() float64 { return r.Quantities.Outside })
	set("footprint", units.Area, func() float64 { return r.Quantities.Footprint })
	j.cutResults(set)
	j.blanketResults(set)
	for i, z := range j.site.Zones {
		set("zone "+z.Zone, units.Volume, func() float64 { return r.Quantities.Zones[i].Compacted })
		if hasSurface(z) {
			set("surface "+z.Zone, units.Area, func() float64 { return r.Quantities.Zones[i].Surface })
		}
	}
	for i := range j.soils {
		name := j.soils[i].row.Name
		if j.soils[i].bought {
			set("bought "+name, units.Mass, func() float64 { return r.Materials[i].Mass })
			continue
		}
		set("compacted "+name, units.Volume, func() float64 { return r.Materials[i].Compacted })
		set("bank "+name, units.Volume, func() float64 { return r.Materials[i].Bank })
		set("loose "+name, units.Volume, func() float64 { return r.Materials[i].Loose })
	}
	return out
}

// itemKey is how the name of a result is compared: in small letters, with one
// blank between words.
func itemKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// unitMend says which units a pay item takes.
func unitMend(name string, kind units.Kind) string {
	if hint := units.Hint(name, kind); hint != "" {
		return hint
	}
	return "write one of: " + units.Names(kind)
}

// quantitiesOf reads sums off a result.
type quantitiesOf struct{ r *Result }

func (q *quantitiesOf) fill() float64 { return q.r.Quantities.Fill.EndArea + q.r.Quantities.Fill.Bend }

// checkItems sees that every pay item names a result there is, in a unit of
// its kind.
func (j *Job) checkItems() site.Problems {
	var ps site.Problems
	names := j.resultNames(nil)
	for _, row := range j.site.Prices {
		if row.QuantityOf == "" {
			continue
		}
		res, ok := names[itemKey(row.QuantityOf)]
		if !ok {
			ps = append(ps, site.Problem{
				Ref: row.Ref, Column: "quantity of",
				What: fmt.Sprintf("%s is no result of this site", units.Quote(row.QuantityOf)),
				Mend: "write one of: " + strings.Join(sortedNames(names), ", "),
			})
			continue
		}
		if p, conflict := stateConflict(row); conflict {
			ps = append(ps, p)
		}
		if u, ok := units.Lookup(row.Unit); !ok || u.Kind != res.kind {
			ps = append(ps, site.Problem{
				Ref: row.Ref, Column: "unit",
				What: fmt.Sprintf("%s does not measure %s", units.Quote(row.Unit), row.QuantityOf),
				Mend: unitMend(row.Unit, res.kind),
			})
		}
	}
	return ps
}

func sortedNames(m map[string]result) []string {
	var out []string
	for name := range m {
		out = append(out, name)
	}
	sort.Strings(out)
	return out
}

// items prices the pay items.
func (j *Job) items(r *Result) []Item {
	names := j.resultNames(r)
	var out []Item
	for _, row := range j.site.Prices {
		item := Item{Row: row, Quantity: row.Quantity.Value}
		if row.QuantityOf != "" {
			res := names[itemKey(row.QuantityOf)]
			u, _ := units.Lookup(row.Unit)
			item.Quantity = u.FromSI(res.value)
			item.Name = itemKey(row.QuantityOf)
		}
		if math.IsNaN(item.Quantity) {
			item.Quantity = 0
			item.Unpaid = row.QuantityOf + " is not known"
		}
		item.Amount = item.Quantity * row.UnitPrice
		item.Measured = measuredWord(row, item.Name)
		item.Cost, item.MarkUp = math.NaN(), math.NaN()
		if row.UnitCost.Given && item.Unpaid == "" {
			item.Cost = item.Quantity * row.UnitCost.Value
		}
		if row.UnitCost.Value > 0 {
			item.MarkUp = row.UnitPrice/row.UnitCost.Value - 1
		}
		out = append(out, item)
	}
	return out
}

// measuredWord is how an item's quantity is measured for pay: as the row says,
// else as the result that it is taken from is figured.
func measuredWord(row site.PayItem, name string) string {
	if row.Measured != "" {
		return row.Measured
	}
	switch state, _, _ := strings.Cut(name, " "); state {
	case "":
		return "as typed"
	case "bank", "loose":
		return state
	case "bought":
		return "load"
	}
	return "plan"
}

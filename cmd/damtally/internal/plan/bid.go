package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Bid is the bottom of the bid, money. Overhead is a share of the items,
// contingency a share of items and overhead, profit a share of all three.
type Bid struct {
	Items                         float64 // sum of the amounts
	Overhead, Contingency, Profit float64
	Total                         float64
	// Cost is the bidder's own cost of the items and of the unpaid work that has
	// one; Costed is how many lines that are.
	Cost   float64
	Costed int
}

// UnpaidWork is soil that must be moved and that no pay item measures, so that
// its cost must stand in the prices of others.
type UnpaidWork struct {
	// Key is a short fixed name: "overbuild", "settlement", "loss", "stripping",
	// "trench", "pit_stripping", "rehandling".
	Key     string
	Subject string  // the material, stockpile, cut or blanket that it is about, "" for the whole
	What    string  // plain words
	State   string  // "compacted", "bank", "loose" or "in place"
	Volume  float64 // m3
	// UnitCost is the bidder's own cost of one m3, NaN when not known.
	UnitCost float64
	Zones    []int // for settlement: the zones whose share is not paid
}

// Cost is the bidder's own cost of the work, NaN when not known.
func (u UnpaidWork) Cost() float64 { return u.Volume * u.UnitCost }

// leastUnpaid is the volume below which unpaid work is no line of its own, m3. It
// guards the rounding of sums.
const leastUnpaid = 0.01

// bid adds the bid up, and lists what no item pays for.
func (j *Job) bid(r *Result) (*Bid, []UnpaidWork) {
	if len(r.Items) == 0 {
		return nil, nil
	}
	unpaid := j.unpaid(r)
	out := &Bid{}
	for _, item := range r.Items {
		out.Items += item.Amount
		out.addCost(item.Cost)
	}
	for _, u := range unpaid {
		out.addCost(u.Cost())
	}
	set := &j.site.Settings
	out.Overhead = set.Overhead.Value * out.Items
	out.Contingency = set.Contingency.Value * (out.Items + out.Overhead)
	out.Profit = set.Profit.Value * (out.Items + out.Overhead + out.Contingency)
	out.Total = out.Items + out.Overhead + out.Contingency + out.Profit
	return out, unpaid
}

func (b *Bid) addCost(cost float64) {
	if !math.IsNaN(cost) {
		b.Cost += cost
		b.Costed++
	}
}

// unpaid lists the work that no pay item measures, in the order of the work.
func (j *Job) unpaid(r *Result) []UnpaidWork {
	paid := map[string]bool{}
	for _, item := range r.Items {
		paid[item.Name] = true
	}
	var out []UnpaidWork
	add := func(u UnpaidWork) {
		if u.Volume > leastUnpaid {
			out = append(out, u)
		}
	}
	nan, q := math.NaN(), &r.Quantities
	if !paid["stripping"] {
		add(UnpaidWork{Key: "stripping", What: "topsoil stripped under the dam", State: "in place", Volume: q.Stripping, UnitCost: nan})
	}
	if !paid["trench"] {
		add(UnpaidWork{Key: "trench", What: "digging the cutoff trench", State: "in place", Volume: q.Trench, UnitCost: nan})
	}
	if !paid["overbuild"] {
		add(UnpaidWork{Key: "overbuild", What: "overbuild, placed and trimmed off", State: "compacted", Volume: q.Overbuild, UnitCost: nan})
	}
	for _, u := range unpaidWorks(r, paid) {
		add(u)
	}
	add(j.unpaidSettlement(r, paid))
	for _, m := range r.Materials {
		name := itemKey(m.Row.Name)
		if !m.Bought && !paid["bank "+name] && !paid["loose "+name] && !math.IsNaN(m.Bank) {
			add(UnpaidWork{
				Key: "loss", Subject: m.Row.Name, What: "loss of " + m.Row.Name + ", dug and never in the dam",
				State: "bank", Volume: m.Bank * m.Loss, UnitCost: nan,
			})
		}
	}
	if !paid["pit stripping"] {
		add(UnpaidWork{Key: "pit_stripping", What: "topsoil stripped off the pits", State: "bank", Volume: pitStripping(r), UnitCost: nan})
	}
	for _, s := range j.site.Stockpiles {
		add(UnpaidWork{
			Key: "rehandling", Subject: s.Name, What: "rehandling of stockpile " + s.Name, State: "loose",
			Volume: s.Volume.Value, UnitCost: s.RehandleCost.Or(nan) / j.system.Volume.SI,
		})
	}
	return out
}

// pitStripping is the topsoil of all pits, bank m3.
func pitStripping(r *Result) float64 {
	sum := 0.0
	for _, p := range r.Pits {
		sum += p.Capacity.Strip
	}
	return sum
}

// unpaidSettlement is what the allowance adds to zones that no item measures as
// they are built.
func (j *Job) unpaidSettlement(r *Result, paid map[string]bool) UnpaidWork {
	u := UnpaidWork{Key: "settlement", What: "settlement allowance, placed beyond the neat lines", State: "compacted", UnitCost: math.NaN()}
	if paid["settlement"] || paid["total compacted"] {
		return u
	}
	for k, z := range r.Quantities.Zones {
		if paid[itemKey("zone "+z.Zone)] || materialsPaid(r, k, paid) {
			continue
		}
		u.Volume += z.Settlement
		u.Zones = append(u.Zones, k)
	}
	return u
}

// materialsPaid tells whether items measure every material of a zone, in any state.
func materialsPaid(r *Result, zone int, paid map[string]bool) bool {
	some := false
	for _, m := range r.Materials {
		if !slices.ContainsFunc(m.Shares, func(s Share) bool { return s.Zone == zone }) {
			continue
		}
		some = true
		name := itemKey(m.Row.Name)
		if !paid["compacted "+name] && !paid["bank "+name] && !paid["loose "+name] && !paid["bought "+name] {
			return false
		}
	}
	return some
}

// bidNotes says what no item pays for, and when the bid is below its own cost.
func (j *Job) bidNotes(r *Result) []site.Note {
	if r.Bid == nil {
		return nil
	}
	var out []site.Note
	ref := site.Ref{Table: "prices"}
	if len(r.Unpaid) > 0 {
		var words []string
		for _, u := range r.Unpaid {
			words = append(words, u.What+" "+j.volume(u.Volume, u.State))
		}
		out = append(out, site.Note{Level: "note", Ref: ref, Text: "no pay item measures these, so their cost must stand in other prices: " + strings.Join(words, "; ")})
	}
	all := r.Bid.Costed > 0
	for _, item := range r.Items {
		all = all && !math.IsNaN(item.Cost)
	}
	if all && r.Bid.Total < r.Bid.Cost {
		out = append(out, site.Note{Level: "look", Ref: ref, Text: fmt.Sprintf("the bid of %s is below your own cost of %s",
			j.money(r.Bid.Total), j.money(r.Bid.Cost))})
	}
	return out
}

// money writes an amount in the site's currency.
func (j *Job) money(v float64) string {
	return j.site.Settings.Currency + units.Number(v, 2)
}

package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// accountPit sets the surveys of one pit against its loads.
func (j *reconciler) accountPit(r *Result, rec *Reconciliation, pit int) {
	name := r.Pits[pit].Row.Name
	out := PitAccount{Pit: pit, Material: materialIndex(r, r.Pits[pit].Row.Material)}
	out.Surveys = slices.IndexFunc(rec.Pits, func(p PitSurveys) bool { return p.Pit == pit })
	var within, outside, before sums
	given := map[int]bool{}
	for i := range rec.Loads {
		l := &rec.Loads[i]
		if l.Row.Pit != name {
			continue
		}
		given[l.Material] = true
		switch {
		case out.Surveys >= 0 && l.Row.Date > rec.Pits[out.Surveys].From && l.Row.Date <= rec.Pits[out.Surveys].To:
			within.add(l)
			if !l.Counted {
				before.add(l) // surveyed, but after the last day that counts
			}
		case l.Counted:
			outside.add(l)
		}
	}
	if len(given) == 0 && out.Surveys < 0 {
		return
	}
	if len(given) > 0 {
		out.Material = -1
		for m := range given {
			if len(given) == 1 {
				out.Material = m
			}
		}
	}
	if len(given) > 1 && out.Surveys >= 0 {
		j.note("look", r.Pits[pit].Row.Ref, fmt.Sprintf("pit %s gave several soils, so its survey is no check of the loads of one of them", name), "")
	}
	out.Tally, out.Outside, out.Loads = within.loose, outside.loose-before.loose, within.loads
	if out.Surveys < 0 {
		out.Tally, out.Outside, out.Loads = 0, outside.loose, outside.loads
	}
	if out.Material >= 0 {
		j.settlePit(r, rec, &out, within)
	}
	rec.PitSeen = append(rec.PitSeen, out)
}

// settlePit works out what a pit of one material has lost.
func (j *reconciler) settlePit(r *Result, rec *Reconciliation, out *PitAccount, within sums) {
	s := seasonOf(&r.Materials[out.Material])
	s.Tally, s.Weighed = within.measured()
	if s.Bank.Value == 1 {
		s.Weighed = borrow.Measured{}
	}
	toBank := s.Loose.Over(s.Bank)
	other := borrow.Measure(math.Abs(out.Outside), assumed.TruckFill, 0).Times(toBank)
	sign := 1.0
	if out.Outside < 0 {
		sign = -1
	}
	if out.Surveys < 0 {
		out.Lost = other
		return
	}
	p := &rec.Pits[out.Surveys]
	cut, off := p.Lost(), p.Error
	if cut > 0 {
		s.Pit = borrow.Measure(cut, off/cut, 0)
	}
	out.Account = borrow.Reconcile(s)
	total := cut + sign*other.Value
	if total > 0 {
		out.Lost = borrow.Measure(total, math.Hypot(off, other.Value*other.Error())/total, 0)
	}
}

// accountSoil sets the ways of measuring one soil side by side.
func (j *reconciler) accountSoil(r *Result, rec *Reconciliation, material int) {
	m := &r.Materials[material]
	if m.Bought {
		return
	}
	out := SoilAccount{Material: material, Season: seasonOf(m)}
	var all sums
	for i := range rec.Loads {
		if l := &rec.Loads[i]; l.Counted && l.Material == material {
			all.add(l)
		}
	}
	s := &out.Season
	s.Tally, s.Weighed = all.measured()
	if out.Relative() {
		s.Weighed = borrow.Measured{}
	}
	out.Loads, out.Rejected, out.RejectedLoose = all.loads, all.rejected, all.rejectedLoose
	if all.loose > 0 {
		out.WeighedShare = all.weighedLoose / all.loose
		if sent := all.rejectedLoose / all.loose; sent > m.Loss {
			s.Kept = keptOf(sent)
			j.note("look", m.Row.Ref, fmt.Sprintf("%s: %s of its loads were sent back, more than the loss of %s that was taken; %s stands for the loss here",
				m.Row.Name, percent(math.Round(1000*sent)/1000), percent(m.Loss), percent(math.Round(1000*sent)/1000)), "")
		}
	}
	j.pitsOf(r, rec, &out)
	j.fillOf(r, rec, &out)
	out.Account = borrow.Reconcile(*s)
	out.left()
	if len(out.Account.Accounts) > 0 {
		rec.Soils = append(rec.Soils, out)
	}
}

// pitsOf adds up what a soil's pits have lost. Only where each of its pits that
// was loaded from is surveyed do they make a way of measuring.
func (j *reconciler) pitsOf(r *Result, rec *Reconciliation, out *SoilAccount) {
	surveyed := false
	sum, variance := 0.0, 0.0
	elsewhere, whole := j.loadedElsewhere(r, rec, out)
	if elsewhere.Known() {
		sum, variance = elsewhere.Value, math.Pow(elsewhere.Value*elsewhere.Error(), 2)
	}
	for i := range rec.PitSeen {
		p := &rec.PitSeen[i]
		if p.Material != out.Material {
			continue
		}
		if p.Surveys < 0 {
			whole = whole && p.Outside == 0
		} else {
			surveyed = true
		}
		if p.Lost.Known() {
			sum += p.Lost.Value
			off := p.Lost.Value * p.Lost.Error()
			variance += off * off
		}
	}
	out.Lost, out.LostError = sum, math.Sqrt(variance)
	for _, p := range r.Pits {
		for _, m := range p.ByMaterial {
			if m.Material == r.Materials[out.Material].Row.Name {
				out.Capacity += m.Bank
			}
		}
	}
	switch {
	case surveyed && whole && sum > 0:
		out.Season.Pit = borrow.Measure(sum, out.LostError/sum, 0)
	case surveyed && !whole:
		j.note("look", site.Ref{Table: "surfaces"}, fmt.Sprintf("%s came from places that are not all surveyed, so the pits together are no check of its tally; each surveyed pit still is", r.Materials[out.Material].Row.Name), "")
	}
}

// loadedElsewhere is what of a soil was loaded in pits that gave other soils too,
// by the tally, bank m3. whole tells that all of the soil's loads came from pits
// that gave it alone.
func (j *reconciler) loadedElsewhere(r *Result, rec *Reconciliation, out *SoilAccount) (bank borrow.Measured, whole bool) {
	whole = true
	loose := 0.0
	for i := range rec.Loads {
		l := &rec.Loads[i]
		if !l.Counted || l.Material != out.Material {
			continue
		}
		own := func(p PitAccount) bool { return p.Material == out.Material && r.Pits[p.Pit].Row.Name == l.Row.Pit }
		if slices.ContainsFunc(rec.PitSeen, own) {
			continue
		}
		whole = false
		if slices.ContainsFunc(r.Pits, func(p Pit) bool { return p.Row.Name == l.Row.Pit }) {
			loose += l.Loose
		}
	}
	s := &out.Season
	return borrow.Measure(loose, assumed.TruckFill, 0).Times(s.Loose.Over(s.Bank)), whole
}

// fillOf takes a soil's share of the last survey of the fill: of each zone by its
// share of the zone's design, of what lies beyond the lines by its share of all.
func (j *reconciler) fillOf(r *Result, rec *Reconciliation, out *SoilAccount) {
	m := &r.Materials[out.Material]
	out.Design = m.Compacted
	if len(rec.Fills) == 0 {
		return
	}
	f := &rec.Fills[len(rec.Fills)-1]
	placed, all, settled := 0.0, 0.0, 0.0
	for _, share := range m.Shares {
		placed += share.Fraction * f.Progress.Zones[share.Zone].Placed
		settled += share.Fraction * r.Quantities.Zones[share.Zone].Settlement
	}
	for _, z := range f.Progress.Zones {
		all += z.Placed
	}
	if !(all > 0) {
		return
	}
	part := placed / all
	beyond := f.Progress.Total() - all
	fill := placed + part*beyond
	out.Placed = placed + min(settled, part*f.Progress.Above)
	out.FillError = part * f.Error
	if fill > 0 {
		out.Season.Fill = borrow.Measure(fill, out.FillError/fill, 0)
	}
}

// left works out what is still to be dug against what the pits still hold.
func (out *SoilAccount) left() {
	var available borrow.Measured
	if left := out.Capacity - out.Lost; left > 0 {
		available = borrow.Measure(left, out.LostError/left, 0)
	}
	if !out.Season.Fill.Known() { // placed so far by all ways together
		out.Placed = out.Account.Best.Compacted.Value
	}
	shrink := out.Account.Shrink
	rest := out.Design - out.Placed
	out.Left = borrow.Remains(rest, shrink.Blend, out.Season.Kept, available)
	out.Planned = borrow.Remains(rest, shrink.Assumed, out.Season.Kept, available)
}

package report

import (
	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// reconciliation is what was counted, weighed and surveyed up to a day. Volumes
// are those of all soils together.
type reconciliation struct {
	Until       string           `json:"until"`
	Confidence  number           `json:"confidence"`
	Loads       *number          `json:"loads_m3_loose,omitempty"`
	LoadsBank   *number          `json:"loads_m3_bank,omitempty"`
	Pits        *number          `json:"pit_survey_m3_bank,omitempty"`
	Fill        *number          `json:"fill_survey_m3_compacted,omitempty"`
	Shrink      *number          `json:"shrink_factor_seen,omitempty"`
	Differences []difference     `json:"differences"`
	Soils       []soilSeen       `json:"materials"`
	PitSeen     []pitSeen        `json:"pits,omitempty"`
	Zones       []zoneProgress   `json:"zones,omitempty"`
	Beyond      *beyondTheDesign `json:"beyond_design,omitempty"`
}

// difference is one way of measuring against another, by dry mass.
type difference struct {
	Material string `json:"material"`
	Pit      string `json:"pit,omitempty"`
	First    string `json:"first"`
	Second   string `json:"second"`
	Ratio    number `json:"ratio"`
	Low      number `json:"ratio_low"`
	High     number `json:"ratio_high"`
	Beyond   bool   `json:"beyond_measurement_error"`
	Words    string `json:"words"`
}

// soilSeen is one soil.
type soilSeen struct {
	Material      string   `json:"material"`
	Loads         number   `json:"loads"`
	Rejected      number   `json:"rejected_loads"`
	RejectedLoose number   `json:"rejected_m3_loose"`
	Ways          []way    `json:"ways"`
	Together      *way     `json:"together,omitempty"`
	Agreement     number   `json:"agreement"`
	Shrink        *seen    `json:"shrink_factor,omitempty"`
	TruckFill     *seen    `json:"truck_fill,omitempty"`
	LooseDry      *seen    `json:"loose_dry_density_kg_m3,omitempty"`
	Design        number   `json:"design_m3_compacted"`
	Placed        number   `json:"placed_m3_compacted"`
	Left          leftover `json:"left"`
}

// way is what one way of measuring says in each state.
type way struct {
	Way       string      `json:"way"`
	Solids    *figureSeen `json:"solids_kg,omitempty"`
	Loose     *figureSeen `json:"loose_m3,omitempty"`
	Bank      *figureSeen `json:"bank_m3,omitempty"`
	Compacted *figureSeen `json:"compacted_m3,omitempty"`
	Weight    *number     `json:"weight,omitempty"`
}

// figureSeen is a figure with its confidence interval.
type figureSeen struct {
	Value number `json:"value"`
	Low   number `json:"low"`
	High  number `json:"high"`
}

// seen is what the work shows beside what was assumed.
type seen struct {
	Seen    figureSeen  `json:"seen"`
	Assumed *figureSeen `json:"assumed,omitempty"`
	Differs bool        `json:"differs"`
	Blend   number      `json:"both_weighed"`
}

// leftover is what is still to be done, and what the pits still hold.
type leftover struct {
	Compacted number  `json:"compacted_m3"`
	Need      *number `json:"needed_bank_m3,omitempty"`
	Available number  `json:"available_bank_m3"`
	Enough    *bool   `json:"enough,omitempty"`
	Chance    *number `json:"chance_enough,omitempty"`
}

type pitSeen struct {
	Pit       string  `json:"pit"`
	From      string  `json:"from,omitempty"`
	To        string  `json:"to,omitempty"`
	Lost      *number `json:"survey_m3_bank,omitempty"`
	Error     *number `json:"survey_standard_error_m3,omitempty"`
	Tally     number  `json:"loads_m3_loose"`
	TruckFill *seen   `json:"truck_fill,omitempty"`
}

type zoneProgress struct {
	Zone     string `json:"zone"`
	Placed   number `json:"placed_m3"`
	Design   number `json:"design_m3"`
	Complete number `json:"complete_pct"`
}

// beyondTheDesign is fill that the design's lines do not hold.
type beyondTheDesign struct {
	Above    number `json:"above_m3"`
	Beside   number `json:"beside_m3"`
	Undercut number `json:"undercut_m3"`
}

// reconciliation lays out the reconciliation; nil without one.
func (b *builder) reconciliation() *reconciliation {
	rec := b.r.Reconciliation
	if rec == nil {
		return nil
	}
	out := &reconciliation{Until: rec.Until, Confidence: plan.Confidence, Differences: []difference{}, Soils: []soilSeen{}}
	kept := borrow.Measured{}
	whole := true
	for i := range rec.Soils {
		s := &rec.Soils[i]
		out.Soils = append(out.Soils, b.soilSeen(s))
		out.Differences = append(out.Differences, b.differences(s.Material, "", s.Account.Differences)...)
		season := &s.Season
		for _, a := range s.Account.Accounts {
			if a.Way == borrow.ByTally {
				out.Loads, out.LoadsBank = plus(out.Loads, season.Tally), plus(out.LoadsBank, a.Bank)
			}
		}
		out.Pits, out.Fill = plus(out.Pits, season.Pit), plus(out.Fill, season.Fill)
		whole = whole && season.Pit.Known() && season.Fill.Known()
		kept.Value += season.Pit.Value * season.Kept.Value
	}
	if whole && kept.Value > 0 {
		out.Shrink = known(float64(*out.Fill) / kept.Value)
	}
	for i := range rec.PitSeen {
		out.PitSeen = append(out.PitSeen, b.pitSeen(rec, &rec.PitSeen[i]))
		if p := &rec.PitSeen[i]; p.Material >= 0 {
			out.Differences = append(out.Differences, b.differences(p.Material, b.r.Pits[p.Pit].Row.Name, p.Account.Differences)...)
		}
	}
	if n := len(rec.Fills); n > 0 {
		p := &rec.Fills[n-1].Progress
		for i, z := range p.Zones {
			complete := 0.0
			if z.Design > 0 {
				complete = 100 * z.Placed / z.Design
			}
			out.Zones = append(out.Zones, zoneProgress{b.zone(i), number(z.Placed), number(z.Design), number(complete)})
		}
		out.Beyond = &beyondTheDesign{number(p.Above), number(p.Beside), number(p.Undercut)}
	}
	return out
}

// plus adds a figure, where it was measured, to a sum that may be nothing yet.
func plus(sum *number, m borrow.Measured) *number {
	if !m.Known() {
		return sum
	}
	total := number(m.Value)
	if sum != nil {
		total += *sum
	}
	return &total
}

func (b *builder) differences(material int, pit string, list []borrow.Difference) []difference {
	return each(list, func(d borrow.Difference) difference {
		return difference{
			Material: b.r.Materials[material].Row.Name, Pit: pit, First: string(d.First), Second: string(d.Second),
			Ratio: number(d.Ratio.Value), Low: number(d.Interval.Low), High: number(d.Interval.High),
			Beyond: d.Beyond, Words: plan.DifferenceWords(&d),
		}
	})
}

func (b *builder) soilSeen(s *plan.SoilAccount) soilSeen {
	out := soilSeen{
		Material: b.r.Materials[s.Material].Row.Name, Loads: number(s.Loads), Rejected: number(s.Rejected), RejectedLoose: number(s.RejectedLoose),
		Ways: []way{}, Agreement: number(s.Account.Agreement), Design: number(s.Design), Placed: number(s.Placed),
		Shrink: seenOf(s.Account.Shrink), TruckFill: seenOf(s.Account.TruckFill), LooseDry: seenOf(s.Account.LooseDry),
		Left: leftover{Compacted: number(s.Left.Compacted), Need: known(s.Left.Need.Value), Available: number(s.Left.Available.Value)},
	}
	if s.Relative() {
		out.LooseDry = nil
	}
	if s.Left.Need.Known() || s.Left.Compacted == 0 {
		out.Left.Enough = &s.Left.Enough
		chance := number(s.Left.Chance)
		if chance.finite() {
			out.Left.Chance = &chance
		}
	}
	for i := range s.Account.Accounts {
		a := &s.Account.Accounts[i]
		w := wayOf(s, a)
		weight := number(a.Weight)
		w.Weight = &weight
		out.Ways = append(out.Ways, w)
	}
	if s.Account.Best.Solids.Known() {
		w := wayOf(s, &s.Account.Best)
		out.Together = &w
	}
	return out
}

func wayOf(s *plan.SoilAccount, a *borrow.Account) way {
	out := way{Way: string(a.Way), Loose: figureOf(a.Loose), Bank: figureOf(a.Bank), Compacted: figureOf(a.Compacted)}
	if !s.Relative() {
		out.Solids = figureOf(a.Solids)
	}
	return out
}

// figureOf is a figure with its interval, nil where it was not measured.
func figureOf(m borrow.Measured) *figureSeen {
	if !m.Known() {
		return nil
	}
	i := m.Interval(plan.Confidence)
	return &figureSeen{number(m.Value), number(i.Low), number(i.High)}
}

func seenOf(s borrow.Seen) *seen {
	if !s.Seen.Known() {
		return nil
	}
	return &seen{within(s.Seen.Value, s.Interval), figureOf(s.Assumed), s.Differs, number(s.Blend.Value)}
}

func within(v float64, i soil.Interval) figureSeen {
	return figureSeen{number(v), number(i.Low), number(i.High)}
}

func (b *builder) pitSeen(rec *plan.Reconciliation, p *plan.PitAccount) pitSeen {
	out := pitSeen{Pit: b.r.Pits[p.Pit].Row.Name, Tally: number(p.Tally), TruckFill: seenOf(p.Account.TruckFill)}
	if p.Surveys < 0 {
		out.Tally = number(p.Outside)
		return out
	}
	s := &rec.Pits[p.Surveys]
	lost, off := number(s.Lost()), number(s.Error)
	out.From, out.To, out.Lost, out.Error = s.From, s.To, &lost, &off
	return out
}

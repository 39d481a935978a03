package report

import "github.com/damtally/damtally/cmd/damtally/internal/plan"

// flow is soil from one source that goes into one reach of a zone.
type flow struct {
	Pit       string  `json:"pit"`
	Kind      string  `json:"kind"`
	Material  string  `json:"material"`
	Zone      string  `json:"zone"`
	From      *number `json:"from_station_m,omitempty"`
	To        *number `json:"to_station_m,omitempty"`
	Bank      number  `json:"bank_m3"`
	Loose     *number `json:"loose_m3,omitempty"`
	Compacted number  `json:"compacted_m3"`
	DryMass   *number `json:"dry_mass_kg,omitempty"`
	Loss      number  `json:"loss"`
	Haul      *number `json:"haul_m,omitempty"`
	Loads     *number `json:"loads,omitempty"`
	Cost      *number `json:"cost,omitempty"`
}

// supply is what decided the flows, and what each source holds and gives.
type supply struct {
	MadeLeast string      `json:"made_least"`
	Moving    number      `json:"moving"`
	Opening   number      `json:"opening"`
	Sets      int         `json:"sets_weighed"`
	Free      []string    `json:"zones_free_to_choose"`
	Sources   []source    `json:"sources"`
	Short     []shortage  `json:"short"`
	Forced    []forcedUse `json:"least_use_not_placed"`
}

type source struct {
	Source   string  `json:"source"`
	Kind     string  `json:"kind"`
	Material string  `json:"material"`
	Holds    number  `json:"holds_bank_m3"`
	Used     number  `json:"used_bank_m3"`
	Saving   *number `json:"saving_of_one_more,omitempty"`
	Closed   bool    `json:"left_closed"`
	Words    string  `json:"one_more"`
}

type shortage struct {
	Materials []string `json:"materials"`
	Zones     []string `json:"zones"`
	Sources   []string `json:"sources"`
	From      *number  `json:"from_station_m,omitempty"`
	To        *number  `json:"to_station_m,omitempty"`
	Needed    number   `json:"needed_m3"`
	Available number   `json:"available_m3"`
	Short     number   `json:"short_m3"`
}

type forcedUse struct {
	Sources []string `json:"sources"`
	Zones   []string `json:"zones"`
	Least   number   `json:"least_m3"`
	Room    number   `json:"room_m3"`
	Over    number   `json:"over_m3"`
}

// allocation puts who feeds what into the file.
func (b *builder) allocation(d *document) {
	a := b.r.Allocation
	if a == nil {
		return
	}
	d.Allocation = each(a.Flows, func(f plan.Flow) flow {
		out := flow{
			Pit: f.Source, Kind: string(f.Kind), Material: f.Material, Zone: f.Zone, From: finite(f.From), To: finite(f.To),
			Bank: number(f.Bank), Loose: finite(f.Loose), Compacted: number(f.Compacted), DryMass: finite(f.DryMass), Loss: number(f.Loss),
			Haul: finite(f.Haul), Loads: finite(f.Loads),
		}
		if a.Basis == plan.ByCost {
			out.Cost = finite(f.Cost)
		}
		return out
	})
	d.Supply = &supply{
		MadeLeast: string(a.Basis), Moving: number(a.Moving), Opening: number(a.Opening), Sets: a.Cases, Free: append([]string{}, a.Free...),
		Sources: each(a.Supplies, func(s plan.Supplied) source {
			return source{s.Source, string(s.Kind), s.Material, number(s.Holds), number(s.Used), finite(s.Saving), s.Closed, s.Words}
		}),
		Short: each(a.Short, func(s plan.ShortOf) shortage {
			return shortage{
				append([]string{}, s.Materials...), append([]string{}, s.Zones...), append([]string{}, s.Sources...),
				finite(s.From), finite(s.To), number(s.Needed), number(s.Available), number(s.Short),
			}
		}),
		Forced: each(a.Forced, func(f plan.ForcedUse) forcedUse {
			return forcedUse{f.Sources, f.Zones, number(f.Least), number(f.Room), number(f.Over)}
		}),
	}
}

// excavated is soil that comes out whatever the borrow.
type excavated struct {
	What      string  `json:"what"`
	Kind      string  `json:"kind"`
	Source    string  `json:"source"`
	Bank      number  `json:"bank_m3"`
	Material  string  `json:"material,omitempty"`
	Used      number  `json:"used_bank_m3"`
	Left      number  `json:"left_bank_m3"`
	LeftLoose *number `json:"left_loose_m3,omitempty"`
}

// beside is soil for the dam that is in no pit.
type beside struct {
	Source string `json:"source"`
	Kind   string `json:"kind"`
	Bank   number `json:"bank_m3"`
}

func excavatedOf(e plan.Excavated) excavated {
	return excavated{e.What, string(e.Kind), e.Source, number(e.Bank), e.Material, number(e.Used), number(e.Left), finite(e.LeftLoose)}
}

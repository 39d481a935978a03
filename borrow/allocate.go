package borrow

import (
	"fmt"
	"math"
)

// SupplyKind says where soil for the dam comes from.
type SupplyKind string

// The places that soil comes from. A pit is opened for the dam; the others are
// dug or heaped in any case.
const (
	FromPit       SupplyKind = "pit"
	FromCut       SupplyKind = "cut"
	FromStockpile SupplyKind = "stockpile"
	FromTrench    SupplyKind = "trench"
	FromStripping SupplyKind = "stripping"
)

// Supply is soil of one material that may be dug in one place.
type Supply struct {
	Name     string // of the pit, cut or heap
	Kind     SupplyKind
	Material string
	Bank     float64 // that may be dug, before loss, bank m3; +Inf = no limit
	Shrink   float64 // shrink factor before losses, above zero
	Loss     float64 // share of what is dug that does not reach the dam, in [0, 1)
	// BankDensity is its dry density in the bank, kg/m3; 0 = not known. It
	// carries volumes to dry mass and changes nothing else.
	BankDensity float64
	Place       int // index into Transport.Places; -1 = it belongs to none
}

// gain is the compacted volume that one bank volume makes.
func (s *Supply) gain() float64 { return CompactedFrom(1, s.Shrink, s.Loss) }

// Demand is what one reach of a zone takes.
type Demand struct {
	Zone      string
	From, To  float64 // stations, m
	Compacted float64 // m3
}

// Place is a pit as a whole, with all the materials in it.
type Place struct {
	Name  string
	Cost  float64 // to open it at all: clearing, road, putting it right afterwards
	Least float64 // bank m3 that must be dug in it; 0 = none
	Most  float64 // bank m3 that may be; +Inf = no limit
}

// Route is a way on which a supply may feed a demand. What may not fill a zone
// has no route to it.
type Route struct {
	Supply, Demand int     // indices into Transport
	Cost           float64 // of one bank m3 dug, all the way into the dam; zero or more
}

// Transport is the question which soil goes where at the least cost.
//
// Mass is what is conserved on the way: the dry mass dug, less the loss, is the
// dry mass in the dam. A supply is of one material, so its mass and the
// compacted volume that it makes stand in one fixed ratio, and since a zone
// asks for a volume, whichever of its materials fills it, amounts are carried as
// compacted volume.
type Transport struct {
	Supplies []Supply
	Demands  []Demand
	Places   []Place
	Limits   []Limit // over several supplies
	Routes   []Route
}

// Flow is soil that goes from a supply to a demand.
type Flow struct {
	Route     int     // index into Transport.Routes
	Bank      float64 // dug for it, loss included, m3
	Compacted float64 // in the dam, m3
	DryMass   float64 // dug for it, kg; 0 when the bank density is not known
	Cost      float64
}

// Allocation is the cheapest answer.
type Allocation struct {
	Flows  []Flow // above zero, in the order of the routes
	Opened []bool // by place: something is dug in it
	// Moving is what the flows cost, Opening what opening the places adds.
	Moving, Opening float64
	// Saving is, by supply, what one more bank m3 there would save (where a limit
	// over several supplies binds, one of the prices that prove the flow); 0 where it
	// would not be used, +Inf where the dam is short of it. Of places that are
	// left closed nothing is known but that opening them does not pay: NaN.
	Saving []float64
	// Price is, by demand, what one more compacted m3 would cost; +Inf when
	// nothing is left that could fill it.
	Price []float64
	// Short says what cannot be filled, however the soil is shared out, and
	// Forced which least digging cannot be placed. Both are empty when the
	// question has an answer; else the flows are the cheapest of those that lack
	// least.
	Short  []Shortage
	Forced []Forced
	// Unheld names the limits over several supplies that cannot be held together,
	// and Over by how much compacted volume at the least; then the flows are the
	// cheapest without them.
	Unheld []Limit
	Over   float64
	Cases  int // sets of opened places that were figured to find the cheapest
}

// Cost is what all of it costs.
func (a *Allocation) Cost() float64 { return a.Moving + a.Opening }

// TransportError says what is wrong with a question.
type TransportError struct {
	Part  string // "supply", "demand", "place", "limit" or "route"
	Index int    // from 0
	What  string
}

// Error names the part and what is wrong.
func (e *TransportError) Error() string {
	return fmt.Sprintf("%s %d: %s", e.Part, e.Index+1, e.What)
}

// Allocate finds the flows of least cost. They are the cheapest to one part in
// 1e12 of the dearest route, which is how finely costs are counted; volumes are
// counted to one part in 1e13 of all.
//
// That no other way is cheaper is proved at every run: by complementary
// slackness on whole numbers for the flows, and for the places to open by
// figuring or bounding every set of them. Where the soil does not suffice, Short
// holds the certificate. A *TransportError tells of a question that cannot be; any
// other error is a proof that failed, which would be a mistake of this package.
func (t *Transport) Allocate() (*Allocation, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	c := count(t)
	out := &Allocation{Opened: make([]bool, len(t.Places))}
	all := make([]choice, len(t.Places))
	first := c.solve(all, nil)
	if err := c.shortages(first, out); err != nil {
		return nil, err
	}
	c.reduce(first)
	if err := c.loosen(out, all); err != nil {
		return nil, err
	}
	open, err := c.choose(&out.Cases)
	if err != nil {
		return nil, err
	}
	best := c.solve(open, nil)
	if err := best.net.prove(best.answer); err != nil {
		return nil, err
	}
	flows, err := c.withLimits(best, open)
	if err != nil {
		return nil, err
	}
	t.fill(out, flows.compacted)
	c.prices(out, open)
	out.takePrices(t, flows, open)
	return out, nil
}

// takePrices takes the prices of a flow within limits in place of those without.
func (a *Allocation) takePrices(t *Transport, flows *limited, open []choice) {
	if flows.supply == nil {
		return
	}
	for i := range t.Supplies {
		if at := t.Supplies[i].Place; !math.IsInf(a.Saving[i], 1) && (at < 0 || open[at] != closed) {
			a.Saving[i] = flows.supply[i] * t.Supplies[i].gain()
		}
	}
	for j := range t.Demands {
		if !math.IsInf(a.Price[j], 1) {
			a.Price[j] = flows.demand[j]
		}
	}
}

// fill turns compacted volumes by route into flows, and adds up what they cost.
func (t *Transport) fill(out *Allocation, compacted []float64) {
	for i, r := range t.Routes {
		if compacted[i] <= 0 {
			continue
		}
		s := &t.Supplies[r.Supply]
		f := Flow{Route: i, Compacted: compacted[i], Bank: BankFor(compacted[i], s.Shrink, s.Loss)}
		f.DryMass = DryMass(f.Bank, s.BankDensity)
		f.Cost = f.Bank * r.Cost
		out.Flows = append(out.Flows, f)
		out.Moving += f.Cost
		if s.Place >= 0 {
			out.Opened[s.Place] = true
		}
	}
	for p, opened := range out.Opened {
		if opened {
			out.Opening += t.Places[p].Cost
		}
	}
}

// mostAmount bounds every volume, density and cost: far beyond all of the world, and
// low enough that whole numbers can still be scaled to it.
const mostAmount = 1e30

// check returns a *TransportError for the first part that cannot be.
func (t *Transport) check() error {
	bad := func(part string, i int, what string) error { return &TransportError{part, i, what} }
	size := func(v float64) bool { return v >= 0 && v <= mostAmount }
	for i, s := range t.Supplies {
		switch {
		case !(s.Bank >= 0):
			return bad("supply", i, "what may be dug must be zero or more")
		case !(s.Shrink > 0) || s.Shrink > mostAmount:
			return bad("supply", i, "the shrink factor must be above 0")
		case !(s.Loss >= 0 && s.Loss < 1):
			return bad("supply", i, "the loss must be from 0 % to less than 100 %")
		case !size(s.BankDensity):
			return bad("supply", i, "the bank density must be zero or more")
		case s.Place < -1 || s.Place >= len(t.Places):
			return bad("supply", i, "it belongs to a place that is not there")
		}
	}
	for i, d := range t.Demands {
		if !size(d.Compacted) {
			return bad("demand", i, "the compacted volume must be zero or more")
		}
	}
	for i, p := range t.Places {
		if !size(p.Cost) || !size(p.Least) || !(p.Most >= p.Least) {
			return bad("place", i, "cost and least must be zero or more, and most not below least")
		}
	}
	for i, l := range t.Limits {
		if !size(l.Least) || !(l.Most >= l.Least) {
			return bad("limit", i, "least must be zero or more, and most not below it")
		}
		for _, k := range l.Supplies {
			if k < 0 || k >= len(t.Supplies) {
				return bad("limit", i, "it binds a supply that is not there")
			}
		}
	}
	for i, r := range t.Routes {
		switch {
		case r.Supply < 0 || r.Supply >= len(t.Supplies) || r.Demand < 0 || r.Demand >= len(t.Demands):
			return bad("route", i, "it joins what is not there")
		case !size(r.Cost) || !size(r.Cost/t.Supplies[r.Supply].gain()):
			return bad("route", i, "the cost must be zero or more, and a number that can be")
		}
	}
	return nil
}

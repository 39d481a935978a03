package borrow

// Hauler is a machine that goes to and fro with loads: a truck, a scraper, or a
// dozer that pushes. Speeds are those of the road in question, m/s; where Power is
// known they are lowered to what the engine holds against the effective grade.
type Hauler struct {
	Body
	LoadTime, DumpTime float64 // s; DumpTime holds the turns at both ends
	Loaded, Empty      float64 // m/s
	Mass               float64 // of the empty machine, kg; 0 when not known
	Power              float64 // of the engine, W; 0 when not known
}

// Cycle is one round trip, s.
type Cycle struct {
	Load, Haul, Dump, Return float64
	// Slowed says that the engine sets the speed of a trip, not the given speed.
	Slowed bool
}

// Total is the whole cycle, s: load + haul + dump + return.
func (c Cycle) Total() float64 { return c.Load + c.Haul + c.Dump + c.Return }

// Cycle is the round trip on a road with a load of the given mass, kg, NaN when not
// known. What a trip lacks makes its time NaN. Speeds count from start to stop:
// pulling away and braking must be in them.
func (h Hauler) Cycle(r Road, load float64) Cycle {
	c := Cycle{Load: h.LoadTime, Dump: h.DumpTime}
	there, slowOut := h.speed(h.Loaded, h.Mass+load, r.EffectiveGrade(true))
	back, slowBack := h.speed(h.Empty, h.Mass, r.EffectiveGrade(false))
	c.Haul, c.Return = r.Length/there, r.Length/back
	c.Slowed = slowOut || slowBack
	return c
}

// speed is the given speed or, where power and mass are known, the engine's limit
// if that is lower.
func (h Hauler) speed(given, mass, grade float64) (speed float64, slowed bool) {
	if !(h.Power > 0 && h.Mass > 0 && mass > 0) {
		return given, false
	}
	if limit := SpeedLimit(h.Power, mass, grade); limit < given {
		return limit, true
	}
	return given, false
}

// Factored is what is left of an ideal rate under conditions that each take a
// share of it or add to it: the rate times all the factors. US Army FM 5-434
// (2000) finds a dozer's production so, from a chart's ideal.
func Factored(ideal float64, factors ...float64) float64 {
	for _, f := range factors {
		ideal *= f
	}
	return ideal
}

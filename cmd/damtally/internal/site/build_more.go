package site

import "github.com/damtally/damtally/cmd/damtally/internal/units"

// workBuilder returns the function that turns a row of a table of borrow,
// haul and required excavation into its part of the model.
func (r *reading) workBuilder(table string) func(*row) {
	s := &r.site
	switch table {
	case "borings":
		return func(w *row) { s.Borings = append(s.Borings, boring(w)) }
	case "stockpiles":
		return func(w *row) {
			s.Stockpiles = append(s.Stockpiles, Stockpile{
				w.ref, w.text("stockpile"), w.point(), w.text("material"), w.number("volume"), w.number("rehandle cost"),
			})
		}
	case "hauls":
		return func(w *row) {
			s.Hauls = append(s.Hauls, Haul{
				w.ref, w.text("pit"), w.si("length"), w.number("from station"), w.number("to station"), w.text("zone"),
				w.number("grade"), w.number("rolling resistance"), w.text("by"),
			})
		}
	case "fleet":
		return func(w *row) { s.Fleet = append(s.Fleet, machine(w)) }
	case "loads":
		return func(w *row) {
			s.Loads = append(s.Loads, Load{
				w.ref, w.text("date"), w.text("pit"), w.si("loads"), w.si("capacity"), w.text("capacity measured"), w.number("fill"),
				w.number("net weight"), w.number("water content"), w.text("ticket"), w.number("rejected"),
				w.text("truck"), w.text("zone"), w.text("material"),
			})
		}
	case "cuts":
		return func(w *row) {
			r.owners["cuts"] = append(r.owners["cuts"], owner{w.ref, w.text("cut")})
			s.Cuts = append(s.Cuts, Cut{
				Ref: w.ref, Name: w.text("cut"), FloorElevation: w.si("floor elevation"), SideSlope: w.si("side slope"),
				SideSlopeGiven: w.number("side slope").Given, Material: w.text("material"), Usable: w.text("usable"),
				Boundary: r.fileName(w, "boundary"),
			})
		}
	case "blankets":
		return func(w *row) {
			r.owners["blankets"] = append(r.owners["blankets"], owner{w.ref, w.text("blanket")})
			s.Blankets = append(s.Blankets, Blanket{
				Ref: w.ref, Name: w.text("blanket"), Thickness: w.si("thickness"), Material: w.text("material"),
				Boundary: r.fileName(w, "boundary"),
			})
		}
	}
	return nil
}

func boring(w *row) Boring {
	return Boring{
		Ref: w.ref, Hole: w.text("hole"), At: w.point(), From: w.si("from"), To: w.si("to"), Material: w.text("material"),
		Layer: w.text("layer"), Elevation: w.number("elevation"), Pit: w.text("pit"), Usable: w.text("usable"),
		Rippable: w.text("rippable"), WaterDepth: w.number("water depth"), WaterDate: w.text("water date"),
		WaterContent: w.number("water content"), UsableIsGiven: w.at("usable").given,
	}
}

func machine(w *row) Machine {
	return Machine{
		Ref: w.ref, Name: w.text("machine"), Kind: w.text("kind"), Count: w.number("count"),
		Capacity: w.number("capacity"), CapacityMeasured: w.text("capacity measured"), BucketFill: w.number("bucket fill"),
		Payload: w.number("payload"), Weight: w.number("weight"), Power: w.number("power"), ContactArea: w.number("contact area"),
		LoadTime: w.number("load time"), DumpTime: w.number("dump time"),
		LoadedSpeed: w.number("loaded speed"), EmptySpeed: w.number("empty speed"), Speed: w.number("speed"),
		Efficiency: w.number("efficiency"), CostPerHour: w.number("cost per hour"), Width: w.number("width"), Passes: w.number("passes"),
	}
}

// attachRings gives each cut and blanket its corners from `outlines`.
func (r *reading) attachRings() {
	rings := map[string]Outline{}
	for _, o := range r.site.Outlines {
		rings[key(o.Of)] = o
	}
	for i := range r.site.Cuts {
		c := &r.site.Cuts[i]
		if o, ok := rings[key(c.Name)]; ok {
			c.Ring, c.RingRefs = o.Ring, o.Refs
		}
		r.cornersOnce(c.Ref, "cut", c.Name, c.Boundary, c.Ring != nil)
	}
	for i := range r.site.Blankets {
		b := &r.site.Blankets[i]
		if o, ok := rings[key(b.Name)]; ok {
			b.Ring, b.RingRefs = o.Ring, o.Refs
		}
		r.cornersOnce(b.Ref, "blanket", b.Name, b.Boundary, b.Ring != nil)
	}
}

// cornersOnce sees that a boundary stands in one place, and in one at all.
func (r *reading) cornersOnce(ref Ref, column, name, file string, outlined bool) {
	switch {
	case outlined && file != "":
		r.wrong(ref, "boundary", "the corners of "+units.Quote(name)+" stand in outlines already", "keep one of the two")
	case !outlined && file == "" && name != "" && !r.outlined(name) && !(r.has("outlines") && !r.whole("outlines")):
		r.wrong(ref, column, units.Quote(name)+" has no corners", "give its corners in "+r.container("outlines")+", in order round it")
	}
}

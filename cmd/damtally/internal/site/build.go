package site

import (
	"math"
	"strings"

	"github.com/paulmach/orb"
)

// builder returns the function that turns a row of a table into its part of the
// model. Tables of later versions are read for their errors alone.
func (r *reading) builder(table string) func(*row) {
	s := &r.site
	switch table {
	case "site":
		return r.addSetting
	case "centreline":
		return func(w *row) {
			s.Centreline = append(s.Centreline, Vertex{w.ref, w.point(), w.si("radius"), w.number("station")})
		}
	case "profile":
		return func(w *row) {
			s.Profile = append(s.Profile, ProfilePoint{w.ref, w.si("station"), w.si("elevation")})
		}
	case "shots":
		return func(w *row) {
			s.Shots = append(s.Shots, Shot{w.ref, w.si("station"), w.si("offset"), w.si("elevation")})
		}
	case "survey":
		return func(w *row) {
			s.Survey = append(s.Survey, SurveyPoint{
				w.ref, w.point(), w.si("elevation"), w.text("point"), w.text("code"), w.text("line"),
			})
		}
	case "surfaces":
		return func(w *row) { s.Surfaces = append(s.Surfaces, r.surfaceFile(w)) }
	case "outlines":
		return func(w *row) { r.corners = append(r.corners, corner{w.ref, w.text("of"), w.point()}) }
	case "prices":
		return func(w *row) { s.Prices = append(s.Prices, payItem(w)) }
	}
	if build := r.damBuilder(table); build != nil {
		return build
	}
	if build := r.soilBuilder(table); build != nil {
		return build
	}
	if build := r.workBuilder(table); build != nil {
		return build
	}
	return func(*row) {}
}

func (r *reading) damBuilder(table string) func(*row) {
	s := &r.site
	switch table {
	case "crest":
		return func(w *row) {
			s.Crest = append(s.Crest, CrestPoint{w.ref, w.number("station"), w.si("elevation"), w.si("width")})
		}
	case "faces":
		return func(w *row) {
			s.Faces = append(s.Faces, FacePart{
				w.ref, w.text("side"), w.si("slope"), w.number("to elevation"), w.si("bench width"),
				w.number("from station"), w.number("to station"), w.si("overbuild"),
			})
		}
	case "trench":
		return func(w *row) {
			s.Trench = append(s.Trench, TrenchPoint{
				w.ref, w.si("station"), w.si("bottom width"), w.si("side slope"),
				w.number("depth"), w.number("bottom elevation"), w.si("offset"),
			})
		}
	case "stripping":
		return func(w *row) {
			s.Stripping = append(s.Stripping, StripReach{
				w.ref, w.si("depth"), w.number("from station"), w.number("to station"),
			})
		}
	case "conduits":
		return func(w *row) {
			s.Conduits = append(s.Conduits, Conduit{
				w.ref, w.text("conduit"), w.si("station"), w.si("diameter"), w.number("offset from"), w.number("offset to"),
				w.number("invert elevation"), w.number("outlet invert elevation"), w.si("trench width"), w.si("hand compacted width"),
			})
		}
	case "zones":
		return func(w *row) { s.Zones = append(s.Zones, r.zone(w)) }
	}
	return nil
}

func (r *reading) soilBuilder(table string) func(*row) {
	s := &r.site
	switch table {
	case "materials":
		return func(w *row) { s.Materials = append(s.Materials, material(w)) }
	case "proctor":
		return func(w *row) { s.Proctor = append(s.Proctor, r.labPoint(w)) }
	case "density":
		return func(w *row) { s.Density = append(s.Density, r.densityTest(w)) }
	case "pits":
		return func(w *row) {
			s.Pits = append(s.Pits, Pit{
				Ref: w.ref, Name: w.text("pit"), Material: w.text("material"), SideSlope: w.si("side slope"), SideSlopeGiven: w.number("side slope").Given,
				FloorElevation: w.number("floor elevation"), Depth: w.number("depth"),
				GroundElevation: w.number("ground elevation"), StripDepth: w.si("strip depth"), Loss: w.number("loss"),
				Boundary: r.fileName(w, "boundary"),
				Setback:  w.number("setback"), CoverToLeave: w.number("cover to leave"), OpeningCost: w.number("opening cost"),
				LeastUse: w.number("least use"), MostUse: w.number("most use"), HaulFromX: w.number("haul from x"), HaulFromY: w.number("haul from y"),
			})
		}
	}
	return nil
}

// point is the row's place in plan.
func (w *row) point() orb.Point { return orb.Point{w.si("x"), w.si("y")} }

// zone reads a zone; its materials are parted by semicolons.
func (r *reading) zone(w *row) Zone {
	z := Zone{
		Ref: w.ref, Zone: w.text("zone"), Kind: w.text("kind"),
		TopElevation: w.number("top elevation"), TopBelowCrest: w.number("top below crest"),
		TopWidth:      w.number("top width"),
		UpstreamSlope: w.number("upstream slope"), DownstreamSlope: w.number("downstream slope"),
		Thickness: w.number("thickness"), Side: w.text("side"), SideGiven: w.at("side").given, Lies: w.text("lies"),
		FromElevation: w.number("from elevation"), ToElevation: w.number("to elevation"),
		FromOffset: w.number("from offset"), ToOffset: w.number("to offset"),
	}
	text := w.text("material")
	if text == "" {
		return z
	}
	for name := range strings.SplitSeq(text, ";") {
		if name = trim(name); name == "" {
			r.wrong(w.ref, "material", "has a blank name between semicolons", "write such as clay; silt")
			continue
		}
		z.Materials = append(z.Materials, name)
	}
	return z
}

func material(w *row) Material {
	m := Material{
		Ref: w.ref, Name: w.text("material"), Source: w.text("source"),
		RequiredCompaction: w.number("required compaction"), Effort: w.text("effort"),
		ExpectedCompaction: w.number("expected compaction"),
		WaterLow:           w.number("water content low"), WaterHigh: w.number("water content high"),
		LiftThickness: w.number("lift thickness"), LiftMeasured: w.text("lift measured"),
		SpecificGravity: w.number("specific gravity"), SoilClass: w.text("soil class"),
		LiquidLimit: w.number("liquid limit"), Plasticity: w.number("plasticity index"),
		Fines: w.number("fines"), Dispersive: w.text("dispersive"),
		ShrinkFactor: w.number("shrink factor"), Swell: w.number("swell"), Loss: w.number("loss"),
		PlacedDensity: w.number("placed density"), Waste: w.number("waste"),
		TypicalFactors: w.text("typical factors") == "yes",
	}
	if m.Source == "" && !w.at("source").given {
		m.Source = "borrow"
	}
	return m
}

func (r *reading) labPoint(w *row) LabPoint {
	dry, _ := r.dryDensity(w)
	return LabPoint{
		Ref: w.ref, Material: w.text("material"), Sample: w.text("sample"), Effort: w.text("effort"),
		WaterContent: w.si("water content"), DryDensity: dry.Value,
		OversizeFraction: w.number("oversize fraction"), OversizeGravity: w.number("oversize gravity"),
	}
}

func (r *reading) densityTest(w *row) DensityTest {
	dry, derived := r.dryDensity(w)
	return DensityTest{
		Ref: w.ref, State: w.text("state"), Material: w.text("material"), ID: w.text("id"), Date: w.text("date"),
		Pit: w.text("pit"), Zone: w.text("zone"),
		Station: w.number("station"), Offset: w.number("offset"), Elevation: w.number("elevation"), Lift: w.text("lift"),
		WetDensity: w.number("wet density"), DryDensity: dry, DryDerived: derived, WaterContent: w.number("water content"),
		Method: w.text("method"), Sample: w.text("sample"), OversizeFraction: w.number("oversize fraction"),
		RetestOf: w.text("retest of"), Machine: w.text("machine"), Passes: w.number("passes"),
	}
}

// Limits on densities, kg/m3. They guard against a slipped unit: no soil or
// stone lies outside them (quartz itself is 2,650).
const (
	leastDensity = 500
	mostDensity  = 3000
)

// agreement is how far a dry density may stand from the one that wet density
// and water content give: both are rounded on lab sheets.
const agreement = 0.01

// muchWater is a water content above which a look is asked for; organic and
// very soft soils alone hold their own mass in water.
const muchWater = 1.0

// dryDensity returns the dry density of a test, worked out from wet density and
// water content where it is not given: dry = wet / (1 + water content), the
// definition of ASTM D7263.
func (r *reading) dryDensity(w *row) (dry Number, derived bool) {
	wet, water := w.number("wet density"), w.number("water content")
	dry = w.number("dry density")
	if water.Value > muchWater {
		r.note("look", w.ref, "a water content of "+short(100*water.Value)+" % is more water than soil; look at the lab sheet")
	}
	r.checkDensity(w, "wet density", wet)
	r.checkDensity(w, "dry density", dry)
	switch {
	case !wet.Given && !dry.Given:
		r.wrong(w.ref, "", "has neither a wet nor a dry density", "give one of them")
		return Number{math.NaN(), true}, false
	case !dry.Given && !water.Given:
		r.wrong(w.ref, "water content", "is blank, but a wet density alone does not say how much is soil", "fill it in, or give the dry density")
		return Number{math.NaN(), true}, false
	case !dry.Given:
		dry = Number{wet.Value / (1 + water.Value), true}
		if dry.Value < leastDensity && wet.Value >= leastDensity {
			r.wrong(w.ref, "water content", "of "+short(100*water.Value)+" % would leave a dry density of "+
				r.shown(w.spec.Name, "wet density", dry.Value, "kg/m3")+", which no soil has",
				"look at the number and at the header's unit: 18 under (%) is 0.18 under (-)")
		}
		return dry, true
	case wet.Given && water.Given && math.Abs(wet.Value/(1+water.Value)-dry.Value) > agreement*dry.Value:
		r.wrong(w.ref, "dry density", "does not agree with wet density and water content, which give "+
			short(100*wet.Value/(1+water.Value)/dry.Value)+" % of it", "look which of the three is wrong, or leave the dry density blank")
	case wet.Given && wet.Value < dry.Value:
		r.wrong(w.ref, "wet density", "is below the dry density", "look whether the two are swapped")
	}
	return dry, false
}

// checkDensity checks a density against what soil can weigh.
func (r *reading) checkDensity(w *row, column string, n Number) {
	if n.Given && (n.Value < leastDensity || n.Value > mostDensity) {
		r.wrong(w.ref, column, "is "+r.shown(w.spec.Name, column, n.Value, "kg/m3")+", which no soil has",
			"look at the number and at the header's unit: soil is about 80 to 150 pcf, or 1300 to 2400 kg/m3")
	}
}

func payItem(w *row) PayItem {
	return PayItem{
		Ref: w.ref, Item: w.text("item"), Unit: w.text("unit"), UnitPrice: w.si("unit price"), PriceTyped: w.number("unit price").Given,
		QuantityOf: w.text("quantity of"), Quantity: w.number("quantity"), Measured: w.text("measured"),
		UnitCost: w.number("unit cost"), MarkUp: w.number("mark-up"),
	}
}

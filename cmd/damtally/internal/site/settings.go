package site

import (
	"math"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// handbook is the publication behind the reserve of 1.5 on the compacted volume.
const handbook = "US Department of Agriculture, Agriculture Handbook 590"

// setting is a row of the table `site` before it is read by its item.
type setting struct {
	ref  Ref
	item Item
	raw  cell
}

// addSetting takes a row of the table `site`.
func (r *reading) addSetting(w *row) {
	name := w.text("item")
	if name == "" {
		return
	}
	item, ok := findItem(name)
	if !ok {
		r.wrong(w.ref, "item", "there is no setting "+units.Quote(name), suggest(name, itemNames()))
		return
	}
	if first, twice := r.site.Settings.ItemRows[item.Name]; twice {
		r.wrong(w.ref, "item", "the setting "+units.Quote(item.Name)+" stands in row "+strconv.Itoa(first.Row)+" already", "keep one")
		return
	}
	if r.site.Settings.ItemRows == nil {
		r.site.Settings.ItemRows = map[string]Ref{}
	}
	r.site.Settings.ItemRows[item.Name] = w.ref
	if place := w.ref.sheet; place != nil { // a setting's cell is that of its value
		place.letters[item.Name] = place.letters["value"]
	}
	r.settings = append(r.settings, setting{w.ref, item, w.at("value").raw})
}

func findItem(name string) (Item, bool) {
	ours, translated := translate(name)
	for _, item := range Items() {
		if headKey(item.Name) == headKey(name) || translated && headKey(item.Name) == headKey(ours) {
			return item, true
		}
	}
	return Item{}, false
}

func itemNames() []string {
	var names []string
	for _, item := range Items() {
		names = append(names, item.Name)
	}
	return names
}

// applySettings reads the settings by their items, the decimal mark first.
func (r *reading) applySettings(from source) {
	for _, s := range r.settings {
		if s.item.Name == "decimal mark" && s.raw.text != "" {
			switch headKey(s.raw.text) {
			case ".", "point":
				r.mark = '.'
			case ",", "comma":
				r.mark = ','
			default:
				r.wrong(s.ref, s.item.Name, units.Quote(s.raw.text)+" is no decimal mark", "write . or ,")
			}
		}
	}
	for _, s := range r.settings {
		if s.raw.blank() { // reported with its row
			continue
		}
		number, text, f := r.readSetting(s, from)
		if f != nil {
			r.add(r.specs["site"], s.ref, s.item.Name, f)
			continue
		}
		r.site.Settings.set(s.item.Name, number, text)
		if s.item.Name == "weather days" {
			r.weatherDays(s.ref, text)
		}
	}
}

// readSetting reads the value of a setting: a number in SI, or a text.
func (r *reading) readSetting(s setting, from source) (Number, string, *fault) {
	if s.item.Kind == Date {
		text, f := readDate(s.raw, from)
		return Number{}, text, f
	}
	text, f := shownText(s.raw)
	if f != nil {
		return Number{}, "", f
	}
	switch s.item.Kind {
	case Word:
		text, f = readWord(text, s.item.Words)
		return Number{}, text, f
	case Numeric:
		value, f := r.settingNumber(text, s)
		if f == nil {
			f = checkRange(value, text, s.item.UnitKind, s.item.Range, false)
		}
		if f == nil && s.item.Name == "section interval" && value < leastInterval {
			f = &fault{units.Quote(text) + " is closer than sections are ever cut", "write 0.25 ft or 0.08 m or more, such as 25 ft or 10 m"}
		}
		if f == nil && math.Abs(value) > largest {
			f = &fault{units.Quote(text) + " is far too large", "look at the number and its unit"}
		}
		return Number{value, true}, "", f
	}
	return Number{}, text, nil
}

// leastInterval is the least section interval, m: 0.25 ft. It guards against a
// slipped unit, which would ask for millions of sections.
const leastInterval = 0.25 * 0.3048

// settingNumber reads a number with its unit behind it, or without one when the
// setting takes none.
func (r *reading) settingNumber(text string, s setting) (float64, *fault) {
	kind, mark := s.item.UnitKind, r.mark
	if s.raw.kind == xlsx.Number {
		mark = '.' // whatever the user's decimal mark
	}
	value, unit, ok := splitUnit(text, mark)
	plain, f := parseNumber(text, mark)
	if !needsUnit(kind) {
		if ok {
			return 0, &fault{units.Quote(text) + " carries a unit", "write the number alone"}
		}
		return plain, f
	}
	list := string(kind) + " takes " + units.Names(kind)
	if kind == units.Ratio {
		list = "write it in percent, such as 10 %"
	}
	switch {
	case ok && unit.Kind == kind:
		return unit.ToSI(value), nil
	case ok:
		return 0, &fault{units.Quote(text) + " is a " + string(unit.Kind) + ", not a " + string(kind), list}
	case f == nil && kind == units.Ratio:
		return 0, &fault{units.Quote(text) + " may be a share or a percentage", list}
	case f == nil:
		return 0, &fault{units.Quote(text) + " has no unit", "write it with its unit, such as " + text + " " + exampleUnit(kind) + "; " + list}
	}
	return 0, &fault{units.Quote(text) + " is not a number with a unit", list}
}

// set stores a setting under its name. Settings of later versions have no place
// in the model; they are noted.
func (s *Settings) set(name string, number Number, text string) {
	texts := map[string]*string{
		"name": &s.Name, "output units": &s.OutputUnits, "currency": &s.Currency, "upstream side": &s.UpstreamSide,
		"extend ground": &s.ExtendGround, "datum": &s.Datum, "crest is": &s.CrestIs,
		"settlement basis": &s.AllowanceBasis, "reserve on": &s.ReserveOn, "start date": &s.StartDate,
	}
	numbers := map[string]*Number{
		"section interval": &s.SectionInterval, "section accuracy": &s.SectionAccuracy, "longest edge": &s.LongestEdge, "settlement allowance": &s.Allowance,
		"normal pool elevation": &s.NormalPool, "spillway elevation": &s.Spillway,
		"design high water elevation": &s.DesignHighWater, "test every": &s.TestEvery,
		"least tests a lift": &s.LeastTestsALift, "drying rate": &s.DryingRate,
		"haul winding": &s.HaulWinding, "hours per day": &s.HoursPerDay, "work days a week": &s.WorkDaysAWeek, "evaporation": &s.Evaporation,
		"overhead": &s.Overhead, "profit": &s.Profit, "contingency": &s.Contingency,
	}
	if to, ok := texts[name]; ok {
		*to = text
	}
	if to, ok := numbers[name]; ok {
		*to = number
	}
	if name == "reserve ratio" {
		s.ReserveRatio, s.ReserveGiven = number.Value, true
	}
}

// Defaults of the settings.
const (
	defaultReserve   = 1.5
	defaultReserveOn = "compacted"
	defaultBasis     = "height"
)

// finishSettings fills in defaults, notes them, and checks the settings
// against each other.
func (r *reading) finishSettings() {
	s := &r.site.Settings
	s.Ref = Ref{Table: "site"}
	if s.OutputUnits == "" {
		s.OutputUnits = r.defaultUnits()
		r.note("note", s.Ref, "results are in "+s.OutputUnits+" units, as the tables are; set `output units` to change that")
	}
	if s.Currency == "" {
		s.Currency = "$"
	}
	if s.ExtendGround == "" {
		s.ExtendGround = "no"
	}
	r.checkAllowance(s)
	r.checkAccuracy(s)
	r.checkReserve(s)
}

// The least and the most that `section accuracy` may be. Below the least the
// sections would stand closer than stakes; beyond the most it asks for nothing.
const (
	leastAccuracy = 0.0001
	mostAccuracy  = 0.2
)

func (r *reading) checkAccuracy(s *Settings) {
	if a := s.SectionAccuracy; a.Given && (a.Value < leastAccuracy || a.Value > mostAccuracy) {
		r.wrong(s.ItemRows["section accuracy"], "section accuracy", "is "+short(100*a.Value)+" %, which is no useful accuracy of a volume",
			"write 0.01 % to 20 %, such as 0.5 %")
	}
}

func (r *reading) checkAllowance(s *Settings) {
	at := s.ItemRows["settlement allowance"]
	if s.AllowanceBasis == "" {
		s.AllowanceBasis = defaultBasis
		if s.Allowance.Given && s.Allowance.Value > 0 {
			if s.CrestIs == "built" {
				r.note("note", at, "the crest is drawn as built, so the settlement allowance lies in it already and nothing is added")
			} else {
				r.note("note", at, "the settlement allowance is taken on the height with slopes kept; set `settlement basis` to change that")
			}
		}
	}
	if r.given("settlement allowance") && !r.given("crest is") {
		r.wrong(Ref{Table: "site"}, "crest is", "a settlement allowance needs to know what the crest is",
			"add a row `crest is` with settled or built, so that the allowance is not added twice")
	}
	if s.Allowance.Value > mostAllowance {
		r.wrong(at, "settlement allowance", short(100*s.Allowance.Value)+" % is far more than any fill settles", "write such as 10 %")
	}
}

// mostAllowance guards against a slipped decimal point; handbooks ask for 5 to
// 15 % (common practice).
const mostAllowance = 0.5

func (r *reading) checkReserve(s *Settings) {
	if s.ReserveOn == "" {
		s.ReserveOn = defaultReserveOn
	}
	if !r.given("reserve ratio") {
		s.ReserveRatio = defaultReserve
		r.note("note", s.Ref, "the pits must hold 1.5 times the "+s.ReserveOn+" volume; set `reserve ratio` and `reserve on` to change that")
		r.site.Notes[len(r.site.Notes)-1].Source = handbook
	}
	if s.ReserveRatio < 1 && s.ReserveGiven {
		r.wrong(s.ItemRows["reserve ratio"], "reserve ratio", "is "+short(s.ReserveRatio)+", below the need itself", "write 1 or more, such as 1.5")
	}
}

// given reports whether a setting stands in the table `site`, right or wrong.
func (r *reading) given(item string) bool {
	_, ok := r.site.Settings.ItemRows[item]
	return ok
}

// defaultUnits are US when the elevations of the crest, or else of the first
// table that has lengths, are in a unit of the foot.
func (r *reading) defaultUnits() string {
	for _, table := range []string{"crest", "profile", "shots", "survey", "centreline"} {
		if t, ok := r.tables[table]; ok && t.unit.Name != "" {
			switch t.unit.Name {
			case "ft", "ftUS", "in", "yd", "mi":
				return "us"
			}
			return "metric"
		}
	}
	return "metric"
}

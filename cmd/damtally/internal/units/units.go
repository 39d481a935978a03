package units

import "strings"

// Kind is what a unit measures.
type Kind string

// The kinds of measure that tables hold.
const (
	Length   Kind = "length"
	Area     Kind = "area"
	Volume   Kind = "volume"
	Density  Kind = "density"
	Mass     Kind = "mass"
	Speed    Kind = "speed"
	Time     Kind = "time"
	Pressure Kind = "pressure"
	Power    Kind = "power"
	Ratio    Kind = "ratio"
	Slope    Kind = "slope"
	Money    Kind = "money"
	Count    Kind = "count"
)

// Unit is a named unit. SI is the size of one of it in the SI unit of its kind:
// m, m2, m3, kg/m3, kg, m/s, s, Pa, W; a ratio is a fraction, a slope is
// horizontal to one vertical.
type Unit struct {
	Name string
	Kind Kind
	SI   float64
}

// ToSI converts a value in this unit to SI.
func (u Unit) ToSI(value float64) float64 { return value * u.SI }

// FromSI converts a value in SI to this unit.
func (u Unit) FromSI(value float64) float64 { return value / u.SI }

// Exact factors by definition: NIST SP 811 Appendix B, Handbook 44 Appendix C.
const (
	foot       = 0.3048
	surveyFoot = 1200.0 / 3937.0
	inch       = 0.0254
	yard       = 3 * foot
	mile       = 5280 * foot
	acre       = 43560 * foot * foot      // of international feet
	gallon     = 231 * inch * inch * inch // US liquid gallon
	pound      = 0.45359237
	shortTon   = 2000 * pound
	gravity    = 9.80665 // standard acceleration of free fall, m/s2
	horsepower = 550 * foot * pound * gravity
)

// known lists every unit, each kind in the order in which texts name them.
var known = []Unit{
	{"m", Length, 1},
	{"mm", Length, 0.001},
	{"cm", Length, 0.01},
	{"km", Length, 1000},
	{"ft", Length, foot},
	{"ftUS", Length, surveyFoot},
	{"in", Length, inch},
	{"yd", Length, yard},
	{"mi", Length, mile},

	{"m2", Area, 1},
	{"ha", Area, 10000},
	{"ft2", Area, foot * foot},
	{"yd2", Area, yard * yard},
	{"acre", Area, acre},

	{"m3", Volume, 1},
	{"ft3", Volume, foot * foot * foot},
	{"yd3", Volume, yard * yard * yard},
	{"acre-ft", Volume, acre * foot},
	{"L", Volume, 0.001},
	{"gal", Volume, gallon},

	{"kg/m3", Density, 1},
	{"t/m3", Density, 1000},
	{"g/cm3", Density, 1000},
	{"kN/m3", Density, 1000 / gravity},
	{"pcf", Density, pound / (foot * foot * foot)},

	{"kg", Mass, 1},
	{"t", Mass, 1000},
	{"lb", Mass, pound},
	{"ton", Mass, shortTon},

	{"km/h", Speed, 1000.0 / 3600.0},
	{"mph", Speed, mile / 3600},
	{"m/s", Speed, 1},

	{"s", Time, 1},
	{"min", Time, 60},
	{"h", Time, 3600},
	{"d", Time, 86400},

	{"kPa", Pressure, 1000},
	{"psi", Pressure, pound * gravity / (inch * inch)},

	{"kW", Power, 1000},
	{"hp", Power, horsepower},

	{"%", Ratio, 0.01},
	{"-", Ratio, 1},

	{"h:v", Slope, 1},
}

// alike maps other spellings, in small letters, to a unit's name.
var alike = map[string]string{
	"foot": "ft", "feet": "ft", "us ft": "ftUS", "us survey ft": "ftUS",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m",
	"inch": "in", "inches": "in", "yard": "yd", "yards": "yd", "mile": "mi", "miles": "mi",
	"lf": "ft", "lin ft": "ft",
	"ac": "acre", "acres": "acre", "sq ft": "ft2", "sf": "ft2", "sq yd": "yd2", "sy": "yd2", "sq m": "m2",
	"cu ft": "ft3", "cf": "ft3", "cu yd": "yd3", "cu yds": "yd3", "cy": "yd3", "cu m": "m3",
	"acre ft": "acre-ft", "acre-feet": "acre-ft", "acre-foot": "acre-ft", "ac-ft": "acre-ft", "ac ft": "acre-ft",
	"gallon": "gal", "gallons": "gal", "lb/ft3": "pcf", "lbs": "lb", "tons": "ton",
	"percent": "%",
}

// byName finds a unit by its exact name, byLower by its name in small letters.
var byName, byLower = index()

func index() (exact, lower map[string]Unit) {
	exact, lower = map[string]Unit{}, map[string]Unit{}
	for _, u := range known {
		exact[u.Name] = u
		lower[strings.ToLower(u.Name)] = u
	}
	for other, name := range alike {
		lower[other] = exact[name]
	}
	return exact, lower
}

// raised writes the raised figures of square and cubic units on the line.
var raised = strings.NewReplacer("²", "2", "³", "3", "^2", "2", "^3", "3", "−", "-", "–", "-")

// Lookup finds a unit by its name or by another common spelling of it. The
// exact name wins; otherwise capital letters don't matter, so FT is ft and FTUS
// is ftUS, and the points of abbreviations (in., cu. yd.) don't either. A lone
// capital T is refused: it is written for the metric ton (t)
// and for the ton of 2,000 lb alike, which differ by a tenth.
func Lookup(name string) (Unit, bool) {
	name = raised.Replace(strings.Join(strings.Fields(name), " "))
	if u, ok := byName[name]; ok {
		return u, true
	}
	if name == "T" {
		return Unit{}, false
	}
	lower := strings.ToLower(name)
	if u, ok := byLower[lower]; ok {
		return u, true
	}
	u, ok := byLower[strings.Join(strings.Fields(strings.ReplaceAll(lower, ".", " ")), " ")]
	return u, ok
}

// withState are abbreviations of the cubic yard that say the state of the soil.
var withState = map[string]string{"bcy": "bank", "lcy": "loose", "ccy": "compacted", "ecy": "compacted"}

// Hint is what to write in place of a unit of a kind that Lookup refuses for a
// reason that users will not see at once, "" where there is nothing to say.
func Hint(name string, kind Kind) string {
	name = strings.ReplaceAll(strings.TrimSpace(name), ".", "")
	if state, ok := withState[strings.ToLower(name)]; ok && kind == Volume {
		return "write yd3; that it is " + state + " is no part of the unit, the row or the column says it"
	}
	if name == "T" && kind == Mass {
		return "write t for 1,000 kg or ton for 2,000 lb"
	}
	return ""
}

// Of lists the units of a kind, in the order in which texts name them. It is
// empty for money and counts.
func Of(kind Kind) []Unit {
	var units []Unit
	for _, u := range known {
		if u.Kind == kind {
			units = append(units, u)
		}
	}
	return units
}

// Names lists the names of the units of a kind for an error text:
// "m mm cm km ft ftUS in yd mi".
func Names(kind Kind) string {
	var names []string
	for _, u := range Of(kind) {
		names = append(names, u.Name)
	}
	return strings.Join(names, " ")
}

package soil

import (
	"math"
	"strings"
)

// ClayQuality is what is known of a soil that is to hold water. NaN and blank
// stand for what was not tested.
type ClayQuality struct {
	Class                   string // ASTM D2487, such as "CL"
	LiquidLimit, Plasticity float64
	Fines                   float64 // share finer than the No. 200 sieve
	Dispersive              string  // "yes", "no", "untested" or ""
}

// Prompt is something to look into before the soil is used. It is never a
// verdict: an engineer who knows the site decides.
type Prompt struct {
	Danger bool // red rather than amber
	Text   string
	Source string
}

// Bounds of the prompts.
const (
	// wettestLiquidLimit is the liquid limit above which clay is generally
	// avoided in earth fill: 80 (USACE EM 1110-2-2300, 2004, paragraph 7-1).
	wettestLiquidLimit = 0.80
	// veryPlastic is the plasticity index above which clay swells, shrinks and
	// cracks enough to ask about it (common practice).
	veryPlastic = 0.35
	// leastPlastic is the plasticity index below which fines wash out easily
	// (common practice: silts of low plasticity pipe).
	leastPlastic = 0.07
	// leastFines is the share of fines below which a soil is doubted to hold
	// water (common practice: a fifth to a third is asked of a core).
	leastFines = 0.20
)

const (
	dispersionSource = "USDA NRCS National Engineering Handbook, part 633, chapter 13, Dispersive clays (from memory); ASTM D4647 and D6572 are the tests"
	plasticSource    = "USACE EM 1110-2-2300 (2004), paragraph 7-1: liquid limits above 80 are generally avoided"
	common           = "common practice"
)

// Prompts lists what to look into before the soil is used in a core or a
// blanket, most serious first.
func (q ClayQuality) Prompts() []Prompt {
	var out []Prompt
	add := func(when, danger bool, text, source string) {
		if when {
			out = append(out, Prompt{danger, text, source})
		}
	}
	add(q.Dispersive == "yes", true, "it is dispersive: clear water washes it apart, and a crack or a pipe through it grows fast; it needs a filter or treatment that an engineer designs", dispersionSource)
	add(q.Dispersive == "" || q.Dispersive == "untested", true, "it has not been tested for dispersion; dispersive clay has failed many small dams, and it looks like any other clay", dispersionSource)
	add(q.LiquidLimit > wettestLiquidLimit, false, "its liquid limit is above 80: very plastic clay is hard to place, swells and cracks", plasticSource)
	add(q.Plasticity > veryPlastic && !(q.LiquidLimit > wettestLiquidLimit), false, "its plasticity index is above 35: very plastic clay shrinks and cracks as it dries", common)
	add(q.Plasticity < leastPlastic, false, "its plasticity index is below 7: soil of low plasticity washes out easily where water seeps", common)
	add(q.Fines < leastFines, false, "fewer than a fifth of it is fines (finer than the No. 200 sieve): it may not hold water", common)
	add(q.coarseClass(), false, "its class, "+q.Class+", is not one that holds water well (GC, SC, CL and CH are the usual ones)", common)
	add(q.organic(), true, "it is an organic soil or peat, which rots and settles: it has no place in a dam", common)
	add(math.IsNaN(q.Fines) && math.IsNaN(q.Plasticity) && q.Class == "", false, "nothing is known of its fines and plasticity; ask the lab for a sieve and the Atterberg limits (ASTM D1140, D4318)", common)
	return out
}

// coarseClass says that the class is clean or silty sand or gravel, or silt.
func (q ClayQuality) coarseClass() bool {
	first, _, _ := strings.Cut(strings.ToUpper(strings.TrimSpace(q.Class)), "-")
	switch first {
	case "GW", "GP", "GM", "SW", "SP", "SM", "ML", "MH":
		return true
	}
	return false
}

// organic says that the class is an organic soil or peat.
func (q ClayQuality) organic() bool {
	switch strings.ToUpper(strings.TrimSpace(q.Class)) {
	case "OL", "OH", "PT":
		return true
	}
	return false
}

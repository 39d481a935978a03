package soil

import "strings"

// TypicalFactors are published typical factors of a kind of soil. They are no
// test of any soil: an output that uses them says "typical, not tested".
type TypicalFactors struct {
	Soil          string
	Shrink, Swell float64 // compacted / bank volume; loose / bank volume - 1
	Source        string
}

// typicalSource is the table behind Typical.
const typicalSource = "US Army FM 5-434 (2000), table 1-1 (from memory)"

// The kinds of soil of the table.
const (
	typicalSand = iota
	typicalLoam
	typicalClay
	typicalRock
)

var typicals = []TypicalFactors{
	typicalSand: {"sand or gravel", 0.95, 0.11, typicalSource},
	typicalLoam: {"loam (common earth)", 0.90, 0.25, typicalSource},
	typicalClay: {"clay", 0.90, 0.43, typicalSource},
	typicalRock: {"rock (blasted)", 1.30, 0.50, typicalSource},
}

// typicalClasses maps the first class of ASTM D2487 to a kind of the table.
var typicalClasses = map[string]int{
	"GW": typicalSand, "GP": typicalSand, "SW": typicalSand, "SP": typicalSand, "GM": typicalSand,
	"SM": typicalLoam, "GC": typicalLoam, "SC": typicalLoam, "ML": typicalLoam,
	"CL": typicalClay, "CH": typicalClay, "MH": typicalClay,
}

// typicalWords maps words in a soil's name to a kind of the table, the word that
// says most first: a silty sand is a sand, a sandy clay a clay.
var typicalWords = []struct {
	word string
	kind int
}{
	{"rock", typicalRock},
	{"clay", typicalClay},
	{"loam", typicalLoam},
	{"earth", typicalLoam},
	{"silt", typicalLoam},
	{"sand", typicalSand},
	{"gravel", typicalSand},
}

// Typical finds the typical factors of a soil by its class (ASTM D2487, such as
// "CL" or "SC-SM", where the first counts), else by the last word of its name
// that is a kind of soil ("silty sand"). It is false for a soil that the table
// does not have, an organic one among them.
func Typical(class, name string) (TypicalFactors, bool) {
	first, _, _ := strings.Cut(strings.ToUpper(strings.TrimSpace(class)), "-")
	if kind, ok := typicalClasses[first]; ok {
		return typicals[kind], true
	}
	words := strings.Fields(strings.ToLower(name))
	for i := len(words) - 1; i >= 0; i-- {
		for _, w := range typicalWords {
			if words[i] == w.word {
				return typicals[w.kind], true
			}
		}
	}
	return TypicalFactors{}, false
}

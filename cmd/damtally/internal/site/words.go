package site

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// plural writes a count with the fitting word.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// mostListed is how many rows a note names.
const mostListed = 10

// listRows writes row numbers, cut when there are many.
func listRows(rows []int) string {
	var b strings.Builder
	for i, n := range rows {
		if i == mostListed {
			fmt.Fprintf(&b, " and %d more", len(rows)-mostListed)
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprint(&b, n)
	}
	return b.String()
}

// shown writes a number that a column gave as the column's header has it: in
// its unit. other is the unit where the header has none.
func (r *reading) shown(table, column string, value float64, other string) string {
	unit, _ := units.Lookup(other)
	if t, ok := r.tables[table]; ok && t.units != nil {
		if own := t.units[r.specs[table].index[column]]; own.Name != "" {
			unit = own
		}
	}
	return short(unit.FromSI(value)) + " " + unit.Name
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

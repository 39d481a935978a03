package site

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
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

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

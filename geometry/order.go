package geometry

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

func place(p orb.Point) xy { return xy{p[0] + 0, p[1] + 0} } // -0 becomes 0

// eastward lists the points by x, then y, then their own order.
func eastward(points []GroundPoint) []int32 {
	keys := make([]sortKey, len(points))
	for i := range points {
		keys[i] = sortKey{ascending(place(points[i].At).x), int32(i)}
	}
	keys = sortByKey(keys)
	order := make([]int32, len(keys))
	for i := range keys {
		order[i] = keys[i].point
	}
	for i := 0; i < len(keys); {
		j := i + 1
		for j < len(keys) && keys[j].key == keys[i].key {
			j++
		}
		if j > i+1 {
			slices.SortFunc(order[i:j], func(a, b int32) int {
				if c := cmp.Compare(points[a].At[1], points[b].At[1]); c != 0 {
					return c
				}
				return cmp.Compare(a, b)
			})
		}
		i = j
	}
	return order
}

type sortKey struct {
	key   uint64
	point int32
}

// ascending maps numbers to whole numbers of the same order (no -0, no NaN).
func ascending(f float64) uint64 {
	b := math.Float64bits(f)
	if b>>63 == 1 {
		return ^b
	}
	return b | 1<<63
}

const (
	digitBits = 11
	digits    = 1 << digitBits
	passes    = (64 + digitBits - 1) / digitBits
)

// sortByKey sorts by key, keeping the order of equal keys: a radix sort, four
// times as quick as comparing on a million points. It uses up its argument.
func sortByKey(keys []sortKey) []sortKey {
	if len(keys) < digits {
		slices.SortStableFunc(keys, func(a, b sortKey) int { return cmp.Compare(a.key, b.key) })
		return keys
	}
	var count [passes][digits]int32
	for _, k := range keys {
		for p := range passes {
			count[p][k.key>>(p*digitBits)%digits]++
		}
	}
	spare := make([]sortKey, len(keys))
	for p := range passes {
		c := &count[p]
		if c[keys[0].key>>(p*digitBits)%digits] == int32(len(keys)) {
			continue // all have this digit alike
		}
		sum := int32(0)
		for d := range c {
			c[d], sum = sum, sum+c[d]
		}
		for _, k := range keys {
			d := k.key >> (p * digitBits) % digits
			spare[c[d]] = k
			c[d]++
		}
		keys, spare = spare, keys
	}
	return keys
}

package terrain

import (
	"strconv"
	"strings"
	"sync"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// projectedCodes are the units of projected reference systems by EPSG code, for
// files that name the system and leave its unit to the reader: UTM, and the
// state plane zones of NAD83, NAD83 (HARN) and NAD83 (2011) that are in feet.
// For every other system the unit is asked for. Source: EPSG Geodetic Parameter
// Dataset v10.076.
var projectedCodes = map[string]string{
	"m": "6328-6348 26901-26923 32601-32660 32701-32760",
	"ft": "2222-2224 2251-2253 2256 2265-2266 2269-2270 2273 2280-2282 2867-2869 2896-2898 2901 " +
		"2909-2910 2913-2914 2921-2923 6391 6405 6407 6409 6494 6496 6499 6515 6545 6547 6557 6559 " +
		"6561 6570",
	"ftUS": "2225-2250 2254-2255 2257-2264 2267-2268 2271-2272 2274-2279 2283-2289 2870-2895 2899-2900 " +
		"2902-2908 2911-2912 2915-2920 2924-2930 6411 6413 6416 6418 6420 6422 6424 6426 6428 6430 " +
		"6432 6434 6436 6438 6441 6443 6445 6447 6449 6451 6453 6455 6457 6459 6461 6463 6465 6467 " +
		"6469 6471 6473 6475 6477 6479 6484 6486 6488 6490 6492 6501 6503 6505 6507 6510 6517 6519 " +
		"6521 6523 6525 6527 6529 6531 6533 6535 6537 6539 6541 6543 6549 6551 6553 6555 6563 6565 " +
		"6568 6572 6574 6576 6578 6582 6584 6586 6588 6590 6593 6595 6597 6599 6601 6603 6605 6607 " +
		"6609 6612 6614 6616 6618 6625-6627",
}

// projectedUnit is the unit of a projected system, zero when it is not known.
func projectedUnit(code uint16) units.Unit { return projectedUnits()[code] }

// projectedUnits is projectedCodes by code.
var projectedUnits = sync.OnceValue(func() map[uint16]units.Unit {
	out := map[uint16]units.Unit{}
	for name, list := range projectedCodes {
		unit, _ := units.Lookup(name)
		for _, run := range strings.Fields(list) {
			first, last, long := strings.Cut(run, "-")
			if !long {
				last = first
			}
			from, _ := strconv.Atoi(first)
			to, _ := strconv.Atoi(last)
			for code := from; code <= to; code++ {
				out[uint16(code)] = unit
			}
		}
	}
	return out
})

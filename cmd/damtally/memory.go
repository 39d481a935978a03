package main

import (
	"os"
	"runtime/debug"
)

// heapGrowth is by how many percent of what is in use the memory may grow before
// it is swept. A survey of millions of points is mostly long lists of numbers,
// which cost next to nothing to sweep, so that less than the usual 100 saves a
// third of the memory and more for little time.
const heapGrowth = 30

// spareMemory sets heapGrowth, unless GOGC in the environment says otherwise.
func spareMemory() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(heapGrowth)
	}
}

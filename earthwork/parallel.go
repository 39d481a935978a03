package earthwork

import (
	"runtime"
	"sync"
)

// leastShare is the number of sections for which another worker is worth its
// start.
const leastShare = 16

// each calls work for 0 to n-1, on several cores. Each core works on a stretch of
// its own with a cutter of its own; what the cutters noted is put together in
// the order of the stretches, so that the answer is that of one core.
func (k *cutter) each(n int, work func(k *cutter, i int)) {
	workers := max(1, min(runtime.GOMAXPROCS(0), n/leastShare))
	if workers == 1 {
		for i := range n {
			work(k, i)
		}
		return
	}
	cutters := make([]*cutter, workers)
	var all sync.WaitGroup
	for w := range cutters {
		c := k.clone()
		cutters[w] = c
		all.Go(func() {
			for i := w * n / workers; i < (w+1)*n/workers; i++ {
				work(c, i)
			}
		})
	}
	all.Wait()
	for _, c := range cutters {
		k.faults.merge(&c.faults)
		k.noteExtended(c)
	}
}

// clone is a cutter of the same dam that has noted nothing.
func (k *cutter) clone() *cutter {
	return &cutter{design: k.design, zones: k.zones, ground: k.ground, extend: k.extend, low: k.low, outside: k.outside, measured: k.measured, line: k.line}
}

// noteExtended takes over how far another cutter carried the ground on.
func (k *cutter) noteExtended(o *cutter) {
	for side, by := range o.extended {
		if by > k.extended[side] {
			k.extended[side], k.extendedAt[side] = by, o.extendedAt[side]
		}
	}
}

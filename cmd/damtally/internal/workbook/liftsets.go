package workbook

import (
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork"
)

// liftKey is a part of a zone that has a column of its own.
type liftKey struct {
	zone            int
	trench, outside bool
}

func keyOf(p earthwork.LiftPart) liftKey { return liftKey{p.Zone, p.Trench, p.Outside} }

// keysOf lists the parts that a set has anywhere, by zone: fill, trench, outside.
func keysOf(set *plan.LiftSet) []liftKey {
	there := map[liftKey]bool{}
	for _, l := range set.Lifts {
		for _, p := range l.Parts {
			there[keyOf(p)] = true
		}
	}
	var out []liftKey
	for _, z := range set.Zones {
		for _, k := range []liftKey{{zone: z}, {zone: z, trench: true}, {zone: z, outside: true}} {
			if there[k] {
				out = append(out, k)
			}
		}
	}
	return out
}

func (b *book) keyWords(k liftKey) string {
	words := clip(clean(b.r.Quantities.Zones[k.zone].Zone), 40)
	switch {
	case k.trench:
		return words + " in the trench"
	case k.outside:
		return words + " outside the outline"
	}
	return words
}

// layLiftSet lays the lifts of one thickness, one a row, from the bottom up.
func (b *book) layLiftSet(i int) {
	s, m, set := b.liftSheets[i], b.m, &b.r.Lifts.Sets[i]
	keys := keysOf(set)
	c := m.vol("compacted")
	heads := []string{
		"Lift", in("Bottom", m.Length), in("Top", m.Length), in("Thickness", m.Length), in("Mean area", m.Area),
		"In this lift, " + c, "Running total, " + c, "Tests due",
	}
	for _, k := range keys {
		heads = append(heads, b.keyWords(k)+", "+c, "tests of "+b.keyWords(k))
	}
	s.opening("Lifts of "+clip(clean(b.zoneNames(set.Zones)), 120), max(len(heads), 10),
		"Level lifts of "+thinText(m, set.Thickness)+" compacted; the last one may be thinner. Mean area = volume / thickness, to order and to spread by. Volumes come from the sections as planned, without the settlement allowance.")
	s.headings(rowLiftHead, heads...)
	for n := range set.Lifts {
		b.layLift(s, rowLiftFirst+n, n, &set.Lifts[n], keys)
	}
	last := rowLiftFirst + len(set.Lifts) - 1
	s.blankRow(rowLiftTotal, 1, len(heads), total(""))
	s.put(rowLiftTotal, 1, text("Total"), total(""))
	cells := &b.lift.sets[i]
	cells.compacted = s.put(rowLiftTotal, liftVolume, b.live(span{s, liftVolume, rowLiftFirst, last}.sum(), m.volumeOf(set.Compacted), "lifts together"), total(formatVolume))
	cells.tests = s.put(rowLiftTotal, liftTests, b.live(span{s, liftTests, rowLiftFirst, last}.sum(), number(float64(set.Tests)), "tests of lifts"), total(formatCount))
	for col := liftParts; col <= len(heads); col++ {
		format := formatVolume
		if (col-liftParts)%2 == 1 {
			format = formatCount
		}
		s.put(rowLiftTotal, col, span{s, col, rowLiftFirst, last}.sum(), total(format))
	}
	s.heads = [2]int{rowLiftHead, rowLiftHead}
	s.freeze = [2]int{rowLiftTotal, 3}
}

func (b *book) layLift(s *sheet, row, n int, l *earthwork.Lift, keys []liftKey) {
	m := b.m
	s.put(row, liftNumber, number(float64(n+1)), figure(formatCount))
	bottom := s.put(row, liftBottom, m.lengthOf(l.Bottom), figure(formatLength))
	top := s.put(row, liftTop, m.lengthOf(l.Top), figure(formatLength))
	thick := s.put(row, liftThick, sub(top.ref(), bottom.ref()), figure(formatFactor))
	volume, tests := b.layLiftParts(s, row, l, keys)
	v := s.put(row, liftVolume, b.live(volume, m.volumeOf(l.Compacted), "volume of a lift"), figure(formatVolume))
	s.put(row, liftArea, m.depth(v.ref(), thick.ref()), figure(formatArea))
	running := v.ref()
	if n > 0 {
		running = add(s.at(row-1, liftRunning).ref(), running)
	}
	s.put(row, liftRunning, b.live(running, m.volumeOf(l.Total), "running total of lifts"), figure(formatVolume))
	s.put(row, liftTests, b.live(tests, number(float64(l.Tests)), "tests of a lift"), figure(formatCount))
}

// layLiftParts lays what each part of a zone has in a lift, and returns the sums.
func (b *book) layLiftParts(s *sheet, row int, l *earthwork.Lift, keys []liftKey) (volume, tests expr) {
	parts := map[liftKey]earthwork.LiftPart{}
	for _, p := range l.Parts {
		parts[keyOf(p)] = p
	}
	volume, tests = number(0), number(0)
	for i, k := range keys {
		p, there := parts[k]
		if !there {
			s.blankRow(row, liftParts+2*i, liftParts+2*i+1, lookWord)
			continue
		}
		v := s.put(row, liftParts+2*i, b.m.volumeOf(p.Compacted), input(formatVolume))
		due := number(0)
		if p.Tests > 0 || b.tested(p) {
			due = b.live(b.testsOf(v.ref(), b.lift.least.ref()), number(float64(p.Tests)), "tests of a part of a lift")
		}
		t := s.put(row, liftParts+2*i+1, due, figure(formatCount))
		if volume.plain {
			volume, tests = v.ref(), t.ref()
		} else {
			volume, tests = add(volume, v.ref()), add(tests, t.ref())
		}
	}
	return volume, tests
}

func thinText(m measures, si float64) string {
	u := thinUnit(m)
	return strconv.FormatFloat(u.FromSI(si), 'f', 1, 64) + " " + u.Name
}

package workbook

import (
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// workCells are the figures of pipes, cuts and blankets that other sheets refer to.
type workCells struct {
	pipeLength, pipeTrench, pipeBackfill, pipeByHand *cell // totals; nil without pipes

	cuts     []*cell // bank volume, by cut
	blankets []blanketCells

	allCuts, allBlankets *cell // nil without any
	pool, stored         *cell // area and storage at the normal pool; nil where not known
}

type blanketCells struct{ name, surface, compacted *cell }

// workNamed is the cell of a result of pipes, cuts or blankets that a pay item may
// name, and its unit; nil for any other name.
func (b *book) workNamed(name string) (*cell, units.Unit) {
	m := b.m
	switch name {
	case "conduit length":
		return b.work.pipeLength, m.Length
	case "conduit trench":
		return b.work.pipeTrench, m.Volume
	case "conduit backfill":
		return b.work.pipeBackfill, m.Volume
	case "conduit hand compacted":
		return b.work.pipeByHand, m.Volume
	}
	for i, c := range b.r.Cuts {
		if sameResult(name, "cut "+c.Row.Name) {
			return b.work.cuts[i], m.Volume
		}
	}
	for i, l := range b.r.Blankets {
		switch {
		case sameResult(name, "blanket "+l.Row.Name):
			return b.work.blankets[i].compacted, m.Volume
		case sameResult(name, "surface of blanket "+l.Row.Name):
			return b.work.blankets[i].surface, m.Area
		}
	}
	return nil, units.Unit{}
}

// sameResult compares the name of a result with how a row writes it: case and the
// number of blanks between words do not count.
func sameResult(name, written string) bool {
	return strings.EqualFold(name, strings.Join(strings.Fields(written), " "))
}

// trenchWords is the caution about trenches, which stands on each sheet of work in
// one.
const trenchWords = "DANGER: a trench can cave in and kill. Slope or shore it, keep soil and machines back from its edge, and let a competent person look at it every day. Local rules come first."

// layPipes lays what each pipe takes. Its trench has upright walls; the soil beside
// the pipe is a box of the pipe's height less the pipe.
func (b *book) layPipes() {
	s, m := b.pipes, b.m
	if len(b.r.Conduits) == 0 {
		return
	}
	const last = 20
	bank, compacted := m.vol("bank"), m.vol("compacted")
	row := s.opening("Pipes through the dam", last,
		"Pipe = (half of its diameter) squared x 3.14159 x length. Compacted by hand = ((diameter + 2 x width by hand) x diameter) x length, less the pipe. Trench = its width x its area along the pipe, from the stripped ground down to the pipe's bottom, walls upright.",
		"The soil beside a pipe above the stripped ground is in the dam's own volumes. What fills the trench again is in neither the dam's volumes nor the need of a material: see that the pits hold it too, and add a bid item for it. It is taken to be what fills the cutoff trench.",
		"Water follows a pipe. Compact the soil beside it by hand in thin layers, test it there, and ask your engineer for a filter round its downstream part. Nothing here checks that.")
	if b.pipeTrenches() {
		s.line(row, 1, last, trenchWords, lookDanger)
		row++
	}
	s.headings(row, "Pipe", "Station", in("Begins at offset", m.Length), in("Ends at offset", m.Length), in("Diameter", m.Length), in("Length along the slope", m.Length),
		in("Trench width", m.Length), in("Trench area along the pipe", m.Area), in("Trench at its deepest", m.Length), "Trench, "+bank,
		"Pipe, "+m.Volume.Name, "Pipe in the trench, "+m.Volume.Name, "Fills the trench again, "+compacted, in("Width by hand, each side", m.Length),
		"Compacted by hand, "+compacted, "Lifts by hand", "Tests due by hand",
		"The trench is filled with", "Shrink factor x (1 - loss)", "To dig for it, "+bank)
	first := row + 1
	for i := range b.r.Conduits {
		row++
		b.layPipe(row, &b.r.Conduits[i])
	}
	row++
	s.blankRow(row, 1, last, total(""))
	s.put(row, 1, text("All pipes"), total(""))
	sum := func(col int, format string) *cell {
		return s.put(row, col, span{s, col, first, row - 1}.sum(), total(format))
	}
	b.work.pipeLength, b.work.pipeTrench = sum(6, formatShort), sum(10, formatVolume)
	b.work.pipeBackfill, b.work.pipeByHand = sum(13, formatVolume), sum(15, formatVolume)
	sum(11, formatVolume)
	sum(17, formatCount)
	s.heads = [2]int{first - 1, first - 1}
	s.freeze = [2]int{first - 1, 1}
	s.widths[1] = 24
}

// pipeTrenches tells whether any pipe is laid in a trench.
func (b *book) pipeTrenches() bool {
	for _, c := range b.r.Conduits {
		if c.Dug > 0 {
			return true
		}
	}
	return false
}

const circle = 3.14159265358979

func (b *book) layPipe(row int, c *plan.Conduit) {
	s, m, name := b.pipes, b.m, clean(c.Row.Name)
	s.put(row, 1, text(name), lookWord)
	s.put(row, 2, text(m.Station(c.Row.Station)), lookWord)
	s.put(row, 3, m.lengthOf(c.From), figure(formatOffset))
	s.put(row, 4, m.lengthOf(c.To), figure(formatOffset))
	diameter := s.put(row, 5, m.lengthOf(c.Row.Diameter), input(formatShort))
	length := s.put(row, 6, m.lengthOf(c.Length), input(formatShort))
	width := s.put(row, 7, m.lengthOf(c.Row.TrenchWidth), input(formatShort))
	along := 0.0
	if c.Row.TrenchWidth > 0 {
		along = c.Dug / c.Row.TrenchWidth
	}
	area := s.put(row, 8, m.areaOf(along), input(formatArea))
	s.put(row, 9, m.lengthOf(c.Deepest), figure(formatShort))
	dug := s.put(row, 10, b.live(m.volume(mul(width.ref(), area.ref())), m.volumeOf(c.Dug), "trench of "+name), figure(formatVolume))
	half := div(diameter.ref(), number(2))
	round := mul(number(circle), mul(half, half))
	pipe := s.put(row, 11, b.live(m.volume(mul(round, length.ref())), m.volumeOf(c.Pipe), "volume of "+name), figure(formatArea))
	buried := s.put(row, 12, m.volumeOf(c.Dug-c.Backfill), input(formatArea))
	fill := s.put(row, 13, b.live(sub(dug.ref(), buried.ref()), m.volumeOf(c.Backfill), "backfill of "+name), figure(formatVolume))
	hand := s.put(row, 14, m.lengthOf(c.Row.HandWidth), input(formatShort))
	box := mul(add(diameter.ref(), mul(number(2), hand.ref())), diameter.ref())
	byHand := when(more(hand.ref(), number(0)), sub(m.volume(mul(box, length.ref())), pipe.ref()), number(0))
	v := s.put(row, 15, b.live(byHand, m.volumeOf(c.ByHand), "soil by hand of "+name), figure(formatVolume))
	b.layWorkTests(s, row, 16, v, c.Lifts, c.Tests, true)
	b.layPipeFill(row, c, fill)
}

// layPipeFill lays what fills a pipe's trench again, and what must be dug for it.
func (b *book) layPipeFill(row int, c *plan.Conduit, fill *cell) {
	s := b.pipes
	s.put(row, 18, text(clean(c.FilledWith)), lookWord)
	if math.IsNaN(c.BackfillBank) {
		s.blankRow(row, 19, 20, lookWord)
		return
	}
	kept := s.put(row, 19, number(c.Kept), input(formatFactor))
	s.put(row, 20, b.live(div(fill.ref(), kept.ref()), b.m.volumeOf(c.BackfillBank), "borrow for the backfill of "+clean(c.Row.Name)), figure(formatVolume))
}

// layWorkTests lays how many lifts a volume outside the dam's lifts takes, and the
// tests due in it: in each lift by the rule of the sheet Lifts.
func (b *book) layWorkTests(s *sheet, row, col int, volume *cell, lifts, tests int, tested bool) {
	n := s.put(row, col, number(float64(lifts)), input(formatCount))
	due := number(0)
	if tested && b.lift.share != nil && lifts > 0 {
		each := b.testsOf(div(volume.ref(), n.ref()), b.lift.least.ref())
		due = b.live(when(more(n.ref(), number(0)), mul(n.ref(), each), number(0)), number(float64(tests)), "tests of "+s.name)
	}
	s.put(row, col+1, due, figure(formatCount))
}

// layCuts lays what comes out of each required excavation.
func (b *book) layCuts() {
	s, m := b.cuts, b.m
	if len(b.r.Cuts) == 0 {
		return
	}
	const last = 13
	row := s.opening("Cuts", last,
		"Excavations that the job needs besides the trench, such as a spillway. The boundary is drawn at the ground; the sides fall inwards from there to a level floor. Volumes in the bank, as the ground lies; topsoil is not parted off.",
		"What may go into the dam counts as a source of its material. Volumes come from the ground and the shape: type your own over them, or run the plan again for another floor.")
	s.headings(row, "Cut", "What comes out", "May go into the dam", in("Area at the ground", m.Area), in("Area at the ground", m.LandArea), "Side slope (h:v)",
		in("Floor", m.Length), in("Floor area", m.Area), in("Greatest depth", m.Length), "All that comes out, "+m.vol("bank"), in("Mean depth", m.Length), "Swell", "In trucks, "+m.vol("loose"))
	first := row + 1
	b.work.cuts = make([]*cell, len(b.r.Cuts))
	for i := range b.r.Cuts {
		row++
		b.layCut(row, i)
	}
	row++
	s.blankRow(row, 1, last, total(""))
	s.put(row, 1, text("All cuts"), total(""))
	s.put(row, 4, span{s, 4, first, row - 1}.sum(), total(formatArea))
	s.put(row, 5, span{s, 5, first, row - 1}.sum(), total(formatLand))
	b.work.allCuts = s.put(row, 10, span{s, 10, first, row - 1}.sum(), total(formatVolume))
	s.put(row, 13, span{s, 13, first, row - 1}.sumKnown(), total(formatVolume))
	s.heads = [2]int{first - 1, first - 1}
	s.freeze = [2]int{first - 1, 1}
	s.widths[1], s.widths[2] = 24, 20
}

func (b *book) layCut(row, i int) {
	s, m, c := b.cuts, b.m, &b.r.Cuts[i]
	k := c.Capacity
	s.put(row, 1, text(clean(c.Row.Name)), lookWord)
	s.put(row, 2, text(clean(c.Row.Material)), lookWord)
	usable := "no"
	if c.Usable {
		usable = "yes"
	}
	s.put(row, 3, text(usable), lookWord)
	area := s.put(row, 4, m.areaOf(k.Area), input(formatArea))
	s.put(row, 5, m.land(area.ref()), figure(formatLand))
	s.put(row, 6, number(c.Row.SideSlope), figure(formatShort))
	s.put(row, 7, m.lengthOf(c.Row.FloorElevation), figure(formatLength))
	s.put(row, 8, m.areaOf(k.Floor), figure(formatArea))
	s.put(row, 9, m.lengthOf(k.Deepest), figure(formatShort))
	bank := s.put(row, 10, m.volumeOf(k.Bank), input(formatVolume))
	b.work.cuts[i] = bank
	s.put(row, 11, when(more(area.ref(), number(0)), m.depth(bank.ref(), area.ref()), blank()), figure(formatShort))
	swell, loose := blank(), blank()
	if n := b.materialIndex(c.Row.Material); n >= 0 && b.soil[n].swell != nil {
		swell = ifKnown(b.soil[n].swell.ref(), b.soil[n].swell.ref())
	}
	w := s.put(row, 12, swell, figure(formatFactor))
	if c.Loose > 0 {
		loose = m.volumeOf(c.Loose)
	}
	trucks := ifKnown(mul(bank.ref(), add(number(1), w.ref())), w.ref())
	s.put(row, 13, b.live(trucks, loose, "loose volume of cut "+clean(c.Row.Name)), figure(formatVolume))
}

// layBlankets lays what each lining takes.
func (b *book) layBlankets() {
	s, m := b.blankets, b.m
	if len(b.r.Blankets) == 0 {
		return
	}
	const last = 9
	row := s.opening("Blankets", last,
		"Linings of the lake bed: area along the slope of the ground x thickness, square to the ground. They are not in the dam's volumes, but in the need of their material.",
		"How thick a lining must be, what lies under it and how it is kept from drying are for your engineer. Nothing here checks that.")
	s.headings(row, "Blanket", "Material", in("Area in plan", m.Area), in("Area along the slope", m.Area), in("Thickness", m.Length), m.vol("compacted"),
		in("Thickness of a lift", thinUnit(m)), "Lifts", "Tests due")
	first := row + 1
	b.work.blankets = make([]blanketCells, len(b.r.Blankets))
	for i := range b.r.Blankets {
		row++
		l := &b.r.Blankets[i]
		name := clean(l.Row.Name)
		c := &b.work.blankets[i]
		c.name = s.put(row, 1, text(name), lookWord)
		s.put(row, 2, text(clean(l.Row.Material)), lookWord)
		s.put(row, 3, m.areaOf(l.Plan), figure(formatArea))
		c.surface = s.put(row, 4, m.areaOf(l.Surface), input(formatArea))
		thick := s.put(row, 5, m.lengthOf(l.Row.Thickness), input(formatShort))
		c.compacted = s.put(row, 6, b.live(m.volume(mul(c.surface.ref(), thick.ref())), m.volumeOf(l.Compacted), "volume of blanket "+name), figure(formatVolume))
		s.put(row, 7, number(thinUnit(m).FromSI(l.Lift)), figure(formatShort))
		bought := b.materialIndex(l.Row.Material) >= 0 && b.r.Materials[b.materialIndex(l.Row.Material)].Bought
		b.layWorkTests(s, row, 8, c.compacted, l.Lifts, l.Tests, !bought)
	}
	row++
	s.blankRow(row, 1, last, total(""))
	s.put(row, 1, text("All blankets"), total(""))
	for col, format := range map[int]string{3: formatArea, 4: formatArea, 9: formatCount} {
		s.put(row, col, span{s, col, first, row - 1}.sum(), total(format))
	}
	b.work.allBlankets = s.put(row, 6, span{s, 6, first, row - 1}.sum(), total(formatVolume))
	s.heads = [2]int{first - 1, first - 1}
	s.freeze = [2]int{first - 1, 1}
	s.widths[1], s.widths[2] = 24, 20
}

// layBlanketShares lays what the blankets take of each material under the zones'
// shares, and adds it to the parts of that material.
func (b *book) layBlanketShares(row int, parts map[int][]*cell) int {
	s, m := b.materials, b.m
	for i := range b.r.Materials {
		for _, share := range b.r.Materials[i].Blankets {
			row++
			c := &b.work.blankets[share.Blanket]
			s.put(row, 1, join(text("blanket "), c.name.ref()), lookWord)
			s.put(row, 2, b.soil[i].name.ref(), lookWord)
			s.put(row, 3, number(1), figure(formatShare))
			all := s.put(row, 4, c.compacted.ref(), figure(formatVolume))
			taken := b.live(all.ref(), m.volumeOf(share.Compacted), "share of a blanket")
			parts[i] = append(parts[i], s.put(row, 5, taken, figure(formatVolume)))
		}
	}
	return row
}

// workTakes are the lines of the summary beside the dam itself: linings, cuts, pipes,
// tests and the lake.
func (b *book) workTakes() []takeRow {
	m := b.m
	var out []takeRow
	if c := b.work.allBlankets; c != nil {
		out = append(out, takeRow{"Linings of the lake bed", c.ref(), m.vol("compacted"), "not in the fill of the dam; in the need of its material", false, formatVolume})
	}
	if c := b.work.allCuts; c != nil {
		out = append(out, takeRow{"Cuts, such as a spillway", c.ref(), m.vol("bank"), "from the sheet Cuts", false, formatVolume})
	}
	if c := b.work.pipeBackfill; c != nil && b.pipeTrenches() {
		out = append(out, takeRow{"Fills the trenches of pipes again", c.ref(), m.vol("compacted"), "neither in the fill nor in any need", false, formatVolume})
	}
	if b.liftTests != nil && b.r.Lifts.Asked {
		out = append(out, takeRow{"Density tests due in the dam", b.liftTests.ref(), "tests", "by the rule on the sheet Lifts, pipes and linings not counted", false, formatCount})
	}
	if c := b.work.pool; c != nil {
		out = append(out, takeRow{"Lake at the normal pool", c.ref(), m.LandArea.Name, "area of the water", false, formatLand},
			takeRow{"   storage below it", b.work.stored.ref(), b.storageUnit().Name, "from the ground as surveyed; whether it fills is not in it", false, b.formatStorage()})
	}
	return out
}

package workbook

// wordsLast is how many columns the sheet Words has.
const wordsLast = 4

// word is a term of the sheets with what it means and the user's own figure.
type word struct {
	term, means  string
	figure       expr
	format, unit string
}

// layWords lays the one sheet that explains each figure with the user's own.
func (b *book) layWords() {
	s := b.words
	s.upright = true
	s.line(1, 1, wordsLast, "Words", lookTitle)
	s.line(2, 1, wordsLast, "What each figure on these sheets means, with your own figure beside it. Every sheet leads here from the end of its first row.", lookExplain)
	s.widths = map[int]float64{1: 23, 2: 74, 3: 15, 4: 21}
	row := b.layStatesInWords(4)
	for _, part := range []struct {
		name  string
		words []word
	}{
		{"The soil", b.soilWords()},
		{"The dam", b.damWords()},
		{"Pits and balance", b.pitWords()},
		{"Tests, lifts and lake", b.testWords()},
		{"The bid", b.bidWords()},
	} {
		s.put(row, 1, text(part.name), lookPart)
		row++
		s.headings(row, "Word", "What it means", "Your figure", "Unit")
		for _, w := range part.words {
			row++
			s.put(row, 1, text(w.term), lookAnswer)
			s.put(row, 2, text(w.means), lookWord)
			l := figure(w.format)
			if w.figure.write == nil {
				w.figure, l = blank(), lookWord
			}
			s.put(row, 3, w.figure, l)
			s.put(row, 4, text(w.unit), lookWord)
		}
		row += 2
	}
}

// mostStates is how many soils are explained in the three states; more would
// leave no page for the words.
const mostStates = 6

// layStatesInWords says of each soil what one volume of it becomes, and what the
// dam takes of it in each state.
func (b *book) layStatesInWords(row int) int {
	soils, _ := b.soilsAndStone()
	if len(soils) == 0 {
		return row
	}
	s := b.words
	s.put(row, 1, text("The same soil in three states, in your own figures"), lookPart)
	row++
	s.line(row, 1, wordsLast, "Bank: as it lies in the pit. Loose: the same soil in a truck. Compacted: the same soil in the dam. The solids stay; the air between them does not.", lookText)
	for _, i := range soils[:min(len(soils), mostStates)] {
		row++
		s.line(row, 1, wordsLast, "", lookText)
		c := s.put(row, 1, b.stateWords(i), lookText)
		c.across = wordsLast
		c.tallFor = c.content.val.text
	}
	return row + 2
}

// stateWords is what one bank volume of a soil becomes, and what the dam takes,
// in live words.
func (b *book) stateWords(i int) expr {
	m, c := b.m, &b.soil[i]
	cat := func(parts ...expr) expr {
		out := parts[0]
		for _, p := range parts[1:] {
			out = join(out, p)
		}
		return out
	}
	unit := m.Volume.Name
	becomes := cat(c.name.ref(), text(": 1 bank "+unit+" makes "), decimals(c.shrink.ref(), 3), text(" compacted "+unit+" in the dam"))
	rides := when(known(c.swell.ref()), cat(text(" and fills "), decimals(add(number(1), c.swell.ref()), 3), text(" loose "+unit+" of truck")), blank())
	takes := cat(text(". For "), whole(c.compacted.ref()), text(" "+m.vol("compacted")+" you dig "), whole(c.bankVolume.ref()), text(" "+m.vol("bank")+", "),
		decimals(mul(number(100), c.lossTaken.ref()), 1), text(" % of it lost on the way"))
	hauls := when(known(c.looseVol.ref()), cat(text(", and haul "), whole(c.looseVol.ref()), text(" "+m.vol("loose")+".")), text("."))
	return when(known(c.shrink.ref(), c.bankVolume.ref()), cat(becomes, rides, takes, hauls),
		join(c.name.ref(), text(": no shrink factor is known, so only its compacted volume is.")))
}

// firstSoil is the soil that stands as the example, -1 without one.
func (b *book) firstSoil() int {
	soils, _ := b.soilsAndStone()
	for _, i := range soils {
		if b.soil[i].shrink.content.val.kind == isNumber {
			return i
		}
	}
	if len(soils) > 0 {
		return soils[0]
	}
	return -1
}

func (b *book) soilWords() []word {
	m := b.m
	out := []word{
		{term: "dry density", means: "Mass of the solids in one volume of soil, water left out. It links the three states: half the dry density is twice the volume."},
		{term: "shrink factor", means: "Compacted volume that one bank volume makes, before losses: bank dry density / fill dry density."},
		{term: "swell", means: "How much larger the loose volume is than the bank volume, as a share of the bank volume: bank / loose dry density - 1."},
		{term: "load factor", means: "Bank volume in one loose volume: 1 / (1 + swell)."},
		{term: "loss", means: "Share of what is dug that never reaches the dam: spilled, wasted, rejected. It stands in the need alone, never in what the pits hold too."},
		{term: "shrinkage", means: "Published in two senses: of the bank volume, 1 - shrink factor; of the fill volume, 1 / shrink factor - 1. Ask which one is meant. Here: of the bank volume."},
		{term: "range", means: "Low and high: 1 in 10 lies below, 1 in 10 above, from the spread of your density tests alone. More tests narrow it."},
	}
	i := b.firstSoil()
	if i < 0 {
		return out
	}
	c, of := &b.soil[i], "of "+clip(b.soil[i].name.content.val.text, 40)
	known := func(c *cell) expr { return ifKnown(c.ref(), c.ref()) }
	put := func(k int, e expr, format, unit string) {
		out[k].figure, out[k].format, out[k].unit = e, format, unit
	}
	if c.fill != nil {
		put(0, known(c.fill), m.density(), m.Density.Name+" in the fill, "+of)
	}
	put(1, known(c.shrink), formatFactor, of)
	put(2, known(c.swell), formatShare, of)
	put(3, ifKnown(div(number(1), add(number(1), c.swell.ref())), c.swell.ref()), formatFactor, of)
	put(4, known(c.lossTaken), formatShare, of)
	put(5, ifKnown(sub(number(1), c.shrink.ref()), c.shrink.ref()), formatShare, of)
	if c.bankHigh != nil {
		put(6, known(c.bankHigh), formatVolume, "high, "+m.vol("bank")+" "+of)
	}
	return out
}

func (b *book) damWords() []word {
	m, c := b.m, b.m.vol("compacted")
	return []word{
		{"neat fill", "Between the stripped ground and the drawn faces, before any allowance and without the trench.", b.fill.neat.ref(), formatVolume, c},
		{"trench backfill", "What fills the cutoff trench again, below the stripped ground.", b.fill.trench.ref(), formatVolume, c},
		{"settlement allowance", "What is built higher or larger so that the dam is right once it has settled. Guidance takes it on the height, yet counts it on the volume: three figures, and the difference is money.", b.fill.settlement.ref(), formatVolume, c},
		{"fill in the dam", "Neat fill, trench backfill, allowance, and layers laid outside the faces, together: all that is compacted.", b.fill.all.ref(), formatVolume, c},
		{"average end area", "Length x (area + area) / 2, the trade's pay method. It comes out a little high where a dam tapers.", b.fill.neat.ref(), formatVolume, c},
		{"prismoidal formula", "Length x (area + 4 x middle area + area) / 6: nearer to the true volume. For comparison.", b.fill.prismoidal.ref(), formatVolume, c},
		{"stripping", "Topsoil taken off under the dam. Not part of the fill.", b.fill.strip.ref(), formatVolume, m.Volume.Name + " in place"},
		{"overbuild", "Placed beyond the faces so that they can be compacted to the line, then trimmed off. Seldom paid.", b.fill.over.ref(), formatVolume, c},
		{term: "station, offset", means: "Distance along the centreline, and square to it: negative upstream, positive downstream."},
		{term: "zone", means: "A part of the dam built of one material to one requirement: core, shell, drain, facing."},
	}
}

func (b *book) pitWords() []word {
	out := []word{
		{term: "usable in the pits", means: "What the pits hold below their topsoil, as it lies, before any loss.", unit: b.m.vol("bank")},
		{term: "needed", means: "What must be dug so that enough is left for the dam: compacted / (shrink factor x (1 - loss)).", unit: b.m.vol("bank")},
		{"reserve ratio", "How many times the volume below should be available, because some of a pit always proves unfit.", b.set.reserve.ref(), formatShort, "times"},
		{term: "enough", means: "The pits, with cuts and stockpiles of the same soil, hold the reserve ratio times its base, and never less than what must be dug. Short is what lacks."},
	}
	if len(b.weighed) > 0 {
		first, n := &b.weighed[0], len(b.weighed)
		column := func(c *cell) span { return span{b.balance, c.col, first.name.row, first.name.row + n - 1} }
		out[0].figure, out[0].format = column(first.available).sumKnown(), formatVolume
		out[1].figure, out[1].format = column(first.needed).sumKnown(), formatVolume
	}
	return out
}

func (b *book) testWords() []word {
	out := []word{
		{term: "lab maximum", means: "Greatest dry density that a laboratory reaches with a set effort; at the optimum water content."},
		{term: "percent compaction", means: "Dry density in the field / lab maximum. Compared unrounded with what is required."},
		{term: "zero air voids", means: "The dry density at which water fills every void. No test can lie above it; one that does is wrong."},
		{term: "lift, pass", means: "One spread and compacted layer; one trip of a roller over it."},
		{term: "storage", means: "Water behind the dam up to a level, from the ground as surveyed. No forecast of water."},
		{term: "holds, LOOK", means: "A check sets a figure beside one that should be near. LOOK, in red: find out why before money is spent."},
	}
	if i := b.firstSoil(); i >= 0 {
		c, of := &b.soil[i], "of "+clip(b.soil[i].name.content.val.text, 40)
		out[0].figure, out[0].format, out[0].unit = ifKnown(c.maxDry.ref(), c.maxDry.ref()), b.m.density(), b.m.Density.Name+" "+of
		out[1].figure, out[1].format, out[1].unit = ifKnown(c.required.ref(), c.required.ref()), formatShare, "required "+of
	}
	if b.stored() {
		out[4].figure, out[4].format, out[4].unit = b.lakeSheet.at(b.storage.to, lakeExact).ref(), b.formatStorage(), b.storageUnit().Name+" at the highest level"
	}
	out[5].figure, out[5].format, out[5].unit = b.checked.look.ref(), formatCount, "checks want a look"
	return out
}

func (b *book) bidWords() []word {
	out := []word{
		{term: "measured: plan", means: "Paid by the drawing, whatever is moved."},
		{term: "measured: in place", means: "Paid by a survey of what was built or dug, where it lies. In the bank: in the pit before digging."},
		{term: "measured: loose, load", means: "Paid by the truck: by its volume, or by its tickets."},
		{term: "lump sum", means: "One price for the whole, whatever it takes."},
		{term: "mark-up", means: "What the unit price adds to your own unit cost, as a share of the cost."},
		{term: "overhead", means: "What the job costs beyond its items, as a share of all items."},
		{term: "contingency", means: "For what is not foreseen, as a share of items and overhead."},
		{term: "profit", means: "As a share of items, overhead and contingency."},
		{term: "unpaid work", means: "Soil that must be moved and that no item measures: loss, overbuild, rehandling. Its cost must stand in other prices."},
	}
	if b.bid.total != nil {
		out = append(out, word{"the bid", "Items, overhead, contingency and profit together.", b.bid.total.ref(), formatMoney, b.m.money})
	}
	return out
}

// decimals is a figure as a text with a number of decimals (FIXED, without
// thousands set apart).
func decimals(e expr, n int) expr {
	return call("FIXED", value{kind: isText, text: shownDecimals(e.numeric(), n)}, e, number(float64(n)), truth(true))
}

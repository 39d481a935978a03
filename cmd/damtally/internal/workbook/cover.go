package workbook

import (
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// coverLast is how many columns the cover has.
const coverLast = 8

// layCover lays the first sheet: the job, the one question that matters, what it
// comes to, what can hurt people, and where to find the rest.
func (b *book) layCover() {
	s := b.cover
	row := s.opening(b.siteName(), coverLast,
		"Earth quantities of a dam, from its cross-sections to the bid. Made by damtally "+clean(b.version)+". Figures on a pale yellow ground, on the other sheets, are yours to change; the rest are formulas and follow.")
	row = b.layJob(row + 1)
	row = b.layEnough(row)
	row = b.layComesTo(row)
	row = b.layBeforeYouDig(row)
	b.layContents(row)
	s.widths = map[int]float64{1: 26, 2: 15, 3: 15, 4: 15, 5: 15, 6: 15, 7: 15, 8: 15}
	s.upright, s.onePage = true, s.lastRow() <= mostOnPage+10
}

func (b *book) layJob(row int) int {
	s, set := b.cover, &b.r.Site.Settings
	s.put(row, 1, text("The job"), lookPart)
	say := func(label, words string) {
		if words == "" {
			return
		}
		row++
		s.put(row, 1, text(label), lookWord)
		s.line(row, 2, coverLast-1, words, lookWord)
	}
	say("Job", b.siteName())
	say("Data", b.dataDates())
	say("Ground", b.groundWords())
	say("Levels from", clean(set.Datum))
	system := "metric: m, m3, kg/m3, tonnes of 1,000 kg"
	if b.m.Name == units.US.Name {
		system = "US: ft, yd3, pcf, tons of 2,000 lb"
	}
	say("Units", system)
	say("Money", b.m.money)
	return row + 2
}

// groundWords says what the ground was taken from.
func (b *book) groundWords() string {
	in := &b.r.Site
	var parts []string
	for _, p := range []struct {
		n            int
		one, several string
	}{
		{len(in.Profile), "point along the centreline", "points along the centreline"},
		{len(in.Shots), "cross-section shot", "cross-section shots"},
		{len(in.Survey), "survey point", "survey points"},
		{len(in.ExistingGround()), "file of ground", "files of ground"},
	} {
		switch {
		case p.n == 1:
			parts = append(parts, "1 "+p.one)
		case p.n > 1:
			parts = append(parts, grouped(float64(p.n))+" "+p.several)
		}
	}
	return strings.Join(parts, ", ") + ", cut into " + itoa(len(b.r.Quantities.Sections)) + " sections"
}

// layEnough answers whether there is enough borrow, with the range of the need.
func (b *book) layEnough(row int) int {
	s, m := b.cover, b.m
	s.put(row, 1, text("Is there enough borrow?"), lookPart)
	row++
	s.line(row, 1, coverLast, "", lookAnswer)
	answer := s.put(row, 1, b.enoughAnswer(), lookAnswer)
	answer.across = coverLast
	s.watchStart(answer, "ENOUGH", "NOT ENOUGH")
	if len(b.weighed) == 0 {
		return row + 2
	}
	row++
	s.headings(row, "Material", "In the dam, "+m.vol("compacted"), "To dig, low, "+m.vol("bank"), "To dig, planned, "+m.vol("bank"),
		"To dig, high, "+m.vol("bank"), "In the pits, "+m.vol("bank"), "Chance that the pits hold the need", "With the reserve")
	ranged := false
	for i := range b.weighed {
		row++
		c := &b.weighed[i]
		s.put(row, 1, c.name.ref(), lookWord)
		s.put(row, 2, b.balance.at(c.name.row, 2).ref(), figure(formatVolume))
		s.blankRow(row, 3, 7, lookWord)
		s.put(row, 4, ifKnown(c.needed.ref(), c.needed.ref()), figure(formatVolume))
		s.put(row, 6, ifKnown(c.available.ref(), c.available.ref()), figure(formatVolume))
		if k := b.materialIndex(b.r.Balance[i].Material); k >= 0 && b.soil[k].bankLow != nil && b.soil[k].bankHigh != nil {
			ranged = true
			s.put(row, 3, ifKnown(b.soil[k].bankLow.ref(), b.soil[k].bankLow.ref()), figure(formatVolume))
			s.put(row, 5, ifKnown(b.soil[k].bankHigh.ref(), b.soil[k].bankHigh.ref()), figure(formatVolume))
		}
		if chance := b.r.Balance[i].Chance; chance != nil {
			s.put(row, 7, number(*chance), figure(formatChance))
		}
		s.watch(s.put(row, coverLast, c.enough.ref(), lookAnswer), "enough", "NOT ENOUGH")
	}
	if ranged {
		row++
		s.line(row, 1, coverLast, "Low and high: 1 in 10 lies below, 1 in 10 above, from the spread of the density tests alone. Survey, layers in the pits and loss are not in it. The chance is that of the plan as made.", lookExplain)
	}
	return row + 2
}

// mostShort is how many short materials the answer on the cover names.
const mostShort = 6

// enoughAnswer is the answer in one line, from the sheet Balance.
func (b *book) enoughAnswer() expr {
	switch {
	case len(b.weighed) == 0:
		return text("Not asked: the tables name no material to dig.")
	case len(b.r.Pits) == 0:
		return text("Not known: there is no pit in the tables.")
	}
	first := b.weighed[0].enough
	column := span{b.balance, first.col, first.row, first.row + len(b.weighed) - 1}
	short := text("NOT ENOUGH:")
	for i := range b.weighed[:min(len(b.weighed), mostShort)] {
		c := &b.weighed[i]
		part := join(join(text(" "), c.name.ref()), join(text(" is short by "), join(whole(c.short.ref()), text(" "+b.m.vol("bank")+" of need and reserve."))))
		short = join(short, when(same(c.enough.ref(), "NOT ENOUGH"), part, blank()))
	}
	unknown := text("NOT KNOWN: a factor is missing. See the sheet Materials.")
	good := text("ENOUGH: there is the need of every material, with the reserve.")
	return when(more(column.countText("NOT ENOUGH"), number(0)), short, when(more(column.countText(notKnown), number(0)), unknown, good))
}

func (b *book) layComesTo(row int) int {
	s, m := b.cover, b.m
	s.put(row, 1, text("What it comes to"), lookPart)
	say := func(words string, value expr, format, unit, means string) {
		row++
		s.put(row, 1, text(words), look{role: roleTotal})
		s.watchNegative(s.put(row, 2, value, total(format)))
		s.put(row, 3, text(unit), look{role: roleTotal})
		s.line(row, 4, coverLast-3, means, lookWord)
	}
	say("Fill in the dam", b.fill.all.ref(), formatVolume, m.vol("compacted"), "all zones, measured in the dam, trench and settlement allowance included")
	if soils, _ := b.soilsAndStone(); len(soils) > 0 && b.dug.bank != nil {
		say("To dig in the pits", ifKnown(b.dug.bank.ref(), b.dug.bank.ref()), formatVolume, m.vol("bank"), "loss included"+b.lacking(b.dug.bank, soils, "shrink factor"))
		say("To haul in trucks", ifKnown(b.dug.loose.ref(), b.dug.loose.ref()), formatVolume, m.vol("loose"), "all that is dug"+b.lacking(b.dug.loose, soils, "swell"))
	}
	if b.bid.total != nil {
		say("The bid", b.bid.total.ref(), formatMoney, m.money, "pay items with overhead, contingency and profit")
	}
	row++
	s.put(row, 1, text("Checks"), look{role: roleTotal})
	s.line(row, 2, coverLast-1, "", lookAnswer)
	c := s.put(row, 2, b.checkCount(), lookAnswer)
	c.across = coverLast - 1
	s.watchStart(c, "All ", "LOOK")
	return row + 2
}

// layBeforeYouDig lays the dangers of this plan and the first cautions.
func (b *book) layBeforeYouDig(row int) int {
	s := b.cover
	s.put(row, 1, text("Before you dig"), lookPart)
	dangers := 0
	for _, n := range b.r.Notes {
		if n.Level == "danger" {
			dangers++
		}
	}
	if dangers > 0 {
		row++
		words := itoa(dangers) + " DANGER notes stand on the sheet Summary. Read them first."
		if dangers == 1 {
			words = "1 DANGER note stands on the sheet Summary. Read it first."
		}
		s.line(row, 1, coverLast, words, lookDanger)
	}
	const first = 5 // the rest stand on the sheet of notes
	for _, line := range cautions[:first] {
		row++
		s.line(row, 1, coverLast, line, lookText)
	}
	row++
	s.line(row, 1, coverLast, "More on the sheet Notes and cautions.", lookText)
	return row + 2
}

// layContents lists the sheets, two side by side, each a link.
func (b *book) layContents(row int) {
	s := b.cover
	s.put(row, 1, text("What stands on which sheet"), lookPart)
	var others []*sheet
	for _, o := range b.sheets() {
		if o != s {
			others = append(others, o)
		}
	}
	half := (len(others) + 1) / 2
	for i, o := range others {
		at, col, wide := row+1+i, 1, 3
		if i >= half {
			at, col = row+1+i-half, 5
		}
		s.linkTo(s.put(at, col, text(o.name), lookLink), o.name)
		s.line(at, col+1, wide, b.about(o), lookText)
	}
}

// about says in a few words what a sheet shows.
func (b *book) about(s *sheet) string {
	for _, a := range []struct {
		sheet *sheet
		words string
	}{
		{b.summary, "main figures now and as planned"},
		{b.settings, "choices that govern all, colours"},
		{b.words, "what each figure means, with your own"},
		{b.charts, "drawings of the figures"},
		{b.checks, "figures set side by side, green or red"},
		{b.sections, "what was drawn at each station"},
		{b.volumes, "average end area, reach by reach"},
		{b.station, "volumes of all zones along the dam"},
		{b.zones, "volumes of the zones"},
		{b.lifts, "lifts, and the tests that are due"},
		{b.lakeSheet, "area and storage by elevation"},
		{b.materials, "densities, factors, the three states"},
		{b.tests, "density tests, pass or fail"},
		{b.lab, "laboratory compaction tests"},
		{b.pits, "what the pits hold"},
		{b.holes, "what the test holes show, layer by layer"},
		{b.deep, "how deep each pit is dug for its share"},
		{b.digMap, "depth to dig, and how far the holes are"},
		{b.balance, "need against supply"},
		{b.items, "prices, costs, the bid"},
		{b.notes, "assumptions, what can hurt"},
	} {
		if s == a.sheet {
			return a.words
		}
	}
	for k, z := range b.zoneSheets {
		if s == z {
			return "areas and volumes of " + clip(clean(b.r.Quantities.Zones[k].Zone), 40)
		}
	}
	if c := s.at(1, 1); c != nil && c.content.val.text != "" {
		return strings.ToLower(c.content.val.text[:1]) + c.content.val.text[1:]
	}
	return ""
}

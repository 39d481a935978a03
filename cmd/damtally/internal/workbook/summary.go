package workbook

import (
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork/soil"
)

// summaryLast is how many columns the summary has.
const summaryLast = 8

// mostOnPage is how many rows of the summary are put on one printed page: more
// would be too small to read.
const mostOnPage = 56

// laySummary lays the first sheet: what the dam takes, whether the pits hold it,
// and the checks.
func (b *book) laySummary() {
	s := b.summary
	row := s.opening(b.siteName(), summaryLast,
		"Fill, borrow and haul quantities of an earth dam. Made by damtally "+clean(b.version)+". Figures on a pale yellow ground, on the other sheets, are yours to change; the rest are formulas and follow.")
	row = b.layDangers(row)
	changed := row
	row = b.layTakes(row + 2)
	b.layChanged(changed)
	row = b.layByMaterial(row)
	row = b.laySettlement(row)
	b.layCheckCount(row)
	s.widths[1] = 38
	for col := 2; col <= summaryLast-1; col++ {
		s.widths[col] = 15
	}
	s.widths[summaryLast] = 38
	s.onePage = s.lastRow() <= mostOnPage
}

// layDangers lays what must be seen first.
func (b *book) layDangers(row int) int {
	s := b.summary
	for _, n := range b.r.Notes {
		if n.Level != "danger" {
			continue
		}
		if k := b.weighedIndex(n.Subject); n.Key == site.KeyShort && k >= 0 {
			b.layShort(row, k, dangerWords(n))
		} else {
			s.line(row, 1, summaryLast, dangerWords(n), lookDanger)
		}
		row++
	}
	row = b.layNowShort(row)
	if len(b.faults) > 0 {
		list := b.faults[0]
		for _, f := range b.faults[1:min(len(b.faults), 5)] {
			list += "; " + f
		}
		if n := len(b.faults) - 5; n > 0 {
			list += "; and " + itoa(n) + " more"
		}
		s.line(row, 1, summaryLast, "LOOK: some figures are right but do not follow changes on these sheets, since their formula does not give the plan's own figure: "+list+". Please report this.", lookDanger)
		row++
	}
	return row
}

func dangerWords(n site.Note) string {
	words := "DANGER: " + clean(n.Text)
	if where := whereNoted(n.Ref.Table, n.Ref.Row); where != "" {
		words += " (" + where + ")"
	}
	return words
}

// takeRow is a main figure: as it stands now, and as it was planned.
type takeRow struct {
	words string
	now   expr
	unit  string
	means string
	sum   bool
	as    string
}

func (b *book) layTakes(row int) int {
	s, m := b.summary, b.m
	s.put(row, 1, text("What the dam takes"), lookPart)
	row++
	s.headings(row, "Figure", "Now", "Unit", "As planned", "What it is")
	s.line(row, 5, summaryLast-4, "What it is", lookHead)
	c := m.vol("compacted")
	takes := []takeRow{
		{"Fill in the dam", b.fill.all.ref(), c, "all zones, measured in the dam: " + b.partsOfFill() + " together", true, formatVolume},
		{"   neat fill to the drawn faces", b.fill.neat.ref(), c, "by average end area, curves and bends included", false, formatVolume},
		{"   backfill of the cutoff trench", b.fill.trench.ref(), c, "below the stripped ground", false, formatVolume},
		{"   settlement allowance", b.fill.settlement.ref(), c, "on the basis chosen on the sheet Settings", false, formatVolume},
		{"   neat fill by the prismoidal formula", b.fill.prismoidal.ref(), c, "for comparison, nearer to the true volume; not added", false, formatVolume},
	}
	if b.fill.outside != nil {
		outside := takeRow{"   layers outside the drawn faces", b.fill.outside.ref(), c, "laid on the faces or the crest, by the sheet Zones", false, formatVolume}
		takes = slices.Insert(takes, 4, outside)
	}
	takes = append(takes, b.dugTakes()...)
	takes = append(takes,
		takeRow{"Topsoil to strip under the dam", b.fill.strip.ref(), m.Volume.Name + " in place", "not part of the fill", false, formatVolume},
		takeRow{"Overbuild, trimmed off later", b.fill.over.ref(), c, "outside the faces; not part of the fill", false, formatVolume},
		takeRow{"Ground covered, toe to toe", b.fill.land.ref(), m.LandArea.Name, "plan area under the neat dam", false, formatLand})
	takes = append(takes, b.workTakes()...)
	if b.bid.total != nil {
		takes = append(takes, takeRow{"The bid", b.bid.total.ref(), m.money, "pay items with overhead, contingency and profit, from the sheet Bid items", true, formatMoney})
	}
	for _, t := range takes {
		row++
		l := figure(t.as)
		if t.sum {
			l = total(t.as)
		}
		s.put(row, 1, text(t.words), look{role: l.role})
		s.watchNegative(s.put(row, 2, t.now, l))
		s.put(row, 3, text(t.unit), look{role: l.role})
		s.put(row, 4, number(t.now.numeric()), figure(t.as))
		s.line(row, 5, summaryLast-4, t.means, lookWord)
		b.watched = append(b.watched, watched{s.at(row, 2), t.now.numeric()})
	}
	return row + 2
}

// dugTakes are the figures in bank and loose volume and of bought stone.
func (b *book) dugTakes() []takeRow {
	m := b.m
	var out []takeRow
	soils, stone := b.soilsAndStone()
	if len(soils) > 0 {
		out = append(out,
			takeRow{"To dig in the pits", b.dug.bank.ref(), m.vol("bank"), "loss included" + b.lacking(b.dug.bank, soils, "shrink factor"), true, formatVolume},
			takeRow{"To haul in trucks", b.dug.loose.ref(), m.vol("loose"), "all that is dug" + b.lacking(b.dug.loose, soils, "swell"), true, formatVolume})
	}
	for _, i := range stone {
		out = append(out, takeRow{clip(b.soil[i].name.content.val.text, 60) + " to buy", b.soil[i].stone.ref(), m.Bulk.Name, "waste included", true, formatTons})
	}
	return out
}

// lacking says in words when a sum leaves out materials that lack a factor.
func (b *book) lacking(sum *cell, soils []int, factor string) string {
	lacks := false
	for _, i := range soils {
		mat := &b.r.Materials[i]
		known := mat.Known && (factor != "swell" || mat.Factors.SwellFrom != soil.Unknown)
		lacks = lacks || mat.Compacted > 0 && !known
	}
	switch {
	case !lacks:
		return ""
	case sum.content.val.kind == isNumber:
		return "; the materials that have no " + factor + " are NOT in it, see the sheet Materials"
	}
	return "; not known, since no " + factor + " is known, see the sheet Materials"
}

func (b *book) layByMaterial(row int) int {
	s, m := b.summary, b.m
	if len(b.r.Balance) == 0 {
		return row
	}
	s.put(row, 1, text("Do the pits hold it?"), lookPart)
	row++
	s.headings(row, "Material", "In the dam, "+m.vol("compacted"), "Needed, "+m.vol("bank"), "In the pits, "+m.vol("bank"),
		"In the pits / base of the reserve", "Enough", "Short by, "+m.vol("bank"), "In plain words")
	unsaid := "Not known: a factor is missing. See the sheet Materials."
	if len(b.r.Pits) == 0 {
		unsaid = "Not known: there is no pit in the tables."
	}
	for i := range b.weighed {
		row++
		c := &b.weighed[i]
		s.put(row, 1, c.name.ref(), lookWord)
		s.put(row, 2, b.balance.at(c.name.row, 2).ref(), figure(formatVolume))
		for col, from := range map[int]*cell{3: c.needed, 4: c.available, 7: c.short} {
			s.put(row, col, ifKnown(from.ref(), from.ref()), figure(formatVolume))
		}
		s.put(row, 5, ifKnown(c.ratio.ref(), c.ratio.ref()), figure(formatShort))
		answer := s.put(row, 6, c.enough.ref(), lookAnswer)
		s.watch(answer, "enough", "NOT ENOUGH")
		needed, available := s.at(row, 3).ref(), s.at(row, 4).ref()
		hold := "T" + strings.TrimPrefix(b.r.Balance[i].Holders(), "t") + " hold "
		words := when(same(answer.ref(), "enough"), text(hold+"the need with the reserve."),
			when(same(answer.ref(), "NOT ENOUGH"),
				when(less(available, needed), text(hold+"less than must be dug. Find more."), text(hold+"the need, but not the reserve. Look for more.")),
				text(unsaid)))
		s.put(row, summaryLast, words, lookWord)
	}
	return row + 2
}

func (b *book) laySettlement(row int) int {
	s, m := b.summary, b.m
	s.put(row, 1, text("Settlement allowance, three published ways"), lookPart)
	row++
	s.headings(row, "Allowance taken", "Adds", "Unit", "Dam with it", "What it means")
	s.line(row, 5, summaryLast-4, "What it means", lookHead)
	plainFill := add(b.fill.neat.ref(), b.fill.trench.ref())
	for _, w := range []struct {
		key, words, means string
		from              *cell
	}{
		{"volume", "on volume", "the neat volume grows by the allowance", b.fill.volume},
		{"height", "on height, slopes kept", "the crest rises, the slopes stay, the toes move out", b.fill.height},
		{"toes kept", "on height, toes kept", "the section is stretched upwards between its toes", b.fill.toes},
	} {
		row++
		s.put(row, 1, text(w.words), lookWord)
		adds := s.put(row, 2, w.from.ref(), figure(formatVolume))
		s.put(row, 3, text(m.vol("compacted")), lookWord)
		s.put(row, 4, add(plainFill, adds.ref()), figure(formatVolume))
		chosen := when(same(b.set.crestIs.ref(), "built"), text(w.means+"; nothing is added, since the crest is drawn as built"),
			when(same(b.set.basis.ref(), w.key), text(w.means+" - CHOSEN"), text(w.means)))
		s.line(row, 5, summaryLast-4, "", lookWord)
		s.put(row, 5, chosen, lookWord).across = summaryLast - 4
	}
	return row + 2
}

// layCheckCount says how many checks hold, and leads to them.
func (b *book) layCheckCount(row int) {
	s := b.summary
	s.put(row, 1, text("Checks"), lookPart)
	row++
	words := b.checkCount()
	s.line(row, 1, 4, "", lookAnswer)
	c := s.put(row, 1, words, lookAnswer)
	c.across = 4
	s.watchStart(c, "All ", "LOOK")
	s.linkTo(s.line(row, 5, 2, "See the sheet Checks", lookLink), b.checks.name)
}

// checkCount says in words how many checks want a look.
func (b *book) checkCount() expr {
	look := b.checked.look.ref()
	bad := join(join(text("LOOK: "), whole(look)), join(text(" of "), join(whole(b.checked.all.ref()), text(" checks want a look before money is spent."))))
	return when(more(look, number(0)), bad, join(text("All "), join(whole(b.checked.all.ref()), text(" checks hold."))))
}

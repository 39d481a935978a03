package workbook

// settingCells are the figures of the sheet Settings that others refer to.
type settingCells struct {
	allowance, basis, crestIs *cell
	reserve, reserveOn        *cell
}

// Defined names of the settings. They read as words in a formula.
const (
	nameAllowance = "SettlementAllowance"
	nameBasis     = "SettlementBasis"
	nameCrestIs   = "CrestIs"
	nameReserve   = "ReserveRatio"
	nameReserveOn = "ReserveOn"
)

// laySettings lays the sheet of the choices that govern all others.
func (b *book) laySettings() {
	s := b.settings
	row := s.opening("Settings", 3,
		"Figures on a pale yellow ground are yours to change, here and on every sheet. All others are formulas and follow.",
		"What was drawn (sections, pits) follows only when the plan is run again from its tables.")
	row++
	s.headings(row, "Setting", "Value", "What it does")
	put := func(words string, content exprLook, name, does string) *cell {
		row++
		s.put(row, 1, text(words), lookWord)
		c := s.put(row, 2, content.expr, content.look)
		c.name = name
		s.put(row, 3, text(does), lookWord)
		return c
	}
	settings, settle := b.r.Site.Settings, b.r.Design.Settlement
	b.set.allowance = put("Settlement allowance", exprLook{number(settle.Allowance), input(formatShare)}, nameAllowance,
		"Share built higher or larger so that the dam is right when it has settled. The figure on height follows the drawing: run the plan again after a change.")
	b.set.basis = put("Allowance taken on", exprLook{text(string(settle.Basis)), lookTyped}, nameBasis,
		"volume: the neat volume grows by the allowance. height: the crest rises, slopes are kept, toes move out. toes kept: the section is stretched upwards between its toes.")
	b.set.crestIs = put("The crest on the drawing is", exprLook{text(crestWord(settle.CrestIsBuilt)), lookTyped}, nameCrestIs,
		"settled: the allowance is added. built: the allowance lies in the drawing already and nothing is added.")
	s.offer(b.set.basis, "volume", "height", "toes kept")
	s.offer(b.set.crestIs, "settled", "built")
	b.set.reserve = put("Reserve ratio", exprLook{number(settings.ReserveRatio), input(formatShort)}, nameReserve,
		"How many times the volume below the pits should hold, since not all of a pit proves good. US Department of Agriculture Handbook 590 takes 1.5.")
	b.set.reserveOn = put("Reserve taken on", exprLook{text(settings.ReserveOn), lookTyped}, nameReserveOn,
		"compacted: times the volume in the dam, as the handbook has it. bank: times the bank volume needed.")
	s.offer(b.set.reserveOn, "compacted", "bank")
	b.layRunAgain(row + 1)
	b.layLegend(row + 3)
	s.widths[1], s.widths[2], s.widths[3] = 30, 14, 90
}

// layLegend shows the looks of cells and says what each means.
func (b *book) layLegend(row int) {
	s := b.settings
	s.put(row, 1, text("How to read the sheets"), lookPart)
	for _, sample := range []struct {
		words, means string
		look         look
	}{
		{"you may change this", "measured, typed or drawn: type over it and all that follows changes, up to the summary", lookTyped},
		{"a formula", "worked out from other cells: follows by itself. A figure without a formula on white moves nothing here: change it in the tables and run the plan again", lookWord},
		{"a total", "a sum that other sheets take up", total("")},
		{"holds, enough, pass", "green: as it should be", lookAnswer},
		{"LOOK", "red: LOOK, NOT ENOUGH and fail want a second look before money is spent; a figure below zero is red too", lookAnswer},
		{"a word in place of a figure", "why a figure is not known", lookWhy},
	} {
		row++
		c := s.put(row, 1, text(sample.words), sample.look)
		c.taken = true // a sample of the look alone
		s.watch(c, "holds, enough, pass", "LOOK")
		s.line(row, 2, 2, sample.means, lookWord)
	}
}

// layRunAgain lays a line that shows when a change of the settings cannot be
// followed to the end by formulas.
func (b *book) layRunAgain(row int) {
	const again = "Run the plan again: what the allowance adds on height was drawn with another allowance."
	const estimate = "Run the plan again for the zones: their shares of the settlement were drawn on another basis or another crest and are an estimate. The total is right."
	set, settle := &b.set, b.r.Design.Settlement
	onHeight := all(same(set.basis.ref(), "height"), more(magnitude(sub(set.allowance.ref(), number(settle.Allowance))), number(changedBy)))
	kept := all(same(set.basis.ref(), string(settle.Basis)), same(set.crestIs.ref(), crestWord(settle.CrestIsBuilt)))
	b.settings.line(row, 1, 3, "", lookExplain)
	c := b.settings.put(row, 1, when(onHeight, text(again), when(kept, blank(), text(estimate))), lookExplain)
	c.across = 3
	b.settings.watchShown(c)
}

// exprLook is what a cell holds and how it looks.
type exprLook struct {
	expr expr
	look look
}

func crestWord(built bool) string {
	if built {
		return "built"
	}
	return "settled"
}

// unlessBuilt is nothing to add where the drawing shows the crest as built.
func (b *book) unlessBuilt(added expr) expr {
	return when(same(b.set.crestIs.ref(), "built"), number(0), added)
}

// byBasis picks one of three by the basis of the allowance.
func (b *book) byBasis(volume, toesKept, height expr) expr {
	basis := b.set.basis.ref()
	return when(same(basis, "volume"), volume, when(same(basis, "toes kept"), toesKept, height))
}

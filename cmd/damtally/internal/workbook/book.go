package workbook

import (
	"io"
	"math"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/xuri/excelize/v2"
)

// Write writes the workbook of a plan to w, in the units that the site asks for.
// version is the program's own, shown on the summary. The same result gives the
// same bytes. Nothing is written to w unless the whole workbook could be made;
// the error is the library's or w's.
func Write(w io.Writer, r *plan.Result, version string) error {
	b := build(r, version)
	paper := paperA4
	if b.m.Name == units.US.Name {
		paper = paperLetter
	}
	return save(w, b.sheets(), printing{paper, footerText(b.siteName()), pageHeader, footerText(b.dataWords())}, excelize.DocProperties{
		Title:   clip(b.siteName(), 200),
		Creator: "damtally " + clean(version),
		// A fixed date: the workbook must not depend on when it was made.
		Created: "2000-01-01T00:00:00Z", Modified: "2000-01-01T00:00:00Z",
	})
}

// pageHeader stands at the head of every printed page.
const pageHeader = "Quantities to bid and plan by. No check of a design: local codes and the licensed designer come first."

// book is a workbook while it is being laid out. Sheets refer to each other, so
// the cells of one are placed as soon as those that they need stand.
type book struct {
	r       *plan.Result
	version string
	m       measures

	cover, summary, checks, words, charts       *sheet
	settings, sections, volumes, zones, station *sheet
	materials, tests, lab, pits, balance, items *sheet
	holes, deep, digMap                         *sheet
	notes                                       *sheet
	haul, trips, pace, trials                   *sheet // empty without a fleet, or trial strips
	zoneSheets                                  []*sheet
	pipes, cuts, blankets, feed, dugSheet       *sheet
	fed                                         feedCells
	lifts, lakeSheet                            *sheet
	liftSheets                                  []*sheet

	set       settingCells
	areas     areaCells
	fill      volumeCells
	zone      []zoneCells
	samples   []sampleCells
	soil      []materialCells
	dug       dugCells
	pit       []pitCells
	weighed   []balanceCells
	lift      liftCells
	work      workCells
	liftTests *cell // due in all; nil without lifts
	bid       bidCells
	pitStrip  *cell // topsoil of all pits; nil without pits
	along     stationCells
	points    []labPoint
	voids     []span // zero-air-voids lines, by material
	dated     []datedRows
	strips    []span   // passes of each of the result's trials, on the sheet Trials
	storage   span     // rows of the storage table
	ways      []twoWay // figures worked out in two ways
	checked   checkedCells
	watched   []watched // figures that must not change without a word

	// faults are figures whose formula did not repeat the plan's own.
	faults []string
}

// build lays out every sheet.
func build(r *plan.Result, version string) *book {
	system := units.SystemOf(r.Site.Settings.OutputUnits)
	b := &book{r: r, version: version, m: newMeasures(system, r.Site.Settings.Currency)}
	b.layNames()
	b.laySettings()
	b.laySections()
	b.layZoneAreas()
	b.laySectionAreas()
	b.layVolumes()
	b.layZoneVolumes()
	b.layZones()
	b.layStations()
	b.layLifts()
	b.layDug()
	b.layPipes()
	b.layBlankets()
	b.layLake()
	b.laySamples()
	b.layLabResults()
	b.layTests()
	b.layLots()
	b.layTrials()
	b.layDated()
	b.layLabPoints()
	b.layPits()
	b.layHoles()
	b.layFeedShares()
	b.layMaterials()
	b.layCuts()
	b.layFeed()
	b.layDepths()
	b.layDigMaps()
	b.layBalance()
	b.layHaul()
	b.layItems()
	b.layNotes()
	b.layCharts()
	// What gathers from all the others comes last.
	b.layChecks()
	b.layWords()
	b.laySummary()
	b.layCover()
	b.whitenIdle()
	b.nameMaterials()
	return b
}

// layNames makes the sheets, so that formulas know their names.
func (b *book) layNames() {
	used := map[string]bool{}
	make := func(name string) *sheet { return newSheet(sheetName(name, name, used)) }
	b.cover, b.summary, b.settings = make("Cover"), make("Summary"), make("Settings")
	b.words, b.charts, b.checks = make(wordsSheet), make("Charts"), make("Checks")
	b.sections, b.volumes, b.zones, b.station = make("Sections"), make("Volumes"), make("Zones"), make("By station")
	b.materials, b.tests, b.lab = make("Materials"), make("Tests"), make("Lab")
	b.pits, b.balance, b.items = make("Pits"), make("Balance"), make("Bid items")
	b.holes, b.deep, b.digMap = make("Test holes"), make("How deep"), make("Depth to dig")
	b.notes = make("Notes and cautions")
	for i, z := range b.r.Quantities.Zones {
		b.zoneSheets = append(b.zoneSheets, newSheet(sheetName("Zone "+z.Zone, "Zone "+itoa(i+1), used)))
	}
	b.lifts, b.lakeSheet = make("Lifts"), make("Lake")
	b.haul, b.trips, b.pace, b.trials = make("Haul"), make("Loads and cycle"), make("Pace"), make("Trials")
	b.feed = make(feedSheet)
	b.pipes, b.cuts, b.blankets, b.dugSheet = make("Pipes"), make("Cuts"), make("Blankets"), make("Planned against dug")
	if b.r.Lifts != nil {
		for i, set := range b.r.Lifts.Sets {
			b.liftSheets = append(b.liftSheets, newSheet(sheetName("Lifts "+b.zoneNames(set.Zones), "Lifts "+itoa(i+1), used)))
		}
	}
}

// sheets lists the sheets: what is read first, then the others in the order in
// which the figures are worked out. Sheets without anything to show are left out.
func (b *book) sheets() []*sheet {
	order := []*sheet{b.cover, b.summary, b.settings, b.words, b.charts, b.checks, b.sections, b.volumes}
	order = append(order, b.zoneSheets...)
	order = append(order, b.zones, b.station, b.lifts)
	order = append(order, b.liftSheets...)
	order = append(order, b.dugSheet, b.pipes, b.blankets)
	order = append(order, b.lakeSheet, b.materials, b.tests, b.trials, b.lab, b.pits, b.holes, b.cuts, b.balance, b.feed, b.deep, b.digMap, b.haul, b.trips, b.pace, b.items, b.notes)
	var out []*sheet
	for _, s := range order {
		if s.lastRow() > 0 {
			out = append(out, s)
		}
	}
	return out
}

func (b *book) siteName() string {
	if name := clean(b.r.Site.Settings.Name); name != "" {
		return name
	}
	return "Unnamed site"
}

// agrees is the greatest relative difference between a formula's value and the
// plan's own figure for the same thing. It guards the rounding of sums taken in
// another order and other units: a thousand sums of 1e-16 each, with room.
const agrees = 1e-9

func agree(a, b float64) bool {
	if math.IsNaN(a) || math.IsNaN(b) {
		return math.IsNaN(a) && math.IsNaN(b)
	}
	return math.Abs(a-b) <= agrees*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// live is the formula when its value is that of want (a plain expr), and want
// itself otherwise: then the figure is right but does not follow changes, and
// what names it on the summary.
func (b *book) live(formula, want expr, what string) expr {
	same := formula.val.kind == want.val.kind
	switch {
	case same && want.val.kind == isNumber:
		same = agree(formula.val.num, want.val.num)
	case same && want.val.kind == isText:
		same = formula.val.text == want.val.text
	}
	if same {
		return formula
	}
	b.faults = append(b.faults, what)
	return want
}

// Looks used on most sheets.
var (
	lookTitle   = look{role: roleTitle}
	lookExplain = look{role: roleExplain}
	lookPart    = look{role: rolePart}
	lookHead    = look{role: roleHead}
	lookText    = look{role: roleText}
	lookWord    = look{role: roleFigure}
	lookWhy     = look{role: roleWhy}
	lookAnswer  = look{role: roleAnswer}
	lookDanger  = look{role: roleDanger}
	lookTyped   = look{role: roleInput}
	lookLink    = look{role: roleLink}
)

func figure(format string) look { return look{roleFigure, format} }
func input(format string) look  { return look{roleInput, format} }
func total(format string) look  { return look{roleTotal, format} }

// headings places a row of column headings from the first column on.
func (s *sheet) headings(row int, words ...string) {
	var over *cell // the heading to the left
	for i, w := range words {
		c := s.put(row, i+1, text(w), lookHead)
		if w == "" && over != nil {
			over.across = c.col - over.col + 1
			continue
		}
		over = c
	}
}

// wordsSheet is the name of the sheet that explains each figure; every other one
// leads to it.
const wordsSheet = "Words"

// opening places a sheet's title and the lines that explain it, and returns the
// row after them. across is how many columns the lines run over. At the end of
// the title's row stands a link to the words.
func (s *sheet) opening(title string, across int, lines ...string) int {
	tail := 1
	switch {
	case across >= 8:
		tail = 3
	case across >= 4:
		tail = 2
	}
	s.line(1, 1, across-tail, title, lookTitle)
	s.linkTo(s.line(1, across-tail+1, tail, "Words explained", lookLink), wordsSheet)
	for i, line := range lines {
		s.line(2+i, 1, across, line, lookExplain)
	}
	return 2 + len(lines)
}

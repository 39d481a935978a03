package workbook

import (
	"io"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/xuri/excelize/v2"
)

// WriteReconciliation writes the workbook of a reconciliation to w, as Write does
// that of a plan. r.Reconciliation is not nil.
func WriteReconciliation(w io.Writer, r *plan.Result, version string) error {
	b := buildReconciliation(r, version)
	paper := paperA4
	if b.m.Name == units.US.Name {
		paper = paperLetter
	}
	return save(w, b.sheets(), printing{paper: paper, site: footerText(b.siteName()), header: reconciliationHeader, dated: footerText("up to " + b.until())}, excelize.DocProperties{
		Title:   clip(b.siteName(), 200),
		Creator: "damtally " + clean(version),
		// A fixed date: the workbook must not depend on when it was made.
		Created: "2000-01-01T00:00:00Z", Modified: "2000-01-01T00:00:00Z",
	})
}

// reconciliationHeader stands at the head of every printed page.
const reconciliationHeader = "Figures to look closer with. The contract says how quantities are paid; local codes and licensed practice come first."

// reconBook is the workbook of a reconciliation while it is being laid out.
type reconBook struct {
	*book
	rec *plan.Reconciliation

	front, left, tally, pits, fill, errors, words *sheet

	accuracy  accuracyCells
	soils     []seasonCells // as rec.Soils
	states    map[int]*stateCells
	counted   tallyColumns
	lostBank  map[int]*cell // by index of the pit: what it has lost
	lostOff   map[int]*cell // and its standard error
	zones     []*cell       // placed by zone
	beyond    [3]*cell      // above, beside, undercut
	placedAll *cell         // within the lines
	filled    *cell         // all that is placed
	filledSE  *cell
}

// seasonCells are one soil's figures.
type seasonCells struct {
	name                      *cell
	loads, rejected           *cell
	loose, rejectedLoose      *cell
	tallySE                   *cell
	dryTons, scaleSE          *cell
	pit, pitSE                *cell
	fill, fillSE              *cell
	shrinkBoth, shrinkAssumed *cell
	ways                      [4]wayCells
	bestTons                  *cell
	built                     *cell // of the design, settlement allowance included
	gone, goneSE              *cell
}

// wayCells are one way of measuring: its solids and the errors in them.
type wayCells struct {
	solids *cell
	errors []errorCells
}

// buildReconciliation lays out every sheet.
func buildReconciliation(r *plan.Result, version string) *reconBook {
	system := units.SystemOf(r.Site.Settings.OutputUnits)
	b := &reconBook{
		book: &book{r: r, version: version, m: newMeasures(system, r.Site.Settings.Currency)}, rec: r.Reconciliation,
		states: map[int]*stateCells{}, lostBank: map[int]*cell{}, lostOff: map[int]*cell{},
	}
	b.front, b.left = newSheet("Reconciliation"), newSheet("Left to do")
	b.tally, b.pits, b.fill = newSheet("Truck tally"), newSheet("Pit surveys"), newSheet("Fill surveys")
	b.errors, b.words, b.notes = newSheet("Densities and errors"), newSheet("Words"), newSheet("Notes and cautions")
	b.soils = make([]seasonCells, len(b.rec.Soils))
	b.layErrors()
	b.layTally()
	b.layPitSurveys()
	b.layFillSurveys()
	b.layFront()
	b.layLeft()
	b.layReconciliationWords()
	b.layNotes()
	return b
}

// sheets lists the sheets that show anything.
func (b *reconBook) sheets() []*sheet {
	var out []*sheet
	for _, s := range []*sheet{b.front, b.left, b.tally, b.pits, b.fill, b.errors, b.words, b.notes} {
		if s.lastRow() > 0 {
			out = append(out, s)
		}
	}
	return out
}

// soilName is the name of a material of the plan.
func (b *reconBook) soilName(material int) string {
	if material < 0 {
		return notKnown
	}
	return clean(b.r.Materials[material].Row.Name)
}

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
	return save(w, b.filled(), printing{paper: paper, site: footerText(b.siteName())}, excelize.DocProperties{
		Title:   clip(b.siteName(), 200),
		Creator: "damtally " + clean(version),
		// A fixed date: the workbook must not depend on when it was made.
		Created: "2000-01-01T00:00:00Z", Modified: "2000-01-01T00:00:00Z",
	})
}

// reconBook is the workbook of a reconciliation while it is being laid out.
type reconBook struct {
	*book
	rec *plan.Reconciliation

	front, left, tally, pits, fill, errors, words *sheet
}

// buildReconciliation lays out every sheet.
func buildReconciliation(r *plan.Result, version string) *reconBook {
	system := units.SystemOf(r.Site.Settings.OutputUnits)
	b := &reconBook{book: &book{r: r, version: version, m: newMeasures(system, r.Site.Settings.Currency)}, rec: r.Reconciliation}
	b.front, b.left = newSheet("Reconciliation"), newSheet("Left to do")
	b.tally, b.pits, b.fill = newSheet("Truck tally"), newSheet("Pit surveys"), newSheet("Fill surveys")
	b.errors, b.words, b.notes = newSheet("Densities and errors"), newSheet("Words"), newSheet("Notes and cautions")
	b.layNotes()
	return b
}

// filled lists the sheets that show anything.
func (b *reconBook) filled() []*sheet {
	var out []*sheet
	for _, s := range []*sheet{b.front, b.left, b.tally, b.pits, b.fill, b.errors, b.words, b.notes} {
		if s.lastRow() > 0 {
			out = append(out, s)
		}
	}
	return out
}

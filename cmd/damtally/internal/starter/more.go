package starter

import (
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// settingsStart is the first row of the settings on the sheet that explains
// them; the tables come below, since their number differs less often.
const settingsStart = 4

// settingsRows are the first and the last row of the settings' names.
func settingsRows(items []site.Item) (first, last int) {
	return settingsStart, settingsStart + len(items) - 1
}

func number(n int) string { return strconv.Itoa(n) }

func cellName(column string, row int) string { return column + number(row) }

// more writes the last sheet: every setting, then every table, in words.
func (b *book) more(have []table) {
	const (
		nameWidth, stateWidth = 28.0, 12.0
		words, columns        = 60.0, 70.0
	)
	name := moreTablesName
	b.sheet(name)
	for i, width := range []float64{nameWidth, stateWidth, words, columns} {
		b.width(name, i+1, width)
	}
	b.put(name, 1, 1, "What else a site may hold", b.looks.title)
	b.headings(name, settingsStart-1, "setting of the table site", "", "what it does", "")
	row := settingsStart
	for _, i := range site.Items() {
		text := settingInWords(i)
		b.put(name, 1, row, i.Name, b.looks.words)
		b.put(name, 3, row, text, b.looks.words)
		b.height(name, row, linesOf(text, words, wordsFit))
		row++
	}
	row += 2
	b.put(name, 1, row-1, "Add a table: put in a sheet of that name, with the columns in its first row. "+starHelp, b.looks.strong)
	b.try(func() error { return b.f.MergeCell(name, cellName("A", row-1), cellName("D", row-1)) })
	b.headings(name, row, "table", "is it here?", "what it adds", "columns")
	for _, t := range tablesInWords(have) {
		row++
		b.put(name, 1, row, t.name, b.looks.words)
		b.put(name, 2, row, t.state, b.looks.words)
		b.put(name, 3, row, t.purpose, b.looks.words)
		b.put(name, 4, row, t.columns, b.looks.words)
		b.height(name, row, max(linesOf(t.purpose, words, wordsFit), linesOf(t.columns, columns, wordsFit)))
	}
}

// headings writes a row of headings.
func (b *book) headings(sheet string, row int, texts ...string) {
	for i, text := range texts {
		b.put(sheet, i+1, row, text, b.looks.heading)
	}
}

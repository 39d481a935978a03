package starter

import (
	"io"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/stablezip"
	"github.com/xuri/excelize/v2"
)

// Workbook writes the site as one workbook to w: a sheet that explains, a sheet
// a table, and a sheet that lists what else there is. The same options give the
// same bytes. Nothing reaches w before the whole workbook is made.
func Workbook(w io.Writer, o Options) error {
	tables, err := chosen(o)
	if err != nil {
		return err
	}
	f := excelize.NewFile()
	defer f.Close() //nolint:errcheck // closes temporary files only
	b := &book{f: f, letter: o.Units == "us"}
	if b.looks, err = newLooks(f); err != nil {
		return err
	}
	// A fixed date keeps the bytes the same.
	const noDate = "2000-01-01T00:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Title: "Starter site", Creator: "damtally", Created: noDate, Modified: noDate}); err != nil {
		return err
	}
	b.explain(tables)
	for _, t := range tables {
		b.table(t)
	}
	b.more(tables)
	if b.err != nil {
		return b.err
	}
	f.SetActiveSheet(0)
	f.SetZipWriter(func(to io.Writer) excelize.ZipWriter { return stablezip.New(to) })
	return f.Write(w)
}

// book is the workbook in the making. The first error stays in err, and
// everything after it is passed over.
type book struct {
	f      *excelize.File
	looks  looks
	letter bool // paper; else A4
	sheets int
	err    error
}

// try runs a step unless an earlier one failed.
func (b *book) try(step func() error) {
	if b.err == nil {
		b.err = step()
	}
}

// sheet adds a sheet and sets it up for paper.
func (b *book) sheet(name string) {
	b.try(func() error {
		if b.sheets++; b.sheets == 1 {
			return b.f.SetSheetName(b.f.GetSheetName(0), name)
		}
		_, err := b.f.NewSheet(name)
		return err
	})
	paper, landscape, fit, wide, tall := 9, "landscape", true, 1, 0 // paper size 9 is A4
	if b.letter {
		paper = 1
	}
	b.try(func() error {
		return b.f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit})
	})
	b.try(func() error {
		return b.f.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &landscape, FitToWidth: &wide, FitToHeight: &tall})
	})
	b.try(func() error {
		return b.f.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: "&L&A&RPage &P of &N"})
	})
}

// put writes a cell.
func (b *book) put(sheet string, column, row int, value any, style int) {
	b.try(func() error {
		cell, err := excelize.CoordinatesToCellName(column, row)
		if err != nil {
			return err
		}
		if value != nil {
			if err := b.f.SetCellValue(sheet, cell, value); err != nil {
				return err
			}
		}
		return b.f.SetCellStyle(sheet, cell, cell, style)
	})
}

// width sets the width of one column.
func (b *book) width(sheet string, column int, width float64) {
	b.try(func() error {
		name, err := excelize.ColumnNumberToName(column)
		if err != nil {
			return err
		}
		return b.f.SetColWidth(sheet, name, name, width)
	})
}

// height makes a row tall enough for so many lines.
func (b *book) height(sheet string, row, lines int) {
	b.try(func() error { return b.f.SetRowHeight(sheet, row, lineHeight*float64(lines)+2) })
}

// explain writes the first sheet.
func (b *book) explain(tables []table) {
	const words = 92.0 // a single wider column is cut off on paper in some programs
	b.sheet(readMeName)
	b.width(readMeName, 1, words)
	b.put(readMeName, 1, 1, "A site for damtally", b.looks.title)
	row := 3
	for i, line := range readMe("sheet") {
		style := b.looks.words
		if i == 0 {
			style = b.looks.strong
		}
		b.put(readMeName, 1, row, line, style)
		b.height(readMeName, row, linesOf(line, words, wordsFit))
		row++
	}
	b.put(readMeName, 1, row+1, "The tables of this workbook", b.looks.strong)
	for i, t := range tables {
		line := t.spec.Name + ": " + t.spec.Purpose
		b.put(readMeName, 1, row+2+i, line, b.looks.words)
		b.height(readMeName, row+2+i, linesOf(line, words, wordsFit))
	}
}

// table writes a table's sheet: what it is, what each column takes, the
// heading, the example, and lists to choose from.
func (b *book) table(t table) {
	name := t.spec.Name
	b.sheet(name)
	most, whole := 1, 0.0
	for i, head := range t.header {
		c, width := t.column(i), widthOf(t, i)
		whole += width
		help := columnHelp(c)
		if i == 0 {
			help = "# " + help
		}
		b.width(name, i+1, width)
		b.put(name, i+1, helpRow, help, b.looks.help)
		b.put(name, i+1, headerRow, head, b.looks.heading)
		most = max(most, linesOf(help, width, helpFit))
		for r, row := range t.rows {
			value, style := b.looks.cellOf(c, row[i])
			b.put(name, i+1, firstRow+r, value, style)
		}
		b.blank(t, i)
		b.list(name, i+1, firstRow, lastListRow, c.Words)
	}
	b.height(name, helpRow, most)
	b.title(t, whole)
	b.settings(t)
	b.try(func() error {
		return b.f.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: headerRow, TopLeftCell: "A4", ActivePane: "bottomLeft"})
	})
	b.try(func() error {
		return b.f.SetDefinedName(&excelize.DefinedName{
			Name: "_xlnm.Print_Titles", RefersTo: "'" + name + "'!$1:$3", Scope: name,
		})
	})
}

// title writes what the table is across all its columns.
func (b *book) title(t table, width float64) {
	title := "# " + t.spec.Purpose
	b.put(t.spec.Name, 1, titleRow, title, b.looks.title)
	b.try(func() error {
		last, err := excelize.CoordinatesToCellName(len(t.header), titleRow)
		if err != nil {
			return err
		}
		return b.f.MergeCell(t.spec.Name, cellName("A", titleRow), last)
	})
	b.height(t.spec.Name, titleRow, linesOf(title, width, titleFit))
}

// blankRows is how many empty rows below the example are ruled, to type into.
const blankRows = 10

// blank rules empty cells below the example in the style of their column.
func (b *book) blank(t table, i int) {
	for r := range blankRows {
		_, style := b.looks.cellOf(t.column(i), "")
		b.put(t.spec.Name, i+1, firstRow+len(t.rows)+r, nil, style)
	}
}

// list lets the user choose one of words in a column's cells.
func (b *book) list(sheet string, column, from, to int, words []string) {
	if len(words) == 0 {
		return
	}
	b.try(func() error {
		name, err := excelize.ColumnNumberToName(column)
		if err != nil {
			return err
		}
		v := excelize.NewDataValidation(true)
		v.SetSqref(strings.Join([]string{cellName(name, from), cellName(name, to)}, ":"))
		if err := v.SetDropList(words); err != nil {
			return err
		}
		v.SetError(excelize.DataValidationErrorStyleStop, "Not in the list", "Choose one of: "+strings.Join(words, ", ")+".")
		return b.f.AddDataValidation(sheet, v)
	})
}

// settings gives the table `site` a list of its settings' names, and each
// setting with fixed words a list of those.
func (b *book) settings(t table) {
	if t.spec.Name != "site" {
		return
	}
	items := site.Items()
	b.try(func() error {
		v := excelize.NewDataValidation(true)
		v.SetSqref(cellName("A", firstRow) + ":" + cellName("A", lastListRow))
		// The names are too long for a list in the cell itself; they stand on
		// the sheet that explains the settings.
		first, last := settingsRows(items)
		v.SetSqrefDropList("'" + moreTablesName + "'!$A$" + number(first) + ":$A$" + number(last))
		v.SetError(excelize.DataValidationErrorStyleStop, "Not in the list", "Choose a setting that the sheet "+moreTablesName+" names.")
		return b.f.AddDataValidation(t.spec.Name, v)
	})
	for r, row := range t.rows {
		at := slices.IndexFunc(items, func(i site.Item) bool { return i.Name == row[0] })
		if at >= 0 {
			b.list(t.spec.Name, 2, firstRow+r, firstRow+r, items[at].Words)
		}
	}
}

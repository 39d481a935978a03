package site

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
)

// openBook lists the tables of a workbook.
func (r *reading) openBook(path string, info os.FileInfo) ([]input, error) {
	r.book = true
	name := filepath.Base(path)
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		r.wrong(Ref{Table: name}, "", "one CSV file is not a site", "give the folder that it lies in, or one xlsx workbook")
		return nil, nil
	}
	if !info.Mode().IsRegular() {
		r.wrong(Ref{Table: name}, "", "is neither a folder nor a file", "give a folder of CSV files or one xlsx workbook")
		return nil, nil
	}
	if info.Size() == 0 {
		r.wrong(Ref{Table: name}, "", "the file is empty", "give a workbook saved as .xlsx, or a folder of CSV files")
		return nil, nil
	}
	if info.Size() > xlsx.MaxFile {
		r.damage(name, xlsx.ErrTooBig)
		return nil, nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	book, err := xlsx.Open(data)
	if err != nil {
		if r.damage(name, err) {
			return nil, nil
		}
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	return r.bookTables(name, book), nil
}

// bookTables matches the sheets of a workbook to tables.
func (r *reading) bookTables(file string, book *xlsx.Book) []input {
	var inputs []input
	var passed []string
	for _, sheet := range book.Sheets {
		spec, ok := r.matchTable(sheet.Name, "sheet")
		if !ok {
			if explains(sheet.Name) || r.emptySheet(sheet) {
				passed = append(passed, tidy(sheet.Name))
			} else {
				r.unknownTable(sheet.Name, "there is no table of this sheet's name", "rename the sheet, or begin its name with # to have it passed over")
			}
			continue
		}
		if slices.ContainsFunc(inputs, func(in input) bool { return in.spec == spec }) {
			r.wrong(Ref{Table: spec.Name}, "", "two sheets hold this table", "keep one, or begin the other's name with #")
			continue
		}
		if sheet.Hidden {
			r.note("look", Ref{Table: spec.Name}, "the sheet is hidden and read all the same")
		}
		inputs = append(inputs, input{spec, func() (source, error) { return &sheetSource{book: book, sheet: sheet}, nil }})
	}
	if len(passed) > 0 {
		r.note("note", Ref{}, "sheets passed over: "+strings.Join(passed, ", "))
	}
	if len(inputs) == 0 && len(r.found) == 0 {
		r.wrong(Ref{Table: file}, "", "the workbook holds no tables", noTablesMend)
	}
	return inputs
}

const noTablesMend = "`damtally new` writes a site to start from"

// explains reports whether a sheet is there for people, not for its table.
func explains(name string) bool {
	switch headKey(name) {
	case "readme", "moretables":
		return true
	}
	return strings.HasPrefix(name, "#") || strings.HasPrefix(name, "_")
}

// emptySheet reports whether a sheet holds nothing, like those that a
// spreadsheet program puts into every new workbook.
func (r *reading) emptySheet(sheet *xlsx.Sheet) bool {
	empty := true
	_, err := sheet.Rows(func(xlsx.Row) bool { empty = false; return false })
	return empty && err == nil
}

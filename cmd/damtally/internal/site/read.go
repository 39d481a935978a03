package site

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Read reads a site: a folder of CSV files or one xlsx workbook. All that is
// wrong with the tables comes back at once as Problems; when the file system
// fails, the error wraps the one it gave. With an error the Site is empty.
// Nothing is written, and no file outside the site is opened.
func Read(path string) (Site, error) {
	info, err := os.Stat(path)
	if err != nil {
		return Site{}, err
	}
	r := newReading()
	r.site.Path = path
	var inputs []input
	if info.IsDir() {
		inputs, err = r.openFolder(path)
	} else {
		inputs, err = r.openBook(path, info)
	}
	if err != nil {
		return Site{}, err
	}
	if len(r.found) == 0 || len(inputs) > 0 {
		if err := r.readAll(inputs); err != nil {
			return Site{}, err
		}
	}
	if ps := r.problems(); len(ps) > 0 {
		return Site{}, ps
	}
	return r.site, nil
}

// input is a table found in the site. Its source is opened when it is read.
type input struct {
	spec *tableSpec
	open func() (source, error)
}

// readAll reads the tables in the order of the data model, `site` first since
// it holds the decimal mark, and checks what they say together.
func (r *reading) readAll(inputs []input) error {
	slices.SortFunc(inputs, func(a, b input) int { return a.spec.order - b.spec.order })
	for _, in := range inputs {
		from, err := in.open()
		if err != nil {
			return err
		}
		if from == nil { // what is wrong with it is reported
			r.tables[in.spec.Name] = &tableState{}
			continue
		}
		if in.spec.Name == "survey" { // the one table that may be long
			r.site.Survey = make([]SurveyPoint, 0, from.size())
		}
		if err := r.readTable(in.spec, from, r.builder(in.spec.Name)); err != nil {
			if !r.damage(in.spec.Name, err) {
				return err
			}
			continue
		}
		if in.spec.Name == "site" {
			r.applySettings(from)
		}
		r.site.Tables = append(r.site.Tables, TableCount{in.spec.Name, r.tables[in.spec.Name].rows})
	}
	r.finishSettings()
	r.check()
	r.checkUnknownFiles()
	return nil
}

// damage turns an error of a workbook's content into a problem of a table (or
// of the whole file with ""). False means that it is an error of the machine.
func (r *reading) damage(table string, err error) bool {
	for _, known := range []struct {
		err  error
		mend string
	}{
		{xlsx.ErrNotWorkbook, "give a workbook saved as .xlsx, or a folder of CSV files"},
		{xlsx.ErrLocked, "open it in your spreadsheet program and save it as .xlsx without a password"},
		{xlsx.ErrDamaged, "open it in your spreadsheet program, save it anew, or fetch a fresh copy"},
		{xlsx.ErrTooBig, "take out what the job does not need, or give large tables as a folder of CSV files"},
	} {
		if errors.Is(err, known.err) {
			r.wrong(Ref{Table: table}, "", "the file "+known.err.Error(), known.mend)
			return true
		}
	}
	return false
}

// matchTable finds the table that a file or sheet is named for; a synonym is noted.
func (r *reading) matchTable(name, what string) (*tableSpec, bool) {
	if spec, ok := r.specs[headKey(name)]; ok {
		return spec, true
	}
	if ours, ok := translate(name); ok {
		if spec, ok := r.specs[headKey(ours)]; ok {
			r.note("note", Ref{Table: spec.Name}, "the "+what+" "+units.Quote(name)+" is read as the table "+spec.Name)
			return spec, true
		}
	}
	return nil, false
}

func (r *reading) unknownTable(name, what, mend string) {
	var names []string
	for _, t := range Schema() {
		names = append(names, t.Name)
	}
	if near := nearest(strings.TrimSuffix(name, filepath.Ext(name)), names); near != "" {
		mend = `did you mean "` + near + `"? Else ` + mend
	} else {
		mend += "; the tables are: " + strings.Join(names, ", ")
	}
	r.wrong(Ref{Table: tidy(name)}, "", what, mend)
}

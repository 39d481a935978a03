package starter

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// File is one file of a starter folder.
type File struct {
	Name  string
	Bytes []byte
}

// Folder makes the site as a folder of CSV files, with two texts that explain it.
func Folder(o Options) ([]File, error) {
	tables, err := chosen(o)
	if err != nil {
		return nil, err
	}
	files := []File{
		{strings.ToLower(readMeName) + ".txt", []byte(strings.Join(readMe("file"), "\n\n") + "\n")},
		{strings.ToLower(moreTablesName) + ".txt", moreText(tables)},
	}
	for _, t := range tables {
		content, err := csvOf(t)
		if err != nil {
			return nil, err
		}
		files = append(files, File{t.spec.Name + ".csv", content})
	}
	return files, nil
}

// csvOf writes a table with its explanation above it in rows that begin with #.
func csvOf(t table) ([]byte, error) {
	var b bytes.Buffer
	if t.spec.Name == "site" {
		fmt.Fprintf(&b, "# %s\n", invented)
	}
	fmt.Fprintf(&b, "# %s\n", t.spec.Purpose)
	for i, head := range t.header {
		fmt.Fprintf(&b, "# %s: %s\n", head, columnHelp(t.column(i)))
	}
	w := csv.NewWriter(&b)
	if err := w.Write(t.header); err != nil {
		return nil, err
	}
	if err := w.WriteAll(t.rows); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// moreText is the list of all tables and settings as plain text.
func moreText(have []table) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "TABLES. A table is a file NAME.csv. %s\n\n", starHelp)
	for _, w := range tablesInWords(have) {
		fmt.Fprintf(&b, "%s (%s)\n  %s\n  columns: %s\n\n", w.name, w.state, w.purpose, w.columns)
	}
	fmt.Fprint(&b, "SETTINGS of the table site.\n\n")
	for _, i := range site.Items() {
		fmt.Fprintf(&b, "%s: %s\n", i.Name, settingInWords(i))
	}
	return b.Bytes()
}

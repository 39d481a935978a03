package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/starter"
	"github.com/spf13/cobra"
)

// newCommand writes a starter site.
func newCommand(w *world) *cobra.Command {
	var o starter.Options
	c := &cobra.Command{
		Use:   "new PATH [--with TABLES] [--units us|metric]",
		Short: "Write a site with an invented example to type over",
		Long: `new writes the few tables that a small pond needs, filled with an invented
example. Type your own figures over them. A PATH that ends in .xlsx becomes a
workbook with a sheet for each table, explained, with lists to choose from; any
other becomes a folder of CSV files. What stands there already is never touched.

The sheet "More tables" (in a folder the file "more tables.txt") says which other
tables there are and what each adds. --with puts some of them in.`,
		Example: `  damtally new "my pond.xlsx"
  damtally new "my pond.xlsx" --with pits,prices
  damtally new pond --units metric`,
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) == 0:
				return wrongUse("where to? Write `damtally new PATH`, such as `damtally new \"my pond.xlsx\"`")
			case len(args) > 1:
				return wrongUse("one PATH at a time, not %d; put a name with blanks in quotes, tables behind --with without blanks", len(args))
			}
			return checkNewName(args[0])
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if err := checkStarterOptions(o); err != nil {
				return err
			}
			return writeStarter(w, args[0], o)
		},
	}
	c.Flags().SortFlags = false
	c.Flags().StringSliceVar(&o.With, "with", nil, "put in these `TABLES` too, with commas between")
	c.Flags().StringVar(&o.Units, "units", "us", "`UNITS` of the example: us (feet, cubic yards, pounds) or metric")
	// These fail only for an option that does not exist.
	_ = c.RegisterFlagCompletionFunc("units", cobra.FixedCompletions([]cobra.Completion{"us", "metric"}, cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("with", completeTables)
	return c
}

// checkNewName refuses names of files that are no site.
func checkNewName(path string) error {
	if strings.TrimSpace(path) == "" {
		return wrongUse("the PATH is empty")
	}
	switch ending := strings.ToLower(filepath.Ext(path)); ending {
	case ".xls", ".xlsm", ".ods", ".csv":
		return wrongUse("a site is a folder or a workbook that ends in .xlsx, not %s; write %q", ending, path[:len(path)-len(ending)]+workbookEnding)
	}
	return nil
}

// checkStarterOptions finds options that name no table or no system of units.
func checkStarterOptions(o starter.Options) error {
	if o.Units != "us" && o.Units != "metric" {
		return wrongUse("--units is us or metric, not %q", o.Units)
	}
	known := starter.Tables()
	if twice := starter.TwoGrounds(o); twice != nil {
		return wrongUse("--with takes one kind of ground, since a site has one: %s; leave one of them out", strings.Join(twice, " or "))
	}
	for _, table := range o.With {
		switch name := strings.ToLower(strings.TrimSpace(table)); {
		case slices.Contains(known, name):
		case name == starter.OwnFile:
			return wrongUse("the table %s names a ground file of your own, so there is no example of it; put it in by hand", name)
		case nearest(name, known) != "":
			return wrongUse("there is no table %q; did you mean %s?", table, nearest(name, known))
		default:
			return wrongUse("there is no table %q; there are: %s", table, strings.Join(known, ", "))
		}
	}
	return nil
}

// completeTables offers the names of tables behind --with, one after the other.
func completeTables(_ *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	before := typed[:strings.LastIndexByte(typed, ',')+1]
	there := append(strings.Split(before, ","), starter.Chosen(starter.Options{})...)
	var offers []cobra.Completion
	for _, name := range starter.Tables() {
		if strings.HasPrefix(before+name, typed) && !slices.Contains(there, name) {
			offers = append(offers, before+name)
		}
	}
	return offers, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
}

// writeStarter writes the site and tells what it is.
func writeStarter(w *world, path string, o starter.Options) error {
	if _, err := os.Lstat(w.at(path)); err == nil {
		return fmt.Errorf("%s is there already, and is left alone; choose another name", path)
	}
	if err := checkFolder(path, filepath.Clean(w.at(path))); err != nil {
		return err
	}
	tables := starter.Chosen(o)
	write := writeStarterFolder
	if isWorkbookName(path) {
		write = writeStarterWorkbook
	}
	if err := write(w, path, o); err != nil {
		return err
	}
	say(w.out, "An invented small pond in %s, %s: %s.", unitWords(o.Units), count(len(tables), "table"), strings.Join(tables, ", "))
	say(w.out, "Wrote %s. Type your own figures over it, then: damtally check %s", path, quoted(path))
	return nil
}

func unitWords(units string) string {
	if units == "us" {
		return "feet"
	}
	return "metres"
}

// quoted puts a path in quotes when a shell would take it apart.
func quoted(path string) string {
	if strings.ContainsAny(path, " &()'") {
		return `"` + path + `"`
	}
	return path
}

func writeStarterWorkbook(w *world, path string, o starter.Options) error {
	var b bytes.Buffer
	if err := starter.Workbook(&b, o); err != nil {
		return cannotWrite(path, err)
	}
	return writeAll([]piece{{target{name: path, file: w.at(path), free: true}, b.Bytes()}})
}

// writeStarterFolder fills a new folder beside the place and then gives it its
// name, so that there is a whole site or none.
func writeStarterFolder(w *world, path string, o starter.Options) error {
	files, err := starter.Folder(o)
	if err != nil {
		return err
	}
	place := filepath.Clean(w.at(path))
	part := filepath.Join(filepath.Dir(place), fmt.Sprintf(".damtally-%d.part", os.Getpid()))
	if err := os.Mkdir(part, 0o777); err != nil {
		return cannotWrite(path, err)
	}
	defer os.RemoveAll(part) // once it has its name, it is no longer there
	for _, f := range files {
		if err := writeSynced(filepath.Join(part, f.Name), f.Bytes); err != nil {
			return cannotWrite(path, err)
		}
	}
	if err := os.Rename(part, place); err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

// writeSynced writes a new file and sees it onto the disk.
func writeSynced(path string, b []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(b)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

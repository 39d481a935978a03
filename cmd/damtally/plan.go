package main

import (
	"io"
	"path/filepath"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/report"
	"github.com/spf13/cobra"
)

// planOptions are the options of the command `plan`.
type planOptions struct {
	workbook string
	json     string
	drawings string
	exchange string
	schema   bool
}

// planCommand plans a site and writes the workbook.
func planCommand(w *world) *cobra.Command {
	var o planOptions
	c := &cobra.Command{
		Use:   "plan SITE -o FILE.xlsx [--json FILE.json]",
		Short: "Plan a site and write the workbook",
		Long: `plan works out what fill the dam takes compacted, what that is in the bank and in
trucks, and whether the pits hold it. It writes a workbook with all figures as
live formulas.

A file that has the name of the workbook already is replaced once the new one is
whole. The site itself is never written to. Without -o the workbook goes beside
the site under a new name; with --json, --drawings or --exchange alone, only that
is written.

--exchange writes files for other programs into a folder: the dam in plan as
GeoJSON, its surface as LandXML, and stakes, quantities and tests as CSV.

Warnings go to the screen's error stream, the two lines that say what was found
and where it went to the other one. With --json - the JSON alone goes there.`,
		Example: `  damtally plan "my pond.xlsx" -o bid.xlsx
  damtally plan "my pond" -o bid.xlsx --json bid.json
  damtally plan "my pond" -o bid.xlsx --drawings bid.pdf
  damtally plan "my pond" --exchange "for the surveyor"`,
		Args: func(c *cobra.Command, args []string) error {
			if o.schema && len(args) == 0 {
				return nil
			}
			return oneSite(c, args)
		},
		ValidArgsFunction: completeSite,
		RunE:              func(c *cobra.Command, args []string) error { return runPlan(w, c, args, o) },
	}
	addPlanOptions(c, &o)
	return c
}

// runPlan does what the options ask for.
func runPlan(w *world, c *cobra.Command, args []string, o planOptions) error {
	if o.schema {
		if _, err := io.WriteString(w.out, report.Schema); err != nil {
			return cannotWrite("the standard output", err)
		}
		return nil
	}
	if err := checkEndings(c, o); err != nil {
		return err
	}
	return planTo(w, args[0], o)
}

func addPlanOptions(c *cobra.Command, o *planOptions) {
	c.Flags().SortFlags = false
	c.Flags().StringVarP(&o.workbook, "output", "o", "", "write the workbook to `FILE.xlsx`")
	c.Flags().StringVar(&o.json, "json", "", "write the result for other programs to `FILE.json`, or - for the screen")
	c.Flags().StringVar(&o.drawings, "drawings", "", "write the drawings as a set to `FILE.pdf`")
	c.Flags().StringVar(&o.exchange, "exchange", "", "write files for surveyors and maps into `FOLDER`")
	c.Flags().BoolVar(&o.schema, "json-schema", false, "print the JSON Schema of that result, and do nothing else")
	// These fail only for an option that does not exist.
	_ = c.MarkFlagFilename("output", "xlsx")
	_ = c.MarkFlagFilename("json", "json")
	_ = c.MarkFlagFilename("drawings", "pdf")
	_ = c.MarkFlagDirname("exchange")
}

// checkEndings refuses outputs whose names do not say what they are.
func checkEndings(c *cobra.Command, o planOptions) error {
	if c.Flags().Changed("output") && !isWorkbookName(o.workbook) {
		return notAName("workbook", o.workbook, workbookEnding)
	}
	if c.Flags().Changed("json") && o.json != "-" && !strings.EqualFold(filepath.Ext(o.json), jsonEnding) {
		return notAName("JSON file", o.json, jsonEnding)
	}
	if c.Flags().Changed("drawings") && !strings.EqualFold(filepath.Ext(o.drawings), drawingsEnding) {
		return notAName("set of drawings", o.drawings, drawingsEnding)
	}
	if c.Flags().Changed("exchange") && o.exchange == "" {
		return wrongUse("the name of the folder for the exchange is empty")
	}
	return nil
}

// planTo looks at the outputs, plans the site and writes them.
func planTo(w *world, site string, o planOptions) error {
	to, err := namedOutputs(w, site, o)
	if err != nil {
		return err
	}
	result, err := w.planned(site)
	if err != nil {
		return err
	}
	if o.workbook == "" && o.json == "" && o.drawings == "" && o.exchange == "" {
		free, err := freeTarget(w, site)
		if err != nil {
			return err
		}
		to.workbook = &free
	}
	return w.deliver(result, to)
}

// namedOutputs looks at the places of the outputs that are named, before any
// work is done for them.
func namedOutputs(w *world, site string, o planOptions) (outputs, error) {
	to := outputs{jsonStream: o.json == "-", exchange: o.exchange}
	if o.exchange != "" {
		if err := outputFolder(w, site, o.exchange); err != nil {
			return to, err
		}
	}
	for _, named := range []struct {
		name string
		to   **target
	}{{o.workbook, &to.workbook}, {o.json, &to.json}, {o.drawings, &to.drawings}} {
		if named.name == "" || named.name == "-" {
			continue
		}
		at, err := targetAt(w, named.name)
		if err != nil {
			return to, err
		}
		*named.to = &at
		if err := notTheSite(w, site, at); err != nil {
			return to, err
		}
	}
	return to, nil
}

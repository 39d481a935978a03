package main

import "github.com/spf13/cobra"

// checkCommand reads and plans a site and writes nothing.
func checkCommand(w *world) *cobra.Command {
	return &cobra.Command{
		Use:   "check SITE",
		Short: "Read a site, say what is wrong or worth a look, write nothing",
		Long: `check reads every table of a site and works the whole plan, but writes nothing.
It lists all that is wrong, one line each: the table, the row, the column, what
is wrong and how to mend it. In a workbook it names the cell. Then it lists
what is worth a look.

It ends with 0 when the site can be planned, and with 1 when it has errors.`,
		Example: `  damtally check "my pond"
  damtally check "my pond.xlsx"`,
		Args:              oneSite,
		ValidArgsFunction: completeSite,
		RunE: func(_ *cobra.Command, args []string) error {
			result, err := w.planned(args[0])
			if err != nil {
				return err
			}
			looks := tellNotes(w.err, result)
			tellFound(w.out, result)
			say(w.out, "Checked %s: no errors, %s to look at; nothing was written.", args[0], count(looks, "thing"))
			return nil
		},
	}
}

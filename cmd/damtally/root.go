package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/spf13/cobra"
)

// rootCommand is the whole command line, laid on a world.
func rootCommand(w *world) *cobra.Command {
	// A window of its own is dealt with in run; a file dropped on the icon must work.
	cobra.MousetrapHelpText = ""
	root := &cobra.Command{
		Use:   "damtally SITE",
		Short: "Tells what fill a dam takes and whether the pits hold it",
		Long: `damtally tells how much fill an earth dam takes compacted, how much that is to
dig in the pit (bank) and to haul in trucks (loose), and whether your pits hold
enough. It reads a site and writes a spreadsheet that you can check line by line.

A site is a folder of CSV files, or one xlsx workbook with the same tables as
sheets. "damtally new" writes one with an example to type over.

With a site alone, damtally plans it and writes the workbook beside it. It
never writes over a file then. You can also drop a site on the program's icon.

Figures help to plan and to bid. They are no design: dams need a licensed
engineer, permits, and the local codes come first.`,
		Example: `  damtally new "my pond.xlsx"     write a site to type over
  damtally check "my pond.xlsx"   read it, say what is wrong, write nothing
  damtally "my pond.xlsx"         plan it, write "my pond plan.xlsx" beside it`,
		Version:           w.version,
		Args:              cobra.ArbitraryArgs,
		ValidArgsFunction: completeSite,
		SilenceErrors:     true,
		SilenceUsage:      true,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return c.Help()
			}
			return planBeside(w, c, args)
		},
	}
	root.SetIn(w.in)
	root.SetOut(w.out)
	root.SetErr(w.err)
	root.SetVersionTemplate("damtally {{.Version}}\n")
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(newCommand(w), checkCommand(w), planCommand(w), crestCommand(w), drawCommand(w), reconcileCommand(w))
	root.InitDefaultHelpFlag()
	root.InitDefaultVersionFlag()
	root.Flags().Lookup("help").Usage = "say how a command goes"
	root.Flags().Lookup("version").Usage = "say which version this is"
	layHelp(root)
	return root
}

// planBeside plans the one site that was named, into a new file beside it.
func planBeside(w *world, c *cobra.Command, args []string) error {
	if name := nearest(args[0], commandNames(c)); name != "" && !there(w, args[0]) {
		return wrongUse("there is no command, folder or workbook %q; did you mean `damtally %s`?", args[0], name)
	}
	if err := oneSite(c, args); err != nil {
		return err
	}
	result, err := w.planned(args[0])
	if err != nil {
		return err
	}
	to, err := freeTarget(w, args[0])
	if err != nil {
		return err
	}
	return w.deliver(result, outputs{workbook: &to})
}

// there says whether something stands under a path.
func there(w *world, path string) bool {
	_, err := os.Stat(w.at(path))
	return !errors.Is(err, fs.ErrNotExist)
}

// oneSite is the check that exactly one site is named.
func oneSite(c *cobra.Command, args []string) error {
	switch len(args) {
	case 1:
		if args[0] == "" {
			return wrongUse("the name of the site is empty")
		}
		return nil
	case 0:
		return wrongUse("which site? Write `%s`, with the folder or workbook for SITE", c.UseLine())
	}
	return wrongUse("one site at a time, not %d; put a name with blanks in quotes", len(args))
}

// completeSite offers folders and workbooks to the shell.
func completeSite(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return []cobra.Completion{"xlsx"}, cobra.ShellCompDirectiveFilterFileExt
}

// planned reads and plans a site. Problems of the site come back as
// site.Problems, everything else as a failure of a file or the machine.
func (w *world) planned(path string) (*plan.Result, error) {
	p := &progress{w: w}
	defer p.clear()
	p.step("reading " + path + " ...")
	s, err := w.engine.read(w.at(path))
	if err != nil {
		return nil, readFailed(path, err)
	}
	p.step("planning ...")
	return w.engine.plan(s, p.reading())
}

// readFailed puts it plainly that there is no such site.
func readFailed(path string, err error) error {
	var problems site.Problems
	if !errors.As(err, &problems) && errors.Is(err, fs.ErrNotExist) {
		return errors.New("there is no folder or workbook " + path)
	}
	if !errors.As(err, &problems) && errors.Is(err, fs.ErrPermission) {
		what := path
		var at *fs.PathError
		if errors.As(err, &at) && filepath.Base(at.Path) != filepath.Base(path) {
			what = filepath.Base(at.Path) + " in " + path
		}
		return errors.New(what + " may not be read; ask its owner, or set its permissions so that you may read it")
	}
	return err
}

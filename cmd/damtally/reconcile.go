package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/spf13/cobra"
)

// reconcileCommand sets what was hauled, weighed and surveyed side by side.
func reconcileCommand(w *world) *cobra.Command {
	var o planOptions
	c := &cobra.Command{
		Use:   "reconcile SITE [-o FILE.xlsx] [--json FILE.json]",
		Short: "Set truck loads, pit surveys and fill surveys side by side",
		Long: `reconcile tells whether loads, pits and fill agree while the work goes on. It
reads what was counted and surveyed:

  loads      the truck tally, with net weights where loads were weighed
  surfaces   files with the use "pit survey" and "pit stripped" (a pit before and
             after), "fill survey" (the dam as it stands), and "stripped" or
             "trench dug" (the ground under it), each with its date
  density    tests in the pit, in the truck and in the dam

It gives each volume in the bank, loose and compacted, the shrink factor and the
truck fill that the work shows, how much of each zone is built, and whether the
rest of the borrow suffices. A difference is called one only where errors of
measurement do not explain it.

Without -o the workbook goes beside the site under a new name; with --json alone,
only the JSON is written.`,
		Example: `  damtally reconcile "my lake"
  damtally reconcile "my lake" -o august.xlsx --json august.json`,
		Args:              oneSite,
		ValidArgsFunction: completeSite,
		RunE: func(c *cobra.Command, args []string) error {
			if err := checkEndings(c, o); err != nil {
				return err
			}
			return reconcileTo(w, args[0], o)
		},
	}
	c.Flags().SortFlags = false
	c.Flags().StringVarP(&o.workbook, "output", "o", "", "write the workbook to `FILE.xlsx`")
	c.Flags().StringVar(&o.json, "json", "", "write the result for other programs to `FILE.json`, or - for the screen")
	// These fail only for an option that does not exist.
	_ = c.MarkFlagFilename("output", "xlsx")
	_ = c.MarkFlagFilename("json", "json")
	return c
}

// reconcileTo looks at the outputs, reconciles the site and writes them.
func reconcileTo(w *world, site string, o planOptions) error {
	to, err := namedOutputs(w, site, o)
	if err != nil {
		return err
	}
	p := &progress{w: w}
	defer p.clear()
	p.step("reading " + site + " ...")
	s, err := w.engine.read(w.at(site))
	if err != nil {
		return readFailed(site, err)
	}
	p.step("comparing loads and surveys ...")
	r, err := w.engine.reconcile(s, p.reading())
	if err != nil {
		return err
	}
	if o.workbook == "" && o.json == "" {
		free, err := freeTargetNamed(w, site, "reconciliation")
		if err != nil {
			return err
		}
		to.workbook = &free
	}
	p.step("writing ...")
	return w.deliverReconciled(r, to, p)
}

// deliverReconciled writes a reconciliation out and tells what it says.
func (w *world) deliverReconciled(r *plan.Result, o outputs, p *progress) error {
	var pieces []piece
	var names []string
	for _, part := range []struct {
		to   *target
		make func(io.Writer, *plan.Result, string) error
	}{{o.workbook, w.engine.reconciliation}, {o.json, w.engine.json}} {
		if part.to == nil {
			continue
		}
		var b bytes.Buffer
		if err := part.make(&b, r, w.version); err != nil {
			return cannotWrite(part.to.name, err)
		}
		pieces, names = append(pieces, piece{*part.to, b.Bytes()}), append(names, part.to.name)
	}
	var stream bytes.Buffer
	if o.jsonStream {
		if err := w.engine.json(&stream, r, w.version); err != nil {
			return err
		}
		names = append(names, "the result on the standard output")
	}
	if err := writeAll(pieces); err != nil {
		return err
	}
	p.clear()
	lines := w.out
	if o.jsonStream {
		if _, err := w.out.Write(stream.Bytes()); err != nil {
			return cannotWrite("the standard output", err)
		}
		lines = w.err
	}
	tellThese(w.err, r.Reconciliation.Said)
	tellReconciled(lines, r)
	say(lines, "Wrote %s.", strings.Join(names, " and "))
	return nil
}

// tellReconciled writes what the ways say, one line a soil.
func tellReconciled(to io.Writer, r *plan.Result) {
	rec := r.Reconciliation
	until := ""
	if rec.Until != "" {
		until = " up to " + rec.Until
	}
	for i := range rec.Soils {
		s := &rec.Soils[i]
		var said []string
		for _, a := range s.Account.Accounts {
			switch a.Way {
			case borrow.ByTally:
				said = append(said, fmt.Sprintf("the tally counts %s in %s", volume(r, a.Loose.Value, "loose"), count(int(s.Loads), "load")))
			case borrow.ByScale:
				if !a.Loose.Known() {
					continue
				}
				said = append(said, fmt.Sprintf("the weights say %s", volume(r, a.Loose.Value, "loose")))
			case borrow.ByPit:
				said = append(said, fmt.Sprintf("the pits lost %s", volume(r, a.Bank.Value, "bank")))
			case borrow.ByFill:
				said = append(said, fmt.Sprintf("the dam took %s", volume(r, a.Compacted.Value, "compacted")))
			}
		}
		beyond := 0
		for _, d := range s.Account.Differences {
			if d.Beyond {
				beyond++
			}
		}
		verdict := "they agree within the errors of measurement"
		switch {
		case len(s.Account.Differences) == 0 && len(said) > 1:
			verdict = "without density tests or factors they cannot be set against each other"
		case len(s.Account.Differences) == 0:
			verdict = "there is nothing to set it against"
		case beyond > 0:
			verdict = fmt.Sprintf("%d of %s beyond the errors of measurement", beyond, count(len(s.Account.Differences), "comparison"))
		}
		say(to, "%s%s: %s; %s.", r.Materials[s.Material].Row.Name, until, strings.Join(said, ", "), verdict)
	}
}

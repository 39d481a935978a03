package main

import (
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/spf13/cobra"
)

// crestOptions are the options of the command `crest`, as typed.
type crestOptions struct {
	storage, pool, freeboard string
	borrow                   bool
}

// crestCommand works back from a wish to the crest that it takes.
func crestCommand(w *world) *cobra.Command {
	var o crestOptions
	c := &cobra.Command{
		Use:   "crest SITE --for-storage VOLUME | --for-pool AREA | --for-borrow",
		Short: "Find the crest for a wanted storage or pool, or for the borrow there is",
		Long: `crest works back from what you want to the elevation of the crest:

  --for-storage   the lowest crest whose normal pool holds so much water
  --for-pool      the lowest crest whose normal pool covers so much land
  --for-borrow    the highest crest that the pits can build, reserve included

The whole crest is raised or lowered alike; faces, benches, zones and pits stay
as the site has them. The normal pool stands below the crest by --freeboard, or
by as much as in the site. How much freeboard a dam needs is your engineer's
word, not this program's.

It writes nothing. It ends with 1 when there is no such crest, and says why.`,
		Example: `  damtally crest "my lake" --for-storage "30 acre-ft"
  damtally crest "my lake" --for-pool "5 acre" --freeboard "6 ft"
  damtally crest "my lake" --for-borrow`,
		Args:              oneSite,
		ValidArgsFunction: completeSite,
		RunE: func(_ *cobra.Command, args []string) error {
			wish, err := o.wish()
			if err != nil {
				return err
			}
			return findCrest(w, args[0], wish)
		},
	}
	c.Flags().SortFlags = false
	c.Flags().StringVar(&o.storage, "for-storage", "", "the normal pool holds `VOLUME`, such as \"40 acre-ft\"")
	c.Flags().StringVar(&o.pool, "for-pool", "", "the normal pool covers `AREA`, such as \"6 acre\"")
	c.Flags().BoolVar(&o.borrow, "for-borrow", false, "the pits hold enough, reserve included")
	c.Flags().StringVar(&o.freeboard, "freeboard", "", "the normal pool stands `HEIGHT` below the crest, such as \"5 ft\"")
	return c
}

// wish is what the options ask for: one thing, and for the lake how high the crest
// stands over it.
func (o crestOptions) wish() (plan.Wish, error) {
	wish := plan.Wish{Borrow: o.borrow}
	asked := 0
	if o.borrow {
		asked++
	}
	for _, f := range []struct {
		flag, text string
		kind       units.Kind
		to         *float64
	}{{"--for-storage", o.storage, units.Volume, &wish.Storage}, {"--for-pool", o.pool, units.Area, &wish.PoolArea}} {
		if f.text == "" {
			continue
		}
		asked++
		v, err := measured(f.flag, f.text, f.kind)
		if err != nil {
			return wish, err
		}
		if v == 0 {
			return wish, wrongUse("%s must be above zero, not %q", f.flag, f.text)
		}
		*f.to = v
	}
	if asked != 1 {
		return wish, wrongUse("say one of --for-storage, --for-pool and --for-borrow")
	}
	if o.freeboard == "" {
		return wish, nil
	}
	if o.borrow {
		return wish, wrongUse("--freeboard goes with --for-storage or --for-pool")
	}
	v, err := measured("--freeboard", o.freeboard, units.Length)
	wish.Freeboard = site.Number{Value: v, Given: true}
	return wish, err
}

// measured reads a measure with its unit behind it, such as "40 acre-ft", in SI.
func measured(flag, text string, kind units.Kind) (float64, error) {
	trimmed := strings.TrimSpace(text)
	end := strings.LastIndexAny(trimmed, "0123456789.,")
	// The unit follows the number: m3 and ft2 end in a digit themselves.
	if cut := strings.IndexFunc(trimmed, func(r rune) bool { return !strings.ContainsRune("0123456789.,+-", r) }); cut >= 0 {
		end = cut - 1
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(trimmed[:end+1], ",", ""), 64)
	unit, known := units.Lookup(strings.TrimSpace(trimmed[end+1:]))
	switch {
	case err != nil:
		return 0, wrongUse("%s %q does not begin with a number; write it such as %s", flag, text, exampleOf[kind])
	case !known || unit.Kind != kind:
		return 0, wrongUse("%s %q does not end in a unit of %s; %s takes %s", flag, text, kind, kind, units.Names(kind))
	case v < 0 || v > mostMeasured:
		return 0, wrongUse("%s %q is no such measure; look at the number", flag, text)
	}
	return unit.ToSI(v), nil
}

// mostMeasured guards later arithmetic: no lake on earth holds more of any unit.
const mostMeasured = 1e15

var exampleOf = map[units.Kind]string{units.Volume: `"40 acre-ft"`, units.Area: `"6 acre"`, units.Length: `"5 ft"`}

// findCrest prepares a site, looks for the crest and tells it.
func findCrest(w *world, path string, wish plan.Wish) error {
	p := &progress{w: w}
	defer p.clear()
	p.step("reading " + path + " ...")
	s, err := w.engine.read(w.at(path))
	if err != nil {
		return readFailed(path, err)
	}
	p.step("looking for the crest ...")
	found, err := w.engine.crest(s, wish, p.reading())
	if err != nil {
		return err
	}
	p.clear()
	tellCrest(w, path, found)
	return nil
}

// tellCrest writes the crest that was found, and the two lines of what it means.
func tellCrest(w *world, path string, f *plan.CrestFound) {
	r := f.Result
	length := units.SystemOf(r.Site.Settings.OutputUnits).Length
	level := func(m float64) string { return strconv.FormatFloat(length.FromSI(m), 'f', 2, 64) + " " + length.Name }
	say(w.out, "Crest at %s (the site has %s).", level(f.Crest), level(f.Was))
	if f.Pool != nil {
		say(w.out, "Normal pool at %s: %s of water over %s, up to %s deep. The dam takes %s; %s.",
			level(f.Pool.Level), storageText(r, f.Pool.Volume), landText(r, f.Pool.Area), level(f.Pool.GreatestDepth), volume(r, r.Quantities.Total, "compacted"), supply(r))
	} else {
		say(w.out, "With it the dam takes %s; %s.", volume(r, r.Quantities.Total, "compacted"), supply(r))
	}
	if f.Again.Given {
		say(w.out, "LOOK: a crest of %s gives less again, where the upstream face has its bench or changes its slope; this is the lowest crest that serves.", level(f.Again.Value))
	}
	say(w.out, "Looked at %s; nothing was written. To plan that dam, type the crest into its table `crest`.", path)
}

// storageText is a storage as owners count it: acre-ft, or m3.
func storageText(r *plan.Result, m3 float64) string {
	name, decimals := "m3", 0
	if units.SystemOf(r.Site.Settings.OutputUnits).Name == units.US.Name {
		name, decimals = "acre-ft", 1
	}
	u, _ := units.Lookup(name)
	if decimals == 0 {
		return units.Number(u.FromSI(m3), 0) + " " + name
	}
	return strconv.FormatFloat(u.FromSI(m3), 'f', decimals, 64) + " " + name
}

func landText(r *plan.Result, m2 float64) string {
	u := units.SystemOf(r.Site.Settings.OutputUnits).LandArea
	return strconv.FormatFloat(u.FromSI(m2), 'f', 2, 64) + " " + u.Name
}

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/drawing"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/spf13/cobra"
)

// drawOptions are the options of the command `draw`, as typed.
type drawOptions struct {
	formats  []string
	paper    string
	stations []string
}

// drawingFormats are the formats of drawings.
var drawingFormats = []string{"svg", "pdf", "png"}

// drawCommand draws a site into a folder.
func drawCommand(w *world) *cobra.Command {
	var o drawOptions
	c := &cobra.Command{
		Use:   "draw SITE FOLDER",
		Short: "Draw the plan, the profile, cross-sections and curves to scale",
		Long: `draw plans a site and draws it to scale: the dam in plan over the ground's
contours, the profile along the centreline, cross-sections, what test holes
show, how deep each pit is dug for its share, and curves of the lake, the
volumes and the compaction tests. Each sheet is a file of its own in each format;
all state their scale. "damtally plan SITE --drawings FILE.pdf" writes them as one
set.

The folder is made if it is not there. Files of the same names are replaced once
the new ones are whole. The site itself is never written to.

The drawings help to plan and to bid. They are not for construction.`,
		Example: `  damtally draw "my pond" drawings
  damtally draw "my pond" drawings --formats pdf --paper letter`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 2 || args[0] == "" || args[1] == "" {
				return wrongUse("name a site and a folder for the drawings: `%s`", c.UseLine())
			}
			return nil
		},
		ValidArgsFunction: completeDraw,
		RunE: func(_ *cobra.Command, args []string) error {
			paper, err := o.check()
			if err != nil {
				return err
			}
			return drawTo(w, args[0], args[1], o, paper)
		},
	}
	c.Flags().SortFlags = false
	c.Flags().StringSliceVar(&o.formats, "formats", drawingFormats, "write these `FORMATS`")
	c.Flags().StringVar(&o.paper, "paper", "", "lay the sheets out for `PAPER`: "+strings.Join(paperNames(), ", ")+" (else tabloid, or a3 for metric)")
	c.Flags().StringSliceVar(&o.stations, "stations", nil, "draw the cross-sections at these `STATIONS`, such as 1+00,2+50")
	// These fail only for an option that does not exist.
	_ = c.RegisterFlagCompletionFunc("formats", cobra.FixedCompletions(drawingFormats, cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("paper", cobra.FixedCompletions(paperNames(), cobra.ShellCompDirectiveNoFileComp))
	return c
}

// completeDraw offers sites first, then folders.
func completeDraw(c *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
	if len(args) == 1 {
		return nil, cobra.ShellCompDirectiveFilterDirs
	}
	return completeSite(c, args, typed)
}

func paperNames() []string {
	var out []string
	for _, p := range drawing.Papers {
		out = append(out, p.Name)
	}
	return out
}

// check refuses formats and papers that there are not.
func (o *drawOptions) check() (drawing.Paper, error) {
	for i, f := range o.formats {
		o.formats[i] = strings.ToLower(strings.TrimSpace(f))
		if !slices.Contains(drawingFormats, o.formats[i]) {
			return drawing.Paper{}, wrongUse("there is no format %q; write one or more of %s", f, strings.Join(drawingFormats, ", "))
		}
	}
	if len(o.formats) == 0 {
		return drawing.Paper{}, wrongUse("no format is named; write one or more of %s", strings.Join(drawingFormats, ", "))
	}
	slices.Sort(o.formats)
	o.formats = slices.Compact(o.formats)
	if o.paper == "" {
		return drawing.Paper{}, nil
	}
	p, ok := drawing.PaperOf(strings.ToLower(o.paper))
	if !ok {
		return p, wrongUse("there is no paper %q; write one of %s", o.paper, strings.Join(paperNames(), ", "))
	}
	return p, nil
}

// drawTo plans a site, draws it and writes the sheets into a folder.
func drawTo(w *world, site, folder string, o drawOptions, paper drawing.Paper) error {
	if err := outputFolder(w, site, folder); err != nil {
		return err
	}
	r, sections, err := w.plannedWith(site, o.stations)
	if err != nil {
		return err
	}
	p := &progress{w: w}
	defer p.clear()
	p.step("drawing ...")
	sheets := drawing.Draw(r, drawing.Options{Paper: paper, Sections: sections, Version: w.version})
	files, err := drawnFiles(sheets, o.formats)
	if err != nil {
		return err
	}
	if err := writeInto(w, folder, files); err != nil {
		return err
	}
	p.clear()
	tellNotes(w.err, r)
	tellFound(w.out, r)
	names := make([]string, len(sheets))
	for i, s := range sheets {
		names[i] = s.Name
	}
	say(w.out, "Wrote %s to %s, each as %s: %s.", count(len(sheets), "sheet"), folder, strings.Join(o.formats, ", "), strings.Join(names, ", "))
	return nil
}

// outputFolder says before any work what is wrong with the folder.
func outputFolder(w *world, site, folder string) error {
	at := w.at(folder)
	info, err := os.Stat(at)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return checkFolder(folder, at)
	case err != nil:
		return cannotWrite(folder, err)
	case !info.IsDir():
		return fmt.Errorf("%s is a file, not a folder; name a folder to write into", folder)
	}
	if input, err := os.Stat(w.at(site)); err == nil && os.SameFile(input, info) {
		return wrongUse("%s is the site itself, and a site is never written to; name another folder", folder)
	}
	return nil
}

// drawnFile is a file of a drawing.
type drawnFile struct {
	name  string
	bytes []byte
}

// drawnFiles makes all files in memory: what cannot be made leaves no file.
func drawnFiles(sheets []*drawing.Sheet, formats []string) ([]drawnFile, error) {
	var out []drawnFile
	for _, s := range sheets {
		for _, f := range formats {
			var b bytes.Buffer
			var err error
			switch f {
			case "svg":
				err = drawing.WriteSVG(&b, s)
			case "pdf":
				err = drawing.WritePDF(&b, s.Title, s)
			case "png":
				err = drawing.WritePNG(&b, s)
			}
			name := s.Name + "." + f
			if err != nil {
				return nil, cannotWrite(name, err)
			}
			out = append(out, drawnFile{name, b.Bytes()})
		}
	}
	return out, nil
}

// writeInto writes files into a folder, which it makes if need be, all or none.
func writeInto(w *world, folder string, files []drawnFile) (err error) {
	at := w.at(folder)
	if made := os.Mkdir(at, 0o777); made == nil {
		defer func() {
			if err != nil {
				os.Remove(at) // it is empty
			}
		}()
	} else if !errors.Is(made, fs.ErrExist) {
		return cannotWrite(folder, made)
	}
	var pieces []piece
	for _, f := range files {
		t, err := targetAt(w, filepath.Join(folder, f.name))
		if err != nil {
			return err
		}
		pieces = append(pieces, piece{t, f.bytes})
	}
	return writeAll(pieces)
}

// drawingSet writes all drawings of a result as one PDF.
func drawingSet(to io.Writer, r *plan.Result, version string) error {
	title := r.Site.Settings.Name
	if title == "" {
		title = "Drawings"
	}
	return drawing.WritePDF(to, title, drawing.Draw(r, drawing.Options{Version: version})...)
}

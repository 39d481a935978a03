package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// outputs is where the result of a plan goes.
type outputs struct {
	workbook   *target // nil for none
	json       *target // nil for none
	drawings   *target // nil for none
	exchange   string  // a folder, "" for none
	jsonStream bool    // JSON goes to the standard output, and nothing else does
}

// deliver writes a result out and tells what was found and where it went. The
// outputs are made whole in memory first: what can't be made leaves no file.
func (w *world) deliver(r *plan.Result, o outputs) error {
	p := &progress{w: w}
	defer p.clear()
	p.step("writing ...")
	var pieces []piece
	var names []string
	add := func(t *target, make func(io.Writer, *plan.Result, string) error) error {
		if t == nil {
			return nil
		}
		var b bytes.Buffer
		if err := make(&b, r, w.version); err != nil {
			return cannotWrite(t.name, err)
		}
		pieces, names = append(pieces, piece{*t, b.Bytes()}), append(names, t.name)
		return nil
	}
	if err := add(o.workbook, w.engine.workbook); err != nil {
		return err
	}
	if err := add(o.json, w.engine.json); err != nil {
		return err
	}
	if err := add(o.drawings, drawingSet); err != nil {
		return err
	}
	var stream bytes.Buffer
	if o.jsonStream {
		if err := w.engine.json(&stream, r, w.version); err != nil {
			return err
		}
		names = append(names, "the result on the standard output")
	}
	undo := func() {}
	if o.exchange != "" {
		more, unmake, err := w.exchangePieces(r, o.exchange)
		if err != nil {
			return err
		}
		undo, pieces, names = unmake, append(pieces, more...), append(names, count(len(more), "file")+" in "+o.exchange)
	}
	if err := writeAll(pieces); err != nil {
		undo()
		return err
	}
	p.clear()
	return w.tellDelivered(r, o, stream.Bytes(), names)
}

// tellDelivered sends the stream, then the notes, then the two lines.
func (w *world) tellDelivered(r *plan.Result, o outputs, stream []byte, names []string) error {
	lines := w.out
	if o.jsonStream {
		if _, err := w.out.Write(stream); err != nil {
			return cannotWrite("the standard output", err)
		}
		lines = w.err
	}
	tellNotes(w.err, r)
	tellFound(lines, r)
	say(lines, "Wrote %s.", strings.Join(names, " and "))
	return nil
}

// notTheSite refuses an output that would take the place of the site itself,
// under whatever name or link.
func notTheSite(w *world, site string, t target) error {
	input, err := os.Stat(w.at(site))
	if err != nil {
		return nil // reading it will say what is wrong
	}
	if output, err := os.Stat(t.file); err == nil && os.SameFile(input, output) {
		return wrongUse("%s is the site itself, and a site is never written to; choose another name", t.name)
	}
	return nil
}

// jsonEnding is how the name of a file of results must end; the ending keeps an
// option with the wrong file behind it from replacing a table.
const jsonEnding = ".json"

// drawingsEnding is how the name of a set of drawings must end, for the same reason.
const drawingsEnding = ".pdf"

// notAName explains an output whose name has the wrong ending.
func notAName(what, name, ending string) error {
	if name == "" {
		return wrongUse("the name of the %s is empty", what)
	}
	stem := strings.TrimRight(name, `/\.`)
	stem = strings.TrimSuffix(stem, filepath.Ext(stem))
	return wrongUse("the name of the %s must end in %s; write %q", what, ending, stem+ending)
}

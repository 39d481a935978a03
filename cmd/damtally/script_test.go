package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"damtally": main})
}

// TestScripts runs the program as a user does, one script a promise.
func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("ROOT", root)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"samejson": sameJSON, "truncate": truncate,
		},
		RequireExplicitExec: true,
	})
}

// truncate FILE N cuts a file off after N bytes.
func truncate(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), n))
}

// sameJSON A B compares two results. A folder and a workbook that say the same
// may say it in different rows, and a workbook's sheets that only explain are
// named in a note; all else must be equal.
func sameJSON(ts *testscript.TestScript, neg bool, args []string) {
	diff := cmp.Diff(withoutRows(ts, args[0]), withoutRows(ts, args[1]))
	if (diff != "") != neg {
		ts.Fatalf("%s and %s: %s", args[0], args[1], diff)
	}
}

// withoutRows reads a result and takes every key `row` out.
func withoutRows(ts *testscript.TestScript, file string) any {
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(file)), &v))
	var strip func(v any)
	strip = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, e := range v {
				strip(e)
			}
		case map[string]any:
			delete(v, "row")
			if notes, ok := v["notes"].([]any); ok {
				v["notes"] = slices.DeleteFunc(notes, aboutSheets)
			}
			for _, e := range v {
				strip(e)
			}
		}
	}
	strip(v)
	return v
}

// aboutSheets says whether a note names the sheets that only explain.
func aboutSheets(note any) bool {
	fields, _ := note.(map[string]any)
	text, _ := fields["text"].(string)
	return strings.HasPrefix(text, "sheets passed over: ")
}

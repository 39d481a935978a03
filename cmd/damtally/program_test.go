package main

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/earthwork"
	"github.com/google/go-cmp/cmp"
)

// lab is a world for one test: a folder of its own and an engine that needs no
// real site. What the program says is in out and err.
type lab struct {
	*world
	out, err bytes.Buffer
}

// newLab makes a world whose engine finds a plan of 100 compacted m3.
func newLab(t *testing.T) *lab {
	l := &lab{}
	write := func(text string) func(io.Writer, *plan.Result, string) error {
		return func(w io.Writer, _ *plan.Result, version string) error {
			_, err := io.WriteString(w, text+" "+version)
			return err
		}
	}
	l.world = &world{
		in: strings.NewReader(""), out: &l.out, err: &l.err, folder: t.TempDir(), version: "9",
		engine: engine{
			read: func(path string) (site.Site, error) {
				_, err := os.Stat(path)
				return site.Site{Path: path, Settings: site.Settings{OutputUnits: "metric"}, Profile: make([]site.ProfilePoint, 3), Tables: make([]site.TableCount, 4)}, err
			},
			plan: func(s site.Site, _ func(string, int64, int64)) (*plan.Result, error) {
				return &plan.Result{Site: s, Quantities: earthwork.Quantities{Total: 12345.4, Sections: make([]earthwork.Section, 3)}}, nil
			},
			workbook: write("workbook"), json: write("json"),
		},
	}
	l.put(t, "pond.xlsx", "the site")
	return l
}

// put writes a file of the lab's folder.
func (l *lab) put(t *testing.T, name, content string) {
	t.Helper()
	path := l.at(name)
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
}

// files is every file of the lab's folder with its content.
func (l *lab) files(t *testing.T) map[string]string {
	t.Helper()
	got := map[string]string{}
	err := filepath.WalkDir(l.folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := os.ReadFile(path)
		name, _ := filepath.Rel(l.folder, path)
		got[filepath.ToSlash(name)] = string(content)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// runs runs a command line and checks its exit code.
func (l *lab) runs(t *testing.T, code int, args ...string) {
	t.Helper()
	l.out.Reset()
	l.err.Reset()
	if got := run(l.world, args); got != code {
		t.Fatalf("damtally %q ended with %d, want %d\nout: %s\nerr: %s", args, got, code, &l.out, &l.err)
	}
}

const foundLine = "Found 4 tables, ground from 3 profile points, 3 sections: the dam takes 12,345 compacted m3; no pits to compare with.\n"

func TestPlanWritesWhereItSays(t *testing.T) {
	l := newLab(t)
	l.runs(t, exitDone, "plan", "pond.xlsx", "-o", "bid.xlsx", "--json", "bid.json")
	want := map[string]string{"pond.xlsx": "the site", "bid.xlsx": "workbook 9", "bid.json": "json 9"}
	if diff := cmp.Diff(want, l.files(t)); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(foundLine+"Wrote bid.xlsx and bid.json.\n", l.out.String()); diff != "" {
		t.Error(diff)
	}
	if l.err.Len() > 0 {
		t.Errorf("progress or notes without cause: %s", &l.err)
	}
}

func TestJSONStreamIsAlone(t *testing.T) {
	l := newLab(t)
	l.runs(t, exitDone, "plan", "pond.xlsx", "--json", "-")
	if diff := cmp.Diff("json 9", l.out.String()); diff != "" {
		t.Error(diff)
	}
	if !strings.HasPrefix(l.err.String(), "Found ") {
		t.Errorf("the two lines are gone: %s", &l.err)
	}
	if got := l.files(t); len(got) != 1 {
		t.Errorf("a file was written: %v", got)
	}
}

func TestSiteAloneNeverWritesOver(t *testing.T) {
	l := newLab(t)
	l.put(t, "folder/site.csv", "x")
	for range 3 {
		l.runs(t, exitDone, "pond.xlsx")
	}
	l.runs(t, exitDone, "folder")
	l.runs(t, exitDone, "folder/")
	want := map[string]string{
		"pond.xlsx": "the site", "pond plan.xlsx": "workbook 9", "pond plan 2.xlsx": "workbook 9", "pond plan 3.xlsx": "workbook 9",
		"folder/site.csv": "x", "folder plan.xlsx": "workbook 9", "folder plan 2.xlsx": "workbook 9",
	}
	if diff := cmp.Diff(want, l.files(t)); diff != "" {
		t.Error(diff)
	}
	l.folder = l.at("folder") // `.` has no name of its own
	l.runs(t, exitDone, ".")
	if !strings.Contains(l.out.String(), "folder plan 3.xlsx") {
		t.Errorf("got %s", &l.out)
	}
}

func TestWrongUse(t *testing.T) {
	for _, c := range []struct {
		args, says string
	}{
		{"chek", "did you mean `damtally check`?"},
		{"plann pond.xlsx", "did you mean `damtally plan`?"},
		{"pond.xlsx other.xlsx", "one site at a time, not 2"},
		{"plan", "which site?"},
		{"check", "which site?"},
		{"plan pond.xlsx -o bid", `must end in .xlsx; write "bid.xlsx"`},
		{"plan pond.xlsx -o bid.xls", `must end in .xlsx; write "bid.xlsx"`},
		{"plan pond.xlsx -o -", "must end in .xlsx"},
		{"plan pond.xlsx --json survey.csv", `must end in .json; write "survey.json"`},
		{"plan pond.xlsx -o", "something must follow"},
		{"plan pond.xlsx --otput x.xlsx", "did you mean --output?"},
		{"plan pond.xlsx -json x.json", "there is no option -json; did you mean --json?"},
		{"plan pond.xlsx -x", "there is no option -x; `damtally plan --help` lists them"},
		{"help chek", "did you mean `damtally help check`?"},
		{"help elephants", "there are: "},
		{"completion elephants", "name one of: "},
		{"plan pond.xlsx -o pond.xlsx", "is the site itself"},
		{"plan pond.xlsx -o ./x/../pond.xlsx", "is the site itself"},
		{"plan pond.xlsx -o link.xlsx", "is the site itself"},
		{"new", "where to?"},
		{"new pond.ods", `write "pond.xlsx"`},
		{"new p --with pitts", "did you mean pits?"},
		{"new p --with elephants", "there are: site, centreline,"},
		{"new p --with surfaces", "put it in by hand"},
		{"new p --with shots,survey", "a site has one: shots or survey; leave one of them out"},
		{"new p --units feet", "--units is us or metric"},
	} {
		t.Run(c.args, func(t *testing.T) {
			l := newLab(t)
			if err := os.Symlink("pond.xlsx", l.at("link.xlsx")); err != nil {
				t.Fatal(err)
			}
			if err := os.Mkdir(l.at("x"), 0o777); err != nil {
				t.Fatal(err)
			}
			before := l.files(t)
			l.runs(t, exitUse, strings.Fields(c.args)...)
			lines := strings.Split(strings.TrimSpace(l.err.String()), "\n")
			if len(lines) != 2 || !strings.Contains(lines[0], c.says) || !strings.HasPrefix(lines[1], "1 error in the command") {
				t.Errorf("it says %q, want %q", lines, c.says)
			}
			if diff := cmp.Diff(before, l.files(t)); diff != "" || l.out.Len() > 0 {
				t.Errorf("something was written: %s %s", diff, &l.out)
			}
		})
	}
}

// TestNobodyHears checks that an answer that could not be given is a failure,
// as on a full disk behind `>`, and that the file of the plan stands all the same.
func TestNobodyHears(t *testing.T) {
	for _, args := range []string{
		"check pond.xlsx", "plan pond.xlsx -o bid.xlsx", "plan pond.xlsx --json -", "plan --json-schema",
		"new other", "--help", "help check", "--version", "completion bash",
	} {
		t.Run(args, func(t *testing.T) {
			l := newLab(t)
			l.world.out = deaf{}
			l.runs(t, exitFailed, strings.Fields(args)...)
			if want := "damtally: the standard output cannot be written: the disk is full; make room, or choose another disk\n1 error\n"; !strings.HasSuffix(l.err.String(), want) {
				t.Errorf("it says %q, want %q at the end", &l.err, want)
			}
			if _, ok := l.files(t)["bid.xlsx"]; ok != strings.Contains(args, "bid.xlsx") {
				t.Errorf("the workbook is there: %v", ok)
			}
		})
	}
}

// deaf takes nothing, as a full disk does.
type deaf struct{}

func (deaf) Write([]byte) (int, error) { return 0, syscall.ENOSPC }

func TestFailures(t *testing.T) {
	for _, c := range []struct {
		args, says string
	}{
		{"plan nowhere -o bid.xlsx", "there is no folder or workbook nowhere"},
		{"check nowhere.xlsx", "there is no folder or workbook nowhere.xlsx"},
		{"nowhere/pond.xlsx", "there is no folder or workbook nowhere/pond.xlsx"},
		{"plan pond.xlsx -o gone/bid.xlsx", "there is no folder gone; make it first"},
		{"plan pond.xlsx -o dir.xlsx", "dir.xlsx is a folder; give the name of a file in it"},
		{"plan pond.xlsx -o pond.xlsx/bid.xlsx", "pond.xlsx is a file, not a folder"},
		{"plan pond.xlsx -o open.xlsx", "open.xlsx is open in a spreadsheet program; close it there"},
		{"plan pond.xlsx -o held.xlsx", "held.xlsx is open in a spreadsheet program; close it there"},
		{"plan pond.xlsx -o dangling.xlsx", "dangling.xlsx cannot be written"},
		{"plan pond.xlsx -o " + strings.Repeat("n", 300) + ".xlsx", "the name is too long"},
		{"plan pond.xlsx -o bid.xlsx --json gone/bid.json", "there is no folder gone"},
		{"new pond.xlsx", "is there already, and is left alone"},
		{"new dir.xlsx", "is there already, and is left alone"},
		{"new dangling.xlsx", "is there already, and is left alone"},
		{"new gone/pond", "there is no folder gone"},
	} {
		t.Run(c.args, func(t *testing.T) {
			l := newLab(t)
			l.put(t, "dir.xlsx/site.csv", "x")
			l.put(t, "open.xlsx", "old")
			l.put(t, ".~lock.open.xlsx#", "")
			l.put(t, "held.xlsx", "old")
			l.put(t, "~$held.xlsx", "")
			if err := os.Symlink("gone.xlsx", l.at("dangling.xlsx")); err != nil {
				t.Fatal(err)
			}
			before := names(t, l.folder)
			l.runs(t, exitFailed, strings.Fields(c.args)...)
			lines := strings.Split(strings.TrimSpace(l.err.String()), "\n")
			if len(lines) != 2 || !strings.Contains(lines[0], c.says) || lines[1] != "1 error" {
				t.Errorf("it says %q, want %q", lines, c.says)
			}
			if diff := cmp.Diff(before, names(t, l.folder)); diff != "" || l.out.Len() > 0 {
				t.Errorf("something was written: %s %s", diff, &l.out)
			}
		})
	}
}

// names lists a folder, with what is hidden.
func names(t *testing.T, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	return got
}

func TestProblemsAreListedAndCounted(t *testing.T) {
	l := newLab(t)
	l.engine.read = func(string) (site.Site, error) {
		return site.Site{}, site.Problems{
			{Ref: site.Ref{Table: "crest", Row: 3}, Column: "width", What: "-4 is negative", Mend: "write the width of the top"},
			{What: "name with \x1b[31m\na line end"},
		}
	}
	want := "crest row 3, width: -4 is negative; write the width of the top\nname with  [31m a line end\n2 errors in the site; nothing was written\n"
	for _, args := range [][]string{{"check", "pond.xlsx"}, {"plan", "pond.xlsx", "-o", "bid.xlsx"}, {"pond.xlsx"}} {
		l.runs(t, exitSite, args...)
		if diff := cmp.Diff(want, l.err.String()); diff != "" || l.out.Len() > 0 {
			t.Errorf("%q: %s %s", args, diff, &l.out)
		}
	}
	if got := l.files(t); len(got) != 1 {
		t.Errorf("something was written: %v", got)
	}
}

func TestNotesOfPlanProblemsToo(t *testing.T) {
	l := newLab(t)
	l.engine.plan = func(site.Site, func(string, int64, int64)) (*plan.Result, error) {
		return nil, site.Problems{{Ref: site.Ref{Table: "crest"}, What: "lies below the ground all along"}}
	}
	l.runs(t, exitSite, "check", "pond.xlsx")
	if want := "crest: lies below the ground all along\n1 error in the site; nothing was written\n"; l.err.String() != want {
		t.Errorf("got %q", l.err.String())
	}
}

// TestNothingIsLeft lets each part of the work fail in turn.
func TestNothingIsLeft(t *testing.T) {
	half := func(w io.Writer, _ *plan.Result, _ string) error {
		if _, err := io.WriteString(w, "half"); err != nil {
			return err
		}
		return errors.New("it broke")
	}
	for name, breakIt := range map[string]func(*lab){
		"workbook": func(l *lab) { l.engine.workbook = half },
		"json":     func(l *lab) { l.engine.json = half },
		"plan": func(l *lab) {
			l.engine.plan = func(site.Site, func(string, int64, int64)) (*plan.Result, error) { return nil, errors.New("it broke") }
		},
		"panic": func(l *lab) {
			l.engine.plan = func(site.Site, func(string, int64, int64)) (*plan.Result, error) { panic("it broke") }
		},
	} {
		t.Run(name, func(t *testing.T) {
			l := newLab(t)
			l.put(t, "old.xlsx", "old")
			before := l.files(t)
			breakIt(l)
			l.runs(t, exitFailed, "plan", "pond.xlsx", "-o", "old.xlsx", "--json", "new.json")
			if diff := cmp.Diff(before, l.files(t)); diff != "" || !strings.Contains(l.err.String(), "it broke") {
				t.Errorf("%s %s", diff, &l.err)
			}
		})
	}
}

// TestSecondFileFails shows that the first of two files does not stay when the
// second can't get its name.
func TestSecondFileFails(t *testing.T) {
	l := newLab(t)
	at := func(name string) target { return target{name: name, file: l.at(name)} }
	l.put(t, "b.json/in the way", "x")
	before := l.files(t)
	err := writeAll([]piece{{at("a.xlsx"), []byte("a")}, {at("b.json"), []byte("b")}})
	if err == nil || !strings.Contains(err.Error(), "b.json cannot be written") {
		t.Errorf("got %v", err)
	}
	if diff := cmp.Diff(before, l.files(t)); diff != "" {
		t.Error(diff)
	}
}

func TestReplacedFileKeepsItsModeAndLink(t *testing.T) {
	l := newLab(t)
	l.put(t, "real.xlsx", "old")
	if err := os.Chmod(l.at("real.xlsx"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.xlsx", l.at("link.xlsx")); err != nil {
		t.Fatal(err)
	}
	l.runs(t, exitDone, "plan", "pond.xlsx", "-o", "link.xlsx")
	info, err := os.Lstat(l.at("real.xlsx"))
	if err != nil || info.Mode() != 0o640 || l.files(t)["real.xlsx"] != "workbook 9" {
		t.Errorf("real.xlsx is %v (%v): %v", info.Mode(), err, l.files(t))
	}
	if info, err = os.Lstat(l.at("link.xlsx")); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v %v", info, err)
	}
}

func TestFreeNameTakenMeanwhile(t *testing.T) {
	l := newLab(t)
	free, err := freeTarget(l.world, "pond.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	l.put(t, "pond plan.xlsx", "someone else's")
	if err := writeAll([]piece{{free, []byte("ours")}}); err == nil {
		t.Error("it was written over")
	}
	if got := l.files(t); got["pond plan.xlsx"] != "someone else's" || len(got) != 2 {
		t.Errorf("got %v", got)
	}
}

func TestCannotWriteInPlainWords(t *testing.T) {
	for _, c := range []struct {
		err  error
		says string
	}{
		{&fs.PathError{Op: "write", Path: "/tmp/.part", Err: syscall.ENOSPC}, "a.xlsx cannot be written: the disk is full; make room, or choose another disk"},
		{&os.LinkError{Op: "rename", Old: "/tmp/.part", New: "/a", Err: syscall.EACCES}, "a.xlsx cannot be written: it may not be written; choose another name or folder"},
		{&fs.PathError{Err: syscall.EFBIG}, "a.xlsx cannot be written: the file would grow beyond what may be written here; choose another disk, or have the limit raised"},
		{&fs.PathError{Err: syscall.EROFS}, "a.xlsx cannot be written: the disk is read-only; choose another"},
		{errors.New("it broke"), "a.xlsx cannot be written: it broke"},
	} {
		if got := cannotWrite("a.xlsx", c.err).Error(); got != c.says {
			t.Errorf("got %q, want %q", got, c.says)
		}
	}
}

func TestProgressOnlyOnATerminal(t *testing.T) {
	l := newLab(t)
	l.terminal = true
	l.runs(t, exitDone, "plan", "pond.xlsx", "-o", "bid.xlsx")
	text := l.err.String()
	if !strings.Contains(text, "reading pond.xlsx ...") || !strings.HasSuffix(text, " \r") {
		t.Errorf("got %q", text)
	}
}

func TestDroppedOnTheIcon(t *testing.T) {
	l := newLab(t)
	l.clicked = true
	l.in = strings.NewReader("x\nmore")
	l.runs(t, exitDone, l.at("pond.xlsx"))
	if !strings.Contains(l.err.String(), "Press Enter") {
		t.Error("the window closes before it can be read")
	}
	rest, err := io.ReadAll(l.in)
	if err != nil || string(rest) != "more" {
		t.Errorf("read up to %q (%v)", rest, err)
	}
}

func TestHelp(t *testing.T) {
	l := newLab(t)
	for _, args := range [][]string{{}, {"--help"}, {"help", "plan"}, {"new", "--help"}, {"check", "-h"}, {"plan", "--help"}} {
		l.runs(t, exitDone, args...)
		text := l.out.String()
		for _, want := range []string{"How it goes:\n", "Examples:\n  damtally ", "Options:"} {
			if !strings.Contains(text, want) {
				t.Errorf("damtally %q has no %q:\n%s", args, want, text)
			}
		}
		for line := range strings.Lines(text) {
			if len(line) > 101 {
				t.Errorf("too wide for a window: %s", line)
			}
		}
	}
	l.runs(t, exitDone, "--version")
	if l.out.String() != "damtally 9\n" {
		t.Errorf("got %q", l.out.String())
	}
}

func TestCompletion(t *testing.T) {
	l := newLab(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"plan", ""}, "xlsx\n:8"},
		{[]string{"check", ""}, "xlsx\n:8"},
		{[]string{"plan", "pond.xlsx", "-o", ""}, "xlsx\n:8"},
		{[]string{"new", "--units", ""}, "us\nmetric\n:4"},
		{[]string{"new", "--with", "pits,pri"}, "pits,prices\n:6"},
	} {
		l.runs(t, exitDone, append([]string{"__complete"}, c.args...)...)
		if !strings.Contains(l.out.String(), c.want) {
			t.Errorf("%q: got %q, want %q", c.args, l.out.String(), c.want)
		}
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		l.runs(t, exitDone, "completion", shell)
		if !strings.Contains(l.out.String(), "damtally") {
			t.Errorf("no completion for %s", shell)
		}
	}
}

// TestCompletionHelp: what the library says of shells is in the project's words.
func TestCompletionHelp(t *testing.T) {
	l := newLab(t)
	for _, args := range [][]string{{"completion", "--help"}, {"completion"}, {"help", "completion"}} {
		l.runs(t, exitDone, args...)
		text := l.out.String()
		if !strings.Contains(text, "How it goes:\n  damtally completion SHELL\n") || strings.Contains(text, "autocompletion") {
			t.Errorf("damtally %q says %q", args, text)
		}
	}
}

func TestReadFailedInPlainWords(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&fs.PathError{Op: "openat", Path: "crest.csv", Err: fs.ErrPermission}, "crest.csv in my pond may not be read; ask its owner, or set its permissions so that you may read it"},
		{&fs.PathError{Op: "open", Path: "my pond", Err: fs.ErrPermission}, "my pond may not be read; ask its owner, or set its permissions so that you may read it"},
		{&fs.PathError{Op: "open", Path: "my pond", Err: fs.ErrNotExist}, "there is no folder or workbook my pond"},
	} {
		if got := readFailed("my pond", c.err).Error(); got != c.want {
			t.Errorf("%v is told as %q, want %q", c.err, got, c.want)
		}
	}
}

func TestSupply(t *testing.T) {
	yes, no := true, false
	of := func(balance ...plan.Balance) string {
		return supply(&plan.Result{Pits: make([]plan.Pit, 1), Balance: balance, Site: site.Site{Settings: site.Settings{OutputUnits: "us"}}})
	}
	for _, c := range []struct{ got, want string }{
		{of(plan.Balance{Enough: &yes}), "the pits hold enough, reserve included"},
		// 1 yd3 is 0.764554857984 m3 (0.9144 m cubed), so 1000 m3 are 1,307.95 yd3.
		{of(plan.Balance{Material: "clay", Enough: &no, Short: 1000}, plan.Balance{Enough: &yes}), "NOT ENOUGH, short of clay by 1,308 bank yd3"},
		{of(plan.Balance{Material: "till"}), "it cannot be said whether there is enough till"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestNotesToldDangerFirst(t *testing.T) {
	var b bytes.Buffer
	n := tellNotes(&b, &plan.Result{Notes: []site.Note{
		{Level: "look", Text: "a"}, {Level: "note", Text: "b"}, {Level: "danger", Ref: site.Ref{Table: "crest", Row: 2}, Text: "c"},
	}})
	if want := "danger: crest row 2: c\nlook: a\n"; b.String() != want || n != 2 {
		t.Errorf("got %d, %q", n, b.String())
	}
}

func TestCount(t *testing.T) {
	for n, want := range map[int]string{0: "0 errors", 1: "1 error", 2: "2 errors", 999: "999 errors", 1158: "1,158 errors", 1234567: "1,234,567 errors"} {
		if got := count(n, "error"); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	all := []string{"check", "new", "plan"}
	for word, want := range map[string]string{"chekc": "check", "Plan": "plan", "nwe": "new", "now": "new", "x": "", "ab": "", "elephant": "", "chck": "check"} {
		if got := nearest(word, all); got != want {
			t.Errorf("%s: %q, want %q", word, got, want)
		}
	}
	if !slices.Contains(commandNames(rootCommand(newLab(t).world)), "plan") {
		t.Error("plan is no command")
	}
}

package terrain

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/geometry"
)

// unitOf is a unit by name.
func unitOf(name string) units.Unit {
	u, ok := units.Lookup(name)
	if !ok {
		panic(name)
	}
	return u
}

// run calls a program and returns what it prints.
func run(t testing.TB, program string, args ...string) string {
	t.Helper()
	path := needtool.Find(t, program)
	var out, fault bytes.Buffer
	c := exec.Command(path, args...)
	c.Stdout, c.Stderr = &out, &fault
	if err := c.Run(); err != nil {
		t.Fatalf("%s %s: %v\n%s%s", program, strings.Join(args, " "), err, out.String(), fault.String())
	}
	return out.String()
}

// mustOpen reads a file of a folder.
func mustOpen(t testing.TB, path string, opt Options) Found {
	t.Helper()
	root, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	found, err := Open(root, filepath.Base(path), opt)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// mustGrid reads a raster.
func mustGrid(t testing.TB, path string, opt Options) *geometry.Grid {
	t.Helper()
	return mustOpen(t, path, opt).Surface.(*geometry.Grid)
}

// readBytes reads a file that is in memory.
func readBytes(data []byte, name string, opt Options) (Found, error) {
	return Read(bytes.NewReader(data), int64(len(data)), name, opt)
}

// wantFault checks that an error is an *Error whose text holds all of the words,
// and that it says how to mend it.
func wantFault(t testing.TB, err error, words ...string) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("got %v, want an *Error", err)
	}
	if e.Mend == "" || e.What == "" || e.File == "" {
		t.Errorf("%q lacks the file, what is wrong or how to mend it", e)
	}
	for _, w := range words {
		if !strings.Contains(e.Error(), w) {
			t.Errorf("%q does not say %q", e, w)
		}
	}
}

// rawTypes are sample types as the ENVI header numbers them, and as names for
// gdal_translate.
var rawTypes = map[string]int{"Byte": 1, "Int16": 2, "Int32": 3, "Float32": 4, "Float64": 5, "UInt16": 12, "UInt32": 13}

// writeRaw writes samples without any packing, with the header that tells what
// they are, for gdal_translate to make test files of. It returns the path.
func writeRaw[T any](t testing.TB, name string, cols int, samples []T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "raw")
	var b bytes.Buffer
	if err := binary.Write(&b, binary.LittleEndian, samples); err != nil {
		t.Fatal(err)
	}
	head := fmt.Sprintf("ENVI\nsamples = %d\nlines = %d\nbands = 1\nheader offset = 0\nfile type = ENVI Standard\ndata type = %d\ninterleave = bsq\nbyte order = 0\n",
		cols, len(samples)/cols, rawTypes[name])
	for file, data := range map[string][]byte{path: b.Bytes(), path + ".hdr": []byte(head)} {
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return path
}

package stablezip

import (
	"archive/zip"
	"bytes"
	"io"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// packed writes parts in the order given, as name and content by turns.
func packed(t *testing.T, parts ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := New(&b)
	for i := 0; i < len(parts); i += 2 {
		w, err := z.Create(parts[i])
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, parts[i+1]); err != nil {
			t.Fatal(err)
		}
	}
	if b.Len() > 0 {
		t.Error("something was written before the end")
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestOrderDoesNotMatter(t *testing.T) {
	one := packed(t, "b", "2", "[Content_Types].xml", `<T><Default E="x"/><Default E="a"/></T>`, "A", "1")
	two := packed(t, "A", "1", "b", "2", "[Content_Types].xml", `<T><Default E="a"/><Default E="x"/></T>`)
	if !bytes.Equal(one, two) {
		t.Error("the order of parts shows in the bytes")
	}
	r, err := zip.NewReader(bytes.NewReader(one), int64(len(one)))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range r.File {
		part, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(part)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, f.Name, string(content))
	}
	want := []string{"[Content_Types].xml", `<T><Default E="a"/><Default E="x"/></T>`, "A", "1", "b", "2"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestAddFSFails(t *testing.T) {
	if New(io.Discard).AddFS(nil) == nil {
		t.Error("it did not fail")
	}
}

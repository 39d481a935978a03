// Package needtool lets a test ask for a program that the machine may lack.
package needtool

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// RequireVariable, set to 1, turns a missing program from a skip into a failure.
const RequireVariable = "DAMTALLY_REQUIRE_TOOLS"

// Find returns the path of the first of names that the machine has. Without
// any, it skips the test with a plain message, or fails it when RequireVariable
// is 1. A short run leaves every such comparison out: it is for looking over our
// own code, and another program only makes it slow.
func Find(tb testing.TB, names ...string) string {
	tb.Helper()
	if testing.Short() {
		tb.Skipf("the comparison with %s is left out of a short run", strings.Join(names, " or "))
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv(RequireVariable) == "1" {
		tb.Fatalf("%s is not installed, and %s=1 asks for it", strings.Join(names, " or "), RequireVariable)
	}
	tb.Skipf("%s is not installed; this check was left out", strings.Join(names, " or "))
	return ""
}

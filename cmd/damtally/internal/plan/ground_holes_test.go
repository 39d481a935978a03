package plan_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// A hole in a surveyor's triangles stays a hole when they are joined with other
// ground, so that a dam over it is an error with its place; other ground in the hole
// fills it.
func TestHolesInJoinedTriangles(t *testing.T) {
	want := fill(t, fileSite(t, map[string]string{"survey": asSurvey()}))
	holed := drawnValley("", func(x, y float64) bool { return x <= 260 || x > 340 || y <= 260 || y > 340 })
	var beside, inside strings.Builder
	n := 0
	valleyPoints(func(x, y, z float64) {
		n++
		line := fmt.Sprintf("%d,%.6f,%.6f,%.6f,GR\n", n, gridY+y, gridX+x, z)
		switch {
		case y > 560:
			beside.WriteString(line)
		case x >= 260 && x <= 340 && y >= 260 && y <= 340:
			inside.WriteString(line)
		}
	})
	rows := "name,file,use,unit,column order\na,g.xml,existing,,\nb,beside.txt,existing,ft,pnezd\n"
	joined := func(rows string) string {
		dir := fileSite(t, map[string]string{"surfaces": rows})
		put(t, dir, "g.xml", holed)
		put(t, dir, "beside.txt", beside.String())
		put(t, dir, "inside.txt", inside.String())
		return dir
	}
	s, err := site.Read(joined(rows))
	if err != nil {
		t.Fatal(err)
	}
	job, err := plan.Prepare(s)
	if err == nil {
		_, err = job.Run(job.Design())
	}
	var ps site.Problems
	if !errors.As(err, &ps) {
		t.Fatalf("%v, want problems: the dam stands over a hole", err)
	}
	near(t, "filled", fill(t, joined(rows+"c,inside.txt,existing,ft,pnezd\n"))/want, 1, 1e-5)
}

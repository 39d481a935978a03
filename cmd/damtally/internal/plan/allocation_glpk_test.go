package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/needtool"
)

// solverPrint is the relative rounding of figures that GLPK figures and prints.
const solverPrint = 1e-8

// randomTransport draws a transport problem of whole numbers. Every third one
// is balanced, and small costs make many optima; ways are left out.
func randomTransport(r *rand.Rand, pits, reaches, costs int) *borrow.Transport {
	q := &borrow.Transport{}
	total := 0
	for range reaches {
		d := 10 + r.IntN(90)
		total += d
		q.Demands = append(q.Demands, borrow.Demand{Compacted: float64(d)})
	}
	left := total
	for i := range pits {
		give := total/pits + r.IntN(60)
		if r.IntN(3) == 0 {
			give = min(max(left, 0), give)
		}
		if i == pits-1 {
			give = max(give, left, 10) // so that the last one can feed all that is left
		}
		left -= give
		q.Supplies = append(q.Supplies, borrow.Supply{Bank: float64(give), Shrink: 1, Place: -1})
	}
	for i := range pits {
		for j := range reaches {
			if i == pits-1 || i == 0 || r.IntN(4) > 0 {
				q.Routes = append(q.Routes, borrow.Route{Supply: i, Demand: j, Cost: float64(r.IntN(costs))})
			}
		}
	}
	return q
}

// problemText writes a problem as GLPK reads it (CPLEX LP format): rows are the
// supplies, then the demands.
func problemText(q *borrow.Transport) string {
	rows := make([]strings.Builder, len(q.Supplies)+len(q.Demands))
	var text strings.Builder
	text.WriteString("Minimize\n cost: 0 none")
	for k, r := range q.Routes {
		fmt.Fprintf(&text, "\n + %v x%d", r.Cost, k)
		fmt.Fprintf(&rows[r.Supply], " + x%d", k)
		fmt.Fprintf(&rows[len(q.Supplies)+r.Demand], " + x%d", k)
	}
	text.WriteString("\nSubject To\n")
	for i, s := range q.Supplies {
		fmt.Fprintf(&text, " s%d: 0 none %s <= %v\n", i, rows[i].String(), s.Bank)
	}
	for j, d := range q.Demands {
		fmt.Fprintf(&text, " d%d: 0 none %s >= %v\n", j, rows[len(q.Supplies)+j].String(), d.Compacted)
	}
	text.WriteString("End\n")
	return text.String()
}

// solvedByGLPK returns the optimum and the dual value of every row; a cost of
// +Inf says that there is no answer.
func solvedByGLPK(t testing.TB, glpsol string, q *borrow.Transport) (cost float64, duals []float64) {
	t.Helper()
	return solvedText(t, glpsol, problemText(q))
}

// solvedText is solvedByGLPK for a problem in CPLEX LP format.
func solvedText(t testing.TB, glpsol, problem string) (cost float64, duals []float64) {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.lp"), filepath.Join(dir, "out.txt")
	if err := os.WriteFile(in, []byte(problem), 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command(glpsol, "--lp", in, "-w", out).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	if strings.Contains(string(said), "NO PRIMAL FEASIBLE SOLUTION") {
		return math.Inf(1), nil
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	cost = math.NaN()
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		switch {
		case len(f) == 7 && f[0] == "s" && f[1] == "bas":
			if f[4] != "f" || f[5] != "f" {
				t.Fatalf("not solved: %s", line)
			}
			cost = number(f[6])
		case len(f) == 5 && f[0] == "i":
			duals = append(duals, number(f[4]))
		}
	}
	return cost, duals
}

// The cheapest flows cost as much as those that GLPK finds, a program of general
// use that shares no line with ours, and its dual value of every supply and
// demand lies between what one less and one more there really change.
func TestAllocationEqualsGLPK(t *testing.T) {
	glpsol := needtool.Find(t, "glpsol")
	r := rand.New(rand.NewPCG(1957, 11))
	short := 0
	for n := range 200 {
		q := randomTransport(r, 2+r.IntN(5), 2+r.IntN(8), []int{3, 20, 1000}[n%3])
		want, duals := solvedByGLPK(t, glpsol, q)
		a := allocated(t, q)
		if math.IsInf(want, 1) {
			if short++; len(a.Short) == 0 {
				t.Fatalf("problem %d: GLPK finds that the soil cannot suffice, ours costs %v", n, a.Cost())
			}
			continue
		}
		if len(a.Short) > 0 || math.Abs(a.Cost()-want) > solverPrint*max(1, want) {
			t.Fatalf("problem %d: cost %v, GLPK says %v; %+v", n, a.Cost(), want, a.Short)
		}
		if len(duals) != len(q.Supplies)+len(q.Demands) {
			t.Fatalf("problem %d: %d dual values", n, len(duals))
		}
		if n%4 > 0 { // figuring every neighbour takes long
			continue
		}
		for i := range q.Supplies {
			lessCosts := costAfter(t, q, &q.Supplies[i].Bank, -1) - a.Cost()
			within(t, fmt.Sprintf("problem %d, supply %d", n, i), -duals[i], a.Saving[i], lessCosts)
		}
		for j := range q.Demands {
			lessSaves := a.Cost() - costAfter(t, q, &q.Demands[j].Compacted, -1)
			within(t, fmt.Sprintf("problem %d, demand %d", n, j), duals[len(q.Supplies)+j], lessSaves, a.Price[j])
		}
	}
	if short == 0 || short > 100 {
		t.Errorf("%d of 200 problems cannot be met; the test wants some, and few", short)
	}
}

func allocated(t testing.TB, q *borrow.Transport) *borrow.Allocation {
	t.Helper()
	a, err := q.Allocate()
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// costAfter is the cost with one amount changed; +Inf when there is no answer then.
func costAfter(t testing.TB, q *borrow.Transport, amount *float64, by float64) float64 {
	t.Helper()
	old := *amount
	if *amount += by; *amount < 0 {
		*amount = old
		return math.Inf(1)
	}
	a := allocated(t, q)
	*amount = old
	if len(a.Short)+len(a.Forced)+len(a.Unheld) > 0 {
		return math.Inf(1)
	}
	return a.Cost()
}

func within(t testing.TB, what string, got, least, most float64) {
	t.Helper()
	slack := solverPrint * max(1, math.Abs(got))
	if got < least-slack || got > most+slack {
		t.Errorf("%s: GLPK's dual value %v lies outside %v to %v", what, got, least, most)
	}
}

// A large job costs what GLPK says. The benchmarks below time it.
func TestLargeAllocationEqualsGLPK(t *testing.T) {
	glpsol := needtool.Find(t, "glpsol")
	q := largeTransport()
	want, _ := solvedByGLPK(t, glpsol, q)
	if a := allocated(t, q); math.Abs(a.Cost()-want) > solverPrint*want {
		t.Fatalf("cost %v, GLPK says %v", a.Cost(), want)
	}
}

// largeTransport has twenty pits and two hundred reaches.
func largeTransport() *borrow.Transport {
	return randomTransport(rand.New(rand.NewPCG(20, 200)), 20, 200, 1000)
}

func BenchmarkAllocation(b *testing.B) {
	q := largeTransport()
	for b.Loop() {
		allocated(b, q)
	}
}

// BenchmarkAllocationGLPK is the reference beside BenchmarkAllocation; the start
// of the program and its files are in it.
func BenchmarkAllocationGLPK(b *testing.B) {
	glpsol := needtool.Find(b, "glpsol")
	q := largeTransport()
	for b.Loop() {
		solvedByGLPK(b, glpsol, q)
	}
}

// BenchmarkOpeningCosts has ten pits that cost something to open, at low, middling
// and high cost.
func BenchmarkOpeningCosts(b *testing.B) {
	for _, opening := range []float64{1000, 20000, 100000} {
		b.Run(fmt.Sprint(opening), func(b *testing.B) {
			q := randomTransport(rand.New(rand.NewPCG(10, 200)), 20, 200, 1000)
			for i := range 10 {
				q.Supplies[i].Bank *= 3
				q.Supplies[i].Place = len(q.Places)
				q.Places = append(q.Places, borrow.Place{Cost: opening * (1 + float64(i)/20), Most: math.Inf(1)})
			}
			cases := 0
			for b.Loop() {
				cases = allocated(b, q).Cases
			}
			b.ReportMetric(float64(cases), "sets")
		})
	}
}

package borrow

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// program is a linear program of least cost in equations, sum of columns = right
// side, with amounts of zero or more. Every row has a variable of its own with a
// coefficient of 1: its spare, which costs nothing, or its lack, which must not be.
// So there is always an answer to begin from.
type program struct {
	right   []float64
	own     []int // by row, its own variable
	lack    []int // variables that stand for a lack
	cost    []float64
	entries [][]entry // by variable
	limit   []limitRow
	first   int // variable of the first route
	total   float64
	dearest float64
}

type entry struct {
	row   int
	value float64
}

// limitRow ties a row to a limit.
type limitRow struct{ row, limit int }

// row adds a row and its own variable, and returns its number.
func (p *program) row(right float64, lack bool) int {
	at := len(p.right)
	p.right = append(p.right, right)
	p.own = append(p.own, len(p.cost))
	if lack {
		p.lack = append(p.lack, len(p.cost))
	}
	p.column(0, entry{at, 1})
	return at
}

// column adds a variable.
func (p *program) column(cost float64, entries ...entry) {
	p.cost = append(p.cost, cost)
	p.entries = append(p.entries, entries)
}

// programAnswer is a proved answer of a program.
type programAnswer struct {
	x     []float64 // by variable
	price []float64 // by row: what one more on the right would cost
}

// lacking is all that lacks.
func (a *programAnswer) lacking(p *program) float64 {
	sum := 0.0
	for _, v := range p.lack {
		sum += max(0, a.x[v])
	}
	return sum
}

// solve finds the least cost where a lack costs weight for each unit.
func (p *program) solve(weight float64) (*programAnswer, error) {
	cost := append([]float64(nil), p.cost...)
	for _, v := range p.lack {
		cost[v] = weight
	}
	return p.least(cost)
}

// solveLack finds the least lack, whatever it costs.
func (p *program) solveLack() (*programAnswer, error) {
	cost := make([]float64, len(p.cost))
	for _, v := range p.lack {
		cost[v] = 1
	}
	return p.least(cost)
}

const (
	// pivotFrom is the least coefficient, or gain of a scaled cost, that counts as
	// one. It guards the rounding of a table that was worked over some hundred times.
	pivotFrom = 1e-11
	// provedTo is how far amounts and reduced costs of a scaled program may lie on
	// the wrong side of zero. It guards the rounding of a solve of some hundred rows.
	provedTo = 1e-8
	// greedySteps is how many steps a row may take by the best gain; from then on the
	// first gain is taken, by which the method cannot run in circles (Bland 1977).
	greedySteps = 20
	// stepsARow a row is far above what any program of this size was seen to take.
	stepsARow = 2000
)

var errUnproved = errors.New("no answer that could be proved the cheapest was found")

// least runs the simplex method on a table and proves what comes out: amounts and
// prices are figured anew from the variables in the answer, and no variable
// outside may pay at those prices (complementary slackness). gonum's own method
// was tried and ran in circles on questions of three pits.
func (p *program) least(cost []float64) (*programAnswer, error) {
	rows, columns := len(p.right), len(cost)
	table := make([][]float64, rows+1) // the last row holds the reduced costs, the last column the amounts
	for k := range table {
		table[k] = make([]float64, columns+1)
	}
	for v, list := range p.entries {
		for _, e := range list {
			table[e.row][v] = e.value
		}
	}
	copy(table[rows], cost)
	in := append([]int(nil), p.own...)
	for k, v := range in {
		table[k][columns] = p.right[k]
		takeOff(table[rows], table[k], cost[v])
	}
	for step := range stepsARow * (rows + 1) {
		v := enters(table[rows][:columns], step > greedySteps*rows)
		if v < 0 {
			return p.prove(cost, in)
		}
		out := leaves(table[:rows], in, v)
		if out < 0 {
			break // without end, which costs of zero or more rule out
		}
		in[out] = v
		by := table[out][v]
		for c := range table[out] {
			table[out][c] /= by
		}
		for k := range table {
			if k != out {
				takeOff(table[k], table[out], table[k][v])
			}
		}
	}
	return nil, errUnproved
}

// takeOff takes a row, times a factor, off another.
func takeOff(row, other []float64, factor float64) {
	if factor == 0 {
		return
	}
	for c, x := range other {
		row[c] -= factor * x
	}
}

// enters picks the variable to take in: the one that saves most a unit, or the
// first that saves; -1 when none does.
func enters(reduced []float64, first bool) int {
	best, gain := -1, pivotFrom
	for v, r := range reduced {
		if -r > gain {
			best, gain = v, -r
			if first {
				break
			}
		}
	}
	return best
}

// leaves picks the row whose variable comes to zero first as v grows; of rows that
// tie, that of the lowest variable. -1 when none does.
func leaves(table [][]float64, in []int, v int) int {
	best, least := -1, 0.0
	for k, row := range table {
		if row[v] <= pivotFrom {
			continue
		}
		ratio := row[len(row)-1] / row[v]
		if best < 0 || ratio < least || ratio == least && in[k] < in[best] {
			best, least = k, ratio
		}
	}
	return best
}

// prove figures amounts and prices from the variables of an answer.
func (p *program) prove(cost []float64, in []int) (*programAnswer, error) {
	rows := len(p.right)
	basis, costs := mat.NewDense(rows, rows, nil), mat.NewVecDense(rows, nil)
	for k, v := range in {
		costs.SetVec(k, cost[v])
		for _, e := range p.entries[v] {
			basis.Set(e.row, k, e.value)
		}
	}
	var lu mat.LU
	lu.Factorize(basis)
	amounts, prices := mat.NewVecDense(rows, nil), mat.NewVecDense(rows, nil)
	if lu.SolveVecTo(amounts, false, mat.NewVecDense(rows, p.right)) != nil || lu.SolveVecTo(prices, true, costs) != nil {
		return nil, errUnproved
	}
	out := &programAnswer{x: make([]float64, len(cost)), price: prices.RawVector().Data}
	for k, v := range in {
		if out.x[v] = amounts.AtVec(k); out.x[v] < -provedTo {
			return nil, errUnproved
		}
		out.x[v] = max(0, out.x[v])
	}
	for v, list := range p.entries {
		reduced := cost[v]
		for _, e := range list {
			reduced -= out.price[e.row] * e.value
		}
		if reduced < -provedTo*max(1, cost[v]) {
			return nil, errUnproved
		}
	}
	return out, nil
}

package workbook

import (
	"math"
	"strconv"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// watched is a cell and the figure that it had when the plan was made, NaN when
// it was not known.
type watched struct {
	now *cell
	was float64
}

// changedBy is how much a figure may differ from the planned one before the
// summary says that something was changed, a fraction. It guards rounding.
const changedBy = 1e-6

// differs says that the cell holds another figure than was planned.
func (w watched) differs() expr {
	now, was := w.now.ref(), number(w.was)
	if was.val.kind != isNumber {
		return known(now)
	}
	limit := mul(number(changedBy), add(number(1), magnitude(was)))
	apart := more(magnitude(sub(now, was)), limit)
	return when(known(now), apart, truth(true))
}

// watchBalance has the summary watch need and supply beside its own figures.
func (b *book) watchBalance() {
	for i := range b.weighed {
		c := &b.weighed[i]
		for _, figure := range []*cell{c.needed, c.available, c.to} {
			w := watched{figure, nan}
			if figure.content.val.kind == isNumber {
				w.was = figure.content.numeric()
			}
			b.watched = append(b.watched, w)
		}
	}
}

// layChanged lays a line that shows once a figure was changed on the sheets.
func (b *book) layChanged(row int) {
	s := b.summary
	b.watchBalance()
	var differs []expr
	for _, w := range b.watched {
		differs = append(differs, w.differs())
	}
	if len(differs) == 0 {
		return
	}
	const words = "Changed: figures on these sheets were changed after the plan was made. The column As planned shows what the dam's figures were."
	s.line(row, 1, summaryLast, "", lookExplain)
	c := s.put(row, 1, when(anyOf(differs...), text(words), blank()), lookExplain)
	c.across = summaryLast
	s.watchShown(c)
}

// weighedIndex is the place of a material in the balance, -1 when it has none.
func (b *book) weighedIndex(material string) int {
	for i := range b.weighed {
		if b.r.Balance[i].Material == material {
			return i
		}
	}
	return -1
}

// layShort lays in words by how much the pits are short of a material. planned
// is what the plan says; the line follows the balance, and is empty while the
// pits hold enough.
func (b *book) layShort(row, i int, planned string) {
	s, c := b.summary, &b.weighed[i]
	state := b.m.vol("bank")
	volume := func(c *cell) expr { return join(whole(c.ref()), text(" "+state)) }
	words := func(parts ...expr) expr {
		out := parts[0]
		for _, p := range parts[1:] {
			out = join(out, p)
		}
		return out
	}
	reserve := words(text("DANGER: "+b.r.Balance[i].Holders()+" hold the "), volume(c.needed), text(" of "), c.name.ref(),
		text(" that the dam needs, but not the reserve: short by "), volume(c.short), text(" of the "), volume(c.to),
		text(" that should be available (pits)"))
	need := words(text("DANGER: "+b.r.Balance[i].Holders()+" do not hold enough "), c.name.ref(), text(": the dam needs "), volume(c.needed),
		text(" and they hold "), volume(c.available), text("; with the reserve they are short by "), volume(c.short), text(" (pits)"))
	line := when(same(c.enough.ref(), "NOT ENOUGH"), when(atLeast(rounded(sub(c.available.ref(), c.needed.ref()), 6), number(0)), reserve, need), blank())
	s.line(row, 1, summaryLast, "", lookExplain)
	at := s.put(row, 1, b.live(line, text(planned), "words on the shortage of "+clean(b.r.Balance[i].Material)), lookExplain)
	at.across = summaryLast
	s.watchShown(at)
}

// layNowShort lays a line that shows once a change on the sheets has made the
// pits short of a material that was enough when the plan was made.
func (b *book) layNowShort(row int) int {
	var short []expr
	for i := range b.weighed {
		if enough := b.r.Balance[i].Enough; enough != nil && *enough {
			short = append(short, same(b.weighed[i].enough.ref(), "NOT ENOUGH"))
		}
	}
	if len(short) == 0 {
		return row
	}
	const words = "DANGER: with the figures as changed, the pits no longer hold what must be available of a material that was enough when the plan was made. See the table Do the pits hold it?"
	s := b.summary
	s.line(row, 1, summaryLast, "", lookExplain)
	c := s.put(row, 1, when(anyOf(short...), text(words), blank()), lookExplain)
	c.across = summaryLast
	s.watchShown(c)
	return row + 1
}

// whole is a figure as a text without decimals, in the reader's own way of
// writing thousands (FIXED; TEXT takes its format in the reader's language).
func whole(e expr) expr {
	return call("FIXED", value{kind: isText, text: grouped(e.numeric())}, e, number(0))
}

// grouped writes a number without decimals, halves away from zero as a
// spreadsheet does, and with commas between thousands.
func grouped(x float64) string { return units.Number(math.Round(x), 0) }

// shownDecimals writes a number with so many decimals, halves away from zero as a
// spreadsheet does.
func shownDecimals(x float64, decimals int) string {
	k := math.Pow(10, float64(decimals))
	return strconv.FormatFloat(math.Round(x*k)/k, 'f', decimals, 64)
}

package workbook

import (
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/earthwork/soil"
)

// layMaterials lays the densities, the factors and the volumes in three states.
func (b *book) layMaterials() {
	s := b.materials
	if len(b.r.Materials) == 0 {
		return
	}
	soils, stone := b.soilsAndStone()
	row := rowLabHead + len(b.r.Materials) + 2
	row = b.layDensities(row, soils)
	row = b.layFactors(row, soils)
	row = b.layIntervals(row, soils)
	row = b.layShares(row)
	row = b.layStates(row, soils)
	row = b.laySolids(row, soils)
	row = b.layRanges(row, soils)
	row = b.layMoisture(row, soils)
	b.layStone(row, stone)
	s.widths[1], s.widths[10], s.widths[11], s.widths[12] = 20, 15, 16, 24
}

// soilsAndStone parts what is dug from what is bought by the ton.
func (b *book) soilsAndStone() (soils, stone []int) {
	for i := range b.r.Materials {
		if b.r.Materials[i].Bought {
			stone = append(stone, i)
		} else {
			soils = append(soils, i)
		}
	}
	return soils, stone
}

// table begins a table on the sheet Materials: its name, a line that explains
// it, and its headings. It returns the row of the headings.
func (s *sheet) table(row int, name, explain string, heads ...string) int {
	s.put(row, 1, text(name), lookPart)
	if explain != "" {
		row++
		s.line(row, 1, max(len(heads), 6), explain, lookExplain)
	}
	s.headings(row+1, heads...)
	return row + 1
}

func (b *book) layDensities(row int, soils []int) int {
	s, m := b.materials, b.m
	if len(soils) == 0 {
		return row
	}
	row = s.table(row, "Dry density in each state",
		"Means of the tests that count on the sheet Tests. Without fill tests the fill is planned at expected compaction x lab maximum.",
		"Material", in("Bank", m.Density), "Bank tests", "Spread (one standard deviation)", in("Loose", m.Density), "Loose tests",
		"Spread (one standard deviation)", in("Fill", m.Density), "Fill tests", "Spread (one standard deviation)", "Fill figure from")
	for _, i := range soils {
		row++
		c, f := &b.soil[i], b.r.Materials[i].Factors
		s.put(row, 1, c.name.ref(), lookWord)
		planned := ifKnown(mul(c.expected.ref(), c.maxDry.ref()), c.expected.ref(), c.maxDry.ref())
		c.bank = b.layDensity(row, 2, i, "bank", f.Bank, blank())
		c.loose = b.layDensity(row, 5, i, "loose", f.Loose, blank())
		c.fill = b.layDensity(row, 8, i, "fill", f.Fill, planned)
		from := when(more(s.at(row, 9).ref(), number(0)), text("fill tests"),
			when(known(c.fill.ref()), text("planned: expected compaction x lab maximum"), text("not known: no fill tests, no lab maximum")))
		s.put(row, 11, from, lookWhy)
	}
	return row + 2
}

// layDensity lays a mean, the number of tests behind it and their spread. other
// stands in where there are no tests.
func (b *book) layDensity(row, col, i int, state string, d soil.Density, other expr) *cell {
	s, m := b.materials, b.m
	tests := b.testSpan(b.r.Materials[i].Row.Name, state)
	want := blank()
	if d.From != soil.Unknown {
		want = m.densityOf(d.Value)
	}
	mean := b.live(tests.mean(other), want, state+" dry density of "+clean(b.r.Materials[i].Row.Name))
	c := s.put(row, col, mean, inputIfPlain(mean, m.density()))
	s.put(row, col+1, tests.count(), figure(formatCount))
	s.put(row, col+2, tests.spread(), figure("0.0"))
	return c
}

func (b *book) layFactors(row int, soils []int) int {
	s := b.materials
	if len(soils) == 0 {
		return row
	}
	row = s.table(row, "Factors between the states",
		"Shrinkage is published in two senses under one name; both are shown. Loss is not in these factors.",
		"Material", "Shrink factor, compacted per bank", "Shrink factor from", "Swell, share of bank volume", "Swell from", "Load factor, bank per loose",
		"Compacted per loose", "Shrinkage as a share of bank volume", "Shrinkage as a share of fill volume", "Needs for a missing factor")
	for _, i := range soils {
		row++
		b.layFactor(row, i)
	}
	return row + 2
}

func (b *book) layFactor(row, i int) {
	s, c, mat := b.materials, &b.soil[i], &b.r.Materials[i]
	name := clean(mat.Row.Name)
	s.put(row, 1, c.name.ref(), lookWord)
	choose := func(both, byDensity, typed expr, basis soil.Basis, needs ...expr) (value, from expr) {
		return when(known(needs...), byDensity, when(known(typed), typed, blank())),
			when(known(needs...), both, when(known(typed), untestedBy(basis), text("not known")))
	}
	shrink, from := choose(text("dry densities"), div(c.bank.ref(), c.fill.ref()), c.typedShrink.ref(), mat.Factors.ShrinkFrom, c.bank.ref(), c.fill.ref())
	c.shrink = s.put(row, 2, b.live(shrink, orBlank(mat.Factors.Shrink, mat.Factors.ShrinkFrom), "shrink factor of "+name), figure(formatFactor))
	s.put(row, 3, from, lookWhy)
	swell, from := choose(text("dry densities"), sub(div(c.bank.ref(), c.loose.ref()), number(1)), c.typedSwell.ref(), mat.Factors.SwellFrom, c.bank.ref(), c.loose.ref())
	c.swell = s.put(row, 4, b.live(swell, orBlank(mat.Factors.Swell, mat.Factors.SwellFrom), "swell of "+name), figure(formatFactor))
	s.put(row, 5, from, lookWhy)
	load := ifKnown(div(number(1), add(number(1), c.swell.ref())), c.swell.ref())
	loadCell := s.put(row, 6, b.live(load, orBlank(mat.Factors.LoadFactor, mat.Factors.SwellFrom), "load factor of "+name), figure(formatFactor))
	c.perLoose = s.put(row, 7, ifKnown(mul(c.shrink.ref(), loadCell.ref()), c.shrink.ref(), loadCell.ref()), figure(formatFactor))
	s.put(row, 8, ifKnown(sub(number(1), c.shrink.ref()), c.shrink.ref()), figure(formatShare))
	s.put(row, 9, ifKnown(sub(div(number(1), c.shrink.ref()), number(1)), c.shrink.ref()), figure(formatShare))
	needs := when(known(c.shrink.ref(), c.swell.ref()), blank(),
		when(known(c.shrink.ref()), text("bank and loose tests, or a typed swell"), text("bank tests with fill tests or a lab maximum, or a typed shrink factor")))
	s.put(row, 10, needs, lookWhy)
}

func orBlank(v float64, from soil.Basis) expr {
	if from == soil.Unknown {
		return blank()
	}
	return number(v)
}

// layShares lays how the zones' volumes, and the blankets', are made up of materials.
func (b *book) layShares(row int) int {
	s, m := b.materials, b.m
	row = s.table(row, "Which zone takes which material", "",
		"Zone or blanket", "Material", "Share of it", "All of it, "+m.vol("compacted"), "Of this material, "+m.vol("compacted"))
	parts := map[int][]*cell{}
	for k := range b.zone {
		var shares []*cell
		users := b.usersOf(k)
		for n, u := range users {
			row++
			s.put(row, 1, b.zones.at(b.zone[k].compacted.row, 1).ref(), lookWord)
			s.put(row, 2, b.soil[u.material].name.ref(), lookWord)
			content := exprLook{number(u.share.Fraction), input(formatShare)}
			if n > 0 && n == len(users)-1 { // the last takes what is left
				rest := number(1)
				for _, c := range shares {
					rest = sub(rest, c.ref())
				}
				content = exprLook{b.live(rest, number(u.share.Fraction), "shares of a zone"), figure(formatShare)}
			}
			share := s.put(row, 3, content.expr, content.look)
			shares = append(shares, share)
			zone := s.put(row, 4, b.zone[k].compacted.ref(), figure(formatVolume))
			taken := b.live(mul(share.ref(), zone.ref()), m.volumeOf(u.share.Compacted), "share of a zone")
			parts[u.material] = append(parts[u.material], s.put(row, 5, taken, figure(formatVolume)))
		}
	}
	row = b.layBlanketShares(row, parts)
	for i := range b.soil {
		b.soil[i].compacted, b.soil[i].parts = b.sumOf(parts[i]), parts[i]
	}
	return row + 2
}

// user is a material with the share that it has of one zone.
type user struct {
	material int
	share    plan.Share
}

func (b *book) usersOf(zone int) []user {
	var out []user
	for i := range b.r.Materials {
		for _, sh := range b.r.Materials[i].Shares {
			if sh.Zone == zone {
				out = append(out, user{i, sh})
			}
		}
	}
	return out
}

// sumOf is a cell, not yet on any sheet, that adds the cells up.
func (b *book) sumOf(cells []*cell) *cell {
	sum := number(0)
	for n, c := range cells {
		if n == 0 {
			sum = c.ref()
		} else {
			sum = add(sum, c.ref())
		}
	}
	return &cell{content: sum}
}

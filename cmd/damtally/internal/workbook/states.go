package workbook

import (
	"slices"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
)

// layStates lays each soil's volume in the dam, in the bank and in trucks.
func (b *book) layStates(row int, soils []int) int {
	s, m := b.materials, b.m
	if len(soils) == 0 {
		return row
	}
	row = s.table(row, "The same soil in three states",
		"Bank = compacted / (shrink factor x (1 - loss)). Loss is a share of what is dug; it stands here, in the need alone, and never in what the pits hold too. Loose = bank x (1 + swell): all that is dug rides in trucks.",
		"Material", m.vol("compacted"), "Shrink factor", "Loss", m.vol("bank")+" to dig", "Swell", m.vol("loose")+" to haul", "Why a figure is missing")
	first := row + 1
	for _, i := range soils {
		row++
		c, mat := &b.soil[i], &b.r.Materials[i]
		name := clean(mat.Row.Name)
		s.put(row, 1, c.name.ref(), lookWord)
		c.compacted = s.put(row, 2, b.live(c.compacted.content, m.volumeOf(mat.Compacted), "compacted volume of "+name), figure(formatVolume))
		shrink := s.put(row, 3, ifKnown(c.shrink.ref(), c.shrink.ref()), figure(formatFactor))
		loss := s.put(row, 4, b.live(b.lossOf(i), number(mat.Loss), "loss of "+name), figure(formatShare))
		c.lossTaken = loss
		need := ifKnown(div(c.compacted.ref(), mul(shrink.ref(), sub(number(1), loss.ref()))), shrink.ref())
		c.bankVolume = s.put(row, 5, b.live(need, m.volumeOf(mat.Bank), "bank volume of "+name), figure(formatVolume))
		swell := s.put(row, 6, ifKnown(c.swell.ref(), c.swell.ref()), figure(formatFactor))
		haul := ifKnown(mul(c.bankVolume.ref(), add(number(1), swell.ref())), c.bankVolume.ref(), swell.ref())
		c.looseVol = s.put(row, 7, b.live(haul, m.volumeOf(mat.Loose), "loose volume of "+name), figure(formatVolume))
		why := when(known(c.bankVolume.ref(), c.looseVol.ref()), blank(),
			when(known(c.bankVolume.ref()), text("no swell: needs loose tests or a typed swell"), text("no shrink factor: see the table above")))
		s.put(row, 8, why, lookWhy)
	}
	s.put(row+1, 1, text("All that is dug"), total(""))
	s.blankRow(row+1, 2, 8, total(""))
	sum := func(col int) *cell {
		return s.put(row+1, col, span{s, col, first, row}.sumKnown(), total(formatVolume))
	}
	b.dug = dugCells{sum(2), sum(5), sum(7)}
	return row + 3
}

// lossOf is the loss that a material's need takes: that of its sources, each by
// what it gives, else the one typed for it, or where a pit has a loss of its own,
// the pits' losses, each by what the pit holds.
func (b *book) lossOf(i int) expr {
	if loss, ok := b.lossByFeed(i); ok {
		return loss
	}
	own := false
	var held, kept expr
	for k, p := range b.r.Pits {
		name := b.r.Materials[i].Row.Name
		if !slices.ContainsFunc(p.ByMaterial, func(m plan.PitMaterial) bool { return m.Material == name }) {
			continue
		}
		bank, loss := b.pitHolds(k, name), b.lossIn(k, name)
		keeps := mul(bank, sub(number(1), loss))
		if held.write == nil {
			held, kept = bank, keeps
		} else {
			held, kept = add(held, bank), add(kept, keeps)
		}
		own = own || p.Row.Loss.Given
	}
	if !own {
		return b.soil[i].loss.ref()
	}
	return when(more(held, number(0)), sub(number(1), div(kept, held)), b.soil[i].loss.ref())
}

// dugCells are the sums over all that is dug, of the materials whose figure is
// known.
type dugCells struct{ compacted, bank, loose *cell }

// solidsAgree is how closely the mass of solids must agree between the states, a
// fraction. It guards rounding alone; typed figures that contradict each other
// are off by far more.
const solidsAgree = 1e-6

func (b *book) laySolids(row int, soils []int) int {
	s, m := b.materials, b.m
	if len(soils) == 0 {
		return row
	}
	tons := "dry " + m.Bulk.Name
	row = s.table(row, "The solids are the same in all three states",
		"Volume x dry density. What is dug, less the loss, must be what is in the dam. Blank where a dry density is not known, as with typed factors.",
		"Material", "In the pit, "+tons, "In trucks, "+tons, "Lost, "+tons, "Left for the dam, "+tons, "In the dam, "+tons, "Holds")
	for _, i := range soils {
		row++
		c := &b.soil[i]
		s.put(row, 1, c.name.ref(), lookWord)
		mass := func(col int, volume, density *cell) *cell {
			return s.put(row, col, ifKnown(m.tons(volume.ref(), density.ref()), volume.ref(), density.ref()), figure(formatTons))
		}
		c.inPit = mass(2, c.bankVolume, c.bank)
		c.truck = mass(3, c.looseVol, c.loose)
		lost := s.put(row, 4, ifKnown(mul(c.inPit.ref(), c.lossTaken.ref()), c.inPit.ref()), figure(formatTons))
		left := s.put(row, 5, ifKnown(sub(c.inPit.ref(), lost.ref()), c.inPit.ref()), figure(formatTons))
		c.inDam = s.put(row, 6, ifKnown(m.tons(c.compacted.ref(), c.fill.ref()), c.fill.ref()), figure(formatTons))
		c.solids = s.put(row, 7, b.solidsHold(c, left), lookAnswer)
		s.watch(c.solids, "holds", "LOOK")
		if mat := &b.r.Materials[i]; mat.DryMass > 0 && !agree(c.inDam.content.numeric(), m.Bulk.FromSI(mat.DryMass)) {
			b.faults = append(b.faults, "dry mass of "+clean(mat.Row.Name))
		}
	}
	return row + 2
}

// solidsHold compares dam with pit, and trucks with pit where that is known.
func (b *book) solidsHold(c *materialCells, left *cell) expr {
	near := func(x, y expr) expr {
		limit := mul(number(solidsAgree), x)
		return atMost(magnitude(sub(x, y)), limit)
	}
	pitAndDam := near(c.inDam.ref(), left.ref())
	withTrucks := all(pitAndDam, near(c.inPit.ref(), c.truck.ref()))
	answer := func(holds expr) expr { return when(holds, text("holds"), text("LOOK")) }
	return when(known(c.inDam.ref(), left.ref(), c.truck.ref()), answer(withTrucks),
		when(known(c.inDam.ref(), left.ref()), answer(pitAndDam), blank()))
}

// stoneOf is what is bought, nothing where no placed density was given.
func (b *book) stoneOf(mat *plan.Material) expr {
	if !mat.Row.PlacedDensity.Given {
		return blank()
	}
	return b.m.bulkOf(mat.Mass)
}

// layStone lays what is bought by the ton.
func (b *book) layStone(row int, stone []int) {
	s, m := b.materials, b.m
	if len(stone) == 0 {
		return
	}
	row = s.table(row, "Bought by the ton", "",
		"Material", m.vol("compacted")+" in place", in("Placed density", m.Density), "Waste", m.Bulk.Name+" to buy")
	for _, i := range stone {
		row++
		c, mat := &b.soil[i], &b.r.Materials[i]
		name := clean(mat.Row.Name)
		s.put(row, 1, c.name.ref(), lookWord)
		c.compacted = s.put(row, 2, b.live(c.compacted.content, m.volumeOf(mat.Compacted), "volume of "+name), figure(formatVolume))
		density := s.put(row, 3, m.densityOf(mat.Row.PlacedDensity.Or(nan)), input(m.density()))
		waste := s.put(row, 4, number(mat.Row.Waste.Or(0)), input(formatShare))
		// Waste is a share of what is bought, as loss is of what is dug.
		bought := div(m.tons(c.compacted.ref(), density.ref()), sub(number(1), waste.ref()))
		c.stone = s.put(row, 5, b.live(ifKnown(bought, density.ref()), b.stoneOf(mat), "tons of "+name), total(formatTons))
	}
}

package workbook

import (
	"strings"
	"unicode"
)

// nameMaterials gives the figures of a material that a user would change names of
// their own, such as Loss_lean_clay, so that formulas read and the figure is found
// in the list of names. A figure that nothing takes up gets none.
func (b *book) nameMaterials() {
	used := map[string]bool{}
	for i := range b.soil {
		c := &b.soil[i]
		of := nameOf(c.name.content.val.text)
		for _, n := range []struct {
			prefix string
			cell   *cell
		}{
			{"Loss_", c.loss},
			{"RequiredCompaction_", c.required},
			{"ExpectedCompaction_", c.expected},
			{"ShrinkFactor_", c.typedShrink},
			{"Swell_", c.typedSwell},
		} {
			if n.cell == nil || n.cell.look.role != roleInput || n.cell.content.val.kind == isBlank {
				continue
			}
			name := n.prefix + of
			for k := 2; used[strings.ToLower(name)]; k++ {
				name = n.prefix + of + "_" + itoa(k)
			}
			used[strings.ToLower(name)] = true
			n.cell.name = name
		}
	}
}

// longestOfName is how much of a material's name goes into a defined name, which
// may have 255 characters.
const longestOfName = 60

// nameOf makes a text fit for a defined name: letters and digits stay, anything
// else becomes an underscore (ECMA-376 part 1, 18.2.5, leaves the characters to the
// program; these are safe in all).
func nameOf(words string) string {
	return clip(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '_'
	}, words), longestOfName)
}

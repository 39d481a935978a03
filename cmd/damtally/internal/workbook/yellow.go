package workbook

// whitenIdle takes the look of an input from cells that no formula takes up:
// typing over them would move nothing.
func (b *book) whitenIdle() {
	sheets := b.sheets()
	for _, s := range sheets {
		for _, row := range s.rows {
			for _, c := range row {
				if c != nil && !c.content.plain {
					c.content.write(s)
				}
			}
		}
	}
	for _, s := range sheets {
		for _, row := range s.rows {
			for _, c := range row {
				if c != nil && c.look.role == roleInput && !c.taken {
					c.look.role = roleFigure
				}
			}
		}
	}
}

// inputUnless is the look of an input, or of a figure where something else rules.
func inputUnless(ruled bool, format string) look {
	if ruled {
		return figure(format)
	}
	return input(format)
}

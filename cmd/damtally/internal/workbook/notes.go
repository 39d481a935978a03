package workbook

import "github.com/damtally/damtally/cmd/damtally/internal/site"

// cautions are the project's own plain words on what can hurt people, and on
// what the figures are not.
var cautions = []string{
	"This workbook counts soil. It does not say that a dam is safe, that it holds water or that it may be built.",
	"A dam can fail and drown people below it. Most dams need a permit. Ask the dam safety office of your state or country first, also about the hazard class: it depends on what lies downstream, not on the size of the dam.",
	"Have the dam designed and its building watched by a licensed engineer where the law asks for one, and wherever people, roads or houses lie below.",
	"Trenches cave in and kill. Slope, bench or shore every trench as the safety rules of your country say, keep the spoil and the machines away from the edge, and have a competent person look at it every day.",
	"Call before you dig. In the United States dial 811; elsewhere ask the owners of pipes and cables.",
	"Keep booms, truck beds and masts away from overhead lines. Ask the power company for the distance.",
	"Wetlands, streams and stormwater have permits of their own. Ask before the first load is moved.",
	"A nuclear density gauge needs a licence, a trained user and a locked place. Sand cone and other tests need none.",
	"Local codes and the drawings and specifications of the licensed designer come before anything on these sheets.",
}

var levelWords = map[string]string{"danger": "DANGER", "look": "LOOK", "note": "note"}

// layNotes lays the plan's notes, the meanings and the cautions.
func (b *book) layNotes() {
	s := b.notes
	s.upright = true
	row := s.opening("Notes and cautions", 5, "What was assumed for you, what wants a second look, and what can hurt people.") + 1
	if len(b.r.Notes) > 0 {
		s.put(row, 1, text("Notes of this plan"), lookPart)
		row++
		head := row
		s.headings(row, "Level", "About", "Note", "Where", "Source")
		for _, n := range b.r.Notes {
			row++
			b.layNote(row, n)
		}
		s.filters, s.heads = [2]int{head, row}, [2]int{head, head}
		row += 2
	}
	s.put(row, 1, text("Cautions"), lookPart)
	for _, line := range cautions {
		row++
		s.line(row, 1, 5, line, lookText)
	}
	for col, width := range []float64{10, 9, 62, 15, 26} {
		s.widths[col+1] = width
	}
}

// layNote lays one note.
func (b *book) layNote(row int, n site.Note) {
	s := b.notes
	word, known := levelWords[n.Level]
	if !known {
		word = clean(n.Level)
	}
	s.put(row, 1, text(word), lookAnswer)
	s.marks = append(s.marks, mark{area: address(row, 1), text: "DANGER"})
	for i, words := range []string{n.About, n.Text, whereNoted(n.Ref.Table, n.Ref.Row), n.Source} {
		s.put(row, i+2, text(clean(words)), lookWord)
	}
}

// whereNoted is the table and the row that a note is about.
func whereNoted(table string, row int) string {
	if table == "" || row == 0 {
		return clean(table)
	}
	return clean(table) + " row " + itoa(row)
}

package jobsheet

// What of a load's picks stands on one printed page, in lines: a pick is one, a
// decal's id with the space above it two. Letter holds 23 lines in five columns
// below a picture, and 75 beside none; a few long names wrap.
const (
	linesBelowPicture = 104
	linesOfPage       = 240
	linesOfID         = 2
)

// pickPart is what of a load's picks stands together: all of them, or a page of
// very many.
type pickPart struct {
	Load        string
	First, Last int // numbers of the picks in it
	Continued   bool
	More        bool // another part follows
	Picks       []DecalPicks
}

// pickParts parts the picks of the load by pages, so that every page says of
// which load it is. A decal that runs over a page's end begins with its id again.
func pickParts(l Load) []pickPart {
	var parts []pickPart
	room := 0
	for _, d := range l.Picks {
		picks := d.Picks
		for len(picks) > 0 {
			if room <= linesOfID {
				room = linesOfPage
				if len(parts) == 0 {
					room = linesBelowPicture
				} else {
					parts[len(parts)-1].More = true
				}
				parts = append(parts, pickPart{Load: l.Name, First: picks[0].Number, Continued: len(parts) > 0})
			}
			n := min(len(picks), room-linesOfID)
			p := &parts[len(parts)-1]
			p.Picks = append(p.Picks, DecalPicks{d.ID, picks[:n]})
			p.Last = picks[n-1].Number
			room -= linesOfID + n
			picks = picks[n:]
		}
	}
	return parts
}

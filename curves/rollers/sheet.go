package rollers

// A Sheet is the printed sheet, as the mean over the ductor's period, in slots
// from the gripper edge and columns from the left.
type Sheet struct {
	Slots, Columns   int
	SlotMM, ColumnMM float64
	FilmUM           []float64 // slot by slot; where the form has no image, what a patch would carry
	Cover            []float64 // of the form, likewise
}

// A ZoneFilm is the film of one zone, in µm, as the mean over its ink; where a
// zone, or a third of it, prints nothing, as the mean of what patches would carry.
type ZoneFilm struct {
	Cover                    float64 // of the zone over the length of the image, 0 to 1
	FilmUM                   float64
	LeadUM, MiddleUM, TailUM float64 // of the thirds of the image, from the gripper edge
	SwingUM                  float64 // between the fattest and the leanest sheet of the ductor's period
}

// sheet is one without ink.
func (m *Model) sheet(t *turning) Sheet {
	return Sheet{
		Slots: m.slots, Columns: m.columns, SlotMM: m.slotMM, ColumnMM: m.columnMM,
		FilmUM: make([]float64, len(t.paper)), Cover: t.cover,
	}
}

// zoneFilms are the mean films of all zones over some slots of the image.
func (m *Model) zoneFilms(cover, film []float64) []float64 {
	zones := m.fountain.Zones
	ink, covers, films, bare := make([]float64, m.columns), make([]float64, m.columns), make([]float64, zones), make([]float64, m.columns)
	for at := 0; at < len(cover); at += m.columns {
		for j, c := range cover[at : at+m.columns] {
			x := film[at+j]
			covers[j] += c
			ink[j] += c * x
			bare[j] += x
		}
	}
	sums := make([]float64, zones)
	m.zoneSums(films, ink)
	m.zoneSums(sums, covers)
	for z, sum := range sums {
		if sum > 0 {
			films[z] /= sum
			continue
		}
		films[z] = 0
		for _, x := range bare[z*m.grid.Columns : (z+1)*m.grid.Columns] {
			films[z] += x / float64(len(cover)/m.columns*m.grid.Columns)
		}
	}
	return films
}

// zonesOf reads zones off the sheet; most and least are those of its period.
func (m *Model) zonesOf(s Sheet, most, least []float64) []ZoneFilm {
	third := func(i int) []float64 {
		from, to := s.Slots*i/3*s.Columns, max(s.Slots*i/3+1, s.Slots*(i+1)/3)*s.Columns
		return m.zoneFilms(s.Cover[from:to], s.FilmUM[from:to])
	}
	all, lead, middle, tail := m.zoneFilms(s.Cover, s.FilmUM), third(0), third(1), third(2)
	covers := m.zoneCovers(s.Cover)
	zones := make([]ZoneFilm, m.fountain.Zones)
	for z := range zones {
		zones[z] = ZoneFilm{covers[z], all[z], lead[z], middle[z], tail[z], most[z] - least[z]}
	}
	return zones
}

// zoneCovers are the coverages of zones.
func (m *Model) zoneCovers(cover []float64) []float64 {
	zones := make([]float64, m.fountain.Zones)
	for at := 0; at < len(cover); at += m.columns {
		m.zoneSums(zones, cover[at:at+m.columns])
	}
	return scaled(zones, 1/float64(m.slots*m.grid.Columns))
}

package tour

import "github.com/vinylgeom/vinyl/outline"

// placesOf returns the places of a stop that has a choice, else nil.
func (s *search) placesOf(a int32) []outline.Point {
	if !s.placed || int(a) >= s.n || s.p.A[a] != s.p.B[a] {
		return nil
	}
	if l := s.p.Places[a]; len(l) > 1 {
		return l
	}
	return nil
}

// surround finds the circles round the stops' places.
func (s *search) surround() {
	s.middle, s.radius = make([]outline.Point, s.n), make([]float64, s.n)
	for i := range s.n {
		box := outline.EmptyBox()
		for _, q := range s.p.Places[i] {
			box = box.Extend(q)
		}
		s.middle[i] = box.Centre()
		for _, q := range s.p.Places[i] {
			s.radius[i] = max(s.radius[i], d(s.middle[i], q))
		}
	}
}

// put passes stop a at its place k.
func (s *search) put(a, k int32) {
	q := s.p.Places[a][k]
	s.place[a], s.cost[a] = k, s.p.Costs[a][k]
	s.in[a], s.out[a] = q, q
}

// change is put that can be undone.
func (s *search) change(a, k int32) {
	if s.record {
		s.journal = append(s.journal, [2]int32{^a, s.place[a]})
	}
	s.put(a, k)
}

// best returns the place of a that costs least between the exit of stop x and
// the entry of stop y, and that way's length with the place's cost.
func (s *search) best(places []outline.Point, a, x, y int32) (place int32, length float64) {
	from, costs := s.out[x], s.p.Costs[a]
	for k, q := range places {
		if l := d(from, q) + s.to(q, y) + costs[k]; k == 0 || l < length {
			place, length = int32(k), l
		}
	}
	return place, length
}

// improvePlace passes stop a at a better place of its own, where it stands.
func (s *search) improvePlace(a int32) bool {
	places := s.placesOf(a)
	if places == nil {
		return false
	}
	i := s.pos[a]
	x, y := s.seq[i-1], s.seq[i+1]
	now := s.gap(x, a) + s.gap(a, y) + s.cost[a]
	k, l := s.best(places, a, x, y)
	if l-now >= -improvement {
		return false
	}
	s.change(a, k)
	s.length += l - now
	s.push(a)
	s.push(x)
	s.push(y)
	return true
}

// improvePlacedOr moves stop a next to one of its neighbours, to whichever of
// its places suits it there.
func (s *search) improvePlacedOr(a int32) bool {
	places := s.placesOf(a)
	if places == nil {
		return false
	}
	i := s.pos[a]
	x, y := s.seq[i-1], s.seq[i+1]
	saved := s.gap(x, a) + s.gap(a, y) + s.cost[a] - s.gap(x, y)
	if saved <= improvement {
		return false
	}
	for _, c := range s.near[a] {
		j := s.pos[c]
		for side := range int32(2) {
			k := j - side // behind the stop at position k
			if k == i || k == i-1 {
				continue
			}
			u, v := s.seq[k], s.seq[k+1]
			old := s.gap(u, v)
			if old+saved <= improvement {
				continue
			}
			// Most are settled by the circle round the places.
			if m := s.middle[a]; d(s.out[u], m)+s.to(m, v)-2*s.radius[a]-old-saved >= -improvement {
				continue
			}
			place, l := s.best(places, a, u, v)
			if l-old-saved >= -improvement || !s.moveRun(i, i, k, false) {
				continue
			}
			s.change(a, place)
			s.length += l - old - saved
			s.pushAll(a, x, y, u, v)
			return true
		}
	}
	return false
}

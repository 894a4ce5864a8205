package search

import "sync"

// meetingPoint makes lanes wait for each other; the last to arrive does the
// exchange. Lanes that have finished no longer count.
type meetingPoint struct {
	mu       sync.Mutex
	cond     *sync.Cond
	n        int // lanes still running
	waiting  int
	round    int
	exchange func()
}

func (m *meetingPoint) wait() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.waiting++
	if m.waiting >= m.n {
		m.release()
		return
	}
	for round := m.round; round == m.round; {
		m.cond.Wait()
	}
}

func (m *meetingPoint) leave() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.n--
	if m.n > 0 && m.waiting >= m.n {
		m.release()
	}
}

func (m *meetingPoint) release() {
	m.exchange()
	m.waiting = 0
	m.round++
	m.cond.Broadcast()
}

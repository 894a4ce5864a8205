package lettering

import (
	"container/list"
	"sync"
)

// shapeKey is all that shaping in font units depends on.
type shapeKey struct {
	text      string
	fonts     [4]*Font // longer lists are not remembered
	language  string
	direction Direction
	features  featureSet
}

// textCache remembers the texts shaped last, up to maxCachedTexts. Its zero
// value is empty and ready.
type textCache struct {
	mu     sync.Mutex
	byKey  map[shapeKey]*list.Element // of *cachedText
	recent list.List                  // front: used last
}

type cachedText struct {
	key  shapeKey
	text *shapedText
}

// get returns the text shaped for key, nil if it is not remembered.
func (c *textCache) get(key shapeKey) *shapedText {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.byKey[key]
	if !ok {
		return nil
	}
	c.recent.MoveToFront(e)
	return e.Value.(*cachedText).text
}

// put remembers text and forgets the one not used for longest.
func (c *textCache) put(key shapeKey, text *shapedText) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.byKey[key]; ok {
		return // another goroutine was quicker with the same answer
	}
	if c.byKey == nil {
		c.byKey = make(map[shapeKey]*list.Element)
	}
	c.byKey[key] = c.recent.PushFront(&cachedText{key, text})
	if c.recent.Len() > maxCachedTexts {
		last := c.recent.Back()
		c.recent.Remove(last)
		delete(c.byKey, last.Value.(*cachedText).key)
	}
}

package fetch

import (
	"context"
	"sync"
	"time"
)

// A Store keeps answers by key. Keys are made of letters, digits, and . , - _ alone.
// Its methods may be called by several goroutines at once.
type Store interface {
	// Get returns the entry of a key, nil where there is none.
	Get(key string) (*Entry, error)
	// Put replaces the entry of a key, whole or not at all.
	Put(key string, e *Entry) error
	// Lock waits until nobody else holds the store for asking a service, and holds it
	// until unlock is called. Reading needs no lock.
	Lock(ctx context.Context) (unlock func(), err error)
}

// An Entry is an answer as it was kept. It must not be changed.
type Entry struct {
	URL          string    `json:"url"`
	ETag         string    `json:"etag,omitempty"`
	LastModified string    `json:"last_modified,omitempty"`
	Fetched      time.Time `json:"fetched"` // when the content was sent
	Checked      time.Time `json:"checked"` // when the service last said that it is current
	Expires      time.Time `json:"expires"` // until when it is current without asking
	Content      []byte    `json:"-"`
}

// Memory is a store that lasts as long as the program. Its zero value is empty.
type Memory struct {
	asking  sync.Mutex
	mu      sync.Mutex
	entries map[string]*Entry
}

// Get implements Store.
func (m *Memory) Get(key string) (*Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.entries[key], nil
}

// Put implements Store.
func (m *Memory) Put(key string, e *Entry) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.entries == nil {
		m.entries = map[string]*Entry{}
	}
	m.entries[key] = e
	return nil
}

// Lock implements Store.
func (m *Memory) Lock(context.Context) (func(), error) {
	m.asking.Lock()
	return m.asking.Unlock, nil
}

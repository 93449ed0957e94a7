package files

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func TestCache(t *testing.T) {
	c := &Cache{Dir: filepath.Join(t.TempDir(), "a", "b"), Max: 10}
	if content, err := c.Get("key"); content != nil || err != nil {
		t.Errorf("of no folder: %q, %v", content, err)
	}
	for _, want := range []string{"one", "two", ""} {
		if err := c.Put("key", []byte(want)); err != nil {
			t.Fatal(err)
		}
		if got, err := c.Get("key"); err != nil || !bytes.Equal(got, []byte(want)) {
			t.Errorf("%q comes back as %q, %v", want, got, err)
		}
	}
	if err := c.Put("long", make([]byte, 11)); err != nil {
		t.Fatal(err)
	}
	if content, err := c.Get("long"); content != nil || err != nil {
		t.Errorf("one that is too large: %d bytes, %v", len(content), err)
	}
	list, err := os.ReadDir(c.Dir)
	if err != nil || len(list) != 2 {
		t.Errorf("the folder has %v, %v", list, err)
	}
}

// One holds the cache at a time, and who waits gives up with the context.
func TestCacheLock(t *testing.T) {
	c := &Cache{Dir: t.TempDir(), Max: 10}
	unlock, err := c.Lock(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := c.Lock(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("a second lock: %v", err)
	}
	unlock()
	again, err := c.Lock(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	again()
}

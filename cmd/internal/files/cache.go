package files

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"

	"swardcast/cmd/internal/cli"
)

// A Cache keeps content by key in a folder, a file a key. It makes the folder when it
// first needs it.
type Cache struct {
	Dir string
	Max int64 // bytes of a file that is read
}

func (c *Cache) path(key string) string { return filepath.Join(c.Dir, key) }

// Get returns the content of a key, nil where there is none. A file that is larger than
// the cache takes counts as none.
func (c *Cache) Get(key string) ([]byte, error) {
	f, err := os.Open(c.path(key))
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, c.fault("read", err)
	}
	defer f.Close()
	content, err := io.ReadAll(io.LimitReader(f, c.Max+1))
	switch {
	case err != nil:
		return nil, c.fault("read", err)
	case int64(len(content)) > c.Max:
		return nil, nil
	}
	return content, nil
}

// Put replaces the content of a key, whole or not at all.
func (c *Cache) Put(key string, content []byte) error {
	if err := os.MkdirAll(c.Dir, 0o700); err != nil {
		return c.fault("made", err)
	}
	if err := Write(c.path(key), content); err != nil {
		return c.fault("written", err)
	}
	return nil
}

// lockName is the file that is held. It is no key.
const lockName = ".lock"

// lockEvery is how often a lock that another run holds is tried again.
const lockEvery = 100 * time.Millisecond

// Lock waits until no other run holds the cache, and holds it until unlock is called.
func (c *Cache) Lock(ctx context.Context) (unlock func(), err error) {
	if err := os.MkdirAll(c.Dir, 0o700); err != nil {
		return nil, c.fault("made", err)
	}
	l := flock.New(c.path(lockName))
	if _, err := l.TryLockContext(ctx, lockEvery); err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, c.fault("locked", err)
	}
	return func() { l.Unlock() }, nil
}

func (c *Cache) fault(what string, err error) error {
	return cli.Dataf("name another folder by the variable SWARDCAST_CACHE",
		"the cache %s cannot be %s: %w", c.Dir, what, withoutPath(err))
}

// CacheDir is the folder of the cache: the one that the environment names, else the
// user's.
func CacheDir(getenv func(string) string) (string, error) {
	if dir := getenv("SWARDCAST_CACHE"); dir != "" {
		return dir, nil
	}
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", cli.Dataf("name a folder by the variable SWARDCAST_CACHE", "no folder for the cache: %w", err)
	}
	return filepath.Join(dir, "swardcast"), nil
}

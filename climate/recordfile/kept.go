package recordfile

import "io"

// keptBytes is how much of a text is kept for a second look.
const keptBytes = 64 << 20

// A keptText passes a text on and keeps it, up to keptBytes, so that what the first
// look leaves open can be looked at again.
type keptText struct {
	r      io.Reader
	chunks [][]byte
	size   int
	over   bool // nothing is kept any more
}

func (k *keptText) Read(p []byte) (int, error) {
	n, err := k.r.Read(p)
	if k.size += n; k.size > keptBytes {
		k.drop()
	}
	if !k.over {
		k.chunks = append(k.chunks, append([]byte(nil), p[:n]...))
	}
	return n, err
}

// drop stops keeping the text.
func (k *keptText) drop() { k.over, k.chunks = true, nil }

// again returns a reader of the text from its beginning, and false where it was too
// long to be kept.
func (k *keptText) again() (io.Reader, bool) {
	if k.over {
		return nil, false
	}
	return &chunkReader{chunks: k.chunks, rest: k.r}, true
}

// A chunkReader reads chunks, then the rest of what they are from.
type chunkReader struct {
	chunks [][]byte
	rest   io.Reader
	at     int // in the first chunk
}

func (c *chunkReader) Read(p []byte) (int, error) {
	for len(c.chunks) > 0 {
		if n := copy(p, c.chunks[0][c.at:]); n > 0 {
			c.at += n
			return n, nil
		}
		c.chunks, c.at = c.chunks[1:], 0
	}
	return c.rest.Read(p)
}

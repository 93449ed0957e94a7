package recordfile

import "io"

// keptBytes is how much of a text is kept for a second look.
const keptBytes = 64 << 20

// A keptText passes a text on and, once told to, keeps it, up to keptBytes, so that what
// the first look leaves open can be looked at again.
type keptText struct {
	r      io.Reader
	keeps  bool
	chunks [][]byte
	size   int
}

func (k *keptText) Read(p []byte) (int, error) {
	n, err := k.r.Read(p)
	if k.keeps {
		k.add(p[:n])
	}
	return n, err
}

// keep keeps the text, of which so much was read, from its beginning.
func (k *keptText) keep(read []byte) {
	k.keeps = true
	k.add(read)
}

func (k *keptText) add(part []byte) {
	if k.size += len(part); k.size > keptBytes {
		k.keeps, k.chunks = false, nil
		return
	}
	k.chunks = append(k.chunks, append([]byte(nil), part...))
}

// again returns a reader of the text from its beginning, and false where it was too
// long to be kept, or was not.
func (k *keptText) again() (io.Reader, bool) {
	if !k.keeps {
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

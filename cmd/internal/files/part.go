package files

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/gofrs/flock"

	"swardcast/cmd/internal/cli"
)

// PartEnding is behind the name of an output that is not yet whole.
const PartEnding = ".part"

const lockEnding = ".lock"

// PartNames are the files that are written for an output that grows: the whole, its
// part and the lock.
func PartNames(name string) []string {
	return []string{name, name + PartEnding, name + PartEnding + lockEnding}
}

// A Part is an output that grows under the name NAME.part, and gets its own name once
// it is whole. As long as it is open, NAME.part.lock keeps other runs from it; where a
// system or its disk has no locks, nothing does. An output that is no regular file, a
// pipe or a device, is written to as it is.
type Part struct {
	name string // of the whole, behind all links
	file *os.File
	lock *flock.Flock // nil where the output is no regular file
}

// A Keep is given the lines that an earlier run has left, without what ends them, from
// number 1. It reports whether what is there up to the line can stay, or an error
// where the output is another.
type Keep func(number int, line string) (bool, error)

// OpenPart opens an output that grows. With keep it is resumed: what the last line
// that can stay leaves behind is cut off. Without, it begins anew.
func OpenPart(name string, keep Keep) (*Part, error) {
	p := &Part{}
	var err error
	if p.name, err = target(name); err != nil {
		return nil, CannotWrite(name, err)
	}
	mode := os.FileMode(0o644)
	if info, err := os.Stat(p.name); err == nil {
		if !info.Mode().IsRegular() {
			if p.file, err = os.OpenFile(p.name, os.O_WRONLY, 0); err != nil {
				return nil, CannotWrite(name, err)
			}
			return p, nil
		}
		if mode = info.Mode().Perm(); mode&0o222 == 0 {
			return nil, CannotWrite(name, os.ErrPermission) // nobody may write it
		}
	}
	part := p.name + PartEnding
	if p.lock, err = lockFile(part + lockEnding); err != nil {
		return nil, CannotWrite(name, err)
	}
	if p.lock == nil {
		return nil, cli.Dataf("wait for it, or give another --output", "another run is writing to %s", part)
	}
	if p.file, err = os.OpenFile(part, os.O_RDWR|os.O_CREATE, mode); err != nil {
		return nil, errors.Join(CannotWrite(name, err), p.unlock())
	}
	if keep == nil {
		err = p.begin(name)
	} else {
		err = p.resume(keep)
	}
	if err != nil {
		return nil, err
	}
	return p, nil
}

// begin begins anew, unless the part holds something: it is of an earlier run, or no part
// at all.
func (p *Part) begin(name string) error {
	info, err := p.file.Stat()
	if err != nil {
		return errors.Join(CannotWrite(p.name, err), p.Close())
	}
	if info.Size() > 0 {
		part := p.name + PartEnding
		return errors.Join(cli.Dataf("--resume to resume it, or remove "+part+" to begin anew",
			"%s: %s is there already, of a run that did not end or of something else", name, part), p.Close())
	}
	return nil
}

// resume keeps what an earlier run left: the part of one that was stopped, or the whole
// of one that came to its end, to which more can be added.
func (p *Part) resume(keep Keep) error {
	info, err := p.file.Stat()
	if err != nil {
		return errors.Join(CannotWrite(p.name, err), p.Close())
	}
	fresh := info.Size() == 0
	leave := p.Close
	if fresh {
		leave = p.Drop
		if err := p.copyWhole(); err != nil {
			return errors.Join(CannotWrite(p.name, err), leave())
		}
	}
	end, err := p.kept(keep)
	if err != nil {
		return errors.Join(err, leave())
	}
	return p.cut(end)
}

// copyWhole fills the part with the whole, where there is one.
func (p *Part) copyWhole() error {
	whole, err := os.Open(p.name)
	if err != nil {
		return nil
	}
	defer whole.Close()
	_, err = io.Copy(p.file, whole)
	return err
}

// kept is where the last line that can stay ends.
func (p *Part) kept(keep Keep) (end int64, err error) {
	if _, err := p.file.Seek(0, io.SeekStart); err != nil {
		return 0, CannotWrite(p.name, err)
	}
	lines, at := bufio.NewReader(p.file), int64(0)
	for n := 1; ; n++ {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			return end, nil // a line without an end was torn off
		}
		if err != nil {
			return 0, CannotWrite(p.name, err)
		}
		at += int64(len(line))
		stays, err := keep(n, strings.TrimSuffix(line, "\n"))
		if err != nil {
			return 0, cli.Dataf("--resume needs the same command line; remove "+p.name+PartEnding+" and leave it out to begin anew",
				"%s:%d: %w", p.name, n, err)
		}
		if stays {
			end = at
		}
	}
}

// cut shortens the part and goes on from there.
func (p *Part) cut(size int64) error {
	err := p.file.Truncate(size)
	if err == nil {
		_, err = p.file.Seek(size, io.SeekStart)
	}
	if err != nil {
		return errors.Join(CannotWrite(p.name, err), p.Close())
	}
	return nil
}

// Grows reports whether the output is a file that grows under another name.
func (p *Part) Grows() bool { return p.lock != nil }

// Write writes behind what is there.
func (p *Part) Write(b []byte) (int, error) {
	n, err := p.file.Write(b)
	if err != nil {
		err = CannotWrite(p.name, err)
	}
	return n, err
}

// Finish gives the output its name: it is whole.
func (p *Part) Finish() error {
	if !p.Grows() {
		return p.Close()
	}
	err := errors.Join(p.file.Sync(), p.file.Close())
	if err == nil {
		err = os.Rename(p.file.Name(), p.name) // before another run can lock it
	}
	if err != nil {
		err = CannotWrite(p.name, err)
	}
	return errors.Join(err, p.unlock())
}

// Close leaves the part, which can be resumed.
func (p *Part) Close() error {
	var err error
	if p.Grows() {
		err = p.file.Sync()
	}
	if err = errors.Join(err, p.file.Close()); err != nil {
		err = CannotWrite(p.name, err)
	}
	return errors.Join(err, p.unlock())
}

// Drop leaves nothing behind.
func (p *Part) Drop() error {
	if !p.Grows() {
		return p.Close()
	}
	err := errors.Join(p.file.Close(), os.Remove(p.file.Name()))
	if err != nil {
		err = CannotWrite(p.name, err)
	}
	return errors.Join(err, p.unlock())
}

// unlock lets other runs write to the output.
func (p *Part) unlock() error {
	if p.lock == nil {
		return nil
	}
	// The lock goes while it is held, so that it is that of no other run. Some
	// systems remove no file that is open; these keep it too where another run has
	// opened it meanwhile.
	removed := os.Remove(p.lock.Path())
	err := p.lock.Unlock()
	if removed != nil && !errors.Is(removed, os.ErrNotExist) {
		os.Remove(p.lock.Path())
	}
	return err
}

// lockFile locks a file, which it creates. It is nil where another run has it.
func lockFile(name string) (*flock.Flock, error) {
	const tries = 100
	for range tries {
		lock := flock.New(name, flock.SetPermissions(0o666))
		locked, err := lock.TryLock()
		switch {
		case errors.Is(err, errors.ErrUnsupported):
			return lock, nil // there are no locks here
		case err != nil:
			return nil, err
		case !locked:
			return nil, nil
		}
		mine, errMine := lock.Stat()
		there, errThere := os.Stat(name)
		if errMine == nil && errThere == nil && os.SameFile(mine, there) {
			return lock, nil
		}
		// The run that had it has just ended and removed it.
		if err := lock.Unlock(); err != nil {
			return nil, err
		}
	}
	return nil, fmt.Errorf("%s is removed as often as it is created", name)
}

// CannotWrite is the error of writing a file, without the words of the system call.
func CannotWrite(name string, err error) error {
	return cli.Dataf("", "%s cannot be written: %w", name, withoutPath(err))
}

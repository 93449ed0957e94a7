package files

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// withoutPath takes the name of the file, which may be a temporary one, off an
// error.
func withoutPath(err error) error {
	var path *os.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// Write replaces a file in one step: the content goes into a file beside it,
// which takes its name once it is whole and on the disk. So a reader sees the old
// content or the new, never a part, whatever stops the program; a run that is
// killed may leave a file .swardcast-* behind. Of runs at the same time the last
// one wins. A link is followed, also to where nothing is yet; what is no regular
// file, a pipe or a device, is written to as it is; a file that nobody may write
// is left alone.
func Write(name string, content []byte) error {
	info, err := os.Stat(name)
	switch {
	case err == nil && !info.Mode().IsRegular():
		return writeThrough(name, content)
	case err == nil && info.Mode().Perm()&0o222 == 0:
		return os.ErrPermission
	case err != nil && !errors.Is(err, os.ErrNotExist):
		return err
	}
	if name, err = target(name); err != nil {
		return err
	}
	f, err := createBeside(name)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err == nil && info != nil {
		err = f.Chmod(info.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return err
}

func writeThrough(name string, content []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	return errors.Join(err, f.Close())
}

// target follows links to the file that a name stands for, whether it is there
// or not.
func target(name string) (string, error) {
	const most = 40 // as the kernel follows
	for range most {
		to, err := os.Readlink(name)
		if err != nil {
			return name, nil // no link
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(name), to)
		}
		name = to
	}
	return "", errors.New("too many links")
}

// createBeside creates a new file in the folder of another, with the permissions
// that new files have.
func createBeside(name string) (*os.File, error) {
	const tries = 100
	var f *os.File
	err := os.ErrExist
	for i := 0; i < tries && errors.Is(err, os.ErrExist); i++ {
		f, err = os.OpenFile(
			filepath.Join(filepath.Dir(name), fmt.Sprintf(".swardcast-%08x", rand.Uint32())),
			os.O_WRONLY|os.O_CREATE|os.O_EXCL,
			0o666,
		)
	}
	return f, err
}

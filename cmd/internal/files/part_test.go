package files_test

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/gofrs/flock"

	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
)

func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func content(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// names are the files of a folder.
func names(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return strings.Join(list, " ")
}

func open(t *testing.T, name string, keep files.Keep) *files.Part {
	t.Helper()
	p, err := files.OpenPart(name, keep)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func say(t *testing.T, p *files.Part, text string) {
	t.Helper()
	if _, err := p.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
}

// all keeps every whole line.
func all(int, string) (bool, error) { return true, nil }

func TestPartEnds(t *testing.T) {
	for _, c := range []struct {
		end         func(*files.Part) error
		left, whole string
	}{
		{(*files.Part).Finish, "out", "new\n"},
		{(*files.Part).Close, "out out.part", "old\n"},
		{(*files.Part).Drop, "out", "old\n"},
	} {
		dir := t.TempDir()
		name := filepath.Join(dir, "out")
		put(t, name, "old\n")
		p := open(t, name, nil)
		say(t, p, "new\n")
		if content(t, name) != "old\n" || content(t, name+files.PartEnding) != "new\n" || !p.Grows() {
			t.Error("it does not grow beside the whole")
		}
		if err := c.end(p); err != nil {
			t.Fatal(err)
		}
		if got := names(t, dir); got != c.left || content(t, name) != c.whole {
			t.Errorf("left: %s, whole: %s; want %s, %s", got, content(t, name), c.left, c.whole)
		}
	}
}

func TestPartResumes(t *testing.T) {
	even := func(n int, _ string) (bool, error) { return n%2 == 0, nil }
	for _, c := range []struct {
		there, text string
		keep        files.Keep
		want        string
	}{
		{"out.part", "a\nb\nc\nd", all, "a\nb\nc\nx\n"}, // d is torn off
		{"out.part", "a\nb\nc\nd\n", even, "a\nb\nc\nd\nx\n"},
		{"out.part", "a\nb\nc\n", even, "a\nb\nx\n"},
		{"out.part", "a\n", even, "x\n"},
		{"out", "a\nb\nc\n", even, "a\nb\nx\n"},
		{"other", "a\n", all, "x\n"},
		{"out.part", "", nil, "x\n"},
	} {
		dir := t.TempDir()
		put(t, filepath.Join(dir, c.there), c.text)
		p := open(t, filepath.Join(dir, "out"), c.keep)
		say(t, p, "x\n")
		if err := p.Finish(); err != nil {
			t.Fatal(err)
		}
		if got := content(t, filepath.Join(dir, "out")); got != c.want {
			t.Errorf("%q in %s: %q, want %q", c.text, c.there, got, c.want)
		}
	}
}

// What stands in a part is not lost where nothing is to be resumed.
func TestPartIsNotOverwritten(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "out.part"), "a\nb\n")
	_, err := files.OpenPart(filepath.Join(dir, "out"), nil)
	var data *cli.DataError
	if !errors.As(err, &data) || !strings.Contains(data.Hint, "--resume") ||
		content(t, filepath.Join(dir, "out.part")) != "a\nb\n" {
		t.Errorf("%v: %q", err, content(t, filepath.Join(dir, "out.part")))
	}
}

// What is another output stays as it is, and no part is left that was not there.
func TestPartRefusesAnother(t *testing.T) {
	other := errors.New("this is another")
	for _, there := range []string{"out", "out.part"} {
		dir := t.TempDir()
		put(t, filepath.Join(dir, there), "a\nb\n")
		_, err := files.OpenPart(filepath.Join(dir, "out"), func(n int, line string) (bool, error) {
			if line == "b" {
				return false, other
			}
			return true, nil
		})
		if !errors.Is(err, other) || !strings.Contains(err.Error(), "out:2: this is another") {
			t.Errorf("%v", err)
		}
		if got := names(t, dir); got != there || content(t, filepath.Join(dir, there)) != "a\nb\n" {
			t.Errorf("left: %s", got)
		}
	}
}

// A second run is refused until the first is over; a lock that a killed run left is
// none.
func TestPartLocks(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "out")
	lock := files.PartNames(name)[2]
	put(t, lock, "")
	p := open(t, name, nil)
	say(t, p, "a\n")
	for _, keep := range []files.Keep{nil, all} {
		if _, err := files.OpenPart(name, keep); err == nil ||
			!strings.Contains(err.Error(), "another run is writing to "+name+".part") {
			t.Errorf("%v", err)
		}
	}
	if content(t, name+".part") != "a\n" {
		t.Error("the second run wrote to the part of the first")
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if err := open(t, name, all).Finish(); err != nil {
		t.Fatal(err)
	}
	if got := names(t, dir); got != "out" {
		t.Errorf("left: %s", got)
	}
	// It is the lock of the library, which other programs can take.
	other := flock.New(lock)
	if ok, err := other.TryLock(); !ok || err != nil {
		t.Fatal(ok, err)
	}
	defer other.Unlock()
	if _, err := files.OpenPart(name, nil); err == nil || !strings.Contains(err.Error(), "another run") {
		t.Errorf("%v", err)
	}
}

func TestPartFollowsLinks(t *testing.T) {
	dir := t.TempDir()
	link := filepath.Join(dir, "link")
	if err := os.Symlink("out", link); err != nil {
		t.Skip(err)
	}
	p := open(t, link, nil)
	say(t, p, "a\n")
	if err := p.Finish(); err != nil {
		t.Fatal(err)
	}
	if to, err := os.Readlink(link); to != "out" || content(t, filepath.Join(dir, "out")) != "a\n" ||
		names(t, dir) != "link out" {
		t.Errorf("%s, %v, %s", to, err, names(t, dir))
	}
}

func TestPartCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	locked := filepath.Join(dir, "locked")
	put(t, locked, "kept\n")
	if err := os.Chmod(locked, 0o444); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(dir, "out.part"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"locked", "gone/out", "out", "locked/x"} {
		if _, err := files.OpenPart(filepath.Join(dir, name), nil); err == nil ||
			!strings.Contains(err.Error(), " cannot be written: ") ||
			strings.Contains(err.Error(), "open ") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if content(t, locked) != "kept\n" || names(t, dir) != "locked out.part" {
		t.Errorf("left: %s", names(t, dir))
	}
}

// A device is written to as it is.
func TestPartOfDevice(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there is no such device")
	}
	p := open(t, os.DevNull, all)
	say(t, p, "a\n")
	if p.Grows() {
		t.Error("a device grows")
	}
	if err := p.Finish(); err != nil {
		t.Error(err)
	}
}

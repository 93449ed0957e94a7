package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"swardcast/climate/demo"
	"swardcast/cmd/internal/cli"
	"swardcast/cmd/internal/files"
)

// swardcast runs the program as a process of its own.
func swardcast(t *testing.T, stdout io.Writer, args ...string) (status int, stderr string) {
	t.Helper()
	var messages bytes.Buffer
	c := exec.Command("swardcast", args...)
	c.Stdout, c.Stderr = stdout, &messages
	err := c.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return c.ProcessState.ExitCode(), messages.String()
}

// leftovers are the temporary files in a folder.
func leftovers(t *testing.T, dir string) []string {
	t.Helper()
	left, err := filepath.Glob(filepath.Join(dir, ".swardcast-*"))
	if err != nil {
		t.Fatal(err)
	}
	return left
}

func write(t *testing.T, name, content string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	content, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// cannotWrite runs an answer into a place that cannot take it and expects one
// message, status 1 and the old content.
func cannotWrite(t *testing.T, output, old, message string) {
	t.Helper()
	status, stdout, stderr := runLine("", "soil", "--format", "csv", "-o", output)
	if status != cli.NoAnswer || stdout != "" ||
		!strings.Contains(stderr, "swardcast: "+output+" cannot be written: "+message) {
		t.Errorf("status %d, standard output %q: %s", status, stdout, stderr)
	}
	if strings.Contains(stderr, ".swardcast-") {
		t.Errorf("the message names a temporary file: %s", stderr)
	}
	if old != "" && read(t, output) != old {
		t.Errorf("the old content of %s is gone", output)
	}
	if left := leftovers(t, filepath.Dir(output)); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestOutputRefused(t *testing.T) {
	dir := t.TempDir()
	locked := filepath.Join(dir, "locked.csv")
	write(t, locked, "old")
	if err := os.Chmod(locked, 0o444); err != nil {
		t.Fatal(err)
	}
	cannotWrite(t, locked, "old", "permission denied")
	cannotWrite(t, dir, "", "is a directory")
	cannotWrite(t, filepath.Join(dir, "no", "folder.csv"), "", "no such file or directory")
	cannotWrite(t, filepath.Join(locked, "below.csv"), "", "not a directory")
	round := filepath.Join(dir, "round")
	if err := os.Symlink(round, round); err != nil {
		t.Fatal(err)
	}
	cannotWrite(t, round, "", "too many levels of symbolic links")
}

// As - is standard input, it is standard output.
func TestOutputDash(t *testing.T) {
	t.Chdir(t.TempDir())
	_, want, _ := runLine("", "species")
	status, got, stderr := runLine("", "species", "-o", "-")
	if _, err := os.Stat("-"); status != cli.Answered || got != want || err == nil {
		t.Errorf("status %d, %d bytes of %d, %v: %s", status, len(got), len(want), err, stderr)
	}
}

// A link to a file that is not there yet makes that file, with the permissions
// that new files have.
func TestOutputThroughLink(t *testing.T) {
	dir := t.TempDir()
	link := filepath.Join(dir, "link")
	if err := os.Symlink("answer.txt", link); err != nil {
		t.Fatal(err)
	}
	if status, _, stderr := runLine("", "species", "-o", link); status != cli.Answered {
		t.Fatal(stderr)
	}
	write(t, filepath.Join(dir, "usual"), "")
	usual, err := os.Stat(filepath.Join(dir, "usual"))
	if err != nil {
		t.Fatal(err)
	}
	made, err := os.Lstat(filepath.Join(dir, "answer.txt"))
	if err != nil || made.Mode() != usual.Mode() || made.Size() == 0 {
		t.Errorf("%v, %v; want a file of mode %v", made, err, usual.Mode())
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v", err)
	}
}

// What is read must not be lost under the answer.
func TestOutputIsNotItsInput(t *testing.T) {
	dir := t.TempDir()
	record, probe, species := filepath.Join(
		dir,
		"record.csv",
	), filepath.Join(
		dir,
		"probe.csv",
	), filepath.Join(
		dir,
		"mine.csv",
	)
	places := filepath.Join(dir, "stations.csv")
	write(t, record, string(demo.Station))
	write(t, places, "station,name\nrecord,A Meadow (invented)\n")
	write(t, probe, "date,depth_cm,soil_c\n2019-09-20,10,22.5\n")
	write(t, species, "species,parameter,value\nperennial-ryegrass,tillered,373\n")
	link, hard := filepath.Join(dir, "link.csv"), filepath.Join(dir, "hard.csv")
	if err := errors.Join(os.Symlink(record, link), os.Link(record, hard)); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"window", record, "-o", record},
		{"window", record, "-o", link},
		{"window", link, "-o", hard},
		{"window", record, "--probe", probe, "-o", probe},
		{"outlook", record, "--outlook-file", probe, "-o", probe},
		{"compare", record, "--species", "tall-fescue," + species, "-o", species},
		{"seed", "--area", "5000ft2", "--species", species, "-o", species},
		{"species", species, "-o", species},
		{"compare", record, hard, "-o", record},
		{"compare", record, "-o", places},
	} {
		status, stdout, stderr := runLine("", args...)
		if status != cli.Usage || stdout != "" || !strings.Contains(stderr, "is a file that is read") ||
			!strings.Contains(stderr, "\nhint: write to another file\n") {
			t.Errorf("%v: status %d: %s", args, status, stderr)
		}
	}
	in, err := os.Open(record)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var messages bytes.Buffer
	if status := testProgram(in, io.Discard, &messages).Main(context.Background(), []string{"window", "-",
		"-o", record}); status != cli.Usage {
		t.Errorf("from standard input: status %d: %s", status, &messages)
	}
	if read(t, record) != string(demo.Station) {
		t.Error("the record is not what it was")
	}
	// A value that happens to be the name of the output is no input.
	if status, _, stderr := runLine("", "record", record, "--name", filepath.Join(dir, "answer"), "-o",
		filepath.Join(dir, "answer")); status != cli.Answered {
		t.Error(stderr)
	}
}

// A record that is written to while it is read is refused, whatever was read.
func TestFileChangesWhileRead(t *testing.T) {
	name := filepath.Join(t.TempDir(), "record.csv")
	for what, change := range map[string]func() error{
		"longer": func() error {
			f, err := os.OpenFile(name, os.O_WRONLY|os.O_APPEND, 0)
			if err == nil {
				_, err = f.WriteString("2026-12-01,10,2\n")
			}
			return errors.Join(err, f.Close())
		},
		"shorter":   func() error { return os.Truncate(name, 100) },
		"rewritten": func() error { return os.WriteFile(name, []byte(strings.Repeat("x", len(demo.Station))), 0o644) },
	} {
		write(t, name, string(demo.Station))
		if err := os.Chtimes(name, time.Time{}, time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
		err := files.Read(name, func(r io.Reader) error {
			if _, err := io.CopyN(io.Discard, r, 1000); err != nil {
				t.Fatal(err)
			}
			if err := change(); err != nil {
				t.Fatal(err)
			}
			return errors.New("what became of it")
		})
		var data *cli.DataError
		if !errors.As(err, &data) ||
			!strings.HasSuffix(err.Error(), "record.csv: the file changed while it was read") ||
			data.Hint == "" {
			t.Errorf("%s: %v", what, err)
		}
	}
	// One that another takes the place of is read as it was.
	write(t, name, string(demo.Station))
	other := name + ".new"
	write(t, other, "other")
	err := files.Read(name, func(r io.Reader) error {
		if err := os.Rename(other, name); err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if string(text) != string(demo.Station) {
			t.Error("the old content is not what was read")
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

// Runs at the same time into one file: whoever reads it meanwhile finds one of
// the answers, whole.
func TestConcurrentOutput(t *testing.T) {
	dir := t.TempDir()
	output := filepath.Join(dir, "answer")
	commands := [][]string{{"soil", "--format", "csv"}, {"species", "--format", "json"}, {"window", "--format", "csv"}}
	var whole []string
	for _, c := range commands {
		_, stdout, _ := runLine("", c...)
		whole = append(whole, stdout)
	}
	write(t, output, whole[0])
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			for k := range 8 {
				c := commands[(i+k)%len(commands)]
				if status, _, stderr := runLine("", append(slices.Clone(c), "-o", output)...); status != cli.Answered {
					t.Error(stderr)
				}
			}
		})
	}
	done := make(chan bool)
	go func() { wg.Wait(); close(done) }()
	looks := 0
	for running := true; running; looks++ {
		select {
		case <-done:
			running = false
		default:
		}
		if got := read(t, output); !slices.Contains(whole, got) {
			t.Errorf("%d bytes that are no whole answer", len(got))
			break
		}
	}
	<-done
	if left := leftovers(t, dir); len(left) > 0 || looks < 10 {
		t.Errorf("%d looks; left behind: %v", looks, left)
	}
}

// Killed at any moment, the file has its old content or the new.
func TestKilledWhileWriting(t *testing.T) {
	if testing.Short() {
		t.Skip("many runs")
	}
	dir := t.TempDir()
	output := filepath.Join(dir, "answer.csv")
	begin := time.Now()
	if status, stderr := swardcast(t, nil, "soil", "--format", "csv", "-o", output); status != cli.Answered {
		t.Fatal(stderr)
	}
	took := time.Since(begin)
	whole := read(t, output)
	random := rand.New(rand.NewPCG(1, 2))
	old, fresh, cut := 0, 0, 0
	const tries = 60
	for i := range tries {
		write(t, output, "old")
		c := exec.Command("swardcast", "soil", "--format", "csv", "-o", output)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		if i%2 == 0 {
			time.Sleep(time.Duration((0.3 + 0.9*random.Float64()) * float64(took)))
		} else {
			// As soon as the temporary file shows.
			for end := time.Now().Add(2 * took); len(leftovers(t, dir)) == 0 && time.Now().Before(end); {
			}
		}
		c.Process.Kill()
		c.Wait()
		for _, name := range leftovers(t, dir) {
			cut++
			if err := os.Remove(name); err != nil {
				t.Fatal(err)
			}
		}
		switch got := read(t, output); got {
		case "old":
			old++
		case whole:
			fresh++
		default:
			t.Fatalf("%d bytes that are neither the old nor the new content", len(got))
		}
	}
	t.Logf(
		"%d killed: %d times the old content, %d of them with the new one half way, %d times the new",
		tries,
		old,
		cut,
		fresh,
	)
}

// A writer that takes some bytes and then no more.
type fullAfter struct{ left int }

func (w *fullAfter) Write(p []byte) (int, error) {
	n := min(w.left, len(p))
	w.left -= n
	if n < len(p) {
		return n, io.ErrClosedPipe
	}
	return n, nil
}

func TestStandardOutputFails(t *testing.T) {
	for _, args := range []string{"window", "soil --format csv", "species --format json", "help", "help window", "--version"} {
		var messages bytes.Buffer
		p := testProgram(strings.NewReader(""), &fullAfter{left: 5}, &messages)
		if status := p.Main(context.Background(), strings.Fields(args)); status != cli.NoAnswer ||
			!strings.Contains(messages.String(), "swardcast: standard output cannot be written: ") {
			t.Errorf("%s: status %d: %s", args, status, &messages)
		}
	}
}

// A reader that goes away: the program ends as programs in a pipe do, without a
// word.
func TestClosedPipe(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	r.Close()
	defer w.Close()
	status, stderr := swardcast(t, w, "species")
	if status == cli.Answered || strings.Contains(stderr, "goroutine") || strings.Count(stderr, "\n") > 1 {
		t.Errorf("status %d: %s", status, stderr)
	}
}

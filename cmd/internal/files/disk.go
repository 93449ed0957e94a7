package files

import (
	"io"
	"os"
)

// Disk is the storage of a command line: the files of the machine. It implements
// cli.Storage.
type Disk struct{}

// Read gives a file to what reads it.
func (Disk) Read(name string, read func(io.Reader) error) error { return Read(name, read) }

// Write replaces a file in one step.
func (Disk) Write(name string, content []byte) error { return withoutPath(Write(name, content)) }

// Clash returns the one of the files read that is the output too, "" for none.
func (Disk) Clash(output string, read []string, stdin io.Reader) string {
	to, err := os.Stat(output)
	if err != nil || !to.Mode().IsRegular() {
		return ""
	}
	for _, name := range read {
		from, err := os.Stat(name)
		if in, ok := stdin.(*os.File); name == "-" && ok {
			from, err = in.Stat()
		}
		if err == nil && os.SameFile(from, to) {
			return name
		}
	}
	return ""
}

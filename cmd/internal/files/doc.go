// Package files reads and writes the files of a disk: a file that changes while it
// is read is refused, and a file that is written is there whole or not at all.
package files

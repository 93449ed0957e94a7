// Package cli runs a command line: it finds the command, parses its flags, prints
// help and messages, and turns an error into an exit status. It knows no command
// and no answer.
package cli

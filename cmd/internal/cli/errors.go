package cli

import (
	"errors"
	"fmt"

	"swardcast/cmd/internal/words"
)

// Exit statuses.
const (
	Answered = 0 // an unfavourable answer is an answer
	NoAnswer = 1 // the data cannot answer, or the answer cannot be written
	Usage    = 2 // the command line is wrong
)

// ErrNoFile is the error of a name that no file has.
var ErrNoFile = errors.New("there is no such file")

// A UsageError is a fault of the command line.
type UsageError struct{ Message, Hint string }

func (e *UsageError) Error() string { return e.Message }

// Usagef returns a UsageError with a hint, which may be "".
func Usagef(hint, format string, args ...any) error {
	return &UsageError{fmt.Sprintf(format, args...), hint}
}

// A DataError is a fault of the data that has a remedy.
type DataError struct {
	Err  error
	Hint string
}

func (e *DataError) Error() string { return e.Err.Error() }
func (e *DataError) Unwrap() error { return e.Err }

// Dataf returns a DataError with a hint, which may be "".
func Dataf(hint, format string, args ...any) error {
	return &DataError{fmt.Errorf(format, args...), hint}
}

// Report prints an error with its hint and returns the exit status that it gives.
func (p *Program) Report(err error) int {
	p.Warn(err, "")
	var usage *UsageError
	if errors.As(err, &usage) {
		return Usage
	}
	return NoAnswer
}

// Warn prints an error with its hint and what follows from it, where the command goes
// on.
func (p *Program) Warn(err error, so string) {
	message, hint := p.Words(err)
	p.Say("%s%s", message, so)
	if hint != "" {
		p.hint(hint)
	}
}

// Words returns what an error says and what to do about it, "" for nothing, both without
// what could steer a terminal.
func (p *Program) Words(err error) (message, hint string) {
	var usage *UsageError
	var data *DataError
	switch {
	case errors.As(err, &usage):
		hint = usage.Hint
	case errors.As(err, &data):
		hint = data.Hint
	case p.Hint != nil:
		hint = p.Hint(err)
	}
	return words.Harmless(err.Error()), words.Harmless(hint)
}

package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
	"github.com/spf13/pflag"
)

// A ValueError is the error of what was typed for a flag.
type ValueError struct {
	Message string   // what is wrong with it
	Instead []string // values to type instead; none where none is near
}

func (e *ValueError) Error() string { return e.Message }

// Valuef returns a ValueError.
func Valuef(instead []string, format string, args ...any) error {
	return &ValueError{fmt.Sprintf(format, args...), instead}
}

// FlagError is the error of a flag's value: --FLAG VALUE: what is wrong, with the
// corrected flag as its hint.
func FlagError(name, value string, err error) error {
	hint := ""
	var v *ValueError
	if errors.As(err, &v) {
		hint = alternatives("--"+name+" ", v.Instead)
	}
	return Usagef(hint, "--%s %s: %v", name, ShellWord(value), err)
}

// ArgumentError is the error of an argument: the corrected command line is its hint.
func ArgumentError(command, value string, err error) error {
	hint := ""
	var v *ValueError
	if errors.As(err, &v) {
		hint = alternatives(command+" ", v.Instead)
	}
	return Usagef(hint, "%s: %v", ShellWord(value), err)
}

// alternatives lists values behind what stands before each of them.
func alternatives(before string, values []string) string {
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = ShellWord(v)
	}
	if len(words) == 0 {
		return ""
	}
	return before + Or(words)
}

// Or joins words as a, b or c.
func Or(words []string) string { return joined(words, " or ") }

// And joins words as a, b and c.
func And(words []string) string { return joined(words, " and ") }

func joined(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + last + words[n-1]
}

// ShellWord is a value as it is typed: in quotation marks where a shell would take it
// apart.
func ShellWord(s string) string {
	if s == "" || strings.ContainsFunc(s, func(r rune) bool {
		return !(unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-+_.,:/=%@²°", r))
	}) {
		return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
	}
	return s
}

// Match finds the one of some words that a typed word means: the word itself, or the
// one that it is the beginning of, or the beginning of a part of; capitals, blanks
// and hyphens do not count. Where it could be several it returns all of them.
func Match(typed string, words []string) []string {
	t := plainWord(typed)
	if t == "" {
		return nil
	}
	var whole, parts []string
	for _, w := range words {
		switch {
		case plainWord(w) == t:
			return []string{w}
		case strings.HasPrefix(plainWord(w), t):
			whole = append(whole, w)
		case slices.ContainsFunc(strings.FieldsFunc(w, separates), func(part string) bool {
			return strings.HasPrefix(plainWord(part), t)
		}):
			parts = append(parts, w)
		}
	}
	if len(whole) > 0 {
		return whole
	}
	return parts
}

func separates(r rune) bool { return r == '-' || r == ' ' || r == '_' || r == '.' }

// plainWord is a word without what does not count.
func plainWord(s string) string {
	return strings.Map(func(r rune) rune {
		if separates(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// Nearest returns the words that a mistyped word is nearest to, none where none is
// near. It is held against whole words and against their beginnings.
func Nearest(typed string, words []string) []string {
	t := plainWord(typed)
	n := utf8.RuneCountInString(t)
	if n == 0 || n > longestTyped {
		return nil
	}
	best := (n + 7) / 4 // fewer characters must be wrong
	var near []string
	for _, w := range words {
		full := []rune(plainWord(w))
		d := levenshtein.ComputeDistance(t, string(full))
		if len(full) > n && n > 3 {
			d = min(d, levenshtein.ComputeDistance(t, string(full[:n]))+1)
		}
		switch {
		case d < best:
			best, near = d, []string{w}
		case d == best && len(near) > 0:
			near = append(near, w)
		}
	}
	return near
}

// longestTyped is the longest word that is held against others, in characters.
const longestTyped = 60

// parseError says what is wrong with the flags of a command line.
func (p *Program) parseError(c *Command, flags *pflag.FlagSet, err error) error {
	var unknown *pflag.NotExistError
	var value *pflag.InvalidValueError
	var lacks *pflag.ValueRequiredError
	switch {
	case errors.As(err, &value):
		return FlagError(value.GetFlag().Name, value.GetValue(),
			plainly(value.GetFlag(), value.GetValue(), value.Unwrap()))
	case errors.As(err, &lacks):
		f := lacks.GetFlag()
		what, _ := pflag.UnquoteUsage(f)
		hint := "--" + f.Name + " " + strings.ToUpper(what)
		if x, ok := f.Value.(interface{ Example() string }); ok {
			hint = "--" + f.Name + " " + ShellWord(x.Example())
		}
		return &UsageError{fmt.Sprintf("--%s needs a value", f.Name), hint}
	case errors.As(err, &unknown):
		return p.unknownFlag(c, flags, unknown)
	}
	return &UsageError{err.Error(), ""}
}

// plainly is an error of a value in words, where it is that of the flag library.
func plainly(f *pflag.Flag, value string, err error) error {
	var v *ValueError
	if errors.As(err, &v) {
		return err
	}
	switch kind := f.Value.Type(); {
	case strings.HasPrefix(kind, "float"):
		return fmt.Errorf("%q is not a number", value)
	case strings.HasPrefix(kind, "int"):
		return fmt.Errorf("%q is not a whole number", value)
	case kind == "bool":
		return Valuef(nil, "the flag stands alone: leave the value out")
	case kind == "stringToString":
		return Valuef([]string{"date=Day,tmax=High,tmin=3"}, "write what each column holds")
	}
	return err
}

// unknownFlag is the error of a flag that the command does not have.
func (p *Program) unknownFlag(c *Command, flags *pflag.FlagSet, e *pflag.NotExistError) error {
	name := e.GetSpecifiedName()
	typed := "--" + name
	if e.GetSpecifiedShortnames() != "" { // one hyphen was typed
		typed = "-" + e.GetSpecifiedShortnames()
		name = strings.TrimLeft(e.GetSpecifiedShortnames(), "-")
	}
	message := fmt.Sprintf("%s has no flag %s", c.Name, typed)
	var names []string
	flags.VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			names = append(names, f.Name)
		}
	})
	if slices.Contains(names, name) {
		return &UsageError{message, "--" + name}
	}
	near := Match(name, names)
	if len(near) == 0 {
		near = Nearest(name, names)
	}
	if len(near) > 0 {
		return &UsageError{message, "--" + strings.Join(near, " or --")}
	}
	var others []string
	for _, other := range p.Commands {
		if other.Flags().Lookup(name) != nil {
			others = append(others, p.Name+" "+other.Name)
		}
	}
	if len(others) > 0 {
		return &UsageError{message, fmt.Sprintf("--%s is a flag of %s", name, And(others))}
	}
	return &UsageError{message, "its flags: --" + strings.Join(names, " --")}
}

// worded is a flag's value that takes one of some words.
type worded interface{ Words() []string }

// shortKind is a flag's value whose words stand in its usage and not before it.
type shortKind struct{ pflag.Value }

func (shortKind) Type() string { return "WORD" }

// flagUsages are the flags as the help prints them.
func flagUsages(flags *pflag.FlagSet, columns int) string {
	flags.VisitAll(func(f *pflag.Flag) {
		if w, ok := f.Value.(worded); ok {
			f.Usage += "; one of " + Or(w.Words())
			f.Value = shortKind{f.Value}
		}
	})
	return flags.FlagUsagesWrapped(columns)
}

package recordfile

import (
	"fmt"
	"slices"
	"strings"
)

// A flagRule reports whether a quality flag says that its value failed a check.
type flagRule func(flag string) bool

// flagColumns are the columns of quality flags whose meaning is known, by their names
// in lower case without separators.
var flagColumns = map[string]struct {
	role role
	rule flagRule
}{
	// GHCN-Daily: measurement, quality and source flag between commas.
	"tmaxattributes": {roleTMaxFlags, failed}, "tminattributes": {roleTMinFlags, failed},
	"attributestmax": {roleTMaxFlags, failed}, "attributestmin": {roleTMinFlags, failed},
	// ECA&D, Q_TX: 0 valid, 1 suspect, 9 missing. Météo-France, QTX without the line
	// between: 0 protected, 1 validated, 2 doubtful, 9 passed the first checks; see
	// findFlags.
	"qtx": {roleTMaxFlags, anyOf("1", "9")}, "qtn": {roleTMinFlags, anyOf("1", "9")},
}

// failed reads the flags of GHCN-Daily: the second between commas is set where the
// value failed a check.
func failed(flags string) bool {
	if flags == "" {
		return false
	}
	parts := strings.Split(flags, ",")
	return len(parts) > 1 && strings.TrimSpace(parts[1]) != ""
}

func anyOf(bad ...string) flagRule {
	return func(flag string) bool { return slices.Contains(bad, strings.TrimSpace(flag)) }
}

// findFlags gives the columns of quality flags that are known their roles, and lists
// the others, which are not used.
func (l *layout) findFlags() {
	for i, h := range l.header {
		if l.roles[i] != roleNone {
			continue
		}
		parts, _ := nameParts(strings.TrimPrefix(h, "\ufeff"))
		name := strings.Join(parts, "")
		f, known := flagColumns[name]
		switch {
		case known && !l.has(f.role) && !l.long():
			l.roles[i] = f.role
			rule := f.rule
			if len(parts) == 1 && strings.HasPrefix(name, "q") {
				rule = anyOf("2") // Météo-France
			}
			if f.role == roleTMaxFlags {
				l.maxFlag = rule
			} else {
				l.minFlag = rule
			}
		case slices.ContainsFunc(parts, func(p string) bool { return flagWords[p] }),
			len(name) > 1 && name[0] == 'q' && slices.ContainsFunc(meanings(name[1:]), func(m match) bool {
				return m.role == roleTMax || m.role == roleTMin || m.role == rolePrecip
			}):
			l.unused = append(l.unused, fmt.Sprintf("%d (%s)", i+1, strings.TrimSpace(h)))
		}
	}
}

// flagWords are words of the names of columns with quality flags.
var flagWords = map[string]bool{"flag": true, "flags": true, "qc": true, "quality": true, "qualite": true, "q": true,
	"qualitat": true, "kvalitet": true, "calidad": true, "attributes": true, "qn": true, "qflag": true, "qcflag": true,
	"ind": true, "indicator": true}

// unusedFlags is the note on columns of quality flags that are not used.
func (l *layout) unusedFlags() string {
	const most = 6
	more := ""
	if n := len(l.unused); n > most {
		more = fmt.Sprintf(" and %d more", n-most)
	}
	return fmt.Sprintf("The quality flags of column %s%s are not used.",
		strings.Join(l.unused[:min(most, len(l.unused))], ", "), more)
}

// badQuality reports whether the quality flag of a row of one element is set: alone,
// or between commas with others (GHCN-Daily).
func (l *layout) badQuality(flag string) bool {
	if strings.ContainsRune(flag, ',') {
		return failed(flag)
	}
	return strings.TrimSpace(flag) != "" && !l.attributes
}

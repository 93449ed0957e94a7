package words

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Columns is the width of everything printed for a terminal, in character cells.
const Columns = 80

// Wrap breaks a text into lines of the text width, the first behind a lead, the
// others indented as far.
func Wrap(lead, text string) string {
	var b strings.Builder
	indent := strings.Repeat(" ", Width(lead))
	line := lead
	for i, word := range glued(strings.Fields(text)) {
		switch {
		case i == 0:
			line += word
		case Width(line)+1+Width(word) > Columns:
			b.WriteString(line + "\n")
			line = indent + word
		default:
			line += " " + word
		}
	}
	b.WriteString(line + "\n")
	return b.String()
}

// Lines breaks a text into lines of at most a width, or of one word that is wider.
func Lines(text string, width int) []string {
	var lines []string
	for _, word := range glued(strings.Fields(text)) {
		if n := len(lines); n > 0 && Width(lines[n-1])+1+Width(word) <= width {
			lines[n-1] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// Width is the number of character cells that a text takes on a terminal: two for
// a wide character (Unicode Standard Annex 11), none for a combining one.
func Width(s string) int { return cells.StringWidth(s) }

// cells counts ambiguous characters, such as those of the bars, as one cell
// whatever the locale, so that the same input gives the same bytes.
var cells = &runewidth.Condition{}

// Pad fills a text with blanks on the right.
func Pad(s string, n int) string { return s + strings.Repeat(" ", max(0, n-Width(s))) }

// PadLeft fills a text with blanks on the left.
func PadLeft(s string, n int) string { return strings.Repeat(" ", max(0, n-Width(s))) + s }

// Cut cuts a text that is wider than some cells, and says so with its last.
func Cut(s string, n int) string {
	if Width(s) <= n {
		return s
	}
	return cells.Truncate(s, n, "…")
}

// Percent prints a chance; a chance is never printed as certain.
func Percent(c float64) string {
	switch {
	case c > 0.995:
		return ">99 %"
	case c < 0.005:
		return "<1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*c)
}

// Plural is the word that goes with a count.
func Plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// Count prints a count with its word.
func Count(n int, one, more string) string { return fmt.Sprintf("%d %s", n, Plural(n, one, more)) }

// Age says how long something took or how old it is, in hours or days.
func Age(d time.Duration) string {
	switch hours := int(d.Hours()); {
	case hours < 1:
		return "less than an hour"
	case hours < 48:
		return Count(hours, "hour", "hours")
	default:
		return Count(hours/24, "day", "days")
	}
}

// Capital makes the first letter a capital.
func Capital(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// Bars draws a share over n cells.
func Bars(share float64, n int) string {
	k := int(math.Round(share * float64(n)))
	return strings.Repeat("█", k) + strings.Repeat("·", n-k)
}

// Days prints a number of days, rounded.
func Days(d float64) string {
	n := int(math.Round(d))
	return fmt.Sprintf("%d %s", n, Plural(n, "day", "days"))
}

// Interval prints the ends of an interval of a chance.
func Interval(low, high float64) string { return fmt.Sprintf("%.0f–%.0f %%", 100*low, 100*high) }

// Lower makes the first letter a small one.
func Lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

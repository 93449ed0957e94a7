package words

import (
	"strings"
	"unicode/utf8"
)

// The characters that keep a line from breaking: a blank at which it does not
// break, and the mark of no width that joins what stands around it.
const (
	noBreakSpace = "\u00a0"
	wordJoiner   = "\u2060"
)

// Unbroken returns the text with its dates, its numbers with their units and its
// ranges held together: the blanks within them do not break, nor do dashes between
// two ends.
func Unbroken(text string) string {
	words := strings.Split(text, " ")
	var b strings.Builder
	for i, w := range words {
		if i > 0 && belongs(words[i-1], w) {
			b.WriteString(noBreakSpace)
		} else if i > 0 {
			b.WriteString(" ")
		}
		b.WriteString(joined(w))
	}
	return b.String()
}

// joined puts a word joiner behind each dash of a word that has something on both
// its sides.
func joined(word string) string {
	const dash = "–"
	inner, ok := strings.CutPrefix(word, dash)
	if !ok || inner == "" {
		inner = word
	}
	last := strings.TrimSuffix(inner, dash)
	if !strings.Contains(last, dash) {
		return word
	}
	return word[:len(word)-len(inner)] + strings.ReplaceAll(last, dash, dash+wordJoiner) + inner[len(last):]
}

// glued are the words of a text; those that belong together are one.
func glued(words []string) []string {
	var out []string
	for i, w := range words {
		if i > 0 && belongs(words[i-1], w) {
			out[len(out)-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// units are the words that follow a number on its line.
var units = map[string]bool{
	"lb": true, "oz": true, "kg": true, "g": true, "g/m²": true, "kg/ha": true, "lb/1000": true, "lb/acre": true,
	"ft²": true, "m²": true, "ha": true, "acres": true, "in.": true, "cm": true, "mm": true,
	"day": true, "days": true,
	"week": true, "weeks": true,
}

// belongs reports whether a word may not begin the line after another: the parts of
// a date, a number and its unit.
func belongs(before, word string) bool {
	word = strings.TrimLeft(word, "(")
	if word == "" || before == "" {
		return false
	}
	if strings.HasPrefix(word, "°") || strings.HasPrefix(word, "%") {
		return true
	}
	open := strings.TrimLeft(before, "(")
	end, _ := utf8.DecodeLastRuneInString(before)
	switch unit := strings.TrimRight(word, ",;:)"); {
	case isDigit(end) && (units[unit] || units[strings.TrimSuffix(unit, ".")]):
		return true
	case before == "lb/1000" && strings.HasPrefix(word, "ft²"):
		return true
	case isMonth(open):
		return isDigit(rune(word[0]))
	case len(word) >= len("Jan") && isMonth(word[:3]) && !isLetter(word[3:]):
		return isDigit(end)
	}
	day := strings.TrimSuffix(open, ",")
	return day != open && len(day) <= 2 && allDigits(day) && len(word) >= 4 && allDigits(word[:4])
}

// isLetter reports whether a text begins with a letter.
func isLetter(s string) bool { return s != "" && (s[0]|0x20) >= 'a' && (s[0]|0x20) <= 'z' }

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func allDigits(s string) bool {
	for _, r := range s {
		if !isDigit(r) {
			return false
		}
	}
	return s != ""
}

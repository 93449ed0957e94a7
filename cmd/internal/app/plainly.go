package app

import (
	"regexp"
	"strings"
	"sync"
)

// named matches what stands for a flag or a command in a text of the program.
var named = regexp.MustCompile(`--([a-z]+(?:-[a-z]+)*)(=[a-z]+)?|swardcast ([a-z]+(?:-[a-z]+)*)`)

// plainly is a text of the program for the page: a flag stands in it by the name of its
// field, a command by that of its question.
func plainly(text string) string {
	if !strings.Contains(text, "--") && !strings.Contains(text, "swardcast ") {
		return text
	}
	names := fieldNames()
	return named.ReplaceAllStringFunc(text, func(s string) string {
		m := named.FindStringSubmatch(s)
		if name := names[m[1]+m[3]]; name != "" {
			return "“" + name + "”"
		}
		return s
	})
}

// fieldNames are the labels of the fields by flag, and the titles of the questions by
// command.
var fieldNames = sync.OnceValue(func() map[string]string {
	names := map[string]string{}
	for _, f := range append(Reads(), Fields()...) {
		names[f.Flag] = strings.TrimSuffix(f.Label, ", %")
	}
	for _, q := range Questions() {
		names[q.ID] = q.Title
	}
	return names
})

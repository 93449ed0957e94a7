package compare

import (
	"fmt"
	"slices"
	"strings"

	"swardcast/cmd/internal/words"
	"swardcast/forecast"
)

// names joins species by "and" or "or". Those that end in one word share it: "annual,
// intermediate or perennial ryegrass".
func names(list []*forecast.ComparedSpecies, word string) string {
	type group struct {
		last  string
		first []string // what stands before it
	}
	var groups []*group
	for _, x := range list {
		name := x.Outlook.Options.Species.Name
		cut := strings.LastIndexByte(name, ' ') + 1
		first, last := strings.TrimSpace(name[:cut]), name[cut:]
		i := slices.IndexFunc(groups, func(g *group) bool { return g.last == last && first != "" && g.first[0] != "" })
		if i < 0 {
			groups, i = append(groups, &group{last: last}), len(groups)
		}
		groups[i].first = append(groups[i].first, first)
	}
	var parts []string
	several := false
	for _, g := range groups {
		several = several || len(g.first) > 1
		parts = append(parts, strings.TrimSpace(joined(g.first, word, false)+" "+g.last))
	}
	return joined(parts, word, several)
}

// joined joins texts by commas and a word, before which a comma stands where the texts
// are long.
func joined(list []string, word string, long bool) string {
	n := len(list) - 1
	switch {
	case n == 0:
		return list[0]
	case long:
		return strings.Join(list[:n], ", ") + ", " + word + " " + list[n]
	}
	return strings.Join(list[:n], ", ") + " " + word + " " + list[n]
}

// chances are the lowest and the highest chance of species, "80 to 82 %".
func chances(list []*forecast.ComparedSpecies) string {
	low, high := 1.0, 0.0
	for _, x := range list {
		low, high = min(low, x.Outlook.Chance), max(high, x.Outlook.Chance)
	}
	from, to := words.Percent(low), words.Percent(high)
	switch {
	case from == to:
		return from
	case strings.HasPrefix(to, ">"):
		return from + " or more"
	case strings.HasPrefix(from, "<"):
		return to + " or less"
	}
	return fmt.Sprintf("%s to %s", strings.TrimSuffix(from, " %"), to)
}

// Package shell offers the command line to what runs beside it: completion for shells,
// and a manual page. Both are made from the commands, their help and their flags.
package shell

import "swardcast/cmd/internal/cli"

// Extras are what a program offers by this package.
func Extras() []cli.Extra {
	return []cli.Extra{
		{Name: "completion", Help: completionHelp, Run: completion},
		{Name: "man", Help: manHelp, Run: man},
		{Name: cobraComplete, Run: complete(cobraComplete)},
		{Name: cobraCompleteBare, Run: complete(cobraCompleteBare)},
	}
}

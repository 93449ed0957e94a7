package shell

import (
	"bytes"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swardcast/cmd/internal/cli"
)

var shells = []string{"bash", "zsh", "fish"}

const completionHelp = `Completion of commands, flags and their values for a shell

  swardcast completion bash|zsh|fish

Prints a script that a shell reads once; then a tab completes commands, flags,
species, hosts, formats, units and the other words that a flag takes.

Examples:
  bash, with the package bash-completion:
      swardcast completion bash >~/.local/share/bash-completion/completions/swardcast
  zsh, in a folder of its $fpath:
      swardcast completion zsh >"${fpath[1]}/_swardcast"
  fish:
      swardcast completion fish >~/.config/fish/completions/swardcast.fish
`

// What the scripts ask the program for, with descriptions and without.
const (
	cobraComplete     = cobra.ShellCompRequestCmd
	cobraCompleteBare = cobra.ShellCompNoDescRequestCmd
)

// completion prints the script of a shell.
func completion(p *cli.Program, args []string) error {
	if len(args) != 1 || !slices.Contains(shells, args[0]) {
		return cli.Usagef(p.Name+" completion "+shells[0], "completion takes one shell: %s", cli.Or(shells))
	}
	root := tree(p)
	var b bytes.Buffer
	var err error
	switch args[0] {
	case "bash":
		err = root.GenBashCompletionV2(&b, true)
	case "zsh":
		err = root.GenZshCompletion(&b)
	case "fish":
		err = root.GenFishCompletion(&b, true)
	}
	if err != nil {
		return err
	}
	return p.Print(b.Bytes())
}

// complete answers what the script of a shell asks: what a word that is typed can become.
func complete(verb string) func(*cli.Program, []string) error {
	return func(p *cli.Program, args []string) error {
		root := tree(p)
		var b bytes.Buffer
		root.SetArgs(append([]string{verb}, args...))
		root.SetOut(&b)
		root.SetErr(io.Discard)
		if err := root.Execute(); err != nil {
			return err
		}
		return p.Print(b.Bytes())
	}
}

// tree is the command line as the library of completion wants it. It runs nothing.
func tree(p *cli.Program) *cobra.Command {
	nothing := func(*cobra.Command, []string) {}
	root := &cobra.Command{Use: p.Name, Run: nothing, SilenceErrors: true, SilenceUsage: true}
	root.CompletionOptions.DisableDefaultCmd = true
	root.Flags().Bool("version", false, "the version of the program")
	root.SetHelpCommand(
		&cobra.Command{Use: "help [COMMAND]", Short: "What a command answers, with examples and flags", Run: nothing,
			ValidArgsFunction: func(_ *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
				var names []string
				for _, c := range p.Commands {
					if len(args) == 0 && strings.HasPrefix(c.Name, typed) {
						names = append(names, cobra.CompletionWithDesc(c.Name, c.Summary))
					}
				}
				return names, cobra.ShellCompDirectiveNoFileComp
			}},
	)
	root.AddCommand(&cobra.Command{Use: "completion SHELL", Short: "Completion for a shell", Run: nothing,
		ValidArgs: shells, Args: cobra.MaximumNArgs(1)})
	root.AddCommand(
		&cobra.Command{Use: "man", Short: "The manual page", Run: nothing, ValidArgs: []string{}, Args: cobra.NoArgs},
	)
	for _, c := range p.Commands {
		verb := &cobra.Command{Use: strings.TrimSpace(c.Name + " " + c.Usage), Short: c.Summary, Run: nothing}
		flags := c.Flags()
		flags.VisitAll(func(f *pflag.Flag) { _, f.Usage = pflag.UnquoteUsage(f) })
		verb.Flags().AddFlagSet(flags)
		switch {
		case c.Arguments != nil:
			verb.ValidArgsFunction = words(cli.Taken{Words: c.Arguments})
		case !strings.Contains(c.Usage, "FILE"):
			verb.ValidArgsFunction = words(cli.Taken{})
		}
		verb.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Value.Type() == "bool" {
				return
			}
			if err := verb.RegisterFlagCompletionFunc(f.Name, words(cli.TakenBy(f))); err != nil {
				panic("shell: " + err.Error())
			}
		})
		root.AddCommand(verb)
	}
	return root
}

// words completes what can be taken.
func words(t cli.Taken) cobra.CompletionFunc {
	return func(_ *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
		how := cobra.ShellCompDirectiveNoFileComp
		if t.File {
			how = cobra.ShellCompDirectiveDefault
		}
		list := t.Words
		before := ""
		if i := strings.LastIndex(typed, ","); t.List && i >= 0 {
			before = typed[:i+1]
			how |= cobra.ShellCompDirectiveNoSpace
		}
		number := typed
		if i := strings.IndexFunc(typed, isUnit); i >= 0 {
			number = typed[:i]
		}
		switch {
		case len(t.Units) > 0 && number != "":
			list, before = t.Units, number
		case list == nil && t.Like != "" && typed == "":
			list = []string{t.Like}
		}
		var out []string
		for _, w := range list {
			if w = before + w; strings.HasPrefix(w, typed) {
				out = append(out, w)
			}
		}
		return out, how
	}
}

// isUnit reports whether a character ends a number.
func isUnit(r rune) bool { return !strings.ContainsRune("0123456789.,+-", r) }

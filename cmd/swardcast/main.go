// Swardcast forecasts the seeding window of turf from a station's daily air
// temperatures. Run "swardcast help".
package main

import "os"

func main() {
	os.Exit(program{Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr}.Main(os.Args[1:]))
}

module swardcast

go 1.26

require (
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1
	github.com/spf13/pflag v1.1.0
	gonum.org/v1/gonum v0.17.0
)

require (
	github.com/rogpeppe/go-internal v1.16.0
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/tools v0.30.0 // indirect
)

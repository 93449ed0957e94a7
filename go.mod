module swardcast

go 1.26

require (
	github.com/gocarina/gocsv v0.0.0-20240520201108-78e41c74b4b1
	github.com/spf13/pflag v1.1.0
	gonum.org/v1/gonum v0.17.0
)

package recordfile_test

import (
	"errors"
	"fmt"
	"strings"

	"swardcast/climate/recordfile"
)

const invented = `Station Name: Mosswick Hollow (invented)
Latitude: 40.9, Longitude: -77.1
Date,Max Temp (F),Min Temp (F)
2020-01-01,38,21
2020-01-02,41,28
2020-01-03,M,30
`

func ExampleRead() {
	file, err := recordfile.Read(strings.NewReader(invented), "mosswick.csv", recordfile.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	rec := file.Record
	fmt.Printf("%s, latitude %g, %s to %s, in %s %s\n", rec.Place.Name, *rec.Place.Latitude, rec.First, rec.Last(),
		file.Unit.Name(), file.UnitReason)
	fmt.Printf("%.1f °C, %.1f °C\n", rec.TMaxC[0], rec.TMaxC[2])
	// Output:
	// Mosswick Hollow (invented), latitude 40.9, 2020-01-01 to 2020-01-03, in °F from the header
	// 3.3 °C, NaN °C
}

// What is wrong with a file, where, and what to do about it.
func ExampleError() {
	_, err := recordfile.Read(strings.NewReader("day,high,low\n2020-01-01,ten,2\n"), "own.csv",
		recordfile.Options{Unit: recordfile.Celsius})
	var fault *recordfile.Error
	if errors.As(err, &fault) {
		fmt.Println("line", fault.Line)
		fmt.Println(fault)
		fmt.Println(fault.Hint)
	}
	// Output:
	// line 2
	// own.csv:2:12: "ten" is not a number (column 2, high)
	// write a number, or leave the cell blank where the value is missing
}

package out

import (
	"bytes"
	"encoding/json"
)

// JSONLines is an object a row, each in a line, by the json tags of R.
func JSONLines[R any]() *Stream[R] {
	return &Stream[R]{Head: nothing, Foot: nothing,
		Rows: func(rows []R, _ bool) ([]byte, error) {
			var b bytes.Buffer
			for _, r := range rows {
				if err := writeLine(&b, r); err != nil {
					return nil, err
				}
			}
			return b.Bytes(), nil
		},
		Back: func(line string) (map[string]string, bool) {
			var object map[string]any
			if err := json.Unmarshal([]byte(line), &object); err != nil {
				return nil, false
			}
			return texts(object), object != nil
		},
	}
}

// writeLine writes a value as one line of JSON.
func writeLine(b *bytes.Buffer, v any) error {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// texts are the strings of an object.
func texts(object map[string]any) map[string]string {
	fields := map[string]string{}
	for k, v := range object {
		if s, ok := v.(string); ok {
			fields[k] = s
		}
	}
	return fields
}

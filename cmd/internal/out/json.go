package out

import (
	"bytes"
	"encoding/json"

	"swardcast/cmd/internal/words"
)

// JSON is the typed answer.
var JSON = Form{"json", HasJSON, func(a *Answer, _ *Flags) ([]byte, error) { return jsonBytes(a.JSON()) }}

// jsonBytes writes an answer as indented JSON.
func jsonBytes(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return words.HarmlessJSON(b.Bytes()), nil
}
